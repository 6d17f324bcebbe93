"""Django settings. Everything that differs between two machines is read from the environment (see DEVELOPERS.md)."""

from pathlib import Path

import dj_database_url
from django.utils.translation import gettext_lazy as _

from shop.config import data_folder, environment

BASE_DIR = Path(__file__).resolve().parents[2]
DATA_DIR = environment.folder("STOWRIGHT_DATA", BASE_DIR / "data")
PAPERS_DIR = DATA_DIR / "papers"
PROOF_DIR = DATA_DIR / "proof"
data_folder.make(DATA_DIR)

# Where none is given one is made at the first start: a default would be known to others.
SECRET_KEY = environment.text("STOWRIGHT_SECRET_KEY") or data_folder.secret_key(DATA_DIR)
DEBUG = environment.flag("STOWRIGHT_DEBUG")
HTTPS = environment.flag("STOWRIGHT_HTTPS")
PROXY = environment.text("STOWRIGHT_PROXY", "127.0.0.1") if HTTPS else ""
HOST = environment.text("STOWRIGHT_HOST", "127.0.0.1")
OTHER_HOSTS = environment.words("STOWRIGHT_HOSTS")
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]", *OTHER_HOSTS]
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in OTHER_HOSTS] if HTTPS else []
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
# To be believed because the web server strikes this header out unless it comes from the proxy.
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HTTPS else None
SECURE_SSL_REDIRECT = HTTPS
# Thirty days: long enough to count, short enough to go back from.
SECURE_HSTS_SECONDS = 30 * 24 * 3600 if HTTPS else 0
# Other names of the domain, and lists that browsers ship with, are for the owner of the domain to decide.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

INSTALLED_APPS = [
    "shop.apps.AdminOfTheOwner",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_countries",
    "django_htmx",
    "rest_framework",
    "shop",
]

MIDDLEWARE = [
    "shop.views.headers.private",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "shop.views.trail.at_work",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.views.errors.way_back",
    "shop.views.errors.busy",
    "shop.views.errors.unreadable",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASE_URL = environment.address("DATABASE_URL", schemes=["sqlite", "postgres", "postgresql"])
DATABASES: dict[str, dict[str, object]] = {
    "default": dict(dj_database_url.parse(DATABASE_URL, conn_max_age=60, conn_health_checks=True))
    if DATABASE_URL
    else {"ENGINE": "django.db.backends.sqlite3", "NAME": DATA_DIR / "db.sqlite3"}
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # Opening a file costs next to nothing, so no connection is kept from one request to the next.
    DATABASES["default"]["CONN_MAX_AGE"] = 0
    DATABASES["default"]["OPTIONS"] = {
        # The write lock is taken, and waited for, as a transaction begins: one that reads first and would write later
        # is thrown back at once where another has written meanwhile. With the log written ahead others go on reading.
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA foreign_keys=ON;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}

AUTH_USER_MODEL = "shop.User"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "shop.access.passwords.DifferentCharacters"},
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "login"

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
# Stock sentences of the frameworks, in our own words.
LOCALE_PATHS = [BASE_DIR / "shop" / "locale"]
FORMAT_MODULE_PATH = "shop.config.formats"
TIME_ZONE = "UTC"
USE_I18N = True
# Not in ISO 3166-1, but what carriers use for Kosovo.
COUNTRIES_OVERRIDE = {"XK": "Kosovo"}
USE_TZ = True

STATIC_URL = "static/"
# Static files are served from where they lie; nothing is collected.
STATIC_ROOT = None
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["shop.api.parser.ShopJSONParser"],
    "TEST_REQUEST_DEFAULT_FORMAT": "json",
}

CELERY_BROKER_URL = environment.address("CELERY_BROKER_URL", "filesystem://", schemes=["filesystem", "redis", "rediss"])
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
# A page waits while its notice is sent: not for long where the broker is away, since the job is a row already.
CELERY_BROKER_CONNECTION_TIMEOUT = 2
CELERY_BROKER_TRANSPORT_OPTIONS = data_folder.broker_options(DATA_DIR, CELERY_BROKER_URL)
# What came of a job is in its row.
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_DEFAULT_QUEUE = "stowright"
# A notice taken ahead would lie with a worker that is busy while another one is idle.
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
# The worker logs as LOGGING below says, like the web server.
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_WORKER_SEND_TASK_EVENTS = False
CELERY_ENABLE_UTC = True
CELERY_TIMEZONE = "UTC"

JOB_LEASE_SECONDS = environment.whole("STOWRIGHT_JOB_LEASE_SECONDS", 60, least=3, most=3600)
WORKER_JOBS = environment.whole("STOWRIGHT_WORKER_JOBS", 30, least=1, most=1_000_000)
JOB_RECOVERY_SECONDS = environment.whole("STOWRIGHT_JOB_RECOVERY_SECONDS", 15, least=1, most=600)

LOG_LEVEL = environment.text("STOWRIGHT_LOG_LEVEL", "WARNING").upper()
# What these warn of is an everyday thing: a form sent back to be mended, a request that waits its turn.
QUIETER = "ERROR" if LOG_LEVEL == "WARNING" else LOG_LEVEL
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": LOG_LEVEL},
    "loggers": {name: {"level": QUIETER} for name in ("django.request", "waitress.queue", "kombu.connection")},
}

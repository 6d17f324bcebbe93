"""Logging in, slowed: so many tries of one name from one address, then a wait that is told in minutes.

Tries are counted before the password is looked at, so that many at once gain nothing. Another name from the same
address, and the same name from another one, have tries of their own: a bad name locks nobody else out.
"""

from __future__ import annotations

import hashlib
import math
import time
import unicodedata
from typing import Any

from django.contrib.admin.forms import AdminAuthenticationForm
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.core.cache import caches
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.http import HttpResponse
from django.utils.translation import gettext, ngettext

from shop.models import User

TRIES = 6
WAIT_S = 10 * 60
SLOWED = "slowed"


def seconds_to_wait(name: str, address: str) -> float:
    """Count a try of this name from this address: 0 where it may be made, else for how long none may."""
    kept, key = caches["log-in"], _key(name, address)
    now = time.time()
    kept.add(f"{key}-since", now, WAIT_S)
    kept.add(f"{key}-tries", 0, WAIT_S)
    try:
        tries = kept.incr(f"{key}-tries")
    except ValueError:  # run out between these two lines
        return 0
    if tries <= TRIES:
        return 0
    return max(float(kept.get(f"{key}-since", now)) + WAIT_S - now, 1)


def forget_tries(name: str, address: str) -> None:
    """Give all tries back, after a log-in."""
    key = _key(name, address)
    caches["log-in"].delete_many([f"{key}-since", f"{key}-tries"])


def _key(name: str, address: str) -> str:
    same = unicodedata.normalize("NFKC", name).strip().casefold()
    return hashlib.sha256(f"{address}\n{same}".encode()).hexdigest()


class ThrottledLoginForm(AuthenticationForm):
    """A name and a password, looked at only while tries are left."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = gettext("Name to log in with")

    def clean(self) -> dict[str, Any]:
        name, password = (self.cleaned_data.get(field) for field in ("username", "password"))
        if not name or not password:
            return super().clean()
        address = str(self.request.META.get("REMOTE_ADDR", "")) if self.request else ""
        seconds = seconds_to_wait(name, address)
        if seconds:
            raise ValidationError(_too_often(math.ceil(seconds / 60)), code=SLOWED)
        cleaned = super().clean()
        forget_tries(name, address)
        return cleaned


class ThrottledAdminLoginForm(ThrottledLoginForm, AdminAuthenticationForm):
    """The same for Django's admin."""


class ThrottledLoginView(LoginView):
    """The shop's own log-in."""

    template_name = "screens/log_in.html"
    authentication_form = ThrottledLoginForm

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return {**super().get_context_data(**kwargs), "nobody": not User.objects.exists()}

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        response = super().form_invalid(form)
        if form.has_error(NON_FIELD_ERRORS, SLOWED):
            response.status_code = 429
        return response


def _too_often(minutes: int) -> str:
    return ngettext(
        "Too many tries to log in with this name: wait %(minutes)d minute, then try again. Others are not held up.",
        "Too many tries to log in with this name: wait %(minutes)d minutes, then try again. Others are not held up.",
        minutes,
    ) % {"minutes": minutes}

"""Logging in, slowed: so many tries of one name from one address, and of any names, then a wait told in minutes.

Tries are counted before the password is looked at, so that many at once gain nothing, and in the database, so that all
processes count together and a restart forgets nothing. The same name from another address has tries of its own: a bad
name locks nobody else out.
"""

from __future__ import annotations

import hashlib
import ipaddress
import math
import unicodedata
from datetime import datetime, timedelta
from typing import Any

from django.contrib.admin.forms import AdminAuthenticationForm
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, transaction
from django.db.models import F, Q
from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext, ngettext

from shop.models import LoginTries, User

TRIES = 6
"""Of one name from one address."""
TRIES_OF_AN_ADDRESS = 20
"""Of whatever names: a workshop's people who all mistype theirs get in, a list of names does not."""
WAIT_S = 10 * 60
SLOWED = "slowed"


def seconds_to_wait(name: str, address: str) -> float:
    """Count a try of this name from this address: 0 where it may be made, else for how long none may."""
    return max(_count(_key(address), TRIES_OF_AN_ADDRESS), _count(_key(address, name), TRIES))


def forget_tries(name: str, address: str) -> None:
    """Give a name's tries back after a log-in, and the address the one that was right."""
    LoginTries.objects.filter(key=_key(address, name)).delete()
    # One try is given back, not all: the others from this address may be somebody's who guesses names.
    LoginTries.objects.filter(key=_key(address), tries__gt=0).update(tries=F("tries") - 1)


def _count(key: str, allowed: int) -> float:
    """Count a try; for how many seconds no more are allowed."""
    now = timezone.now()
    lately = Q(since__gt=now - timedelta(seconds=WAIT_S), since__lte=now)  # a clock set back does not lock anyone out
    rows = LoginTries.objects.filter(key=key)
    # The database adds, in one statement: of tries at the same moment each one counts.
    if not rows.filter(lately).update(tries=F("tries") + 1) and not rows.filter(~lately).update(tries=1, since=now):
        _begin(key, now)
    row = rows.first()
    if row is None or row.tries <= allowed:
        return 0
    # A second at least, since 0 would mean that the try may be made.
    return max((row.since - now).total_seconds() + WAIT_S, 1)


def _begin(key: str, now: datetime) -> None:
    # Whoever tries names at will makes rows: what counts no more goes whenever one is added, and the table stays small.
    LoginTries.objects.filter(since__lt=now - timedelta(seconds=WAIT_S)).delete()
    try:
        with transaction.atomic():
            LoginTries.objects.create(key=key, since=now)
    except IntegrityError:  # someone else began this very moment
        LoginTries.objects.filter(key=key).update(tries=F("tries") + 1)


def _key(address: str, name: str = "") -> str:
    # Spellings that look alike count as one name: else each variant would have tries of its own.
    same = unicodedata.normalize("NFKC", name).strip().casefold()
    return hashlib.sha256(f"{_network(address)}\n{same}".encode(errors="replace")).hexdigest()


def _network(address: str) -> str:
    """The address, or of an IPv6 one the part that a house is given: it has the rest to choose from."""
    try:
        parsed = ipaddress.ip_address(address)
    except ValueError:
        return address
    return str(ipaddress.ip_network((parsed, 64), strict=False)) if parsed.version == 6 else str(parsed)


class ThrottledLoginForm(AuthenticationForm):
    """A name and a password, looked at only while tries are left."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = gettext("Name to log in with")

    def clean(self) -> dict[str, object]:
        name, password = (self.cleaned_data.get(field) for field in ("username", "password"))
        # Without both there is nothing to try: that counts as no try.
        if not name or not password:
            return super().clean()
        address = str(self.request.META.get("REMOTE_ADDR", "")) if self.request else ""
        seconds = seconds_to_wait(name, address)
        if seconds:
            raise ValidationError(_too_often(math.ceil(seconds / 60)), code=SLOWED)
        cleaned = super().clean()
        # Reached with the right password alone: with a wrong one the line above raises.
        forget_tries(name, address)
        return cleaned


class ThrottledAdminLoginForm(ThrottledLoginForm, AdminAuthenticationForm):
    """The same for Django's admin, which is the owner's."""

    def confirm_login_allowed(self, user: Any) -> None:
        AuthenticationForm.confirm_login_allowed(self, user)
        if not isinstance(user, User) or user.owned_shop_id is None:
            raise ValidationError(self.error_messages["invalid_login"], code="invalid_login", params={"username": ""})


class ThrottledLoginView(LoginView):
    """The shop's own log-in."""

    template_name = "screens/log_in.html"
    authentication_form = ThrottledLoginForm

    def get_context_data(self, **kwargs: Any) -> dict[str, object]:
        return {**super().get_context_data(**kwargs), "nobody": not User.objects.exists()}

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        response = super().form_invalid(form)
        if form.has_error(NON_FIELD_ERRORS, SLOWED):
            response.status_code = 429
        return response


def _too_often(minutes: int) -> str:
    return ngettext(
        "Too many tries to log in from here: wait %(minutes)d minute, then try again. Others are not held up.",
        "Too many tries to log in from here: wait %(minutes)d minutes, then try again. Others are not held up.",
        minutes,
    ) % {"minutes": minutes}

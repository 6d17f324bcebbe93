"""System checks of the settings: combinations that would lose work or let strangers in."""

import stat
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register

LOOPBACK = ("127.0.0.1", "localhost", "::1")
"""Addresses that only this machine can reach; anything else is reached by others too."""


@register(Tags.security)
def secret_key_is_secret(**kwargs: Any) -> list[CheckMessage]:
    """The file of the secret key must be readable by its owner alone."""
    path = settings.DATA_DIR / "secret_key"
    if not path.exists() or not stat.S_IMODE(path.stat().st_mode) & 0o077:
        return []
    return [
        Error(
            f"{path} can be read by others; whoever reads it can log in as anyone.",
            hint="chmod 600 it; if others may have read it, delete it: a new one is made and everyone logs in again.",
            id="stowright.E001",
        )
    ]


@register
def lease_outlasts_recovery(**kwargs: Any) -> list[CheckMessage]:
    """A lease is renewed three times over its length; a very short one is lost whenever the machine is busy."""
    if settings.JOB_LEASE_SECONDS >= 15:
        return []
    return [
        Warning(
            f"A job's lease is only {settings.JOB_LEASE_SECONDS} s long: a busy machine may do a job twice.",
            hint="Leave STOWRIGHT_JOB_LEASE_SECONDS unset (60) unless you are trying something out.",
            id="stowright.W001",
        )
    ]


@register(Tags.security)
def debug_stays_at_home(**kwargs: Any) -> list[CheckMessage]:
    """Debug pages show settings and rows to whoever meets an error."""
    if not (settings.DEBUG and settings.OTHER_HOSTS):
        return []
    return [
        Error(
            "STOWRIGHT_DEBUG is on while STOWRIGHT_HOSTS opens the shop to other machines.",
            hint="Unset one of the two.",
            id="stowright.E002",
        )
    ]


@register(Tags.security)
def debug_listens_at_home(**kwargs: Any) -> list[CheckMessage]:
    """Debug pages on an address that other machines reach."""
    if not settings.DEBUG or settings.HOST in LOOPBACK:
        return []
    return [
        Warning(
            f"STOWRIGHT_DEBUG is on while STOWRIGHT_HOST ({settings.HOST}) listens to other machines.",
            hint="Unset one of the two: whoever meets an error there sees settings and rows.",
            id="stowright.W003",
        )
    ]


@register(Tags.security)
def data_folder_is_private(**kwargs: Any) -> list[CheckMessage]:
    """Whoever can read the data folder can read customers, prices and the secret key."""
    if not stat.S_IMODE(settings.DATA_DIR.stat().st_mode) & 0o077:
        return []
    return [
        Error(
            f"The data folder {settings.DATA_DIR} can be read by others on this machine.",
            hint="chmod 700 it, or name a folder of its own in STOWRIGHT_DATA.",
            id="stowright.E003",
        )
    ]


@register(Tags.security)
def passwords_travel_covered(**kwargs: Any) -> list[CheckMessage]:
    """Without HTTPS a password can be read on its way."""
    if settings.HTTPS or not settings.OTHER_HOSTS:
        return []
    return [
        Warning(
            "STOWRIGHT_HOSTS opens the shop to other machines without HTTPS: passwords can be read on the way.",
            hint="Put a web server with a certificate in front and set STOWRIGHT_HTTPS=1, or trust the network.",
            id="stowright.W002",
        )
    ]

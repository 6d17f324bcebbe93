"""What every screen shares: who reads it, in which units and time zone, and which room of the shop it is."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django import shortcuts
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from shop.access.permissions import Permissions
from shop.formatting import Units, Wording
from shop.forms import units_of
from shop.models import Role, Shop, User


def render(
    request: HttpRequest, template: str, shop: Shop, may: Permissions, *, status: int = 200, **context: Any
) -> HttpResponse:
    """Render a screen of the shop, or a part of one, for a member.

    Every screen gets `shop`, `may` (what the reader may do), `role` and `wording` (the reader's units); times are
    shown in the shop's zone.
    """
    shared = {"shop": shop, "may": may, "role": Role(may.role).label, "wording": wording_of(request, shop)}
    with timezone.override(ZoneInfo(shop.timezone)):
        return shortcuts.render(request, template, {**shared, **context}, status=status)


def wording_of(request: HttpRequest, shop: Shop) -> Wording:
    """How measures are written for whoever is logged in."""
    return Wording(Units(*units_of(request.user, shop)))


def person(request: HttpRequest) -> User:
    """Who is logged in."""
    if not isinstance(request.user, User):
        raise Http404
    return request.user

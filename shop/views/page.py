"""Common parts of every screen: who reads it, in which units and time zone, and which room of the shop it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from http import HTTPMethod
from typing import Any
from zoneinfo import ZoneInfo

from django import shortcuts
from django.contrib import messages
from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone

from shop.access.permissions import Permissions, queryset_for
from shop.formatting import Units, Wording
from shop.forms import units_of
from shop.models import Order, Role, Shop, User
from shop.services.errors import DomainError

View = Callable[..., HttpResponse]
Context = dict[str, Any]
"""The values that a template is given, by name."""
PAGES: dict[str, tuple[str, tuple[str, ...]]] = {
    "orders": ("order", ("number",)),
    "quotes": ("quote", ("number",)),
    "rack": ("piece", ("pk",)),
    "settings": ("settings", ()),
}
"""By the first part of an address the page that it belongs to, and what that is found by."""


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


def tells_refusals(place: str = "") -> Callable[[View], View]:
    """Decorate a view so that what a service refuses is told on the page that the address belongs to.

    `place` is where on an order's page one was.
    """

    def decorate(view: View) -> View:
        @wraps(view)
        def told(request: HttpRequest, *args: Any, **asked: Any) -> HttpResponse:
            try:
                return view(request, *args, **asked)
            except DomainError as refusal:
                messages.error(request, str(refusal))
                back = page_of(request)
                return redirect("orders") if back is None else redirect(f"{back}#{place}" if place else back)

        return told

    return decorate


def page_of(request: HttpRequest) -> str | None:
    """The address of the page that a request's address belongs to; None where it belongs to none."""
    match = request.resolver_match
    if match is None:
        return None
    if (own := _parcels_own(request, **match.kwargs)) is not None:
        return own
    page, names = PAGES.get(match.route.partition("/")[0], ("", ()))
    kept = {name: match.kwargs[name] for name in names if name in match.kwargs}
    return reverse(page, kwargs=kept) if page and len(kept) == len(names) else None


def _parcels_own(request: HttpRequest, number: int = 0, parcel: int = 0, **_more: Any) -> str | None:
    """The page of one of several parcels; None where the address names none, or none that is still there."""
    if not parcel:
        return None
    orders, _may = queryset_for(request.user, Order)
    order = orders.filter(number=number).first()
    numbers = [] if order is None else [one.number for one in order.parcels.all()]
    return reverse("parcel", args=[number, parcel]) if len(numbers) > 1 and parcel in numbers else None


@contextmanager
def told_in(form: BaseForm) -> Iterator[None]:
    """Tell what a service refuses in the form that asked for it, beside the fields at fault or above them all."""
    try:
        yield
    except DomainError as refusal:
        for field, sentence in (refusal.fields or {"": str(refusal)}).items():
            form.add_error(field if field in form.fields else None, sentence)


def is_post(request: HttpRequest) -> bool:
    """Tell whether something was sent, to be done."""
    return request.method == HTTPMethod.POST


def wording_of(request: HttpRequest, shop: Shop) -> Wording:
    """The wording of measures for whoever is logged in."""
    return Wording(Units(*units_of(request.user, shop)))


def person(request: HttpRequest) -> User:
    """The person who is logged in."""
    if not isinstance(request.user, User):
        raise Http404
    return request.user

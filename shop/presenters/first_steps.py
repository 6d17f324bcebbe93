"""The way of a new shop from its steel to the first planned order, in the order of the work."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from shop.models import BoxPlan, Lot, Order, Pattern, Piece, Product, Series, Shop


@dataclass(frozen=True)
class FirstStep:
    """One step: what to do and why, where, and whether it is done or the next one."""

    text: str | Promise
    why: str | Promise
    url: str
    done: bool
    is_next: bool


def _new(kind: str) -> Callable[[], str]:
    return lambda: reverse("new-record", args=[kind])


# Whether a box was planned is asked before all of these: a shop that has planned one needs no steps.
WAY: tuple[tuple[str | Promise, str | Promise, Callable[[], str], Callable[[Shop], bool]], ...] = (
    (
        gettext_lazy("Enter a lot of steel"),
        gettext_lazy("Where it came from and how much there is."),
        _new("lots"),
        lambda shop: Lot.objects.filter(shop=shop).exists(),
    ),
    (
        gettext_lazy("Open a series"),
        gettext_lazy("What is made from that lot, under one name."),
        _new("series"),
        lambda shop: Series.objects.filter(shop=shop).exists(),
    ),
    (
        gettext_lazy("Describe a pattern"),
        gettext_lazy("A hammer or an axe, and what of it is sharp."),
        _new("patterns"),
        lambda shop: Pattern.objects.filter(shop=shop).exists(),
    ),
    (
        gettext_lazy("Enter a product"),
        gettext_lazy("The pattern in one head weight; its pieces are numbered from 1."),
        _new("products"),
        lambda shop: Product.objects.filter(shop=shop).exists(),
    ),
    (
        gettext_lazy("Measure a piece"),
        gettext_lazy("Its number as stamped, seven measures and its weight: the box is planned by them."),
        lambda: reverse("new-piece"),
        lambda shop: Piece.objects.filter(shop=shop).measured().exists(),
    ),
    (
        gettext_lazy("Take an order"),
        gettext_lazy("For whom, and what."),
        lambda: reverse("new-order"),
        lambda shop: Order.objects.filter(shop=shop).exists(),
    ),
    (
        gettext_lazy("Plan its box"),
        gettext_lazy("On the order’s page, once its pieces are taken from the rack."),
        lambda: reverse("orders"),
        lambda _shop: False,
    ),
)


def first_steps(shop: Shop) -> list[FirstStep]:
    """List the steps of a shop that has not planned a box yet; nothing of one that has.

    Parameters
    ----------
    shop
        The shop.

    Returns
    -------
    list of FirstStep
        In the order of the work; the first that is not done is the next one.
    """
    if BoxPlan.objects.filter(shop=shop).exists():
        return []
    done = [is_done(shop) for _text, _why, _url, is_done in WAY]
    following = done.index(False)
    return [
        FirstStep(text, why, url(), done[place], place == following)
        for place, (text, why, url, _is_done) in enumerate(WAY)
    ]

"""Prices and times that are not known, each with the place where the shop writes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from shop.adapter import UnpricedPlan, kinds, work_called
from shop.formatting import Units, Wording

ROWS = {
    kinds.PriceKind.BOARD: "admin:shop_boardrow_changelist",
    kinds.PriceKind.WOOD: "admin:shop_woodrow_changelist",
    kinds.PriceKind.CARTON: "admin:shop_carton_changelist",
    kinds.PriceKind.WORK: "admin:shop_labourtime_changelist",
}
"""Lists of records, searched for the row by its name."""
SETTINGS = {
    kinds.PriceKind.HOUR: "hour_price",
    kinds.PriceKind.FASTENER: "fastener_price",
    kinds.PriceKind.FOAM: "foam_price_m3",
    kinds.PriceKind.BILLED_WEIGHT: "billed_price",
}
"""Fields of the settings."""


@dataclass(frozen=True)
class Unpriced:
    """A price or a time that is not known: a sentence, and where it is written; "" where nowhere."""

    sentence: str
    url: str


def work_name(what: str) -> str:
    """A kind of work as people say it."""
    return Wording(Units()).message(work_called(what))


def unpriced(rows: Sequence[UnpricedPlan]) -> list[Unpriced]:
    """List what is not known of a box's cost, each once."""
    return [Unpriced(_sentence(row), _url(row)) for row in dict.fromkeys(rows)]


def _sentence(row: UnpricedPlan) -> str:
    if row.kind is kinds.PriceKind.WORK:
        return _("The time for %(what)s is not known.") % {"what": work_name(row.name)}
    if row.kind is kinds.PriceKind.BILLED_WEIGHT:
        return _("What billed weight is worth to the shop is not known: boxes are chosen by the bill alone.")
    called = {
        kinds.PriceKind.HOUR: _("an hour of work"),
        kinds.PriceKind.FASTENER: _("a screw or nail"),
        kinds.PriceKind.CARTON: _("the carton %(name)s") % {"name": row.name},
    }
    return _("The price of %(name)s is not known.") % {"name": called.get(row.kind, row.name)}


def _url(row: UnpricedPlan) -> str:
    if row.kind in ROWS:
        return f"{reverse(ROWS[row.kind])}?{urlencode({'q': row.name})}"
    return f"{reverse('settings')}#id_{SETTINGS[row.kind]}" if row.kind in SETTINGS else ""

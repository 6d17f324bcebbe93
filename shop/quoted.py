"""A quote on screens and papers: box, weight, and for each service what is billed and what it costs, as ranges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import prod

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from shop import adapter
from shop.formatting import Wording, in_g, in_mm
from shop.marks import Mark, Marked, least_sure_first, marks_of
from shop.money import Money

GROUNDS = {
    adapter.Ground.CHOSEN: lambda: _("pieces that are chosen, and blocks"),
    adapter.Ground.RACK: lambda: _("the lightest and heaviest, smallest and largest pieces on the rack"),
    adapter.Ground.TARGET: lambda: _("the targets of products, less and more by the scatter"),
    adapter.Ground.MADE_BEFORE: lambda: _("the middle of the pieces made before, less and more by the scatter"),
}


@dataclass(frozen=True)
class QuotedParcel:
    """One parcel as it is told: what is in it, its box, its weight."""

    names: str
    style: str
    outer: SafeString
    gross: str
    tolerance: str


@dataclass(frozen=True)
class QuotedService:
    """One service as it is told: what is billed by its rule, and what that costs by its price table.

    Parameters
    ----------
    name, taken
        Its carrier and its own; whether it takes every parcel.
    billed, price
        Ranges in words; "" where not taken, or where the price is not known.
    told, price_told
        Sentences on limits and surcharges; on prices that are missing.
    marks, price_marks
        Where rule and prices were read, the least sure first.
    rule_day, price_day
        From which day they hold and of which year they are; "" where there are none.
    """

    name: str
    taken: bool
    billed: str = ""
    price: str = ""
    told: tuple[str, ...] = ()
    price_told: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    price_marks: tuple[Mark, ...] = ()
    rule_day: str = ""
    price_day: str = ""


@dataclass(frozen=True)
class QuotePresenter:
    """A quote for one reader."""

    parcels: tuple[QuotedParcel, ...]
    services: tuple[QuotedService, ...]
    grounds: tuple[str, ...]
    scatter: str
    firm: bool
    day: str


def shown_quote(content: adapter.QuoteContent, wording: Wording) -> QuotePresenter:
    """Show a quote in a reader's units and language."""
    grounds = tuple(GROUNDS[ground]() for ground in content.grounds)
    guessed = {adapter.Ground.TARGET, adapter.Ground.MADE_BEFORE} & set(content.grounds)
    scatter = ""
    if guessed:
        scatter = (
            _("The scatter is that of the shop’s own pieces: two standard deviations each way.")
            if content.own_scatter
            else _("The scatter is common practice, no source: too few pieces are measured to know the shop’s own.")
        )
    return QuotePresenter(
        parcels=tuple(_parcel(parcel, content, wording) for parcel in content.parcels),
        services=tuple(_service(one, wording) for one in content.services),
        grounds=grounds,
        scatter=scatter,
        firm=content.firm,
        day=content.day.isoformat(),
    )


def _parcel(parcel: adapter.ParcelAnswer, content: adapter.QuoteContent, wording: Wording) -> QuotedParcel:
    names = [content.names[place] for place in parcel.items]
    counted = ", ".join(f"{names.count(name)} × {name}" for name in dict.fromkeys(names))
    boxes = sorted((end.outer_um for end in (parcel.least, parcel.most)), key=lambda sides: (prod(sides), sides))
    low, high = (wording.size([in_mm(side) for side in sides]) for sides in boxes)
    styles = dict.fromkeys(_style(end.style) for end in (parcel.least, parcel.most))
    weights = sorted({in_g(end.gross_mg) for end in (parcel.least, parcel.most)})
    return QuotedParcel(
        names=counted,
        style=" / ".join(styles),
        outer=low if low == high else format_html(_("{} to {}"), low, high),
        gross=_range([wording.weight(one) for one in weights]),
        tolerance=wording.weight(in_g(max(end.tolerance_mg for end in (parcel.least, parcel.most)))),
    )


def _style(code: str) -> str:
    return capfirst(_(adapter.style_name(code)))


def _service(one: adapter.ServiceQuote, wording: Wording) -> QuotedService:
    name = f"{one.carrier[:1].upper()}{one.carrier[1:]}: {one.service}"
    if one.fault:
        return QuotedService(name, taken=False, told=(one.fault,))
    bills, charges = [*one.least.bills, *one.most.bills], [*one.least.charges, *one.most.charges]
    rules: list[Marked] = [*bills, *(surcharge for each in bills for surcharge in each.surcharges)]
    return QuotedService(
        name=name,
        taken=one.taken,
        billed=_billed(one) if one.taken else "",
        price=_price(one) if one.taken else "",
        told=tuple(dict.fromkeys(_told(one, bills, wording))),
        price_told=tuple(dict.fromkeys(_price_told(charges, wording))) if one.taken else (),
        marks=tuple(least_sure_first(mark for thing in rules for mark in marks_of(thing, wording.message))),
        price_marks=tuple(least_sure_first(mark for thing in charges for mark in marks_of(thing, wording.message))),
        rule_day=_days(bills),
        price_day=_days(charges),
    )


def _told(one: adapter.ServiceQuote, bills: Sequence[adapter.BillPlan], wording: Wording) -> list[str]:
    """Sentences on a service: limits passed where it does not take the parcels, else surcharges and caps."""
    if not one.taken:
        return [wording.message(sentence) for bill in bills for sentence in bill.over]
    return [wording.message(sentence) for bill in bills for sentence in (*bill.flags, *bill.notes)]


def _price_told(charges: Sequence[adapter.ChargePlan], wording: Wording) -> list[str]:
    """Sentences on what has no price."""
    told = [wording.message(charge.missing) for charge in charges if charge.missing is not None]
    unpriced = dict.fromkeys(name for charge in charges for name in charge.unpriced)
    return told + [_("The price of “%(name)s” is not known and not in the sum.") % {"name": name} for name in unpriced]


def _billed(one: adapter.ServiceQuote) -> str:
    ends = sorted({one.least.billed, one.most.billed})
    return f"{_range([f'{end.normalize():f}' for end in ends])}\u00a0{one.unit}"


def _price(one: adapter.ServiceQuote) -> str:
    """The price of sending, a range where it is one; "" where it is not known at both ends."""
    prices = [one.least.price, one.most.price]
    # A price at one end alone is not the range: better none than half of it.
    known: list[Decimal] = sorted({price for price in prices if price is not None})
    if None in prices or not known:
        return ""
    amounts = [Money(price, one.currency).rounded() for price in known]
    return f"{_range([str(amount.amount) for amount in amounts])}\u00a0{one.currency}"


def _range(ends: Sequence[str]) -> str:
    """Both ends of a range, or the one there is; ends that read alike are one."""
    shown = list(dict.fromkeys(ends))
    return shown[0] if len(shown) == 1 else _("%(least)s to %(most)s") % {"least": shown[0], "most": shown[-1]}


def _days(rows: Sequence[adapter.BillPlan] | Sequence[adapter.ChargePlan]) -> str:
    """From which day rules or prices hold, and of which year their figures are."""
    if not rows:
        return ""
    day, as_of = rows[0].valid_from.isoformat(), rows[0].as_of
    if as_of is None:
        return _("from %(day)s, undated") % {"day": day}
    return _("from %(day)s, value of %(year)s") % {"day": day, "year": as_of.year}

"""The choice of a box: by the least bill under one carrier's rule, or by the least volume."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone
from msgspec import structs

from packing.carry import Service, bill, bill_plan, goes, read_service
from packing.measure import BadInput
from packing.plan import ChoicePlan, Plan, kinds
from shop.adapter.billing import RATE_COLUMNS
from shop.adapter.made_from import Stock
from shop.models import RateRule, Shop

ABOUT_A_RULE = frozenset({"source", "sureness", "as_of", "note"})
FIGURES = tuple(name for name in RATE_COLUMNS if name not in ABOUT_A_RULE)
"""A rule that was only read again on another day bills the same: plans made by it stay current."""


def pricing_rule(shop: Shop, on: dt.date | None = None, *, abroad: bool = False) -> RateRule | None:
    """The rule that the shop chooses boxes by: of the service it named, the row in force on a day.

    Parameters
    ----------
    shop
        Its `priced_by` names the service, `priced_abroad_by` the one for boxes that go abroad.
    on
        The day; today in the shop's time zone where left out.
    abroad
        Ask for the second one.

    Returns
    -------
    RateRule or None
        The row named itself where none of its service is in force; None where boxes are chosen by volume.
    """
    named = shop.priced_abroad_by if abroad else shop.priced_by
    if named is None:
        return None
    day = on or timezone.localdate(timezone=ZoneInfo(shop.timezone))
    same = RateRule.objects.filter(shop=shop, carrier=named.carrier, service=named.service)
    # Of rows in force on one day the one that began last is the newest.
    return same.valid_on(day).order_by("-valid_from").first() or named


def pricing_row(shop: Shop, *, abroad: bool = False) -> dict[str, object] | None:
    """The rule that the shop chooses boxes by, as plain JSON; None where boxes are chosen by volume."""
    rule = pricing_rule(shop, abroad=abroad)
    if rule is None:
        return None
    values = {name: getattr(rule, name) for name in RATE_COLUMNS}
    return {name: _json(value) for name, value in values.items() if value is not None}


def on_the_way(stock: Stock, sent_from: str, to: str) -> Stock:
    """The shop's stock and choice of service for a parcel from one country to another.

    Parameters
    ----------
    stock
        As `stock_of` gives it, with the rule that prices a box and the one that prices a box sent abroad.
    sent_from, to
        Two letters each.

    Returns
    -------
    Stock
        With the rule that goes there as `priced_by`; without one where none does.
    """
    # The rule for abroad comes first there; the usual one serves where its service goes there, too.
    rules = [stock.priced_by] if sent_from == to else [stock.priced_abroad_by, stock.priced_by]
    there = (row for row in rules if row is not None and _goes(row, sent_from, to))
    return structs.replace(stock, priced_by=next(there, None), priced_abroad_by=None, abroad=sent_from != to)


def _goes(row: Mapping[str, object], sent_from: str, to: str) -> bool:
    reach, senders, only_to = (str(row.get(name, "")) for name in ("reach", "sent_from", "only_to"))
    return goes(reach, senders, only_to, sent_from, to)


def figures(row: Mapping[str, object]) -> dict[str, object]:
    """The figures of a rule that decide a bill; where it was read does not."""
    return {name: row[name] for name in FIGURES if name in row}


def service_in(stock: Stock) -> Service | None:
    """The service that boxes are chosen by, out of what an order is built of. Raises BadInput on a bad row."""
    if stock.priced_by is None:
        return None
    try:
        return read_service(stock.priced_by)
    except BadInput as fault:
        raise BadInput("priced_by", f"cannot be used: {fault}") from fault


def chosen_for(
    plan: Plan, service: Service | None, objective: kinds.Objective, purposes: tuple[kinds.Purpose, ...]
) -> ChoicePlan:
    """Say what a plan's box was chosen for and is best at, with its bill under a service where one is named."""
    if service is None:
        return ChoicePlan(objective=objective, purposes=purposes)
    box = plan.box
    answer = bill_plan(bill(box.outer_um, plan.weight.gross_mg, service, packaging=box.packaging))
    return ChoicePlan(
        objective=objective,
        purposes=purposes,
        carrier=answer.carrier,
        service=answer.service,
        valid_from=answer.valid_from,
        valid_to=answer.valid_to,
        as_of=answer.as_of,
        billed=answer.billed,
        weight_unit=answer.weight_unit,
        flags=answer.flags,
        over=answer.over,
        surcharges=answer.surcharges,
        notes=answer.notes,
        source=answer.source,
        sureness=answer.sureness,
        note=answer.note,
    )


def _json(value: Any) -> Any:
    if isinstance(value, dt.date):
        return value.isoformat()
    return value if isinstance(value, str | list) else format(value.normalize(), "f")

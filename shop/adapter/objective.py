"""What a box is chosen for: the least bill under one carrier's rule, or the least volume."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone

from packing.carry import Service, bill, bill_content, read_service
from packing.measure import BadInput
from packing.plan import BillPlan, ChoicePlan, Plan, kinds, read_row
from shop.adapter.billing import RATE_COLUMNS
from shop.adapter.made_from import Stock
from shop.models import RateRule, Shop

FIGURES = tuple(name for name in RATE_COLUMNS if name not in ("source", "sureness", "as_of", "note"))


def pricing_rule(shop: Shop, on: dt.date | None = None) -> RateRule | None:
    """The rule that the shop chooses boxes by: of the service it named, the row in force on a day.

    Parameters
    ----------
    shop
        Its `priced_by` names the service.
    on
        The day; today in the shop's time zone where left out.

    Returns
    -------
    RateRule or None
        The row named itself where none of its service is in force; None where boxes are chosen by volume.
    """
    named = shop.priced_by
    if named is None:
        return None
    day = on or timezone.localdate(timezone=ZoneInfo(shop.timezone))
    same = RateRule.objects.filter(shop=shop, carrier=named.carrier, service=named.service)
    return same.valid_on(day).order_by("-valid_from").first() or named


def pricing_row(shop: Shop) -> dict[str, object] | None:
    """The rule that the shop chooses boxes by, as plain JSON; None where boxes are chosen by volume."""
    rule = pricing_rule(shop)
    if rule is None:
        return None
    values = {name: getattr(rule, name) for name in RATE_COLUMNS}
    return {name: _json(value) for name, value in values.items() if value is not None}


def figures(row: Mapping[str, object]) -> dict[str, object]:
    """What of a rule decides a bill; where it was read does not."""
    return {name: row[name] for name in FIGURES if name in row}


def service_in(stock: Stock) -> Service | None:
    """The service that boxes are chosen by, out of what an order is built of. Raises BadInput on a bad row."""
    if stock.priced_by is None:
        return None
    try:
        return read_service(stock.priced_by)
    except BadInput as fault:
        raise BadInput("priced_by", f"cannot be used: {fault}") from fault


def chosen_for(plan: Plan, service: Service | None) -> ChoicePlan:
    """What a plan's box was chosen for: the least interior, or the least bill under a service, with that bill."""
    if service is None:
        return ChoicePlan(objective=kinds.Objective.VOLUME)
    box = plan.box
    answer = read_row(
        bill_content(bill(box.outer_um, plan.weight.gross_mg, service, packaging=box.packaging)), BillPlan
    )
    return ChoicePlan(
        objective=kinds.Objective.PRICE,
        carrier=answer.carrier,
        service=answer.service,
        valid_from=answer.valid_from,
        valid_to=answer.valid_to,
        as_of=answer.as_of,
        billed=answer.billed,
        weight_unit=answer.weight_unit,
        flags=answer.flags,
        over=answer.over,
    )


def _json(value: Any) -> Any:
    if isinstance(value, dt.date):
        return value.isoformat()
    return value if isinstance(value, str | list) else format(value.normalize(), "f")

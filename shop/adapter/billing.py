"""What a planned box is billed for, under the shop's dated rows of carriers' rules."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from packing.carry import SERVICES, Service, bill, bill_content, read_service, service_row
from packing.measure import BadInput
from shop.models import RateRule

CORRUGATED = "corrugated"
Size = tuple[int, int, int]
RATE_COLUMNS = tuple(service_row(SERVICES[0]))


def bills(
    content: Mapping[str, Any],
    rules: Iterable[RateRule],
    on: dt.date,
    *,
    carton: bool = False,
    weighed_g: Decimal | None = None,
) -> list[dict[str, Any]]:
    """What each rule in force on a day bills for a plan's box.

    Parameters
    ----------
    content
        A plan's content, planned.
    rules
        The shop's rows; those not in force on the day are passed over.
    carton
        Take the plan's stock carton instead of its own box.
    weighed_g
        The weigh-in, where there is one; the predicted gross weight otherwise.

    Returns
    -------
    list of dict
        As `packing.carry.bill_content`, each with `rule`, the row's key, and `fault`: "" or the sentence why the row
        cannot be used, in which case nothing stands beside it but carrier and service.
    """
    box = content["carton"] if carton else content["box"]
    predicted = box["gross_g"] if carton else content["weight"]["gross_g"]
    sides = sides_um(box["outer_mm"])
    most = sides_um(box["most_mm"]) if box.get("most_mm") else None
    gross_mg = int(Decimal(str(predicted if weighed_g is None else weighed_g)) * 1000)
    packaging = CORRUGATED if carton else box.get("packaging", CORRUGATED)
    return [_bill(rule, sides, gross_mg, packaging, most) for rule in rules if _in_force(rule, on)]


def check_rate_rule(values: Mapping[str, Any]) -> None:
    """Raise BadInput unless the values can serve as a carrier's rule."""
    read_service(_columns(values))


def published_rules() -> list[dict[str, Any]]:
    """The rules a new shop starts with, as RateRule's fields: dated examples, to be checked and replaced."""
    return [service_row(service) for service in SERVICES]


def _bill(rule: RateRule, outer_um: Size, gross_mg: int, packaging: str, most_um: Size | None = None) -> dict[str, Any]:
    try:
        answer = bill_content(bill(outer_um, gross_mg, _service(rule), packaging=packaging, most_um=most_um))
    except BadInput as fault:
        return {"rule": rule.pk, "fault": str(fault), "carrier": rule.carrier, "service": rule.service}
    return {"rule": rule.pk, "fault": "", **answer}


def _service(rule: RateRule) -> Service:
    return read_service(_columns({name: getattr(rule, name) for name in RATE_COLUMNS}))


def _columns(values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: values[name] for name in RATE_COLUMNS if values.get(name) is not None}


def _in_force(rule: RateRule, on: dt.date) -> bool:
    return rule.valid_from <= on and (rule.valid_to is None or on <= rule.valid_to)


def sides_um(outer_mm: Iterable[float]) -> tuple[int, int, int]:
    """A box's sides in whole micrometres, from a plan's content."""
    length, width, height = (int(Decimal(str(side)) * 1000) for side in outer_mm)
    return length, width, height

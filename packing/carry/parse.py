"""Carriers' rules from rows of plain values, and the other way round."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import fields
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, TypeVar

from packing.carry.kinds import Measure, Reach, Rounding, System, TriggerSides
from packing.carry.model import Row, Service, Trigger
from packing.measure import BadInput
from packing.sureness import Sureness

K = TypeVar("K", bound=StrEnum)

EMPTY = (None, "")
"""Values of a field in which nothing was written."""


COUNTRY_LIST = re.compile(r"[A-Z]{2}(, [A-Z]{2})*")


TRIGGER_FIELDS = tuple(field.name for field in fields(Trigger))


SERVICE_FIELDS = tuple(field.name for field in fields(Service))


def _decimal(value: Any, field: str, *, zero: bool = False) -> Decimal:
    try:
        if isinstance(value, bool) or not isinstance(value, (str, int, Decimal)):
            raise InvalidOperation
        number = Decimal(value)
    except InvalidOperation:
        raise BadInput(field, f"must be a decimal number, as text or whole, not {value!r}.") from None
    if not number.is_finite() or number < 0 or (number == 0 and not zero):
        raise BadInput(field, f"must be {'zero or more' if zero else 'greater than zero'}, not {value}.")
    return number


def _optional(value: Any, field: str) -> Decimal | None:
    return None if value in EMPTY else _decimal(value, field)


def _day(value: Any, field: str) -> dt.date | None:
    if value in EMPTY:
        return None
    if isinstance(value, dt.date):
        return value
    try:
        return dt.date.fromisoformat(value)
    except (TypeError, ValueError):
        raise BadInput(field, f"must be a date such as 2026-07-12, not {value!r}.") from None


def _one_of(value: Any, field: str, kind: type[K], *, empty: bool = False) -> K:
    choices = list(kind)
    if not isinstance(value, str) or value not in choices:
        shown = ", ".join((["nothing"] if empty else []) + [choice.value or "nothing" for choice in choices])
        raise BadInput(field, f"must be one of {shown}, not {value!r}.")
    return kind(value)


def _sureness(value: Any, field: str) -> Sureness | None:
    return None if value in EMPTY else _one_of(value, field, Sureness, empty=True)


def _value(value: Any) -> Any:
    return value.value if isinstance(value, StrEnum) else value


def _text(value: Any, field: str, *, empty: bool = True) -> str:
    if not isinstance(value, str) or not (empty or value.strip()):
        raise BadInput(field, f"must be a text{'' if empty else ' that is not empty'}, not {value!r}.")
    return value


def _refuse_unknown(row: Row, known: tuple[str, ...], field: str) -> None:
    for key in row:
        if key not in known:
            raise BadInput(f"{field}{key}", f"is not known here; known are {', '.join(known)}.")


def _trigger(row: Any, field: str) -> Trigger:
    if not isinstance(row, Mapping):
        raise BadInput(field, f"must be an object with named fields, not {row!r}.")
    _refuse_unknown(row, TRIGGER_FIELDS, f"{field}.")
    if (row.get("measure") == Measure.DIMENSIONAL) != (row.get("maximum_billed") not in EMPTY):
        raise BadInput(f"{field}.maximum_billed", "must be given for the measure dimensional, and for no other.")
    return Trigger(
        name=_text(row.get("name"), f"{field}.name", empty=False),
        measure=_one_of(row.get("measure"), f"{field}.measure", Measure),
        above=_decimal(row.get("above", 0), f"{field}.above", zero=True),
        consequence=_text(row.get("consequence", ""), f"{field}.consequence"),
        minimum_billed=_optional(row.get("minimum_billed"), f"{field}.minimum_billed"),
        overrides=_text(row.get("overrides", ""), f"{field}.overrides"),
        sides=_one_of(row.get("sides", ""), f"{field}.sides", TriggerSides),
        maximum_billed=_optional(row.get("maximum_billed"), f"{field}.maximum_billed"),
        source=_text(row.get("source", ""), f"{field}.source"),
        sureness=_sureness(row.get("sureness"), f"{field}.sureness"),
        as_of=_day(row.get("as_of"), f"{field}.as_of"),
    )


def _countries(value: Any, field: str) -> str:
    text = _text(value, field)
    if text and COUNTRY_LIST.fullmatch(text) is None:
        raise BadInput(field, f"must be countries' two letters such as “US” or “DE, FR”, not {value!r}.")
    return text


def read_service(row: Row) -> Service:
    """A service from a row of plain values.

    Parameters
    ----------
    row
        Named as the fields of `Service`. Numbers as Decimal, whole numbers or text, never binary floats; days as
        dates or ISO text; triggers as a list of objects named as the fields of `Trigger`. What may be left out has
        the value of `Service`.

    Returns
    -------
    Service
        Checked.

    Raises
    ------
    BadInput
        Naming the field, the rule and the value.
    """
    _refuse_unknown(row, SERVICE_FIELDS, "")
    start = _day(row.get("valid_from"), "valid_from")
    if start is None:
        raise BadInput("valid_from", "must be a date, it is missing.")
    end = _day(row.get("valid_to"), "valid_to")
    if end is not None and end < start:
        raise BadInput("valid_to", f"must not be before valid_from ({start}), it is {end}.")
    triggers = row.get("triggers", ())
    if isinstance(triggers, str) or not isinstance(triggers, Iterable):
        raise BadInput("triggers", f"must be a list, not {triggers!r}.")
    return Service(
        carrier=_text(row.get("carrier"), "carrier", empty=False),
        service=_text(row.get("service"), "service", empty=False),
        valid_from=start,
        valid_to=end,
        system=_one_of(row.get("system", System.INCHES_POUNDS), "system", System),
        divisor=_optional(row.get("divisor"), "divisor"),
        side_rounding=_one_of(row.get("side_rounding", Rounding.NEAREST), "side_rounding", Rounding),
        weight_step=_decimal(row.get("weight_step", 1), "weight_step"),
        dim_threshold=_decimal(row.get("dim_threshold", 0), "dim_threshold", zero=True),
        min_billable=_optional(row.get("min_billable"), "min_billable"),
        max_weight=_optional(row.get("max_weight"), "max_weight"),
        max_length=_optional(row.get("max_length"), "max_length"),
        max_length_girth=_optional(row.get("max_length_girth"), "max_length_girth"),
        reach=_one_of(row.get("reach", Reach.ANYWHERE), "reach", Reach),
        sent_from=_countries(row.get("sent_from", ""), "sent_from"),
        only_to=_countries(row.get("only_to", ""), "only_to"),
        triggers=tuple(_trigger(trigger, f"triggers[{index}]") for index, trigger in enumerate(triggers)),
        source=_text(row.get("source", ""), "source"),
        sureness=_one_of(row.get("sureness", Sureness.MEMORY), "sureness", Sureness),
        as_of=_day(row.get("as_of"), "as_of"),
        note=_text(row.get("note", ""), "note"),
    )


def _trigger_row(trigger: Trigger) -> dict[str, str]:
    row = {key: getattr(trigger, key) for key in TRIGGER_FIELDS}
    return {key: str(value) for key, value in row.items() if value not in EMPTY}


def service_row(service: Service) -> Row:
    """Turn a service into a row of plain values; `read_service` gives the service back.

    Parameters
    ----------
    service
        Checked.

    Returns
    -------
    mapping
        Decimals, dates and texts by field; triggers as plain JSON.
    """
    row = {key: _value(getattr(service, key)) for key in SERVICE_FIELDS}
    return row | {"triggers": [_trigger_row(trigger) for trigger in service.triggers]}

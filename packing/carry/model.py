"""One service's size, weight and rounding rules between two dates, as a row that the user can edit."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, TypeVar

from packing.carry.kinds import Measure, Reach, Rounding, System, TriggerSides
from packing.measure import BadInput
from packing.sureness import Sureness

Row = Mapping[str, Any]
"""Plain values by the name of their field."""
K = TypeVar("K", bound=StrEnum)
COUNTRY_LIST = re.compile(r"[A-Z]{2}(, [A-Z]{2})*")


@dataclass(frozen=True, slots=True)
class Trigger:
    """Something that costs extra, is refused, or caps the billed weight.

    Parameters
    ----------
    name
        The carrier's word for it. Triggers of one name are one surcharge, charged once.
    measure
        What the limit is set on; the dimensional weight has `maximum_billed`.
    above
        Strictly greater than this it applies, in the service's units; 0 for packaging.
    consequence
        What follows, in words; amounts change every year and are not kept.
    minimum_billed
        Billed weight is at least this where it applies.
    overrides
        Name of a trigger that is not charged where this one is.
    sides
        How it measures the sides.
    maximum_billed
        Where it applies, dimensional weight counts for no more than this.
    source, sureness, as_of
        Where this figure was read, how sure it is, the day it stood there; "" or None: as the service's.
    """

    name: str
    measure: Measure
    above: Decimal
    consequence: str = ""
    minimum_billed: Decimal | None = None
    overrides: str = ""
    sides: TriggerSides = TriggerSides.AS_SERVICE
    maximum_billed: Decimal | None = None
    source: str = ""
    sureness: Sureness | None = None
    as_of: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Service:
    """One carrier's way of sending, between two dates. Figures are in the service's own units.

    Parameters
    ----------
    carrier, service
        As the carrier calls them.
    valid_from, valid_to
        First and last day, both included; None is open.
    system
        Units of its figures.
    divisor
        Cubic units of the sides for one unit of weight; None: no dimensional weight.
    side_rounding
        To whole units of at least 1, or not at all.
    weight_step
        Actual and dimensional weight go up to a multiple of this.
    dim_threshold
        Dimensional weight counts above this volume, strictly; 0: always.
    min_billable
        Least billed weight.
    max_weight, max_length, max_length_girth
        Limits; exactly the limit is allowed.
    reach
        Where it goes.
    sent_from, only_to
        Countries where it takes parcels in, and to which alone it goes: two letters each, "US" or "DE, FR"; empty: any.
    triggers
        See `Trigger`.
    source, sureness, as_of, note
        Where it was read; how sure that is; the day it stood there; what to look at again.
    """

    carrier: str
    service: str
    valid_from: dt.date
    valid_to: dt.date | None = None
    system: System = System.INCHES_POUNDS
    divisor: Decimal | None = None
    side_rounding: Rounding = Rounding.NEAREST
    weight_step: Decimal = Decimal(1)
    dim_threshold: Decimal = Decimal(0)
    min_billable: Decimal | None = None
    max_weight: Decimal | None = None
    max_length: Decimal | None = None
    max_length_girth: Decimal | None = None
    reach: Reach = Reach.ANYWHERE
    sent_from: str = ""
    only_to: str = ""
    triggers: tuple[Trigger, ...] = ()
    source: str = ""
    sureness: Sureness = Sureness.MEMORY
    as_of: dt.date | None = None
    note: str = ""

    @property
    def units(self) -> tuple[str, str]:
        """Unit of length, unit of weight."""
        length, weight = self.system.split("/")
        return length, weight

    def goes(self, sent_from: str, to: str) -> bool:
        """Whether it takes a parcel from one country, two letters, to one that may be the same."""
        return goes(self.reach, self.sent_from, self.only_to, sent_from, to)

    def valid_on(self, day: dt.date) -> bool:
        """Whether it is in force on a day, first and last day included."""
        return self.valid_from <= day and (self.valid_to is None or day <= self.valid_to)


def goes(reach: str, takes_in: str, only_to: str, sent_from: str, to: str) -> bool:
    """Decide whether a service takes a parcel from one country to another.

    Parameters
    ----------
    reach, takes_in, only_to
        Of the service: its `reach`, `sent_from` and `only_to`.
    sent_from, to
        Countries, two letters each.

    Returns
    -------
    bool
    """
    if (takes_in and sent_from not in takes_in.split(", ")) or (only_to and to not in only_to.split(", ")):
        return False
    return reach == Reach.ANYWHERE or (reach == Reach.HOME) == (sent_from == to)


TRIGGER_FIELDS = tuple(field.name for field in fields(Trigger))
SERVICE_FIELDS = tuple(field.name for field in fields(Service))


def services_on(services: Iterable[Service], day: dt.date) -> list[Service]:
    """Select the services in force on a day.

    Parameters
    ----------
    services
        Rows.
    day
        First and last day of a row are included.

    Returns
    -------
    list of Service
        In the order given.
    """
    return [service for service in services if service.valid_on(day)]


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
    return None if value is None or value == "" else _decimal(value, field)


def _day(value: Any, field: str) -> dt.date | None:
    if value is None or value == "":
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
    return None if value is None or value == "" else _one_of(value, field, Sureness, empty=True)


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
    if (row.get("measure") == Measure.DIMENSIONAL) != (row.get("maximum_billed") not in (None, "")):
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
    return {key: str(value) for key, value in row.items() if value not in (None, "")}


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

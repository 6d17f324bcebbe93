"""One service's size, weight and rounding rules between two dates, as a row that the user can edit."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from packing.carry.kinds import Measure, Reach, Rounding, System, TriggerSides
from packing.sureness import Sureness

Row = Mapping[str, Any]
"""Plain values by the name of their field."""


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
        """Tell whether it takes a parcel from one country, two letters, to one that may be the same."""
        return goes(self.reach, self.sent_from, self.only_to, sent_from, to)

    def valid_on(self, day: dt.date) -> bool:
        """Tell whether it is in force on a day, first and last day included."""
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

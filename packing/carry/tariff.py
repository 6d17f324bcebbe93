"""A service's price table between two dates: prices by billed weight and zone, zones by destination, surcharges."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from packing.carry.billing import Bill
from packing.carry.limits import billed_weight
from packing.plan import ChargePlan, Message, SurchargePricePlan
from packing.sureness import Sureness


@dataclass(frozen=True, slots=True)
class WeightPrice:
    """The price in one zone of a billed weight above one figure, up to and including another, in the service's unit."""

    zone: str
    above: Decimal
    up_to: Decimal
    price: Decimal


@dataclass(frozen=True, slots=True)
class Zone:
    """Destinations of one zone: a country, and in it postcodes from one beginning to another.

    Parameters
    ----------
    zone
        Its name; "" where the service has one price for all destinations.
    country
        Two letters; "" for any.
    first, last
        Beginnings of postcodes, both included and of one length: "100" and "149"; "" for all of the country.
    """

    zone: str
    country: str = ""
    first: str = ""
    last: str = ""

    def is_elsewhere(self, country: str) -> bool:
        """Tell whether it is of another country; one that names none is of all."""
        return bool(self.country) and self.country != country

    def takes(self, country: str, postcode: str) -> bool:
        """Tell whether a destination is in it; a postcode's spaces and hyphens do not count."""
        start = plain_postcode(postcode)[: len(self.first)]
        return not self.is_elsewhere(country) and len(start) == len(self.first) and self.first <= start <= self.last


@dataclass(frozen=True, slots=True)
class SurchargePrice:
    """The price of one surcharge, by the carrier's word for it."""

    name: str
    price: Decimal


@dataclass(frozen=True, slots=True)
class Tariff:
    """One service's price table. Weights are in the service's own unit, money in one currency.

    Parameters
    ----------
    carrier, service
        As the carrier's rule names them.
    valid_from, valid_to
        First and last day, both included; None is open.
    currency
        Three letters.
    prices, zones, surcharges
        Its rows; without zones every destination has the zone "".
    source, sureness, as_of, note
        Where it was read; how sure that is; the day it stood there; what to look at again.
    """

    carrier: str
    service: str
    valid_from: dt.date
    valid_to: dt.date | None
    currency: str
    prices: tuple[WeightPrice, ...]
    zones: tuple[Zone, ...] = ()
    surcharges: tuple[SurchargePrice, ...] = ()
    source: str = ""
    sureness: Sureness = Sureness.MEMORY
    as_of: dt.date | None = None
    note: str = ""

    def zone_of(self, country: str, postcode: str = "") -> str | None:
        """The zone of a destination; None where no row leads there.

        Rows of its country come before those of any, and of these the longest beginning of a postcode decides.
        """
        # A table of one price for all destinations need not name them.
        if not self.zones:
            return ""
        found = [zone for zone in self.zones if zone.takes(country, postcode)]
        return max(found, key=lambda one: (one.country, len(one.first))).zone if found else None

    def price_of(self, zone: str, billed: Fraction) -> Decimal | None:
        """The price of a billed weight in a zone; None where no row has it."""
        rows = (row for row in self.prices if row.zone == zone and Fraction(row.above) < billed <= Fraction(row.up_to))
        return next((row.price for row in rows), None)


def plain_postcode(postcode: str) -> str:
    """A postcode without its spaces and hyphens, in capitals."""
    return postcode.replace(" ", "").replace("-", "").upper()


def charge(answer: Bill, tariff: Tariff, country: str, postcode: str = "") -> ChargePlan:
    """Price a bill by its service's price table.

    Parameters
    ----------
    answer
        The bill of one box.
    tariff
        Of the same service.
    country, postcode
        Where it goes; the postcode may be left out where the country is one zone.

    Returns
    -------
    ChargePlan
        Without `weight_price` where the table has none, and `missing` says why. A surcharge without a price is named
        and counts for nothing in the total.
    """
    zone = tariff.zone_of(country, postcode)
    price = None if zone is None else tariff.price_of(zone, answer.billed)
    # A surcharge's rules and its price are of two files: they meet by the carrier's word for it.
    known = {row.name: row.price for row in tariff.surcharges}
    surcharges = tuple(SurchargePricePlan(flag.name, known.get(flag.name)) for flag in answer.flags)
    total = None if price is None else price + sum((row.price or Decimal(0) for row in surcharges), Decimal(0))
    return ChargePlan(
        currency=tariff.currency,
        zone=zone,
        weight_price=price,
        surcharges=surcharges,
        total=total,
        missing=_missing(answer, tariff, zone, country, postcode) if price is None else None,
        valid_from=tariff.valid_from,
        valid_to=tariff.valid_to,
        as_of=tariff.as_of,
        source=tariff.source,
        sureness=tariff.sureness.value,
        note=tariff.note,
    )


def _missing(answer: Bill, tariff: Tariff, zone: str | None, country: str, postcode: str) -> Message:
    """The reason why the table has no price."""
    named = {"carrier": tariff.carrier, "service": tariff.service}
    if zone is None and not postcode and any(row.first and not row.is_elsewhere(country) for row in tariff.zones):
        return Message("The prices of {carrier} {service} go by postcode: give the customer’s.", **named)
    if zone is None:
        where = f"{country} {postcode}".strip()
        return Message("No zone of {carrier} {service} leads to {where}.", **named, where=where)
    weight = billed_weight(answer.billed, answer.service)
    return Message("The price table of {carrier} {service} has no price for {weight}.", **named, weight=weight)


def tariff_on(tariffs: Iterable[Tariff], carrier: str, service: str, day: dt.date) -> Tariff | None:
    """Find the price table of a service that is in force on a day.

    Parameters
    ----------
    tariffs
        Of one shop, no two of a service on one day.
    carrier, service
        As the carrier's rule names them.
    day
        First and last day of a table are included.

    Returns
    -------
    Tariff or None
        None where there is none.
    """
    named = (one for one in tariffs if (one.carrier, one.service) == (carrier, service))
    return next((one for one in named if _in_force(one, day)), None)


def _in_force(one: Tariff, day: dt.date) -> bool:
    return one.valid_from <= day and (one.valid_to is None or day <= one.valid_to)


def weights_of(prices: Sequence[WeightPrice], zone: str) -> list[WeightPrice]:
    """The price rows of one zone, lightest first."""
    return sorted((row for row in prices if row.zone == zone), key=lambda row: (row.above, row.up_to))

"""Faults of price tables as a whole: gaps and overlaps of weights, zones that match nothing, days twice."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, pairwise

from packing.carry.tariff import Tariff, Zone, weights_of
from packing.plan import Message


def faults_of(tariffs: Sequence[Tariff]) -> list[Message]:
    """List everything that is wrong with price tables.

    Parameters
    ----------
    tariffs
        All the tables of a shop, or of a file.

    Returns
    -------
    list of Message
        A sentence each; empty where every destination of every table has one price for each weight up to its last.
    """
    found = [sentence for one in tariffs for sentence in _faults(one)]
    for one, other in combinations(sorted(tariffs, key=lambda one: (one.carrier, one.service, one.valid_from)), 2):
        same = (one.carrier, one.service) == (other.carrier, other.service)
        if same and (one.valid_to is None or one.valid_to >= other.valid_from):
            named = {"table": _name(one), "first": str(one.valid_from), "second": str(other.valid_from)}
            found.append(Message("{table}: two tables overlap, those from {first} and from {second}.", **named))
    return found


def _faults(one: Tariff) -> Iterator[Message]:
    name = _name(one)
    if one.valid_to is not None and one.valid_to < one.valid_from:
        yield Message("{table}: its last day is before its first.", table=name)
    if not one.prices:
        yield Message("{table}: there is no price.", table=name)
    for zone in dict.fromkeys(row.zone for row in one.prices):
        yield from _weights(one, zone)
    yield from _zones(one)
    names = [row.name for row in one.surcharges]
    for twice in sorted({word for word in names if names.count(word) > 1}):
        yield Message("{table}: the surcharge “{name}” has two prices.", table=name, name=twice)


def _weights(one: Tariff, zone: str) -> Iterator[Message]:
    """Gaps and overlaps of one zone's rows."""
    rows = weights_of(one.prices, zone)
    named = {"table": _name(one), "zone": zone or "–"}
    if rows[0].above > 0:
        yield Message("{table}, zone {zone}: no price up to {first}.", **named, first=str(rows[0].above))
    for row, after in pairwise(rows):
        between = {"low": str(row.up_to), "high": str(after.above)}
        if after.above > row.up_to:
            yield Message("{table}, zone {zone}: a gap, no price above {low} up to {high}.", **named, **between)
        if after.above < row.up_to:
            yield Message("{table}, zone {zone}: two prices above {high} up to {low}.", **named, **between)


def _zones(one: Tariff) -> Iterator[Message]:
    """Zones that lead nowhere, prices of no destination, destinations in two zones."""
    priced, led = {row.zone for row in one.prices}, {row.zone for row in one.zones}
    for zone in sorted(led - priced):
        yield Message("{table}: zone {zone} has destinations and no price.", table=_name(one), zone=zone)
    for zone in sorted(priced - led) if one.zones or priced != {""} else ():
        yield Message("{table}: zone {zone} has prices and no destination.", table=_name(one), zone=zone or "–")
    for row, other in _clashes(one.zones):
        named = {"zone": row.zone, "other": other.zone, "where": f"{row.country} {max(row.first, other.first)}".strip()}
        yield Message("{table}: zones {zone} and {other} both take {where}.", table=_name(one), **named)


def _clashes(zones: Iterable[Zone]) -> Iterator[tuple[Zone, Zone]]:
    """Rows of one country and one length of postcode that take the same destination; of two lengths the longer wins."""
    for row, other in combinations(zones, 2):
        alike = row.country == other.country and len(row.first) == len(other.first)
        if alike and row.zone != other.zone and row.first <= other.last and other.first <= row.last:
            yield row, other


def _name(one: Tariff) -> str:
    return f"{one.carrier} {one.service}"

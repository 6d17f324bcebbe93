"""Splitting what is too heavy for one parcel: as few parcels as their limit allows, of like weights, sets together.

Putting weights into the fewest parcels is bin packing. The number of parcels is tried upwards from the weights' sum
over the limit; for each the heaviest thing goes into the lightest parcel (Graham's longest processing time rule), and
where that passes the limit, a bounded depth-first search looks for any way that does not. A heuristic: within its bound
a way may be missed, and one parcel more is used.

References
----------
R. L. Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on Applied Mathematics 17 (1969),
doi:10.1137/0117039.
"""

from collections.abc import Sequence

from packing.measure import BadInput

NODES = 20_000
"""Steps of the depth-first search for one number of parcels: about a hundredth of a second."""
Parcel = tuple[int, ...]


def split_by_weight(
    weights_mg: Sequence[int], limit_mg: int, *, together: Sequence[Sequence[int]] = ()
) -> tuple[Parcel, ...]:
    """Split things into parcels by weight.

    Parameters
    ----------
    weights_mg
        Of each thing, greater than 0.
    limit_mg
        No parcel's things weigh more together.
    together
        Places of things that are to stay in one parcel, such as those of a set; no place twice. They are parted where
        they are too heavy together, or where parting them saves a parcel.

    Returns
    -------
    tuple of tuple of int
        The places of each parcel's things, in rising order; the heaviest parcel first.

    Raises
    ------
    BadInput
        One thing alone is heavier than the limit.
    """
    heaviest = max(range(len(weights_mg)), key=lambda place: weights_mg[place])
    if weights_mg[heaviest] > limit_mg:
        raise BadInput(
            f"weights[{heaviest}]", f"must be at most {limit_mg} mg for any parcel, not {weights_mg[heaviest]} mg."
        )
    alone: list[Parcel] = [(place,) for place in range(len(weights_mg))]
    kept = {place for places in together for place in places}
    whole = [*(tuple(places) for places in together), *(one for one in alone if one[0] not in kept)]
    for count in range(fewest(weights_mg, limit_mg), len(weights_mg) + 1):
        for units in (whole, alone):
            found = _into(count, units, weights_mg, limit_mg)
            if found is not None:
                return found
    return tuple(alone)


def fewest(weights_mg: Sequence[int], limit_mg: int) -> int:
    """Bound from below how many parcels weights need.

    Parameters
    ----------
    weights_mg, limit_mg
        As in `split_by_weight`.

    Returns
    -------
    int
        The sum over the limit, rounded up; or the number of things of which no two fit one parcel, where that is more.
    """
    large = sum(1 for weight in weights_mg if 2 * weight > limit_mg)
    return max(-(-sum(weights_mg) // limit_mg), large, 1)


def _into(count: int, units: Sequence[Parcel], weights_mg: Sequence[int], limit_mg: int) -> tuple[Parcel, ...] | None:
    """Units in so many parcels; None where none was found."""
    sums = [sum(weights_mg[place] for place in unit) for unit in units]
    order = sorted(range(len(units)), key=lambda unit: -sums[unit])
    where = _lightest_first(count, order, sums)
    if max(_loads(count, where, sums)) > limit_mg:
        found = _search(count, order, sums, limit_mg)
        if found is None:
            return None
        where = found
    where = _evened(count, where, sums)
    parcels = [
        tuple(sorted(place for unit, number in where.items() if number == parcel for place in units[unit]))
        for parcel in range(count)
    ]
    filled = [parcel for parcel in parcels if parcel]
    return tuple(sorted(filled, key=lambda parcel: (-sum(weights_mg[place] for place in parcel), parcel)))


def _lightest_first(count: int, order: Sequence[int], sums: Sequence[int]) -> dict[int, int]:
    """The heaviest unit first, each into the parcel that is lightest by then."""
    loads, where = [0] * count, {}
    for unit in order:
        parcel = loads.index(min(loads))
        loads[parcel] += sums[unit]
        where[unit] = parcel
    return where


def _search(count: int, order: Sequence[int], sums: Sequence[int], limit_mg: int) -> dict[int, int] | None:
    """Any way within the limit, depth first: units heaviest first, each into the fullest parcel that takes it."""
    loads, where, left = [0] * count, dict[int, int](), NODES

    def place(depth: int) -> bool:
        nonlocal left
        if depth == len(order):
            return True
        unit, tried = order[depth], set[int]()
        for parcel in sorted(range(count), key=lambda one: -loads[one]):
            # Two parcels of one load are the same choice.
            if loads[parcel] + sums[unit] > limit_mg or loads[parcel] in tried:
                continue
            left -= 1
            if left < 0:
                return False
            tried.add(loads[parcel])
            loads[parcel] += sums[unit]
            where[unit] = parcel
            if place(depth + 1):
                return True
            loads[parcel] -= sums[unit]
        return False

    return where if place(0) else None


def _evened(count: int, where: dict[int, int], sums: Sequence[int]) -> dict[int, int]:
    """Like weights: a unit goes from the heaviest parcel to the lightest as long as that brings them nearer."""
    where = dict(where)
    while True:
        loads = _loads(count, where, sums)
        high, low = loads.index(max(loads)), loads.index(min(loads))
        gap = loads[high] - loads[low]
        # Moving a unit changes the gap by twice its weight: anything lighter than the gap helps, half of it most.
        light = [unit for unit, parcel in where.items() if parcel == high and sums[unit] < gap]
        if not light:
            return where
        where[min(light, key=lambda unit: (abs(2 * sums[unit] - gap), unit))] = low


def _loads(count: int, where: dict[int, int], sums: Sequence[int]) -> list[int]:
    loads = [0] * count
    for unit, parcel in where.items():
        loads[parcel] += sums[unit]
    return loads

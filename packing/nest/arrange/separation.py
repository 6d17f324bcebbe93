"""Difference constraints that keep the pieces of a layer apart, and all the places which they leave.

References
----------
T. H. Cormen, C. E. Leiserson, R. L. Rivest, C. Stein, "Introduction to Algorithms", section on difference constraints
and shortest paths (from memory); H. Murata, K. Fujiyoshi, S. Nakatake, Y. Kajitani, "VLSI module placement based on
rectangle-packing by the sequence-pair", IEEE Transactions on Computer-Aided Design 15 (1996), 1518-1524,
doi:10.1109/43.552084 (from memory): packings as longest paths.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.nest.arrange.align import STEP_UM, Room, spans
from packing.nest.result import Placement
from packing.pose import Orientation

Separation = tuple[int, int, int, int, int]
"""Along an axis (0 x, 1 y), a part of the one item ends the gap before a part of the other begins."""


def separations(placements: Sequence[Placement]) -> list[Separation]:
    """Keep each two parts of different items apart: of the ways in which they are, choose the one with most room.

    Parameters
    ----------
    placements
        One layer's items.

    Returns
    -------
    list of (axis, before, its part, after, its part)
        Indexes in `placements` and in the items' parts.
    """
    found: list[Separation] = []
    for after in range(len(placements)):
        for before in range(after):
            for i, a in enumerate(placements[before].footprints):
                for j, b in enumerate(placements[after].footprints):
                    room = (b[0] - a[2], b[1] - a[3], a[0] - b[2], a[1] - b[3])
                    direction = max(range(4), key=room.__getitem__)
                    found.append(
                        (direction, before, i, after, j) if direction < 2 else (direction - 2, after, j, before, i)
                    )
    return found


Differences = list[tuple[int, int, int]]


def differences_of(
    orientations: Sequence[Orientation], kept: Sequence[Separation], axis: int, gap_um: int
) -> Differences:
    """By how much the second item's place is at least greater than the first's."""
    most: dict[tuple[int, int], int] = {}
    for along, before, i, after, j in kept:
        if along == axis:
            end, start = spans(orientations[before], axis)[i][1], spans(orientations[after], axis)[j][0]
            difference = end + gap_um - start
            most[before, after] = max(difference, most.get((before, after), difference))
    return [(before, after, difference) for (before, after), difference in most.items()]


def _longest_paths(places: list[int], differences: Differences, most: Sequence[int]) -> list[int] | None:
    """The least places from `places` up that keep all differences; None where one is beyond its `most`."""
    at = list(places)
    # Bellman and Ford: without a positive cycle the longest path has no more arcs than there are items.
    for _ in range(len(at) + 1):
        moved = False
        for before, after, difference in differences:
            if at[before] + difference > at[after]:
                at[after] = at[before] + difference
                moved = True
        if any(place > end for place, end in zip(at, most, strict=True)):
            return None
        if not moved:
            return at
    return None


@dataclass(frozen=True)
class LeastPlaces:
    """The least places of a layer's items along an axis, from 0.

    Parameters
    ----------
    places
        One for each item.
    beyond
        What each needs from its place on, its reach included.
    low
        What each needs before it.
    differences
        What keeps them apart.
    """

    places: list[int]
    beyond: list[int]
    low: list[int]
    differences: Differences

    @property
    def extent_um(self) -> int:
        """The room they need."""
        return max(place + more for place, more in zip(self.places, self.beyond, strict=True))


def least_places(
    orientations: Sequence[Orientation], kept: Sequence[Separation], axis: int, room: Room, items: Sequence[int]
) -> LeastPlaces | None:
    """The least places along an axis; None where there is no room.

    Parameters
    ----------
    orientations
        How each item lies.
    kept
        What keeps them apart; see `separations`.
    axis
        0 for x, 1 for y.
    room
        The most there is, the gap and the reach of each item.
    items
        The item of each orientation.
    """
    differences = differences_of(orientations, kept, axis, room.gap_um)
    sizes = [orientation.length_um if axis == 0 else orientation.width_um for orientation in orientations]
    low = [room.reach_um[item][axis] for item in items]
    beyond = [size + room.reach_um[item][axis + 2] for item, size in zip(items, sizes, strict=True)]
    found = _longest_paths(low, differences, [room.end(axis) - more for more in beyond])
    return None if found is None else LeastPlaces(found, beyond, low, differences)


def middle_places(found: LeastPlaces) -> list[int]:
    """Places in the middle between the least and the greatest ones within the same extent.

    Returns
    -------
    list of int
        To half a millimetre where there is a choice.

    Notes
    -----
    What holds for two sets of places holds for their mean. Rounded down and then raised as far as need be, no place
    passes that mean.
    """
    back = [(after, before, difference) for before, after, difference in found.differences]
    # The greatest places are the least ones seen from the far end.
    greatest = _longest_paths([more - found.extent_um for more in found.beyond], back, [-place for place in found.low])
    most = [-place for place in greatest or []]
    means = [max(a, (a + b) // 2 // STEP_UM * STEP_UM) for a, b in zip(found.places, most, strict=True)]
    return _longest_paths(means, found.differences, most) or found.places

"""What keeps the pieces of a layer apart, and all the places which that leaves them."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.nest.arrange.align import STEP_UM, Laid, Room, spans
from packing.pose import Stance

Kept = tuple[int, int, int, int, int]
"""Along an axis (0 x, 1 y), a part of the one item ends the gap before a part of the other begins."""


def kept_apart(laid: Sequence[Laid]) -> list[Kept]:
    """What keeps each two parts of different items apart: of the ways in which they are, the one with most room.

    Parameters
    ----------
    laid
        One layer's items.

    Returns
    -------
    list of (axis, before, its part, after, its part)
        Indexes in `laid` and in the items' parts.
    """
    found: list[Kept] = []
    for after in range(len(laid)):
        for before in range(after):
            for i, a in enumerate(laid[before].boxes):
                for j, b in enumerate(laid[after].boxes):
                    room = (b[0] - a[2], b[1] - a[3], a[0] - b[2], a[1] - b[3])
                    way = max(range(4), key=room.__getitem__)
                    found.append((way, before, i, after, j) if way < 2 else (way - 2, after, j, before, i))
    return found


Steps = list[tuple[int, int, int]]


def _steps(stances: Sequence[Stance], kept: Sequence[Kept], axis: int, gap_um: int) -> Steps:
    """By how much the second item's place is at least greater than the first's."""
    most: dict[tuple[int, int], int] = {}
    for along, before, i, after, j in kept:
        if along == axis:
            end, start = spans(stances[before], axis)[i][1], spans(stances[after], axis)[j][0]
            step = end + gap_um - start
            most[before, after] = max(step, most.get((before, after), step))
    return [(before, after, step) for (before, after), step in most.items()]


def _raised(places: list[int], steps: Steps, most: Sequence[int]) -> list[int] | None:
    """The least places from `places` up that keep all steps; None where one is beyond its `most`."""
    at = list(places)
    for _ in range(len(at) + 1):
        moved = False
        for before, after, step in steps:
            if at[before] + step > at[after]:
                at[after] = at[before] + step
                moved = True
        if any(place > end for place, end in zip(at, most, strict=True)):
            return None
        if not moved:
            return at
    return None


@dataclass(frozen=True)
class Least:
    """The least places of a layer's items along an axis, from 0.

    Parameters
    ----------
    places
        One for each item.
    beyond
        What each needs from its place on, its reach included.
    low
        What each needs before it.
    steps
        What keeps them apart.
    """

    places: list[int]
    beyond: list[int]
    low: list[int]
    steps: Steps

    @property
    def extent_um(self) -> int:
        """How much room they need."""
        return max(place + more for place, more in zip(self.places, self.beyond, strict=True))


def least(stances: Sequence[Stance], kept: Sequence[Kept], axis: int, room: Room, items: Sequence[int]) -> Least | None:
    """The least places along an axis; None where there is no room.

    Parameters
    ----------
    stances
        How each item lies.
    kept
        What keeps them apart; see `kept_apart`.
    axis
        0 for x, 1 for y.
    room
        The most there is, the gap and the reach of each item.
    items
        The item of each stance.
    """
    steps = _steps(stances, kept, axis, room.gap_um)
    sizes = [stance.length_um if axis == 0 else stance.width_um for stance in stances]
    low = [room.reach_um[item][axis] for item in items]
    beyond = [size + room.reach_um[item][axis + 2] for item, size in zip(items, sizes, strict=True)]
    found = _raised(low, steps, [room.end(axis) - more for more in beyond])
    return None if found is None else Least(found, beyond, low, steps)


def middle(found: Least) -> list[int]:
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
    back = [(after, before, step) for before, after, step in found.steps]
    greatest = _raised([more - found.extent_um for more in found.beyond], back, [-place for place in found.low])
    most = [-place for place in greatest or []]
    means = [max(a, (a + b) // 2 // STEP_UM * STEP_UM) for a, b in zip(found.places, most, strict=True)]
    return _raised(means, found.steps, most) or found.places

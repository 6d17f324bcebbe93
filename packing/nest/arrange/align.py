"""Tidiness that costs nothing: heads in line where they can be, else each piece in the middle of its free room."""

from collections.abc import Iterator
from dataclasses import dataclass

from packing.nest.result import Placement
from packing.pose import Orientation

STEP_UM = 500
"""Places are kept to half a millimetre where there is a choice: they are marked out with a straightedge."""

NEAR_UM = 3_000
"""A piece in the middle of its room that is all but flush with another is made flush with it."""

ROUNDS = 6
"""Rounds of moving every item of a layer, at most."""


@dataclass(frozen=True)
class Room:
    """The room that a layer may use.

    Parameters
    ----------
    length_um, width_um
        Extent along x and y, from 0, that the layer must keep.
    gap_um
        Least distance between the parts of different items.
    reach_um
        Per item what it needs beyond its own rectangles, towards low x, low y, high x and high y.
    """

    length_um: int
    width_um: int
    gap_um: int
    reach_um: dict[int, tuple[int, int, int, int]]

    def end(self, axis: int) -> int:
        """The far edge along an axis."""
        return self.length_um if axis == 0 else self.width_um


def spans(orientation: Orientation, axis: int) -> list[tuple[int, int]]:
    """Per part: low and high along an axis, from the item's least corner."""
    return [(part.x0, part.x1) if axis == 0 else (part.y0, part.y1) for part in orientation.parts]


def _free_room(placements: list[Placement], index: int, axis: int, room: Room) -> tuple[int, int]:
    """Between which places along an axis an item can be moved without meeting another or leaving the layer."""
    one, gap, cross = placements[index], room.gap_um, 1 - axis
    reach, at = room.reach_um[one.item], one.at(axis)
    size = one.orientation.length_um if axis == 0 else one.orientation.width_um
    low, high = reach[axis], room.end(axis) - size - reach[axis + 2]
    for other in placements:
        for b in () if other is one else other.footprints:
            for a in one.footprints:
                if a[cross] >= b[cross + 2] + gap or b[cross] >= a[cross + 2] + gap:
                    continue
                if b[axis + 2] + gap <= a[axis]:
                    low = max(low, at + b[axis + 2] + gap - a[axis])
                else:
                    high = min(high, at + b[axis] - gap - a[axis + 2])
    return low, high


def _in_line(placements: list[Placement], index: int, axis: int) -> Iterator[int]:
    """Places along an axis at which the item's head begins or ends where another head of its kind of pose does."""
    one = placements[index]
    if len(one.orientation.parts) < 2:
        return
    mine = spans(one.orientation, axis)[0]
    for other in placements:
        if other is one or len(other.orientation.parts) < 2 or other.orientation.pose != one.orientation.pose:
            continue
        yield other.footprints[0][axis] - mine[0]
        yield other.footprints[0][axis + 2] - mine[1]


def _flush(placements: list[Placement], index: int, axis: int) -> Iterator[int]:
    """Places along an axis at which the item's head, or block, begins or ends where that of another does."""
    mine = spans(placements[index].orientation, axis)[0]
    for other in placements:
        if other is not placements[index]:
            head = other.footprints[0]
            yield from (head[end] - own for end in (axis, axis + 2) for own in mine)


def _keeps_extent(placements: list[Placement], room: Room) -> bool:
    reach = [room.reach_um[one.item] for one in placements]
    return (
        min(one.x_um - r[0] for one, r in zip(placements, reach, strict=True)) == 0
        and min(one.y_um - r[1] for one, r in zip(placements, reach, strict=True)) == 0
        and max(one.x_um + one.orientation.length_um + r[2] for one, r in zip(placements, reach, strict=True))
        == room.length_um
        and max(one.y_um + one.orientation.width_um + r[3] for one, r in zip(placements, reach, strict=True))
        == room.width_um
    )


def aligned(placements: list[Placement], room: Room) -> list[Placement]:
    """Move every item within its free room, one after the other, along x and along y.

    Parameters
    ----------
    placements
        One layer's items, no two nearer than the gap.
    room
        Its extent, gap and reaches.

    Returns
    -------
    list of Placement
        Same items in the same order; the extent is kept to the micrometre and no gap is less than asked.

    Notes
    -----
    An item moves to where its head is in line with most other heads that lie as it does; where none can be reached, to
    the middle of its free room, so that the foam is as thick on one side as on the other, or flush with another piece
    near by. What shares free room comes
    to share it evenly: a few rounds are made, until nothing moves.
    """
    current = list(placements)
    # What moves may free or bind its neighbours, so a few rounds are made.
    for _ in range(ROUNDS):
        before = current
        for axis in (0, 1):
            for index in range(len(current)):
                place = _best_place(current, index, axis, room)
                trial = [*current[:index], current[index].moved(axis, place), *current[index + 1 :]]
                if place != current[index].at(axis) and _keeps_extent(trial, room):
                    current = trial
        if current == before:
            break
    return current


def _best_place(placements: list[Placement], index: int, axis: int, room: Room) -> int:
    """The best place of an item along an axis: in line, or in the middle of its free room."""
    low, high = _free_room(placements, index, axis, room)
    if low >= high:
        return placements[index].at(axis)
    lines = [place for place in _in_line(placements, index, axis) if low <= place <= high]
    # To the half millimetre that a bench can mark, and never below what the gap allows.
    middle = max(low, (low + high) // 2 // STEP_UM * STEP_UM)
    if lines:
        # In line with most heads; then nearest to the middle of its room, then lowest, so that the choice is always the
        # same.
        return max(lines, key=lambda place: (lines.count(place), -abs(place - middle), -place))
    near = [
        place for place in _flush(placements, index, axis) if low <= place <= high and abs(place - middle) <= NEAR_UM
    ]
    return min(near, key=lambda place: (abs(place - middle), place), default=middle)

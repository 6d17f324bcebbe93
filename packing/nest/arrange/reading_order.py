"""Reading order: rows from the top of the layer, each from left to right; numbers as people count them."""

import re
from collections.abc import Sequence

from packing.measure import Block, Item
from packing.nest.result import Placement

_STEPS = re.compile(r"([^0-9]*)([0-9]*)")

Number = tuple[bool, tuple[tuple[str, int], ...]]


def number_key(item: Item) -> Number:
    """The key of an item's place in number order: tools first, then the id with its figures read as numbers.

    >>> from packing.measure import read_item
    >>> tin = {"kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120}
    >>> number(read_item({"id": "T-9", **tin})) < number(read_item({"id": "T-10", **tin}))
    True
    """
    return isinstance(item, Block), tuple((text, int(figures or -1)) for text, figures in _STEPS.findall(item.id))


def _overlap(one: tuple[int, int], other: tuple[int, int]) -> tuple[int, int]:
    """The part of the shorter of two spans that the other covers, as overlap and length."""
    covered = max(0, min(one[1], other[1]) - max(one[0], other[0]))
    return covered, min(one[1] - one[0], other[1] - other[0])


def _beside(one: Placement, other: Placement) -> bool:
    """Tell whether two items stand beside each other rather than one above the other."""
    x, y = (
        _overlap(
            (a.x_um, a.x_um + a.orientation.length_um) if axis == 0 else (a.y_um, a.y_um + a.orientation.width_um),
            (b.x_um, b.x_um + b.orientation.length_um) if axis == 0 else (b.y_um, b.y_um + b.orientation.width_um),
        )
        for axis, a, b in ((0, one, other), (1, one, other))
    )
    return 2 * y[0] > y[1] and y[0] * x[1] > x[0] * y[1]


def in_reading_order(placements: Sequence[Placement]) -> list[int]:
    """The places of a layer as they are read, seen from above with high y at the top.

    Parameters
    ----------
    placements
        One layer's items.

    Returns
    -------
    list of int
        Indexes in `placements`. A row is the highest item that is left and all that stand beside it: more than half of
        the lower one's width beside the other, and more so than one above the other.
    """

    def down(index: int) -> tuple[int, int, int]:
        return -placements[index].y_um - placements[index].orientation.width_um, placements[index].x_um, index

    def along(index: int) -> tuple[int, int, int]:
        one = placements[index]
        return 2 * one.x_um + one.orientation.length_um, -2 * one.y_um - one.orientation.width_um, index

    left, found = sorted(range(len(placements)), key=down), []
    while left:
        first = placements[left[0]]
        row = [index for index in left if placements[index] is first or _beside(first, placements[index])]
        found += sorted(row, key=along)
        left = [index for index in left if index not in row]
    return found


def inversions(keys: Sequence[int]) -> int:
    """Count the pairs that stand the wrong way round, the greater key first."""
    return sum(late < early for place, early in enumerate(keys) for late in keys[place + 1 :])

"""The order of cuts from edge to edge that free the parts of a sheet, and what is left over.

A set of rectangles can be cut apart edge to edge if and only if some straight line meets none of them and has parts on
both sides, and the same holds for either side. Whichever such line is taken, the other side stays separable, so none
has to be taken back.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.stock.model import Axis, Cut, Keeping, LaidPart, LaidSheet, Rect, StockSheet, area


class NotSeparable(ValueError):
    """The parts cannot be cut apart edge to edge."""


@dataclass
class _Work:
    """The gains of the cuts of a sheet so far."""

    kerf_um: int
    keeping: Keeping
    cuts: list[Cut]
    parts: list[LaidPart]
    rests: list[Rect]


def cut_apart(stock: StockSheet, parts: Sequence[LaidPart], kerf_um: int, keeping: Keeping) -> LaidSheet:
    """Order the cuts of a sheet; parts are moved to the lower left of what they are cut from.

    Parameters
    ----------
    stock
        The sheet.
    parts
        In their places, at least `kerf_um` apart.
    kerf_um, keeping
        What a cut takes; what is worth keeping.

    Returns
    -------
    LaidSheet
        Trim first, then each cut of what is then in hand.

    Raises
    ------
    NotSeparable
        Some parts cannot be cut apart edge to edge.
    """
    work = _Work(kerf_um, keeping, [], [], [])
    length, width = stock.size_um
    trim = stock.trim_um
    if trim:
        work.cuts += [
            Cut(Axis.ACROSS, trim, 0, width),
            Cut(Axis.ACROSS, length - trim, 0, width),
            Cut(Axis.ALONG, trim, trim, length - trim),
            Cut(Axis.ALONG, width - trim, trim, length - trim),
        ]
    _cut((trim, trim, length - trim, width - trim), list(parts), work)
    rests = sorted((rest for rest in work.rests if keeping.keeps(rest)), key=lambda rest: (-area(rest), rest))
    return LaidSheet(stock, tuple(work.parts), tuple(work.cuts), tuple(rests))


def _cut(region: Rect, parts: list[LaidPart], work: _Work) -> None:
    """Cut a region up, what lies before each cut first."""
    if not parts:
        work.rests.append(region)
        return
    parts = _justified(parts, region)
    x1, y1 = max(one.rect[2] for one in parts), max(one.rect[3] for one in parts)
    beside, over = (x1 + work.kerf_um, region[1], region[2], region[3]), (region[0], y1 + work.kerf_um, *region[2:])
    # A rest at the edge comes off first: the larger one whole.
    edges = [(area(rest), axis, at) for rest, axis, at in ((beside, 0, x1), (over, 1, y1)) if at < region[2 + axis]]
    if edges and (_worth_keeping(region, edges, work) or len(parts) == 1):
        _, axis, at = max(edges)
        _divide(region, parts, axis, at, work)
        return
    # The longest line first: it takes the fewest cuts, and long rips are done while the sheet is whole.
    for axis in sorted((0, 1), key=lambda axis: region[2 + axis] - region[axis]):
        ends = sorted({one.rect[2 + axis] for one in parts})
        for at in ends[:-1]:
            if all(one.rect[2 + axis] <= at or one.rect[axis] >= at + work.kerf_um for one in parts):
                _divide(region, parts, axis, at, work)
                return
        if ends[-1] < region[2 + axis]:
            _divide(region, parts, axis, ends[-1], work)
            return
    if len(parts) == 1:
        work.parts.append(parts[0])
    else:
        raise NotSeparable(f"{len(parts)} parts lie so that no straight line parts them.")


def _worth_keeping(region: Rect, edges: Sequence[tuple[int, int, int]], work: _Work) -> bool:
    for _, axis, at in edges:
        start = at + work.kerf_um
        rest = (start, *region[1:]) if axis == 0 else (region[0], start, *region[2:])
        if start < region[2 + axis] and work.keeping.keeps(rest):
            return True
    return False


def _divide(region: Rect, parts: list[LaidPart], axis: int, at: int, work: _Work) -> None:
    """Cut a region at a line; parts on either side of it are cut on."""
    other = 1 - axis
    work.cuts.append(Cut(Axis.ACROSS if axis == 0 else Axis.ALONG, at, region[other], region[2 + other]))
    low, high = list(region), list(region)
    low[2 + axis], high[axis] = at, min(at + work.kerf_um, region[2 + axis])
    _cut((low[0], low[1], low[2], low[3]), [one for one in parts if one.rect[2 + axis] <= at], work)
    if high[axis] < high[2 + axis]:
        _cut((high[0], high[1], high[2], high[3]), [one for one in parts if one.rect[axis] >= at], work)


def _justified(parts: list[LaidPart], region: Rect) -> list[LaidPart]:
    """The parts together moved into the lower left corner of their region."""
    dx = min(one.rect[0] for one in parts) - region[0]
    dy = min(one.rect[1] for one in parts) - region[1]
    if not dx and not dy:
        return parts
    return [
        replace(one, rect=(one.rect[0] - dx, one.rect[1] - dy, one.rect[2] - dx, one.rect[3] - dy)) for one in parts
    ]


def largest_rests(stock: StockSheet, parts: Sequence[LaidPart], kerf_um: int, keeping: Keeping) -> tuple[Rect, ...]:
    """The rests of a sheet cut freely that are worth keeping: the largest free rectangle, then the next beside it."""
    trim, (length, width) = stock.trim_um, stock.size_um
    room = (trim, trim, length - trim, width - trim)
    taken = [one.rect for one in parts]
    rests: list[Rect] = []
    while True:
        free = [room]
        for x0, y0, x1, y1 in taken:
            hole = (x0 - kerf_um, y0 - kerf_um, x1 + kerf_um, y1 + kerf_um)
            free = [piece for one in free for piece in _around(one, hole)]
            free = [one for one in free if not any(_within(one, other) for other in free if other != one)]
            free = list(dict.fromkeys(free))
        kept = [one for one in free if keeping.keeps(one)]
        if not kept:
            return tuple(rests)
        best = max(kept, key=lambda rest: (area(rest), rest))
        rests.append(best)
        taken.append(best)


def _around(one: Rect, hole: Rect) -> list[Rect]:
    """The largest rectangles within one that do not meet a hole."""
    if hole[0] >= one[2] or hole[2] <= one[0] or hole[1] >= one[3] or hole[3] <= one[1]:
        return [one]
    pieces = [
        (one[0], one[1], hole[0], one[3]),
        (hole[2], one[1], one[2], one[3]),
        (one[0], one[1], one[2], hole[1]),
        (one[0], hole[3], one[2], one[3]),
    ]
    return [piece for piece in pieces if piece[0] < piece[2] and piece[1] < piece[3]]


def _within(one: Rect, other: Rect) -> bool:
    return other[0] <= one[0] and other[1] <= one[1] and other[2] >= one[2] and other[3] >= one[3]

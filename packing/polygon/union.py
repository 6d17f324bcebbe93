"""The common edge of figures that overlap."""

import itertools
from collections.abc import Iterator, Sequence
from functools import lru_cache

from packing.polygon.figure import Point, Polygon, extent, holds, turning

Corner = tuple[float, float]
Loop = tuple[Corner, ...]
"""Corners in turn, in micrometres: counter-clockwise round what figures cover, clockwise round what they leave out."""
_Side = tuple[Corner, Corner]
_NEAR_UM = 0.01
"""Points nearer than this are one: far below a micrometre, far above the rounding of a float at five metres (1e-9)."""


@lru_cache(maxsize=4096)
def union_loops(figures: tuple[Polygon, ...]) -> tuple[Loop, ...]:
    """The edge of several figures taken as one.

    Parameters
    ----------
    figures
        Counter-clockwise, simple, whole micrometres; what only touches along a side is one figure too.

    Returns
    -------
    tuple of Loop
        Corners in the middle of a side left out.

    Notes
    -----
    Each side is cut where sides of other figures meet it; of the pieces those stay that no other figure covers, and of
    two that lie on each other one where they run the same way, none where they run against each other. Cost grows with
    the square of the sides.
    """
    onward: dict[tuple[int, int], list[_Side]] = {}
    for number in range(len(figures)):
        for side in _outer(figures, number):
            onward.setdefault(_key(side[0]), []).append(side)
    return tuple(_chained(onward))


def _key(point: Corner) -> tuple[int, int]:
    return round(point[0] / _NEAR_UM / 10), round(point[1] / _NEAR_UM / 10)


def _outer(figures: Sequence[Polygon], number: int) -> Iterator[_Side]:
    """The pieces of a figure's sides that are on the common edge."""
    own = figures[number]
    bounds = extent(own)
    others = [
        (place, other) for place, other in enumerate(figures) if place != number and _touch(bounds, extent(other))
    ]
    for a, b in zip(own, [*own[1:], own[0]], strict=True):
        shares = sorted({0.0, 1.0, *(share for _, other in others for share in _cuts(a, b, other))})
        for low, high in itertools.pairwise(shares):
            if (high - low) * (abs(b[0] - a[0]) + abs(b[1] - a[1])) < _NEAR_UM:
                continue
            start, middle, end = (_between(a, b, share) for share in (low, (low + high) / 2, high))
            if not any(_covers(other, middle, (a, b), first=place < number) for place, other in others):
                yield start, end


def _touch(first: tuple[int, int, int, int], second: tuple[int, int, int, int]) -> bool:
    return first[0] <= second[2] and second[0] <= first[2] and first[1] <= second[3] and second[1] <= first[3]


def _between(a: Point, b: Point, share: float) -> Corner:
    # The ends exactly: a sum with a product in it may miss them by a rounding.
    if share in (0.0, 1.0):
        x, y = b if share else a
        return float(x), float(y)
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _cuts(a: Point, b: Point, other: Polygon) -> Iterator[float]:
    """The points where the sides of another figure meet a side, as shares of its length."""
    square = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2
    x0, y0, x1, y1 = min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])
    for c, d in zip(other, [*other[1:], other[0]], strict=True):
        if (c[0] < x0 and d[0] < x0) or (c[0] > x1 and d[0] > x1):
            continue
        if (c[1] < y0 and d[1] < y0) or (c[1] > y1 and d[1] > y1):
            continue
        first, second = turning(a, b, c), turning(a, b, d)
        if first == 0 == second:
            for end in (c, d):
                share = ((end[0] - a[0]) * (b[0] - a[0]) + (end[1] - a[1]) * (b[1] - a[1])) / square
                if 0 < share < 1:
                    yield share
        elif min(first, second) <= 0 <= max(first, second):
            third, fourth = turning(c, d, a), turning(c, d, b)
            share = third / (third - fourth) if third != fourth else 0.0
            if 0 < share < 1:
                yield share


def _covers(other: Polygon, middle: Corner, side: tuple[Point, Point], *, first: bool) -> bool:
    """Tell whether a figure takes a piece of another's side off the common edge."""
    (ax, ay), (bx, by) = side
    for c, d in zip(other, [*other[1:], other[0]], strict=True):
        if _on(middle, c, d) and turning(side[0], side[1], c) == 0 == turning(side[0], side[1], d):
            same_way = (bx - ax) * (d[0] - c[0]) + (by - ay) * (d[1] - c[1]) > 0
            # Two that run the same way are one edge, the first's; two that run against each other have no foam between.
            return first if same_way else True
    return holds(other, middle)


def _on(point: Corner, a: Point, b: Point) -> bool:
    (ax, ay), (bx, by), (x, y) = a, b, point
    if (ax < x - _NEAR_UM and bx < x - _NEAR_UM) or (ax > x + _NEAR_UM and bx > x + _NEAR_UM):
        return False
    if (ay < y - _NEAR_UM and by < y - _NEAR_UM) or (ay > y + _NEAR_UM and by > y + _NEAR_UM):
        return False
    return abs(turning(a, b, point)) <= _NEAR_UM * (abs(bx - ax) + abs(by - ay))


def _chained(onward: dict[tuple[int, int], list[_Side]]) -> Iterator[Loop]:
    """Closed figures from pieces of sides."""
    while onward:
        begin = min(onward)
        loop: list[Corner] = []
        at = begin
        while at in onward:
            start, end = onward[at].pop()
            if not onward[at]:
                del onward[at]
            loop.append(start)
            at = _key(end)
            if at == begin:
                break
        straight = _without_middles(loop)
        if len(straight) > 2:
            yield straight


def _without_middles(loop: list[Corner]) -> Loop:
    """Without corners in the middle of a side."""
    following = zip([loop[-1], *loop[:-1]], loop, [*loop[1:], loop[0]], strict=True)
    return tuple(
        here
        for before, here, after in following
        if abs(turning(before, here, after))
        > _NEAR_UM * (abs(after[0] - before[0]) + abs(after[1] - before[1]) + _NEAR_UM)
    )

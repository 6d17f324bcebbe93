"""The common outline of rectangles that overlap."""

from collections.abc import Iterator, Sequence
from itertools import product

from packing.draw.shapes import Point, Rect, Segment, edges, without


def union_outline(rects: Sequence[Rect]) -> list[Segment]:
    """The outline of several rectangles taken as one figure, edges between touching ones left out."""
    lines: list[Segment] = []
    for index, rect in enumerate(rects):
        others = [other for place, other in enumerate(rects) if place != index]
        for (ax, ay), (bx, by) in edges(rect):
            nudge = 1e-4
            if ay == by:
                y = ay - nudge if ay == rect.y0 else ay + nudge
                gaps = [(o.x0, o.x1) for o in others if o.y0 <= y <= o.y1]
                lines += [((low, ay), (high, ay)) for low, high in without((min(ax, bx), max(ax, bx)), gaps)]
            else:
                x = ax - nudge if ax == rect.x0 else ax + nudge
                gaps = [(o.y0, o.y1) for o in others if o.x0 <= x <= o.x1]
                lines += [((ax, low), (ax, high)) for low, high in without((min(ay, by), max(ay, by)), gaps)]
    return lines


def union_loops(rects: Sequence[Rect]) -> list[tuple[Point, ...]]:
    """The outlines of several rectangles taken as one figure, each as its corners in turn.

    Notes
    -----
    Outer outlines run counter-clockwise where y grows upwards, those of holes clockwise.
    """
    xs = sorted({x for rect in rects for x in (rect.x0, rect.x1)})
    ys = sorted({y for rect in rects for y in (rect.y0, rect.y1)})
    filled = {
        (column, row)
        for column, row in product(range(len(xs) - 1), range(len(ys) - 1))
        if any(rect.holds(Rect(xs[column], ys[row], xs[column + 1], ys[row + 1])) for rect in rects)
    }
    onward: dict[Point, list[Point]] = {}
    for column, row in sorted(filled):
        (left, right), (low, high) = xs[column : column + 2], ys[row : row + 2]
        for (dx, dy), start, end in (
            ((0, -1), (left, low), (right, low)),
            ((1, 0), (right, low), (right, high)),
            ((0, 1), (right, high), (left, high)),
            ((-1, 0), (left, high), (left, low)),
        ):
            if (column + dx, row + dy) not in filled:
                onward.setdefault(start, []).append(end)
    return list(_loops(onward))


def _loops(onward: dict[Point, list[Point]]) -> Iterator[tuple[Point, ...]]:
    """Closed figures from steps along the axes, points in the middle of a side left out."""
    while onward:
        start = point = min(onward)
        loop: list[Point] = []
        while not loop or point != start:
            following = onward[point].pop()
            if not onward[point]:
                del onward[point]
            loop.append(point)
            point = following
        around_it = zip([loop[-1], *loop[:-1]], loop, [*loop[1:], loop[0]], strict=True)
        yield tuple(at for (ax, ay), at, (bx, by) in around_it if not (ax == at[0] == bx or ay == at[1] == by))

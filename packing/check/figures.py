"""Holes with straight sides in any direction: areas of unions by a sweep, and how far foam reaches into a tool."""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from math import hypot

from packing.check.plan_reader import PlanItem
from packing.check.rectangles import Rect, uncovered_area
from packing.measure import Tool

Point = tuple[float, float]
Figure = tuple[Point, ...]
ROUNDING_UM2 = 10**6
"""A square millimetre: corners are whole micrometres, so that areas along slanted sides differ by little."""
QUARTERS = {0: (1, 0, 0, 1), 90: (0, -1, 1, 0), 180: (-1, 0, 0, -1), 270: (0, 1, -1, 0)}
"""Rows of the matrix of each quarter turn, counter-clockwise."""


def corners_of(rect: Rect) -> Figure:
    """A rectangle as a figure."""
    return ((rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1))


def _sides(figure: Figure) -> Iterator[tuple[Point, Point]]:
    return zip(figure, (*figure[1:], figure[0]), strict=True)


def figures_area(figures: Iterable[Figure]) -> float:
    """Area of a union of figures, in square micrometres."""
    return _area(tuple(sorted(set(figures))))


@lru_cache(maxsize=4096)
def _area(figures: tuple[Figure, ...]) -> float:
    """In strips between all corners and crossings no two sides cross: each strip's middle line gives its area."""
    sides = [(a, b) if a < b else (b, a) for figure in figures for a, b in _sides(figure)]
    places = {x for side in sides for x, _ in side}
    places |= {x for one, other in combinations(sides, 2) if (x := _crossing_x(one, other)) is not None}
    total = 0.0
    for left, right in pairwise(sorted(places)):
        middle, reached = (left + right) / 2, None
        for low, high in sorted(span for figure in figures for span in _spans(figure, middle)):
            start = low if reached is None else max(low, reached)
            total += max(0.0, high - start) * (right - left)
            reached = high if reached is None else max(high, reached)
    return total


def _crossing_x(one: tuple[Point, Point], other: tuple[Point, Point]) -> float | None:
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    if bx <= cx or dx <= ax or max(ay, by) < min(cy, dy) or max(cy, dy) < min(ay, by):
        return None
    across = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if across == 0:
        return None
    share = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / across
    return ax + share * (bx - ax) if 0 < share < 1 else None


def _spans(figure: Figure, x: float) -> Iterator[tuple[float, float]]:
    """From where to where an upright line lies inside a figure."""
    ys = sorted(ay + (by - ay) * (x - ax) / (bx - ax) for (ax, ay), (bx, by) in _sides(figure) if (ax < x) != (bx < x))
    return zip(ys[::2], ys[1::2], strict=True)


def left_uncovered(rect: Rect, holes: Sequence[Rect], figures: Sequence[Figure]) -> float:
    """Area of a rectangle that neither rectangles nor figures cover; exact where there are no figures."""
    if not figures:
        return uncovered_area(rect, holes)
    cut = [*figures, *(corners_of(hole) for hole in holes)]
    left = figures_area([*cut, corners_of(rect)]) - figures_area(cut)
    return left if left > ROUNDING_UM2 else 0.0


def has_sides_that_cross(figure: Figure) -> bool:
    """Tell whether two sides of a figure cross or touch that are not neighbours."""
    sides = list(_sides(figure))
    for (i, one), (j, other) in combinations(enumerate(sides), 2):
        if j - i not in (1, len(sides) - 1) and _meet(*one, *other):
            return True
    return False


def _left(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    near = all(min(a[k], b[k]) <= max(c[k], d[k]) and min(c[k], d[k]) <= max(a[k], b[k]) for k in (0, 1))
    return near and _left(a, b, c) * _left(a, b, d) <= 0 and _left(c, d, a) * _left(c, d, b) <= 0


def _inside(figure: Figure, point: Point) -> bool:
    return any(low <= point[1] <= high for low, high in _spans(figure, point[0]))


def _to_edge(figure: Figure, point: Point) -> float:
    """Distance from a point to the nearest side of a figure."""
    return min(_to_side(point, a, b) for a, b in _sides(figure))


def _to_side(point: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    share = 0.0 if square == 0 else max(0.0, min(1.0, ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / square))
    return hypot(point[0] - a[0] - share * dx, point[1] - a[1] - share * dy)


@lru_cache(maxsize=4096)
def cut_into_um(part: Figure, holes: tuple[Figure, ...]) -> float:
    """The depth to which foam reaches into a part: at its corners, the middles of its sides, and corners of holes."""
    deepest = 0.0
    points = [point for a, b in _sides(part) for point in (a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))]
    for point in points:
        if not any(_inside(hole, point) for hole in holes):
            deepest = max(deepest, min(_to_edge(hole, point) for hole in holes))
    for hole in holes:
        others = [other for other in holes if other != hole]
        for point in hole:
            # A corner within another hole has no foam behind it.
            covered = any(_inside(other, point) or _to_edge(other, point) < 1 for other in others)
            if not covered and _inside(part, point):
                deepest = max(deepest, _to_edge(part, point))
    return deepest


def placed_outline(tool: Tool, item: PlanItem, part: str) -> Figure:
    """The outline of a tool's part where it lies on its cheek; its rectangle where it has none."""
    known = None if tool.outline is None else {"head": tool.outline.head, "handle": tool.outline.handle}[part]
    rect = item.parts[part].rect
    if known is None or item.pose != "flat":
        return corners_of(rect)
    # Any corner tells where the tool's frame lies: the head's rectangle is turned and mirrored with its outline.
    turn, length = item.content.get("turn"), tool.head_length_um
    a, b, c, d = QUARTERS[turn if isinstance(turn, int) and turn in QUARTERS else 0]
    flipped = item.content.get("flipped") is True

    def turned(x: float, y: float) -> Point:
        across = length - y if flipped else y
        return a * x + b * across, c * x + d * across

    ends = [turned(x, y) for x, y in ((0, 0), (tool.head_height_um, length))]
    head = item.parts["head"].rect
    dx = head.x0 - min(x for x, _ in ends)
    dy = head.y0 - min(y for _, y in ends)
    return tuple((x + dx, y + dy) for x, y in (turned(*point) for point in known))

"""Plane geometry for the pictures: rectangles, what of a line lies inside or outside them, places in a row."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

Point = tuple[float, float]
Segment = tuple[Point, Point]
Span = tuple[float, float]
EPS = 1e-6
"""Millimetres on paper that count as none: far below a printer’s dot, far above the rounding of doubles."""


class Rect(NamedTuple):
    """An upright rectangle; `x0 <= x1`, `y0 <= y1`, in whatever unit its maker uses."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.y1 - self.y0

    @property
    def centre(self) -> Point:
        """Its middle."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Its corners in turn, from (x0, y0) along x."""
        return (self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1)

    def grown(self, by: float) -> "Rect":
        """The rectangle with every side moved outwards by `by`."""
        return Rect(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def moved(self, dx: float, dy: float) -> "Rect":
        """The rectangle moved."""
        return Rect(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def overlaps(self, other: "Rect", gap: float = 0.0) -> bool:
        """Tell whether the two share area, or come nearer than `gap`."""
        (ax, ay, bx, by), (x0, y0, x1, y1), near = self, other, gap - EPS
        return ax < x1 + near and x0 < bx + near and ay < y1 + near and y0 < by + near

    def holds(self, other: "Rect") -> bool:
        """Tell whether `other` lies wholly inside."""
        return (
            self.x0 <= other.x0 + EPS
            and self.y0 <= other.y0 + EPS
            and self.x1 >= other.x1 - EPS
            and self.y1 >= other.y1 - EPS
        )


def around(points: Iterable[Point]) -> Rect:
    """The smallest rectangle around some points (at least one)."""
    xs, ys = zip(*points, strict=True)
    return Rect(min(xs), min(ys), max(xs), max(ys))


def without(span: Span, gaps: Iterable[Span]) -> list[Span]:
    """The rest of a span when the gaps are taken out, in order."""
    left: list[Span] = []
    start, end = span
    for low, high in sorted(gaps):
        if high <= start or low >= end:
            continue
        if low > start + EPS:
            left.append((start, low))
        start = max(start, high)
    if start < end - EPS:
        left.append((start, end))
    return left


def span_inside(start: Point, step: Point, corners: Sequence[Point]) -> Span | None:
    """The part of a line `start + t * step` inside a convex polygon: the least and greatest t, or None.

    The corners may run either way round.
    """
    low, high = -1e18, 1e18
    turn = 1.0 if _area(corners) > 0 else -1.0
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        nx, ny = turn * (by - ay), -turn * (bx - ax)
        speed = nx * step[0] + ny * step[1]
        room = nx * (ax - start[0]) + ny * (ay - start[1])
        if abs(speed) < 1e-12:
            if room < 0:
                return None
        elif speed > 0:
            high = min(high, room / speed)
        else:
            low = max(low, room / speed)
    return (low, high) if low < high - EPS else None


def span_over(start: Point, step: Point, rect: Rect) -> Span | None:
    """The part of a line over an upright rectangle; see `span_inside`."""
    low, high = -1e18, 1e18
    for at, speed, least, most in (
        (start[0], step[0], rect.x0, rect.x1),
        (start[1], step[1], rect.y0, rect.y1),
    ):
        if -1e-12 < speed < 1e-12:
            if not least < at < most:
                return None
            continue
        first, second = (least - at) / speed, (most - at) / speed
        if first > second:
            first, second = second, first
        low, high = max(low, first), min(high, second)
    return (low, high) if low < high - EPS else None


def _area(corners: Sequence[Point]) -> float:
    following = [*corners[1:], corners[0]]
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(corners, following, strict=True)) / 2


def outside(segment: Segment, rects: Iterable[Rect]) -> list[Segment]:
    """The parts of a segment that no rectangle covers."""
    return _cut(segment, without((0.0, 1.0), _gaps(segment, rects)))


def covered(segment: Segment, rects: Iterable[Rect]) -> list[Segment]:
    """The parts of a segment that some rectangle covers: what `outside` leaves out."""
    return _cut(segment, without((0.0, 1.0), without((0.0, 1.0), _gaps(segment, rects))))


def _cut(segment: Segment, spans: Iterable[Span]) -> list[Segment]:
    """Some spans of a segment, 0 at its start and 1 at its end."""
    (ax, ay), (bx, by) = segment
    dx, dy = bx - ax, by - ay
    return [((ax + low * dx, ay + low * dy), (ax + high * dx, ay + high * dy)) for low, high in spans]


def _gaps(segment: Segment, rects: Iterable[Rect]) -> list[Span]:
    """Parts of a segment over rectangles; most run along an axis and meet few of many, so these are sorted out."""
    (ax, ay), (bx, by) = segment
    if ax == bx:
        rects = [rect for rect in rects if rect.x0 < ax < rect.x1]
    elif ay == by:
        rects = [rect for rect in rects if rect.y0 < ay < rect.y1]
    step = (bx - ax, by - ay)
    return [gap for rect in rects if (gap := span_over((ax, ay), step, rect)) is not None]


def edges(rect: Rect) -> tuple[Segment, Segment, Segment, Segment]:
    """The four sides of a rectangle."""
    a, b, c, d = rect.corners
    return (a, b), (b, c), (c, d), (d, a)


def spread(wanted: Sequence[float], pitch: float, low: float = -1e9, high: float = 1e9) -> list[float]:
    """Places in a row, at least `pitch` apart and in the same order, moved as little as can be (least squares).

    Parameters
    ----------
    wanted
        Where each would like to be, ascending.
    pitch
        Least distance between neighbours.
    low, high
        Bounds for the places; where the row is longer than the bounds, `low` holds.

    Notes
    -----
    With the pitches taken off, the task is isotonic regression, solved by pooling neighbours that are out of order.
    """
    pools: list[list[float]] = []
    for index, place in enumerate(wanted):
        pools.append([place - index * pitch, 1.0])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            value, weight = pools.pop()
            last = pools[-1]
            last[0] = (last[0] * last[1] + value * weight) / (last[1] + weight)
            last[1] += weight
    flat = [value for value, weight in pools for _ in range(int(weight))]
    top = max(low, high - (len(wanted) - 1) * pitch)
    return [min(max(value, low), top) + index * pitch for index, value in enumerate(flat)]

"""A plane figure: its area, its extent, whether its sides cross, what lies inside it."""

import itertools
from collections.abc import Iterator, Sequence

Point = tuple[int, int]
"""x and y in micrometres."""
Polygon = tuple[Point, ...]
"""Corners in turn; the last side leads back to the first."""
Rect = tuple[int, int, int, int]
"""x0, y0, x1, y1 in micrometres."""


def turning(a: Sequence[float], b: Sequence[float], c: Sequence[float]) -> float:
    """Twice the area of a triangle: greater than 0 where the way from a over b to c turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def area2(figure: Sequence[Sequence[float]]) -> float:
    """Twice the area inside a figure, by the shoelace rule.

    Parameters
    ----------
    figure
        Its corners in turn.

    Returns
    -------
    float
        Square micrometres, an integer where the corners are whole; less than 0 where they run clockwise.
    """
    following = [*figure[1:], figure[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(figure, following, strict=True))


def counter_clockwise(figure: Polygon) -> Polygon:
    """The same figure with its corners counter-clockwise, none twice in turn and none in the middle of a side.

    Parameters
    ----------
    figure
        Its corners in turn, either way round.

    Returns
    -------
    tuple of Point
        Fewer than three where the figure has no area.
    """
    points = list(figure if area2(figure) > 0 else figure[::-1])
    kept = True
    while kept and len(points) > 2:
        kept = False
        for index, point in enumerate(points):
            if turning(points[index - 1], point, points[(index + 1) % len(points)]) == 0:
                del points[index]
                kept = True
                break
    return tuple(points)


def extent(figure: Polygon) -> Rect:
    """The least rectangle that holds a figure.

    Parameters
    ----------
    figure
        At least one point.

    Returns
    -------
    tuple of int
        x0, y0, x1, y1 in micrometres.
    """
    xs, ys = [x for x, _ in figure], [y for _, y in figure]
    return min(xs), min(ys), max(xs), max(ys)


def of_rect(rect: Rect) -> Polygon:
    """A rectangle as a figure, counter-clockwise from its least corner.

    Parameters
    ----------
    rect
        x0, y0, x1, y1.

    Returns
    -------
    tuple of Point
    """
    x0, y0, x1, y1 = rect
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def crossing(figure: Polygon) -> tuple[int, int] | None:
    """Find two sides of a figure that cross or touch where they should not.

    Parameters
    ----------
    figure
        Its corners in turn.

    Returns
    -------
    tuple of int, or None
        Numbers of two sides, the first from corner 0 to corner 1; None where the figure is simple.

    Notes
    -----
    Exact where the corners are whole. Only sides whose rectangles meet are looked at, found by a sweep along x; the
    cost grows with their number, which in a smooth figure is little more than that of the corners.
    """
    count = len(figure)
    for first, second in sorted(_near(figure)):
        a, b = figure[first], figure[(first + 1) % count]
        c, d = figure[second], figure[(second + 1) % count]
        if second == first + 1 or (first == 0 and second == count - 1):
            # Neighbours share a corner; they must not run back over each other.
            middle, one, other = (b, a, d) if second == first + 1 else (a, b, c)
            back = (one[0] - middle[0]) * (other[0] - middle[0]) + (one[1] - middle[1]) * (other[1] - middle[1])
            if turning(one, middle, other) == 0 and back >= 0:
                return first, second
        elif meet(a, b, c, d):
            return first, second
    return None


def _near(figure: Polygon) -> Iterator[tuple[int, int]]:
    """Pairs of sides, by number, whose rectangles meet."""
    sides = sorted(
        (min(a[0], b[0]), max(a[0], b[0]), min(a[1], b[1]), max(a[1], b[1]), number)
        for number, (a, b) in enumerate(zip(figure, [*figure[1:], figure[0]], strict=True))
    )
    for place, (_, right, low, high, number) in enumerate(sides):
        # Sides are sorted by their left ends: the first that begins beyond this one's right end ends the matter.
        for left, _, other_low, other_high, other in itertools.islice(sides, place + 1, None):
            if left > right:
                break
            if other_low <= high and low <= other_high:
                yield min(number, other), max(number, other)


def meet(a: Sequence[float], b: Sequence[float], c: Sequence[float], d: Sequence[float]) -> bool:
    """Tell whether two lines from a to b and from c to d have a point in common."""
    if max(a[0], b[0]) < min(c[0], d[0]) or max(c[0], d[0]) < min(a[0], b[0]):
        return False
    if max(a[1], b[1]) < min(c[1], d[1]) or max(c[1], d[1]) < min(a[1], b[1]):
        return False
    first, second = turning(a, b, c), turning(a, b, d)
    third, fourth = turning(c, d, a), turning(c, d, b)
    apart = (first > 0 and second > 0) or (first < 0 and second < 0)
    return not (apart or (third > 0 and fourth > 0) or (third < 0 and fourth < 0))


def holds(figure: Sequence[Sequence[float]], point: Sequence[float]) -> bool:
    """Tell whether a point lies inside a figure; on its edge either answer is possible.

    Parameters
    ----------
    figure
        Its corners in turn.
    point
        x and y.

    Returns
    -------
    bool

    References
    ----------
    By the number of sides that a ray to the right crosses (textbooks of computational geometry).
    """
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in zip(figure, [*figure[1:], figure[0]], strict=True):
        if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
            inside = not inside
    return inside

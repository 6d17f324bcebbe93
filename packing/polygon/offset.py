"""A figure made larger or smaller by the same on every side, its sides kept straight."""

from collections.abc import Sequence
from math import hypot

from packing.polygon.figure import Point, Polygon, Rect, counter_clockwise, crossing

_Line = tuple[float, float, float]
"""Unit normal out of the figure, and its distance from the origin along it."""


def offset(figure: Polygon, by_um: int) -> Polygon | None:
    """Move every side of a figure outwards.

    Parameters
    ----------
    figure
        Counter-clockwise, simple.
    by_um
        Micrometres; less than 0 for inwards.

    Returns
    -------
    tuple of Point, or None
        The figure between the moved sides, corners kept sharp, to whole micrometres; a side that has no length left
        goes. None where nothing of the figure is left, or its sides would cross.
    """
    if by_um == 0:
        return figure
    lines = [_moved(a, b, by_um) for a, b in zip(figure, [*figure[1:], figure[0]], strict=True)]
    while len(lines) > 2:
        corners = _corners(lines)
        lengths = [_along(lines[index], corners[index - len(lines) + 1], corners[index]) for index in range(len(lines))]
        # Corner i is where side i begins; a side that runs backwards has been swallowed by its neighbours.
        shortest = min(range(len(lines)), key=lambda index: lengths[index])
        if lengths[shortest] > 0:
            made = counter_clockwise(tuple((round(x), round(y)) for x, y in corners))
            return None if len(made) < 3 or crossing(made) else made
        del lines[shortest]
    return None


def _moved(a: Point, b: Point, by_um: int) -> _Line:
    length = hypot(b[0] - a[0], b[1] - a[1])
    across, up = (b[1] - a[1]) / length, (a[0] - b[0]) / length
    return across, up, across * a[0] + up * a[1] + by_um


def _corners(lines: Sequence[_Line]) -> list[tuple[float, float]]:
    """The points where each line meets the one before it."""
    return [_meeting(lines[index - 1], line) for index, line in enumerate(lines)]


def _meeting(first: _Line, second: _Line) -> tuple[float, float]:
    determinant = first[0] * second[1] - first[1] * second[0]
    if abs(determinant) < 1e-9:
        # In one line, or so nearly that their meeting is nowhere: between the feet of both.
        reach = (first[2] + second[2]) / 2
        return first[0] * reach, first[1] * reach
    return (
        (first[2] * second[1] - first[1] * second[2]) / determinant,
        (first[0] * second[2] - first[2] * second[0]) / determinant,
    )


def _along(line: _Line, end: tuple[float, float], start: tuple[float, float]) -> float:
    """The distance from start to end along a side, which has the figure on its left."""
    return (end[1] - start[1]) * line[0] - (end[0] - start[0]) * line[1]


def clipped(figure: Polygon, rect: Rect) -> Polygon:
    """The parts of a figure within a rectangle.

    Parameters
    ----------
    figure
        Counter-clockwise.
    rect
        x0, y0, x1, y1.

    Returns
    -------
    tuple of Point
        To whole micrometres; empty where nothing does.

    References
    ----------
    I. Sutherland, G. Hodgman, "Reentrant polygon clipping", 1974.
    """
    points: list[Point] = list(figure)
    for axis, sign, limit in ((0, 1, rect[0]), (1, 1, rect[1]), (0, -1, rect[2]), (1, -1, rect[3])):
        kept: list[Point] = []
        for index, point in enumerate(points):
            before = points[index - 1]
            inside, was = (point[axis] - limit) * sign >= 0, (before[axis] - limit) * sign >= 0
            if inside != was:
                share = (limit - before[axis]) / (point[axis] - before[axis])
                other = round(before[1 - axis] + share * (point[1 - axis] - before[1 - axis]))
                kept.append((limit, other) if axis == 0 else (other, limit))
            if inside:
                kept.append(point)
        points = kept
    return counter_clockwise(tuple(points)) if len(points) > 2 else ()

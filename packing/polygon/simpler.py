"""A figure with fewer corners that holds the one it is made from, as a knife along a straightedge follows it."""

import itertools
from collections.abc import Sequence
from math import cos, hypot, inf, pi, sin
from typing import NamedTuple

from packing.polygon.figure import Point, Polygon, Rect, counter_clockwise, extent, holds, meet, turning

_DIRECTIONS = 12
"""Sides of the figure that is taken where nothing else has few enough corners within the bounds."""


class _Change(NamedTuple):
    """The move of the edge where a corner or a side is left out, and the point where a side's two neighbours meet."""

    cost: float
    meeting: Point | None


_NONE = _Change(inf, None)


def simpler(figure: Polygon, bounds: Rect, most: int, tolerance_um: int) -> Polygon:
    """Leave out corners of a figure so that it only grows.

    Parameters
    ----------
    figure
        Counter-clockwise, simple, within the bounds.
    bounds
        Rectangle that is not left.
    most
        Corners that may be left, at least 12.
    tolerance_um
        What gains less than this is left out whatever the number of corners, in micrometres.

    Returns
    -------
    tuple of Point
        Holds the figure, but for a micrometre where corners are rounded.

    Notes
    -----
    A corner that points inwards is cut off, or a side is left out and its neighbours go on until they meet: the change
    that moves the edge least comes first, as in the simplification of lines by M. Visvalingam and J. Whyatt, 1993.
    Where no such change stays within the bounds, the sides of a figure with twelve directions that touch it are taken.
    """
    points = list(figure)
    changes = [_change(points, index, bounds) for index in range(len(points))]
    while len(points) > 3:
        best = min(range(len(points)), key=lambda index: changes[index].cost)
        if changes[best].cost == inf or (len(points) <= most and changes[best].cost > tolerance_um):
            break
        if _crosses(points, best, changes[best].meeting):
            changes[best] = _NONE
            continue
        gone, meeting = best, changes[best].meeting
        if meeting is not None:
            points[best] = meeting
            gone = (best + 1) % len(points)
        del points[gone], changes[gone]
        # Only what stands near the change can have become cheaper or dearer by it.
        for near in range(best - 3, best + 3):
            changes[near % len(points)] = _change(points, near % len(points), bounds)
    return _around(figure, bounds) if len(points) > most else counter_clockwise(tuple(points))


def _change(points: Sequence[Point], index: int, bounds: Rect) -> _Change:
    """The lesser of two changes: without the corner, where it points inwards; without the side that begins there."""
    before, here, there, after = (points[(index + step) % len(points)] for step in (-1, 0, 1, 2))
    if turning(before, here, there) <= 0:
        return _Change(_distance(here, before, there), None)
    if turning(here, there, after) <= 0:
        return _NONE
    found = _meeting(before, here, after, there)
    if found is None or not (bounds[0] <= found[0] <= bounds[2] and bounds[1] <= found[1] <= bounds[3]):
        return _NONE
    return _Change(_distance(found, here, there), found)


def _distance(point: Point, a: Point, b: Point) -> float:
    """From a point to the line through two others."""
    return abs(turning(a, b, point)) / max(1.0, hypot(b[0] - a[0], b[1] - a[1]))


def _meeting(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    """The point where the way from a over b meets the way from c over d, beyond both; None where it does not."""
    across, up = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    determinant = across[0] * up[1] - across[1] * up[0]
    if determinant >= 0:
        return None
    share = ((c[0] - a[0]) * up[1] - (c[1] - a[1]) * up[0]) / determinant
    return round(a[0] + share * across[0]), round(a[1] + share * across[1])


def _crosses(points: Sequence[Point], index: int, meeting: Point | None) -> bool:
    """Tell whether anything of the figure lies in what a change adds to it."""
    count = len(points)
    before, here, there, after = ((index + step) % count for step in (-1, 0, 1, 2))
    if meeting is None:
        added, own = (points[before], points[here], points[there]), {before, here, there}
        way = [points[before], points[there]]
    else:
        added, own = (points[here], points[there], meeting), {before, here, there, after}
        way = [points[here], meeting, points[there]]
    # What lies beside the rectangle round it needs no closer look: most of a traced figure does.
    x0, y0, x1, y1 = extent(added)
    for place, (x, y) in enumerate(points):
        if x0 <= x <= x1 and y0 <= y <= y1 and place not in own and holds(added, (x, y)):
            return True
    stays = [
        (a, b)
        for side, (a, b) in enumerate(zip(points, [*points[1:], points[0]], strict=True))
        if not (
            (a[0] < x0 and b[0] < x0)
            or (a[0] > x1 and b[0] > x1)
            or (a[1] < y0 and b[1] < y0)
            or (a[1] > y1 and b[1] > y1)
        )
        and side not in own
    ]
    # Sides that begin or end where a new one does share that corner and no more.
    return any(
        a not in side and b not in side and meet(a, b, *side) for a, b in itertools.pairwise(way) for side in stays
    )


def _around(figure: Polygon, bounds: Rect) -> Polygon:
    """The figure between the lines in twelve directions that touch a figure, rounded outwards within the bounds."""
    lines = []
    for step in range(_DIRECTIONS):
        across, up = cos(2 * pi * step / _DIRECTIONS), sin(2 * pi * step / _DIRECTIONS)
        lines.append((across, up, max(across * x + up * y for x, y in figure) + 1.0))
    corners = []
    for (ax, ay, a), (bx, by, b) in zip([lines[-1], *lines[:-1]], lines, strict=True):
        determinant = ax * by - ay * bx
        x, y = (a * by - b * ay) / determinant, (b * ax - a * bx) / determinant
        corners.append((min(max(round(x), bounds[0]), bounds[2]), min(max(round(y), bounds[1]), bounds[3])))
    return counter_clockwise(tuple(dict.fromkeys(corners)))

"""The lines that a tool is led along to cut a sheet with pockets.

Half of what the cut takes is left beside every edge, in the waste. A round tool leaves a corner of the pocket standing:
where that is more than the foam gives, the tool goes on into the corner until its rim meets it. A tool that cannot be
set down within a sheet comes to each pocket along the shortest straight way from the edge, or from a pocket before it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import acos, atan2, ceil, cos, hypot, pi, sin

from packing.draw.cut_way import CutWay
from packing.draw.shapes import Point, Segment
from packing.measure import BadInput
from packing.messages import Length, Message
from packing.polygon import Polygon, area2, extent, offset

SMALLEST_GIVE_MM = 0.1
"""Corners are not relieved for less, whatever the material: it is as exact as the files are."""
ARC_STEP = pi / 12
"""Turn from one point of an arc to the next: with a radius of 6 mm the sides are 0.05 mm off it."""
Loop = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class ToolPaths:
    """The lines a sheet is cut along, in mm: its edge, its pockets, and the ways in from the edge."""

    edge: Loop
    pockets: tuple[Loop, ...]
    entries: tuple[Segment, ...] = ()


def tool_paths(edge: Loop, pockets: Sequence[Loop], way: CutWay, *, give_mm: float, name: str) -> ToolPaths:
    """Work out the lines that a tool follows round a sheet and its pockets.

    Parameters
    ----------
    edge
        The sheet's corners counter-clockwise, in mm.
    pockets
        Those of each pocket counter-clockwise, clockwise round what is left standing within one.
    way
        The tool.
    give_mm
        How far the material gives under steel.
    name
        Of the sheet, for what is said of it.

    Returns
    -------
    ToolPaths

    Raises
    ------
    BadInput
        The cut is wider than a web or wall of the sheet, than a pocket, or than a slot in its edge.
    """
    _refuse_wide_cuts(edge, pockets, way, name)
    moved_edge = _moved(edge, way.aside_um, way, name)
    moved = [_moved(loop, -way.aside_um, way, name) for loop in pockets]
    entries = tuple(_entries(moved_edge, moved)) if way.threaded else ()
    relieved = tuple(_relieved(loop, way, max(give_mm, SMALLEST_GIVE_MM)) for loop in moved)
    return ToolPaths(moved_edge, relieved, entries)


def _refuse_wide_cuts(edge: Loop, pockets: Sequence[Loop], way: CutWay, name: str) -> None:
    kerf = way.kerf_um / 1000
    for index, loop in enumerate(pockets):
        for other in (edge, *pockets[:index]):
            apart = _apart(loop, other, kerf) if kerf else None
            if apart is not None:
                raise _too_wide(_WEB, way, name, apart)


_WEB = "must be no wider than the narrowest web or wall of {sheet}, {least}; it is {kerf}."
_POCKET = "must be narrower than every pocket of {sheet}, of which one is {least}; it is {kerf}."
_SLOT = "must be narrower than the slots of {sheet}; it is {kerf}."


def _too_wide(words: str, way: CutWay, name: str, least_mm: float | None = None) -> BadInput:
    least = {} if least_mm is None else {"least": Length(round(1000 * least_mm))}
    return BadInput("kerf", Message(words, sheet=name, kerf=Length(way.kerf_um), **least))


def _apart(one: Loop, other: Loop, reach: float) -> float | None:
    """The least distance of two figures' sides where it is less than this; else None."""
    low, high = _reach(one, reach)
    near = [
        side
        for side in _sides(other)
        if all(max(side[0][axis], side[1][axis]) > low[axis] for axis in (0, 1))
        and all(min(side[0][axis], side[1][axis]) < high[axis] for axis in (0, 1))
    ]
    least = min((_between(first, second) for second in near for first in _sides(one)), default=reach)
    # Sides are whole micrometres: a web exactly as wide as the cut is one that the cut just leaves.
    return least if least < reach - 1e-6 else None


def _reach(loop: Loop, by: float) -> tuple[Point, Point]:
    xs, ys = [x for x, _ in loop], [y for _, y in loop]
    return (min(xs) - by, min(ys) - by), (max(xs) + by, max(ys) + by)


def _sides(loop: Loop) -> list[Segment]:
    return list(zip(loop, [*loop[1:], loop[0]], strict=True))


def _between(first: Segment, second: Segment) -> float:
    """The distance of two sides that do not cross."""
    ends = [(end, second) for end in first] + [(end, first) for end in second]
    return min(_off(point, side) for point, side in ends)


def _off(point: Point, side: Segment) -> float:
    (ax, ay), (bx, by) = side
    dx, dy = bx - ax, by - ay
    share = max(0.0, min(1.0, ((point[0] - ax) * dx + (point[1] - ay) * dy) / ((dx * dx + dy * dy) or 1.0)))
    return hypot(point[0] - ax - share * dx, point[1] - ay - share * dy)


def _moved(loop: Loop, by_um: int, way: CutWay, name: str) -> Loop:
    """A figure whose sides are moved out by this, or in where it is negative; round what stands, the other way."""
    if by_um == 0:
        return loop
    whole: Polygon = tuple((round(1000 * x), round(1000 * y)) for x, y in loop)
    standing = area2(whole) < 0
    figure = whole[::-1] if standing else whole
    made = offset(figure, -by_um if standing else by_um)
    # A pocket narrower than the cut, or a slot in the edge that the cut would close, loses sides.
    lost = made is None or (by_um > 0 and len(made) < len(figure))
    if made is None or lost:
        x0, y0, x1, y1 = extent(figure)
        if by_um > 0:
            raise _too_wide(_SLOT, way, name)
        raise _too_wide(_POCKET, way, name, min(x1 - x0, y1 - y0) / 1000)
    return tuple((x / 1000, y / 1000) for x, y in (made[::-1] if standing else made))


def _relieved(loop: Loop, way: CutWay, give: float) -> Loop:
    """A pocket's line with the way into each corner that a round tool leaves standing by more than the foam gives."""
    radius = way.kerf_um / 2000
    if radius <= 0 or way.threaded:
        return loop
    made: list[Point] = []
    for index, corner in enumerate(loop):
        before, after = loop[index - 1], loop[(index + 1) % len(loop)]
        made += _at_corner(before, corner, after, radius, give, moved=way.moved)
    return tuple(made)


def _at_corner(before: Point, corner: Point, after: Point, radius: float, give: float, *, moved: bool) -> list[Point]:
    """The points of a line at one corner, those into the corner and back among them."""
    back, on = _towards(corner, before), _towards(corner, after)
    turned = on[0] * back[1] - on[1] * back[0]
    if turned <= 0:
        return [corner]
    half = acos(max(-1.0, min(1.0, back[0] * on[0] + back[1] * on[1]))) / 2
    left = radius * (1 / sin(half) - 1)
    if left <= give:
        return [corner]
    out = _towards((back[0] + on[0], back[1] + on[1]), (0.0, 0.0))
    if moved:
        # The line is the tool's middle: on along the middle of the angle until its rim meets the corner, and back.
        return [corner, (corner[0] + left * out[0], corner[1] + left * out[1]), corner]
    chord = 2 * radius * cos(half)
    if chord > min(_length(corner, before), _length(corner, after)) / 2:
        return [corner]
    middle = (corner[0] - radius * out[0], corner[1] - radius * out[1])
    return list(_arc(middle, radius, *((corner[0] + chord * way[0], corner[1] + chord * way[1]) for way in (back, on))))


def _towards(start: Point, end: Point) -> Point:
    length = _length(start, end) or 1.0
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def _length(a: Point, b: Point) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])


def _arc(middle: Point, radius: float, start: Point, end: Point) -> Iterator[Point]:
    """Points along a circle counter-clockwise."""
    first = atan2(start[1] - middle[1], start[0] - middle[0])
    turn = (atan2(end[1] - middle[1], end[0] - middle[0]) - first) % (2 * pi)
    # An even number of steps, so that the corner itself, half way round, is one of the points.
    steps = 2 * ceil(turn / ARC_STEP / 2)
    for step in range(steps + 1):
        angle = first + turn * step / steps
        yield middle[0] + radius * cos(angle), middle[1] + radius * sin(angle)


def _entries(edge: Loop, pockets: Sequence[Loop]) -> Iterator[Segment]:
    """The shortest straight ways from the edge to every pocket, through pockets that are entered already."""
    loops = [edge, *pockets]
    ways = [(index, *found) for index in range(1, len(loops)) for found in _rays(index, loops)]
    entered = {0}
    while len(entered) < len(loops):
        # From a pocket's outermost side a ray meets the edge or a pocket that lies further out: there is always one.
        index, _, line = min(
            (one for one in ways if one[0] not in entered and one[1] in entered),
            key=lambda one: (_length(*one[2]), one[2]),
        )
        entered.add(index)
        yield line


def _rays(index: int, loops: Sequence[Loop]) -> Iterator[tuple[int, Segment]]:
    """From the outermost of a pocket in each of four directions: what is met first, and the way from there."""
    for axis in (0, 1):
        for sign in (1, -1):
            start = _outermost(loops[index], axis, sign)
            hits = [
                (sign * (at - start[axis]), other, at)
                for other, loop in enumerate(loops)
                if other != index
                for at in _crossed(loop, axis, start[1 - axis])
                if sign * (at - start[axis]) >= 0
            ]
            if hits:
                _, other, at = min(hits)
                met = (at, start[1]) if axis == 0 else (start[0], at)
                yield other, (met, start)


def _outermost(loop: Loop, axis: int, sign: int) -> Point:
    """The middle of the longest side that lies furthest out; a corner where no side does."""
    far = max(sign * point[axis] for point in loop)
    sides = [side for side in _sides(loop) if all(sign * end[axis] == far for end in side)]
    if not sides:
        return next(point for point in loop if sign * point[axis] == far)
    (ax, ay), (bx, by) = max(sides, key=lambda side: _length(*side))
    return (ax + bx) / 2, (ay + by) / 2


def _crossed(loop: Loop, axis: int, across: float) -> Iterator[float]:
    """Where a line along an axis meets the sides of a figure."""
    for start, end in _sides(loop):
        low, high = start[1 - axis], end[1 - axis]
        if (low <= across) != (high <= across):
            yield start[axis] + (end[axis] - start[axis]) * (across - low) / (high - low)

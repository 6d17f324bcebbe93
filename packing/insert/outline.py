"""Areas, outlines and corners of overlapping holes, exactly where they are rectangles.

References
----------
The area of a union of rectangles by a sweep over their coordinates: J. L. Bentley, "Algorithms for Klee's rectangle
problems", 1977 (from memory).
"""

from collections.abc import Iterable
from functools import lru_cache
from math import hypot
from typing import NamedTuple

from packing.insert.model import Hole, Rect
from packing.polygon import area2, of_rect, union_loops

_Spans = list[tuple[int, int]]


def _merged(spans: Iterable[tuple[int, int]]) -> _Spans:
    merged: _Spans = []
    for low, high in sorted(spans):
        # What only touches is one span too: no foam is left between.
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return merged


def _length(spans: _Spans) -> int:
    return sum(high - low for low, high in spans)


def _differing(first: _Spans, second: _Spans) -> int:
    """Length covered by exactly one of two lists of merged spans."""
    return 2 * _length(_merged(first + second)) - _length(first) - _length(second)


class Union(NamedTuple):
    """The union of holes that overlap: area, length of their common outline, corners that point into the foam."""

    area_um2: int
    length_um: int
    corners: int


@lru_cache(maxsize=1024)
def union(rects: tuple[Rect, ...], size_um: tuple[int, int]) -> Union:
    """Area, cut length and corners of the union of holes in a sheet.

    Parameters
    ----------
    rects
        The holes, overlapping as they like, inside the sheet.
    size_um
        The sheet's length and width.

    Returns
    -------
    Union
        Area in square micrometres; length of the union's outline in micrometres, without what runs along the sheet's
        own edge; how many of the outline's corners point into the foam: 4 for a rectangle, 6 for a T.

    Notes
    -----
    Exact: strips between neighbouring x values, in each the merged spans of y. Holes that only touch are one hole. A
    corner into the foam is where an end of a span begins or stops: on one side of a strip's edge the span is there,
    on the other side both the span and what lies beyond its end are foam. Cost grows with the square of the holes.
    """
    length_um, width_um = size_um
    xs = sorted({x for rect in rects for x in (rect[0], rect[2])})
    area = cut = corners = 0
    before: _Spans = []
    # The last strip is empty, so that what ends at the last x is counted as an edge.
    for x, next_x in zip(xs, [*xs[1:], xs[-1]] if xs else [], strict=True):
        here = _merged((r[1], r[3]) for r in rects if r[0] <= x and r[2] >= next_x) if next_x > x else []
        # The sheet’s own edge is not cut again.
        if 0 < x < length_um:
            cut += _differing(before, here)
            corners += _corners(before, here, width_um) + _corners(here, before, width_um)
        area += (next_x - x) * _length(here)
        cut += (next_x - x) * sum((low > 0) + (high < width_um) for low, high in here)
        before = here
    return Union(area, cut, corners)


CORNER_TURN = 0.25
"""Sine of the least turn that is a corner, some 15 degrees: a knife follows a lesser one without a punched hole (an
estimate, no source)."""


@lru_cache(maxsize=2048)
def union_of(holes: tuple[Hole, ...], size_um: tuple[int, int]) -> Union:
    """Area, cut length and corners of the union of holes of which some have an outline.

    Parameters
    ----------
    holes
        Overlapping as they like, inside the sheet.
    size_um
        The sheet's length and width.

    Returns
    -------
    Union
        Exact where all are rectangles; else to a micrometre for each corner.
    """
    if not any(hole.outline for hole in holes):
        return union(tuple(hole.rect for hole in holes), size_um)
    groups = _apart(holes)
    if len(groups) > 1:
        # What does not meet is counted by itself: pockets of one tool stand in several sheets and are counted once.
        found = [union_of(group, size_um) for group in groups]
        return Union(*(sum(figures) for figures in zip(*found, strict=True)))
    loops = union_loops(tuple(hole.outline or of_rect(hole.rect) for hole in holes))
    sides = [(a, b) for loop in loops for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)]
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in sides if not _on_the_edge(a, b, size_um))
    corners = sum(_turns(loop[index - 2], loop[index - 1], here) for loop in loops for index, here in enumerate(loop))
    return Union(round(sum(area2(loop) for loop in loops) / 2), round(length), corners)


def _apart(holes: tuple[Hole, ...]) -> list[tuple[Hole, ...]]:
    """Groups of holes of which no rectangle meets one of another group's."""
    groups: list[tuple[Hole, ...]] = []
    for hole in holes:
        # A hole that meets several groups makes them one.
        meeting = [group for group in groups if any(_meet(hole.rect, other.rect) for other in group)]
        groups = [group for group in groups if group not in meeting]
        groups.append((*(one for group in meeting for one in group), hole))
    return groups


def _meet(a: Rect, b: Rect) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def _on_the_edge(a: tuple[float, float], b: tuple[float, float], size_um: tuple[int, int]) -> bool:
    """Tell whether a side lies along the sheet's own edge."""
    return any(a[axis] == b[axis] and a[axis] in (0, size_um[axis]) for axis in (0, 1))


def _turns(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    """Tell whether the edge of a hole turns into the foam at b, by more than a knife follows."""
    (ax, ay), (bx, by) = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    across, along = ax * by - ay * bx, ax * bx + ay * by
    return across > 0 and (along < 0 or across > CORNER_TURN * hypot(ax, ay) * hypot(bx, by))


def _corners(spans: _Spans, others: _Spans, width_um: int) -> int:
    """Ends of spans at whose inner side the other strip is solid: there the outline turns into the foam."""
    count = 0
    for low, high in spans:
        count += low > 0 and not any(start <= low < end for start, end in others)
        count += high < width_um and not any(start < high <= end for start, end in others)
    return count

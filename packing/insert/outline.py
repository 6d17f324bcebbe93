"""Areas and outlines of overlapping rectangles, exactly."""

from collections.abc import Iterable
from functools import lru_cache

from packing.insert.model import Rect

_Spans = list[tuple[int, int]]


def _merged(spans: Iterable[tuple[int, int]]) -> _Spans:
    merged: _Spans = []
    for low, high in sorted(spans):
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


@lru_cache(maxsize=256)
def union(rects: tuple[Rect, ...], size_um: tuple[int, int]) -> tuple[int, int]:
    """Area and cut length of the union of holes in a sheet.

    Parameters
    ----------
    rects
        The holes, overlapping as they like, inside the sheet.
    size_um
        The sheet's length and width.

    Returns
    -------
    tuple of int
        Area in square micrometres; length of the union's outline in micrometres, without what runs along the sheet's
        own edge.

    Notes
    -----
    Exact: strips between neighbouring x values, in each the merged spans of y. Holes that only touch are one hole.
    """
    length_um, width_um = size_um
    xs = sorted({x for rect in rects for x in (rect[0], rect[2])})
    area = cut = 0
    before: _Spans = []
    for x, next_x in zip(xs, [*xs[1:], xs[-1]] if xs else [], strict=True):
        here = _merged((r[1], r[3]) for r in rects if r[0] <= x and r[2] >= next_x) if next_x > x else []
        if 0 < x < length_um:
            cut += _differing(before, here)
        area += (next_x - x) * _length(here)
        cut += (next_x - x) * sum((low > 0) + (high < width_um) for low, high in here)
        before = here
    return area, cut

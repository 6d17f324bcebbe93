"""Rectangles and boxes with whole corners: gaps, unions and what is left uncovered, all exact."""

from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple


class Rect(NamedTuple):
    """A rectangle seen from above, corners in micrometres."""

    x0: int
    y0: int
    x1: int
    y1: int

    def grown(self, by_um: int) -> "Rect":
        """The rectangle with a rim of this width around it."""
        return Rect(self.x0 - by_um, self.y0 - by_um, self.x1 + by_um, self.y1 + by_um)


class Box(NamedTuple):
    """A box with sides along the axes, corners in micrometres."""

    x0: int
    y0: int
    z0: int
    x1: int
    y1: int
    z1: int

    @property
    def rect(self) -> Rect:
        """The box seen from above."""
        return Rect(self.x0, self.y0, self.x1, self.y1)

    def side(self, axis: int) -> int:
        """Extent along x (0), y (1) or z (2)."""
        return self[axis + 3] - self[axis]


def rect_gap(a: Rect, b: Rect) -> int:
    """The larger of the two gaps along x and along y; negative where the rectangles overlap."""
    return max(a.x0 - b.x1, b.x0 - a.x1, a.y0 - b.y1, b.y0 - a.y1)


def box_gap(a: Box, b: Box) -> int:
    """The largest of the three gaps along x, y and z; negative where the boxes overlap."""
    return max(rect_gap(a.rect, b.rect), a.z0 - b.z1, b.z0 - a.z1)


def common(a: Rect, b: Rect) -> Rect | None:
    """The rectangle that two share, None where that has no area."""
    shared = Rect(max(a.x0, b.x0), max(a.y0, b.y0), min(a.x1, b.x1), min(a.y1, b.y1))
    return shared if shared.x0 < shared.x1 and shared.y0 < shared.y1 else None


def union_area(rects: Iterable[Rect]) -> int:
    """Area of a union of rectangles, in square micrometres: strip by strip between all x values."""
    known = list(rects)
    edges = sorted({x for rect in known for x in (rect.x0, rect.x1)})
    total = 0
    for left, right in pairwise(edges):
        spans = sorted((rect.y0, rect.y1) for rect in known if rect.x0 <= left and rect.x1 >= right)
        covered, reached = 0, None
        for low, high in spans:
            start = low if reached is None else max(low, reached)
            covered += max(0, high - start)
            reached = high if reached is None else max(high, reached)
        total += covered * (right - left)
    return total


def uncovered_area(rect: Rect, holes: Iterable[Rect]) -> int:
    """Area of a rectangle that no hole covers, in square micrometres."""
    inside = [shared for hole in holes if (shared := common(rect, hole)) is not None]
    return (rect.x1 - rect.x0) * (rect.y1 - rect.y0) - union_area(inside)

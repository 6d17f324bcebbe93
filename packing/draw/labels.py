"""Places of texts and rings on a drawing, kept by cells of the paper so that many are asked about quickly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import floor

from packing.draw.shapes import EPS, Rect

# About as large as a text: a rectangle asked about then meets few cells, and a cell holds few labels.
_CELL = 8.0
_SLACK = 1e-3
"""Rectangles that touch a cell's edge are looked for beyond it too."""


class Labels:
    """Rectangles in paper mm, in the order they were added; which of them others meet is found by a grid of cells."""

    def __init__(self, rects: Iterable[Rect] = ()) -> None:
        self._rects: list[Rect] = []
        self._cells: dict[tuple[int, int], list[int]] = {}
        for rect in rects:
            self.append(rect)

    def __iter__(self) -> Iterator[Rect]:
        return iter(self._rects)

    def __len__(self) -> int:
        return len(self._rects)

    @property
    def last(self) -> Rect:
        """The one added last."""
        return self._rects[-1]

    def append(self, rect: Rect) -> None:
        """Add a rectangle."""
        place = len(self._rects)
        self._rects.append(rect)
        for cell in _cells(rect):
            self._cells.setdefault(cell, []).append(place)

    def meet(self, rect: Rect, gap: float = 0.0) -> bool:
        """Tell whether any of them shares area with a rectangle, or comes nearer to it than `gap`."""
        x0, y0, x1, y1 = rect.x0 - gap, rect.y0 - gap, rect.x1 + gap, rect.y1 + gap
        rects, cells = self._rects, self._cells
        rows = range(floor((y0 - _SLACK) / _CELL), floor((y1 + _SLACK) / _CELL) + 1)
        for column in range(floor((x0 - _SLACK) / _CELL), floor((x1 + _SLACK) / _CELL) + 1):
            for row in rows:
                # Written out: a drawing of hundreds of pockets asks this a hundred thousand times.
                for place in cells.get((column, row), ()):
                    ax, ay, bx, by = rects[place]
                    if ax < x1 - EPS and x0 < bx - EPS and ay < y1 - EPS and y0 < by - EPS:
                        return True
        return False

    @property
    def crowded(self) -> bool:
        """True where two of them stand on each other."""
        rects = self._rects
        return any(
            rects[first].overlaps(rects[second], -0.4)
            for held in self._cells.values()
            for at, second in enumerate(held)
            for first in held[:at]
        )


def _cells(rect: Rect) -> Iterator[tuple[int, int]]:
    """The cells that a rectangle reaches into."""
    rows = range(floor((rect.y0 - _SLACK) / _CELL), floor((rect.y1 + _SLACK) / _CELL) + 1)
    for column in range(floor((rect.x0 - _SLACK) / _CELL), floor((rect.x1 + _SLACK) / _CELL) + 1):
        for row in rows:
            yield column, row

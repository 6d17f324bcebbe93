"""Places of texts and rings on a drawing, kept by cells of the paper so that many are asked about quickly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import floor

from packing.draw.shapes import Rect

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

    def meet(self, rect: Rect) -> bool:
        """Tell whether any of them shares area with a rectangle."""
        rects = self._rects
        for cell in _cells(rect):
            for place in self._cells.get(cell, ()):
                if rects[place].overlaps(rect):
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

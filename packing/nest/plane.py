"""Exact placing in one layer: whether items fit a rectangle side by side, and where."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packing.nest import plane_kernel as kernel
from packing.nest.bound import area_um2
from packing.nest.problem import Way
from packing.nest.relations import MOST_RELATIONS

Ints = NDArray[np.int64]
Rects = tuple[tuple[int, int, int, int], ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """Where items lie in a layer: per item its kind, its way, and the least corner of its grown shape."""

    kinds: tuple[int, ...]
    ways: tuple[Way, ...]
    x_um: tuple[int, ...]
    y_um: tuple[int, ...]

    @property
    def extent_um(self) -> tuple[int, int]:
        """What the shapes take up along x and y, from 0."""
        return (
            max(x + way.length_um for x, way in zip(self.x_um, self.ways, strict=True)),
            max(y + way.width_um for y, way in zip(self.y_um, self.ways, strict=True)),
        )


def mirrored(way: Way, *, along_x: bool) -> Rects:
    """A way's rectangles as a mirror shows them, x or y reversed."""
    if along_x:
        return tuple((way.length_um - x1, y0, way.length_um - x0, y1) for x0, y0, x1, y1 in way.rects)
    return tuple((x0, way.width_um - y1, x1, way.width_um - y0) for x0, y0, x1, y1 in way.rects)


def without_overlap(way: Way) -> Rects:
    """The same shape as two rectangles without common area: the second less its end that lies in the first."""
    a, *rest = way.rects
    if not rest:
        return a, (0, 0, 0, 0)
    x0, y0, x1, y1 = rest[0]
    if a[0] <= x0 and x1 <= a[2]:
        y0, y1 = (max(y0, a[3]), y1) if y1 > a[3] else (y0, min(y1, a[1]))
    elif a[1] <= y0 and y1 <= a[3]:
        x0, x1 = (max(x0, a[2]), x1) if x1 > a[2] else (x0, min(x1, a[0]))
    else:
        return a, (0, 0, 0, 0)
    return a, (x0, y0, max(x0, x1), max(y0, y1))


class Plane:
    """The items' ways as arrays, and the relations between them as they are asked for.

    Parameters
    ----------
    kinds
        Per kind of item, the ways it may lie.
    """

    def __init__(self, kinds: Sequence[Sequence[Way]]) -> None:
        ways: list[Way] = []
        rows: list[list[int]] = []
        for own in kinds:
            ordered = sorted(own, key=lambda way: (way.level_um, way.rects))
            rows.append(list(range(len(ways), len(ways) + len(ordered))))
            ways.extend(ordered)
        self._ways, self._rows = ways, rows
        self._first = np.array([own[0] for own in rows], np.int64)
        self._count = np.array([len(own) for own in rows], np.int64)
        self._rects = np.array([way.rects * 2 if len(way.rects) == 1 else way.rects for way in ways], np.int64)
        self._split = np.array([without_overlap(way) for way in ways], np.int64)
        self._size = np.array([(way.length_um, way.width_um) for way in ways], np.int64)
        self._area = np.array([area_um2(way) for way in ways], np.int64)
        self._level = np.array([way.level_um for way in ways], np.int64)
        self._mirror = np.array([code for own in rows for code in self._mirrors(own)], np.int64)
        self._reg_at, self._reg_n = (np.zeros((len(ways), len(ways)), np.int64) for _ in range(2))
        self._regs = np.zeros((1024, 4), np.int64)
        self._filled = 0
        self._known: set[tuple[int, int]] = set()
        self.nodes = 0

    def _mirrors(self, rows: list[int]) -> list[int]:
        """`mirror` of the kernel, for the ways of one kind."""
        at = {(self._ways[row].rects, self._ways[row].level_um): row for row in rows}
        codes = []
        for row in rows:
            way = self._ways[row]
            by_x, by_y = mirrored(way, along_x=True), mirrored(way, along_x=False)
            by_both = tuple((x0, way.width_um - y1, x1, way.width_um - y0) for x0, y0, x1, y1 in by_x)
            images = [at.get((shape, way.level_um), -1) for shape in (by_x, by_y, by_both)]
            if min(images) < 0:
                return [8] * len(rows)
            codes.append((by_x == way.rects) + 2 * (by_y == way.rects) + 4 * (min(images) < row))
        return codes

    def _relate(self, kinds: Sequence[int]) -> None:
        """Fill in the relations between all ways of these kinds, in the order in which they will be placed."""
        for j, b in enumerate(kinds):
            for a in kinds[:j]:
                if (a, b) in self._known:
                    continue
                self._known.add((a, b))
                rows_a, rows_b = (np.array(self._rows[kind], np.int64) for kind in (a, b))
                most = self._filled + len(rows_a) * len(rows_b) * MOST_RELATIONS
                if most > len(self._regs):
                    self._regs = np.concatenate([self._regs, np.zeros((2 * most - len(self._regs), 4), np.int64)])
                self._filled = kernel.relate(
                    rows_a, rows_b, self._rects, self._reg_at, self._reg_n, self._regs, self._filled
                )

    def least_areas(self, levels: Ints, room_x: int, room_y: int) -> Ints:
        """Least area of each kind at each level on a floor, (kinds, levels); more than the floor where it has no way."""
        found = np.full((len(self._first), len(levels)), room_x * room_y + 1, np.int64)
        kernel.least_areas(self._first, self._count, self._level, self._size, self._area, levels, room_x, room_y, found)
        return found

    def fits(
        self, kinds: Sequence[int], level_um: int, room_x: int, room_y: int, limit: int
    ) -> tuple[bool | None, Spread | None]:
        """Whether items fit a rectangle in one layer.

        Parameters
        ----------
        kinds
            The kind of each item.
        level_um
            The layer's height: only ways up to it are allowed.
        room_x, room_y
            The rectangle for the grown shapes.
        limit
            Most nodes of the search, at least 1.

        Returns
        -------
        (answer, spread)
            True with where they lie, False where it is proved that they do not fit, None where the limit ended the
            search.
        """
        room = np.array([room_x, room_y], np.int64)
        order = kernel.in_order(
            np.array(kinds, np.int64), self._first, self._count, self._level, self._size, self._area, level_um, room
        )
        if order[-1, 0] < 0 or order[0, 1] > room_x * room_y:
            return False, None
        placed = order[:-1, 0].tolist()
        self._relate(placed)
        out = np.zeros((len(placed), 3), np.int64)
        answer, nodes = kernel.place(
            order, self._first, self._count, self._level, self._size, self._area, self._split, self._mirror,
            self._reg_at, self._reg_n, self._regs, level_um, room, limit, out,
        )  # fmt: skip
        self.nodes += int(nodes)
        if answer != kernel.FITS:
            return (False if answer == kernel.FITS_NOT else None), None
        rows, x, y = out.T.tolist()
        return True, Spread(tuple(placed), tuple(self._ways[row] for row in rows), tuple(x), tuple(y))

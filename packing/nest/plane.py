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
        self._rows: list[list[int]] = []
        for own in kinds:
            ordered = sorted(own, key=lambda way: (way.level_um, way.rects))
            self._rows.append(list(range(len(ways), len(ways) + len(ordered))))
            ways.extend(ordered)
        self._ways = ways
        self._rects = np.array([way.rects * 2 if len(way.rects) == 1 else way.rects for way in ways], np.int64)
        self._split = np.array([without_overlap(way) for way in ways], np.int64)
        self._size = np.array([(way.length_um, way.width_um) for way in ways], np.int64)
        self._area = np.array([area_um2(way) for way in ways], np.int64)
        self._image: list[list[int] | None] = [None] * len(ways)
        self._halves = np.zeros(len(ways), np.int64)
        for rows in self._rows:
            self._mirror(rows)
        self._reg_at, self._reg_n = (np.zeros((len(ways), len(ways)), np.int64) for _ in range(2))
        self._regs = np.zeros((1024, 4), np.int64)
        self._filled = 0
        self._known: set[tuple[int, int]] = set()
        self.nodes = 0

    def _mirror(self, rows: list[int]) -> None:
        """Find each way's mirror images among the ways of its kind."""
        at = {(self._ways[row].rects, self._ways[row].level_um): row for row in rows}
        for row in rows:
            way = self._ways[row]
            by_x, by_y = mirrored(way, along_x=True), mirrored(way, along_x=False)
            by_both = tuple((x0, way.width_um - y1, x1, way.width_um - y0) for x0, y0, x1, y1 in by_x)
            images = [at.get((shape, way.level_um)) for shape in (way.rects, by_x, by_y, by_both)]
            if None not in images:
                self._image[row] = [image for image in images if image is not None]
            self._halves[row] = (by_x == way.rects) + 2 * (by_y == way.rects)

    def _relate(self, a: int, b: int) -> None:
        """Fill in the relations between all ways of two kinds."""
        if (a, b) in self._known:
            return
        self._known.add((a, b))
        rows_a, rows_b = (np.array(self._rows[kind], np.int64) for kind in (a, b))
        most = self._filled + len(rows_a) * len(rows_b) * MOST_RELATIONS
        if most > len(self._regs):
            self._regs = np.concatenate([self._regs, np.zeros((2 * most - len(self._regs), 4), np.int64)])
        self._filled = kernel.relate(rows_a, rows_b, self._rects, self._reg_at, self._reg_n, self._regs, self._filled)

    def allowed(self, kind: int, level_um: int, room_x: int, room_y: int) -> list[int]:
        """Rows of the ways of a kind that are no higher than a level and fit a rectangle alone."""
        ways, size = self._ways, self._size
        return [
            row
            for row in self._rows[kind]
            if ways[row].level_um <= level_um and size[row, 0] <= room_x and size[row, 1] <= room_y
        ]

    def fits(
        self, kinds: Sequence[int], level_um: int, room_x: int, room_y: int, limit: int
    ) -> tuple[bool | None, Spread | None]:
        """Whether items fit a rectangle in one layer.

        Parameters
        ----------
        kinds
            The kind of each item; equal items adjoin.
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
        allowed = {kind: self.allowed(kind, level_um, room_x, room_y) for kind in set(kinds)}
        if not all(allowed.values()):
            return False, None
        least = {kind: min(int(self._area[row]) for row in rows) for kind, rows in allowed.items()}
        if sum(least[kind] for kind in kinds) > room_x * room_y:
            return False, None
        order = sorted(kinds, key=lambda kind: (-least[kind], kind))
        for j, b in enumerate(order):
            for a in order[:j]:
                self._relate(a, b)
        lists, halves = self._first_ways(order, allowed)
        rest = [sum(least[kind] for kind in order[k:]) for k in range(len(order) + 1)]
        out = np.zeros((len(order), 3), np.int64)
        answer, nodes = kernel.place(
            np.array([sum(map(len, lists[:k])) for k in range(len(lists))], np.int64),
            np.array([len(rows) for rows in lists], np.int64),
            np.array([row for rows in lists for row in rows], np.int64),
            np.array([k - 1 if k and order[k - 1] == kind else -1 for k, kind in enumerate(order)], np.int64),
            np.array(rest, np.int64),
            halves,
            self._size,
            self._area,
            self._split,
            self._reg_at,
            self._reg_n,
            self._regs,
            np.array([room_x, room_y], np.int64),
            limit,
            out,
        )
        self.nodes += int(nodes)
        if answer != kernel.FITS:
            return (False if answer == kernel.FITS_NOT else None), None
        rows, x, y = out.T.tolist()
        return True, Spread(tuple(order), tuple(self._ways[row] for row in rows), tuple(x), tuple(y))

    def _first_ways(self, order: list[int], allowed: dict[int, list[int]]) -> tuple[list[list[int]], Ints]:
        """The ways to try per item, and `halves` for the kernel.

        Notes
        -----
        A rectangle's mirror images are the same problem, so of the first item's ways that mirror each other one will
        do, and where a way is its own image its place need only be in the nearer half; the latter not where other items
        equal the first, for they are put in an order of their own.
        """
        lists = [allowed[kind] for kind in order]
        images = self._image
        if any(images[row] is None for kind in allowed for row in allowed[kind]):
            return lists, np.zeros_like(self._halves)
        lists[0] = [row for row in lists[0] if row == min(images[row] or [row])]
        return lists, np.zeros_like(self._halves) if order.count(order[0]) > 1 else self._halves

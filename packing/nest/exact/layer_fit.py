"""Exact placing in one layer: whether items fit a rectangle side by side, and where."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from packing.nest.exact import layer_fit_kernel as kernel
from packing.nest.exact.dual_feasible_kernel import CUTS, MEASURES, least_measures, measure, tightest
from packing.nest.exact.no_fit_regions_kernel import MOST_RELATIONS
from packing.nest.problem import GrownOrientation

Ints = NDArray[np.int64]

TIGHTEST = 10
"""Measures that are held against the room at every node: those nearest to full refute nearly all that any refutes."""

Rects = tuple[tuple[int, int, int, int], ...]


@dataclass(frozen=True, slots=True)
class FittedLayer:
    """Items in a layer: per item its kind, its way, and the least corner of its grown shape."""

    item_types: tuple[int, ...]
    orientations: tuple[GrownOrientation, ...]
    x_um: tuple[int, ...]
    y_um: tuple[int, ...]

    @property
    def extent_um(self) -> tuple[int, int]:
        """The extent of the shapes along x and y, from 0."""
        return (
            max(x + grown.length_um for x, grown in zip(self.x_um, self.orientations, strict=True)),
            max(y + grown.width_um for y, grown in zip(self.y_um, self.orientations, strict=True)),
        )


def mirrored(grown: GrownOrientation, *, along_x: bool) -> Rects:
    """A way's rectangles as a mirror shows them, x or y reversed."""
    if along_x:
        return tuple((grown.length_um - x1, y0, grown.length_um - x0, y1) for x0, y0, x1, y1 in grown.rects)
    return tuple((x0, grown.width_um - y1, x1, grown.width_um - y0) for x0, y0, x1, y1 in grown.rects)


def without_overlap(grown: GrownOrientation) -> Rects:
    """The same shape as two rectangles without common area: the second less its end that lies in the first."""
    a, *rest = grown.rects
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


def slices(grown: GrownOrientation) -> list[list[tuple[int, int]]]:
    """Lines that cut a way: first along y, then along x; up to three times breadth and length cut.

    Where a line cuts two pieces that do not meet, only the longer counts.
    """
    found: list[list[tuple[int, int]]] = []
    for axis in (0, 1):
        marks = sorted({edge for rect in grown.rects for edge in (rect[axis], rect[axis + 2])})
        cuts = []
        for low, high in pairwise(marks):
            spans = sorted((r[1 - axis], r[3 - axis]) for r in grown.rects if r[axis] <= low and high <= r[axis + 2])
            if len(spans) == 2 and spans[1][0] <= spans[0][1]:
                spans = [(spans[0][0], max(spans[0][1], spans[1][1]))]
            if spans:
                cuts.append((high - low, max(end - start for start, end in spans)))
        found.append(cuts)
    return found


@dataclass(frozen=True, slots=True)
class Floor:
    """The measures of one floor: of each way, of the floor, and the least of each kind at each level."""

    x: int
    y: int
    room: Ints
    values: Ints
    caps: Ints
    least: Ints


class LayerFit:
    """The items' ways as arrays, and the relations between them as they are asked for.

    Parameters
    ----------
    item_types
        Per kind of item, the ways it may lie.
    """

    def __init__(self, item_types: Sequence[Sequence[GrownOrientation]]) -> None:
        orientations: list[GrownOrientation] = []
        rows: list[list[int]] = []
        for own in item_types:
            # By level first: a search with less height allowed then leaves the rest of the rows out.
            ordered = sorted(own, key=lambda grown: (grown.level_um, grown.rects))
            rows.append(list(range(len(orientations), len(orientations) + len(ordered))))
            orientations.extend(ordered)
        self._ways, self._rows = orientations, rows
        self._first = np.array([own[0] for own in rows], np.int64)
        self._count = np.array([len(own) for own in rows], np.int64)
        self._rects = np.array(
            [grown.rects * 2 if len(grown.rects) == 1 else grown.rects for grown in orientations], np.int64
        )
        self._split = np.array([without_overlap(grown) for grown in orientations], np.int64)
        self._size = np.array([(grown.length_um, grown.width_um) for grown in orientations], np.int64)
        self.levels_um = sorted({grown.level_um for grown in orientations})
        self._rank = np.array([self.levels_um.index(grown.level_um) for grown in orientations], np.int64)
        self._slices = np.zeros((len(orientations), 2, 3, 2), np.int64)
        for row, grown in enumerate(orientations):
            for axis, cuts in enumerate(slices(grown)):
                self._slices[row, axis, : len(cuts)] = cuts
        self._pieces = [sorted({int(piece) for piece in self._slices[:, axis, :, 1].flat}) for axis in (0, 1)]
        self._mirror = np.array([code for own in rows for code in self._mirrors(own)], np.int64)
        self._region_first, self._region_count = (
            np.zeros((len(orientations), len(orientations)), np.int64) for _ in range(2)
        )
        # A first size; it is doubled as it fills, since few pairs of ways are ever asked for.
        self._regions = np.zeros((1024, 4), np.int64)
        self._filled = 0
        self._known: set[tuple[int, int]] = set()
        self._floor: Floor | None = None
        self.nodes = 0

    def _mirrors(self, rows: list[int]) -> list[int]:
        """`mirror` of the kernel, for the ways of one kind."""
        at = {(self._ways[row].rects, self._ways[row].level_um): row for row in rows}
        codes = []
        for row in rows:
            grown = self._ways[row]
            by_x, by_y = mirrored(grown, along_x=True), mirrored(grown, along_x=False)
            by_both = tuple((x0, grown.width_um - y1, x1, grown.width_um - y0) for x0, y0, x1, y1 in by_x)
            images = [at.get((shape, grown.level_um), -1) for shape in (by_x, by_y, by_both)]
            if min(images) < 0:
                # One way without its image is enough: the mirrored plan could not be made then.
                return [8] * len(rows)
            # Of ways that mirror each other the first stands for all.
            codes.append((by_x == grown.rects) + 2 * (by_y == grown.rects) + 4 * (min(images) < row))
        return codes

    def _relate(self, item_types: Sequence[int]) -> None:
        """Fill in the relations between all ways of these kinds, in the order in which they will be placed."""
        for j, b in enumerate(item_types):
            for a in item_types[:j]:
                if (a, b) in self._known:
                    continue
                self._known.add((a, b))
                rows_a, rows_b = (np.array(self._rows[item_type], np.int64) for item_type in (a, b))
                most = self._filled + len(rows_a) * len(rows_b) * MOST_RELATIONS
                if most > len(self._regions):
                    self._regions = np.concatenate(
                        [self._regions, np.zeros((2 * most - len(self._regions), 4), np.int64)]
                    )
                self._filled = kernel.relate(
                    rows_a, rows_b, self._rects, self._region_first, self._region_count, self._regions, self._filled
                )

    def floor(self, room_x: int, room_y: int) -> Floor:
        """The measures of a floor; the last one is kept."""
        if self._floor is None or (self._floor.x, self._floor.y) != (room_x, room_y):
            fitting = (self._size[:, 0] <= room_x) & (self._size[:, 1] <= room_y)
            cuts = np.array([_cuts(self._pieces[axis], line) for axis, line in ((0, room_y), (1, room_x))], np.int64)
            room = np.array([room_x, room_y], np.int64)
            values, caps = np.zeros((MEASURES, len(self._ways)), np.int64), np.zeros(MEASURES, np.int64)
            measure(self._slices, fitting, room, cuts, values, caps)
            least = np.zeros((MEASURES, len(self._rows), len(self.levels_um)), np.int64)
            least_measures(values, caps, self._first, self._count, self._rank, least)
            self._floor = Floor(room_x, room_y, room, values, caps, least)
        return self._floor

    def fits(
        self, item_types: Sequence[int], level: int, room_x: int, room_y: int, limit: int
    ) -> tuple[bool | None, FittedLayer | None]:
        """Tell whether items fit a rectangle in one layer.

        Parameters
        ----------
        item_types
            The kind of each item.
        level
            The index of the layer's height in `levels_um`: only ways up to it are allowed.
        room_x, room_y
            The rectangle for the grown shapes.
        limit
            Most nodes of the search; 0 for none.

        Returns
        -------
        (answer, spread)
            True with where they lie, False where it is proved that they do not fit, None where the limit ended the
            search.
        """
        floor, chosen = self.floor(room_x, room_y), np.zeros(TIGHTEST, np.int64)
        listed = np.array(item_types, np.int64)
        if not tightest(floor.least, floor.caps, listed, level, chosen):
            return False, None
        if limit == 0:
            return None, None
        # The same order for the same items, so that what is learnt of a set holds whenever it comes up.
        order = kernel.in_order(listed, floor.least[0, :, level])
        self._relate(order.tolist())
        out = np.zeros((len(order), 3), np.int64)
        answer, nodes = kernel.place(
            order, self._first, self._count, self._rank, self._size, self._split, self._mirror,
            floor.values, floor.caps, chosen, kernel.remaining(order, floor.least, level, chosen),
            self._region_first, self._region_count, self._regions, level, floor.room, limit, out,
        )  # fmt: skip
        self.nodes += int(nodes)
        if answer != kernel.FITS:
            return (False if answer == kernel.FITS_NOT else None), None
        rows, x, y = out.T.tolist()
        return True, FittedLayer(tuple(order.tolist()), tuple(self._ways[row] for row in rows), tuple(x), tuple(y))


def _cuts(pieces: list[int], line: int) -> list[int]:
    """Sizes at which a dual feasible function may gain: pieces up to half a line, and gaps beside longer ones."""
    sizes = {piece for piece in pieces if 0 < 2 * piece <= line}
    sizes |= {line - piece + 1 for piece in pieces if piece <= line < 2 * piece and 2 * (line - piece + 1) <= line}
    found = sorted(sizes)
    # Whatever sizes are taken the measure is true, so too many may be thinned out.
    if len(found) > CUTS:
        found = [found[k * (len(found) - 1) // (CUTS - 1)] for k in range(CUTS)]
    return found + [0] * (CUTS - len(found))

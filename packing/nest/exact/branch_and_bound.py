"""Branch and bound over the size of the floor: the least interior volume, bracketed from both sides.

A cell is a range of extents, X in [x0, x1] and Y in [y0, y1] with X >= Y (turning a plan by a quarter changes nothing).
No plan in a cell is lower than the least height of layers that hold all items on the floor x1 by y1, so none has less
volume than (x0 + side) (y0 + side) times that height. The least height is found by sharing the items out among layers,
all sharings at once, where a set may share a layer unless areas or an exact search in the plane say that it does not
fit. The cells with the least bound are looked at first, and halved.

References
----------
A. H. Land, A. G. Doig, "An automatic method of solving discrete programming problems", Econometrica 28 (1960),
497-520, doi:10.2307/1910129 (from memory): branch and bound, the cell with the least bound first.
"""

import heapq
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from packing.nest.bounds import limits_um, needs_of, within_limits
from packing.nest.exact.dual_feasible_kernel import tightest
from packing.nest.exact.item_types import ItemTypes
from packing.nest.exact.layer_fit import FittedLayer, LayerFit
from packing.nest.exact.layer_partition_kernel import NONE, lowest_levels, partition_into_layers
from packing.nest.problem import GrownOrientation, Problem

Ints = NDArray[np.int64]

COARSE = 0.06
"""Cells longer than that share of themselves are judged by areas alone: an exact search on a floor that is still this
uncertain is mostly in vain."""
HELPFUL, SHRINKING = 4, 2
"""So many measures are used at once: further ones seldom refute more sets than these and cost as much each. A clash is
shrunk with at most twice the nodes that it took to find."""
FIRST_LIMIT, GROWS, MOST_LIMIT = 1_000, 2, 400_000
"""Nodes of one search in the plane: few at first, so that an easy cell does not wait for a hard set; doubled each time
it comes up again, which wastes at most as much again; beyond the last a cell is set aside as open."""


@dataclass(frozen=True, slots=True, order=True)
class Cell:
    """A range of extents of the grown shapes, both ends included.

    Parameters
    ----------
    bound
        No plan in it has less volume.
    x0, x1, y0, y1
        The range.
    limit
        Most nodes of one search in the plane.
    """

    bound: int
    x0: int
    x1: int
    y0: int
    y1: int
    limit: int = FIRST_LIMIT


@dataclass(frozen=True, slots=True)
class LayerPartition:
    """A least height on some floor, and the layers that make it: per layer a set and the index of its level."""

    height: int
    layers: tuple[tuple[int, int], ...]


class RelaxationMap:
    """The sets and levels of a proof as those of an easier one.

    Parameters
    ----------
    proof
        The easier proof.
    item_types, levels
        Of the harder one. Equal items there are equal here.
    """

    def __init__(self, proof: "BranchAndBound", item_types: ItemTypes, levels: Sequence[int]) -> None:
        self.proof = proof
        self._type = [proof.item_types.of[item_types.of.index(item_type)] for item_type in range(len(item_types.most))]
        self.sets = item_types.has @ proof.item_types.weights[self._type]
        height = np.searchsorted(np.array(levels, np.int64), np.array(proof._levels, np.int64))
        self.level = np.append(height, len(levels)).astype(np.int64)
        own = [sum(most for most, k in zip(item_types.most, self._type, strict=True) if k == of) for of in self._type]
        self._merged = [there > here for there, here in zip(own, item_types.most, strict=True)]

    def merged(self, listed: Sequence[int]) -> bool:
        """Tell whether some of these kinds are one with others in the easier proof."""
        return any(self._merged[item_type] for item_type in listed)


class BranchAndBound:
    """The state of one proof; `run` may be called again.

    Parameters
    ----------
    problem
        The order. Memory and time grow with `ItemTypes(...).work`.
    upper_um3
        The best volume known: only smaller plans are looked for.
    relaxed
        The proof of an easier order (see `relaxation`), item by item: what does not fit there does not fit here, and
        many sets here are one set there.

    Attributes
    ----------
    found
        The layers of the smallest plan found, None where none was smaller than the best known; `upper` is its volume.
    too_high
        After `fit_largest` has said no: how much the order is at least too high for the largest interior.
    """

    def __init__(self, problem: Problem, upper_um3: int, relaxed: "BranchAndBound | None" = None) -> None:
        orientations = within_limits(problem)
        self.problem, self.upper = problem, upper_um3
        self.item_types = ItemTypes(orientations)
        self.found: list[FittedLayer] | None = None
        self._steps = self.too_high = 0
        self._side = problem.side_um
        self._limits = limits_um(problem)
        self._layer_fit = LayerFit(self.item_types.orientations)
        self._levels = self._layer_fit.levels_um
        # What the tallest item needs at the least: some layer of every plan is as high as this.
        self._common = self._levels.index(max(needs_of(problem, orientations).levels_um))
        self._all = np.array(self.item_types.of, np.int64)
        self._cost = np.array(self._levels, np.int64) + problem.between_um
        self._clashes = np.zeros((0, 4), np.int64)
        self._known_fits: dict[int, list[tuple[int, FittedLayer]]] = {}
        self._tried: dict[tuple[int, int, int, int], int] = {}
        self._at, self._best, self._pick = (np.zeros(self.item_types.sets, np.int64) for _ in range(3))
        self._relaxed = None if relaxed is None else RelaxationMap(relaxed, self.item_types, self._levels)
        self._open = self._root_cell(orientations)
        self._aside: list[Cell] = []

    def _root_cell(self, orientations: Sequence[tuple[GrownOrientation, ...]]) -> list[Cell]:
        """The cell that holds every plan smaller than the best known; none where there is no such plan."""
        needs = needs_of(self.problem, orientations)
        height = self.problem.pads_um + max(needs.levels_um)
        x0, y0 = max(needs.long_um, needs.short_um), needs.short_um
        area = self.upper // height
        x1, y1 = area // (y0 + self._side) - self._side, area // (x0 + self._side) - self._side
        if self._limits is not None:
            x1, y1 = min(x1, self._limits[0] - self._side), min(y1, self._limits[1] - self._side)
        y1 = min(x1, y1)
        bound = (x0 + self._side) * (y0 + self._side) * height
        return [Cell(bound, x0, x1, y0, y1)] if x0 <= x1 and y0 <= y1 and bound < self.upper else []

    @property
    def steps(self) -> int:
        """Effort so far, that of the easier proof included."""
        return self._steps + (0 if self._relaxed is None else self._relaxed.proof.steps)

    @property
    def bound_um3(self) -> int:
        """No plan has a smaller volume than this, or than the best known."""
        opened = self._open[0].bound if self._open else self.upper
        return min([self.upper, opened, *(cell.bound for cell in self._aside)])

    @property
    def done(self) -> bool:
        """True where there is surely no smaller plan than the best known."""
        return self.bound_um3 >= self.upper

    def run(self, enough: Callable[[int], bool]) -> None:
        """Go on until the proof is done or `enough`, asked with the steps so far, says so."""
        while self._open and not self.done and not enough(self.steps):
            cell = heapq.heappop(self._open)
            # The best known may have become smaller since the cell was kept.
            if cell.bound < self.upper:
                for part in self._explore(cell, enough):
                    if part.x0 <= part.x1 and part.y0 <= part.y1 and part.bound < self.upper:
                        heapq.heappush(self._open, part)

    def fit_largest(self, enough: Callable[[int], bool]) -> bool | None:
        """Tell whether all items fit the largest interior, which the problem must have; then `found` says how.

        Returns
        -------
        bool or None
            None where `enough` ended the search first.
        """
        if self._limits is None:
            return None
        x, y = self._limits[0] - self._side, self._limits[1] - self._side
        limit = FIRST_LIMIT
        while not enough(self.steps):
            partition = self._least(x, y)
            if partition is None:
                return False
            answer, fitted_layers = self._place(partition, x, y, limit)
            if answer:
                self.found = fitted_layers
                return True
            if answer is None:
                # There is this one floor and nothing else to look at, so the limit has no end but the effort's.
                limit *= GROWS
        return None

    def _explore(self, cell: Cell, enough: Callable[[int], bool]) -> list[Cell]:
        """The rest of a cell: nothing, two halves, or itself where the time is over."""
        while True:
            partition = self._least(cell.x1, cell.y1)
            if partition is None:
                return []
            cell = self._tightened(cell, partition.height)
            if cell.bound >= self.upper or cell.x0 > cell.x1 or cell.y0 > cell.y1:
                return []
            coarse = max((cell.x1 - cell.x0) / cell.x0, (cell.y1 - cell.y0) / cell.y0) > COARSE
            answer, fitted_layers = self._place(partition, cell.x1, cell.y1, 0 if coarse else cell.limit)
            if answer is not False:
                break
            if enough(self.steps):
                return [cell]
        if answer:
            x, y = (max(fitted.extent_um[axis] for fitted in fitted_layers) for axis in (0, 1))
            self._take(fitted_layers, x, y, partition.height)
            # Every plan in the rest of this cell is longer than the one found and no lower, so only a narrower floor
            # can be better.
            if cell.x0 >= x:
                return [replace(cell, y1=y - 1)]
            if cell.y0 >= y:
                return [replace(cell, x1=x - 1)]
        elif not coarse:
            if cell.x0 == cell.x1 and cell.y0 == cell.y1 and cell.limit == MOST_LIMIT:
                # Still a part of the bound: what was given up must not count as proved.
                self._aside.append(cell)
                return []
            cell = replace(cell, limit=min(MOST_LIMIT, cell.limit * GROWS))
        return self._branch(cell, partition.height)

    def _tightened(self, cell: Cell, height: int) -> Cell:
        """A cell without the part in which nothing this high is smaller than the best known, nor Y more than X."""
        side = self._side
        # Less one: a plan as large as the best known is no improvement.
        area = (self.upper - 1) // height
        x0 = max(cell.x0, cell.y0)
        bound = max(cell.bound, (x0 + side) * (cell.y0 + side) * height)
        x1 = min(cell.x1, area // (cell.y0 + side) - side)
        y1 = min(cell.y1, area // (x0 + side) - side, x1)
        return replace(cell, bound=bound, x0=x0, x1=x1, y1=y1)

    def _branch(self, cell: Cell, height: int) -> list[Cell]:
        side = self._side
        x0, x1, y0, y1 = cell.x0, cell.x1, cell.y0, cell.y1
        if x0 == x1 and y0 == y1:
            return [cell]
        # The side is halved that is the longer as a share of itself: halving it raises the bound the most.
        if (x1 - x0) * (y0 + side) >= (y1 - y0) * (x0 + side):
            middle = (x0 + x1) // 2
            halves = [replace(cell, x1=middle), replace(cell, x0=middle + 1)]
        else:
            middle = (y0 + y1) // 2
            halves = [replace(cell, y1=middle), replace(cell, y0=middle + 1)]
        return [self._tightened(half, height) for half in halves]

    def _least(self, x: int, y: int) -> LayerPartition | None:
        """The least interior height on a floor x by y, as far as is known; None where nothing fits."""
        self._raise_levels(x, y)
        item_types = self.item_types
        total = partition_into_layers(self._cost, self._at, item_types.start, item_types.parted, self._best, self._pick)
        height = self.problem.pads_um - self.problem.between_um + total
        if total >= NONE or (self._limits is not None and height > self._limits[2]):
            self.too_high = height - self._limits[2] if self._limits is not None and total < NONE else 0
            return None
        layers, rest = [], item_types.sets - 1
        while rest:
            layer = int(self._pick[rest])
            layers.append((layer, int(self._at[layer])))
            rest -= layer
        return LayerPartition(height, tuple(layers))

    def _raise_levels(self, x: int, y: int) -> None:
        """Fill in the lowest level at which each set may fit a floor x by y, as far as is known."""
        item_types, known = self.item_types, self._clashes
        known = np.ascontiguousarray(known[(known[:, 2] >= x) & (known[:, 3] >= y), :2])
        # What filling in the table costs in nodes of a search, so that the effort is shared by work and not by calls.
        self._steps += 100 + item_types.work // 500
        self._at[:] = 0
        if self._relaxed is not None:
            relaxed = self._relaxed.proof
            relaxed._raise_levels(x, y)
            self._at[:] = self._relaxed.level[relaxed._at[self._relaxed.sets]]
        floor = self._layer_fit.floor(x, y)
        chosen = np.zeros((2, HELPFUL), np.int64)
        # At the highest level every way counts, at the other one the ways that are low: each refutes sets that the
        # other leaves.
        for row, level in enumerate((len(self._levels) - 1, self._common)):
            tightest(floor.least, floor.caps, self._all, level, chosen[row])
        lowest_levels(item_types.has, item_types.weights, floor.least, floor.caps, np.unique(chosen), known, self._at)

    def refutes(self, items: int, height_um: int, x: int, y: int, limit: int) -> bool:
        """Tell whether a set is proved not to fit a layer of a height, here or in the easier proof."""
        level = bisect_right(self._levels, height_um) - 1
        if level < 0 or self._refuted_by_relaxation(items, height_um, x, y, limit):
            return True
        return self._fit_layer(items, level, x, y, limit)[0] is False

    def _refuted_by_relaxation(self, items: int, height_um: int, x: int, y: int, limit: int) -> bool:
        """The same in the easier proof, where that tells anything new."""
        relaxed = self._relaxed
        if relaxed is None or not relaxed.merged(self.item_types.listed(items)):
            return False
        return relaxed.proof.refutes(int(relaxed.sets[items]), height_um, x, y, limit)

    def _fit_layer(self, items: int, level: int, x: int, y: int, limit: int) -> tuple[bool | None, FittedLayer | None]:
        """Tell whether and how a set fits a layer; what is learnt is kept."""
        # A set that fitted a smaller or a lower floor fits this one: no search.
        for known_level, fitted in self._known_fits.get(items, []):
            if known_level <= level and fitted.extent_um[0] <= x and fitted.extent_um[1] <= y:
                return True, fitted
        before = self._layer_fit.nodes
        answer, found = self._fits(items, level, x, y, limit)
        if answer is False:
            self._learn_clash(items, level, x, y, SHRINKING * (self._layer_fit.nodes - before))
        if found is not None:
            self._known_fits.setdefault(items, []).append((level, found))
        return answer, found

    def _place(self, partition: LayerPartition, x: int, y: int, limit: int) -> tuple[bool | None, list[FittedLayer]]:
        """Try every layer of a sharing in the plane; where one cannot be, remember that."""
        fitted_layers: list[FittedLayer] = []
        for items, level in partition.layers:
            if self._refuted_by_relaxation(items, self._levels[level], x, y, limit):
                return False, []
            answer, fitted = self._fit_layer(items, level, x, y, limit)
            if answer is False:
                return False, []
            if fitted is not None:
                fitted_layers.append(fitted)
        return (True if len(fitted_layers) == len(partition.layers) else None), fitted_layers

    def _fits(self, items: int, level: int, x: int, y: int, limit: int) -> tuple[bool | None, FittedLayer | None]:
        """Ask the plane, unless it has been asked the same with no less effort in vain."""
        key = (items, level, x, y)
        if self._tried.get(key, -1) >= limit:
            return None, None
        before = self._layer_fit.nodes
        answer = self._layer_fit.fits(self.item_types.listed(items), level, x, y, limit)
        # Asking costs something even where no node is opened.
        self._steps += 20 + self._layer_fit.nodes - before
        if answer[0] is None:
            self._tried[key] = limit
        return answer

    def _learn_clash(self, items: int, level: int, x: int, y: int, effort: int) -> None:
        """Remember a set that does not fit a layer; smaller, or for higher levels too, where `effort` shows that."""
        item_types, last = self.item_types, self._layer_fit.nodes + effort

        def refuted(part: int, level: int) -> bool:
            # Half of what is left each time: many small tries come before one that eats the effort.
            limit = max(0, last - self._layer_fit.nodes) // 2
            return self._fits(part, level, x, y, limit)[0] is False

        for item_type in range(len(item_types.most)):
            # Two items that clash are as small as a clash gets: one alone always fits, or it would not be here.
            while item_types.count(items, item_type) and len(item_types.listed(items)) > 2:
                if not refuted(items - item_types.weight[item_type], level):
                    break
                items -= item_types.weight[item_type]
        while level + 1 < len(self._levels) and refuted(items, level + 1):
            level += 1
        self._clashes = np.concatenate([self._clashes, np.array([(items, level, x, y)], np.int64)])

    def _take(self, fitted_layers: list[FittedLayer], x: int, y: int, height: int) -> None:
        volume = (x + self._side) * (y + self._side) * height
        if volume < self.upper:
            self.upper, self.found = volume, fitted_layers

"""Branch and bound over the size of the floor: the least interior volume, bracketed from both sides.

A cell is a range of extents, X in [x0, x1] and Y in [y0, y1] with X >= Y (turning a plan by a quarter changes nothing).
No plan in a cell is lower than the least height of layers that hold all items on the floor x1 by y1, so none has less
volume than (x0 + side) (y0 + side) times that height. The least height is found by sharing the items out among layers,
all sharings at once, where a set may share a layer unless areas or an exact search in the plane say that it does not
fit. The cells with the least bound are looked at first, and halved.
"""

import heapq
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from packing.nest.bounds import limits_um, needs_of, within_limits
from packing.nest.exact.dual_feasible_kernel import tightest
from packing.nest.exact.item_types import Kinds
from packing.nest.exact.layer_fit import Plane, Spread
from packing.nest.exact.layer_partition_kernel import NONE, lowest_levels, share_out
from packing.nest.problem import Problem, Way

Ints = NDArray[np.int64]

COARSE = 0.06
HELPFUL, SHRINKING = 4, 2
FIRST_LIMIT, GROWS, MOST_LIMIT = 1_000, 2, 400_000


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
class Sharing:
    """A least height on some floor, and the layers that make it: per layer a set and the index of its level."""

    height: int
    layers: tuple[tuple[int, int], ...]


class Easier:
    """How the sets and levels of a proof correspond to those of an easier one.

    Parameters
    ----------
    proof
        The easier proof.
    kinds, levels
        Of the harder one. Equal items there are equal here.
    """

    def __init__(self, proof: "Proof", kinds: Kinds, levels: Sequence[int]) -> None:
        self.proof = proof
        self._kind = [proof.kinds.of[kinds.of.index(kind)] for kind in range(len(kinds.most))]
        self.sets = kinds.has @ proof.kinds.weights[self._kind]
        height = np.searchsorted(np.array(levels, np.int64), np.array(proof._levels, np.int64))
        self.level = np.append(height, len(levels)).astype(np.int64)
        own = [sum(most for most, k in zip(kinds.most, self._kind, strict=True) if k == kind) for kind in self._kind]
        self._merged = [there > here for there, here in zip(own, kinds.most, strict=True)]

    def merged(self, listed: Sequence[int]) -> bool:
        """Whether some of these kinds are one with others in the easier proof."""
        return any(self._merged[kind] for kind in listed)


class Proof:
    """The state of one proof; `run` may be called again.

    Parameters
    ----------
    problem
        The order. Memory and time grow with `Kinds(...).work`; see `affordable`.
    upper_um3
        The best volume known: only smaller plans are looked for.
    easier
        The proof of an easier order (see `relaxation`), item by item: what does not fit there does not fit here, and
        many sets here are one set there.

    Attributes
    ----------
    found
        The layers of the smallest plan found, None where none was smaller than the best known; `upper` is its volume.
    too_high
        After `settle_largest` has said no: how much the order is at least too high for the largest interior.
    """

    def __init__(self, problem: Problem, upper_um3: int, easier: "Proof | None" = None) -> None:
        ways = within_limits(problem)
        self.problem, self.upper = problem, upper_um3
        self.kinds = Kinds(ways)
        self.found: list[Spread] | None = None
        self._steps = self.too_high = 0
        self._side = problem.side_um
        self._limits = limits_um(problem)
        self._plane = Plane(self.kinds.ways)
        self._levels = self._plane.levels_um
        self._common = self._levels.index(max(needs_of(problem, ways).levels_um))
        self._all = np.array(self.kinds.of, np.int64)
        self._cost = np.array(self._levels, np.int64) + problem.between_um
        self._clashes = np.zeros((0, 4), np.int64)
        self._spreads: dict[int, list[tuple[int, Spread]]] = {}
        self._tried: dict[tuple[int, int, int, int], int] = {}
        self._at, self._best, self._pick = (np.zeros(self.kinds.sets, np.int64) for _ in range(3))
        self._easier = None if easier is None else Easier(easier, self.kinds, self._levels)
        self._open = self._whole(ways)
        self._aside: list[Cell] = []

    def _whole(self, ways: Sequence[tuple[Way, ...]]) -> list[Cell]:
        """The cell that holds every plan smaller than the best known; none where there is no such plan."""
        needs = needs_of(self.problem, ways)
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
        return self._steps + (0 if self._easier is None else self._easier.proof.steps)

    @property
    def bound_um3(self) -> int:
        """No plan has a smaller volume than this, or than the best known."""
        opened = self._open[0].bound if self._open else self.upper
        return min([self.upper, opened, *(cell.bound for cell in self._aside)])

    @property
    def done(self) -> bool:
        """Whether there is surely no smaller plan than the best known."""
        return self.bound_um3 >= self.upper

    def run(self, enough: Callable[[int], bool]) -> None:
        """Go on until the proof is done or `enough`, asked with the steps so far, says so."""
        while self._open and not self.done and not enough(self.steps):
            cell = heapq.heappop(self._open)
            if cell.bound < self.upper:
                for part in self._look(cell, enough):
                    if part.x0 <= part.x1 and part.y0 <= part.y1 and part.bound < self.upper:
                        heapq.heappush(self._open, part)

    def settle_largest(self, enough: Callable[[int], bool]) -> bool | None:
        """Whether all items fit the largest interior, which the problem must have; then `found` says how.

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
            sharing = self._least(x, y)
            if sharing is None:
                return False
            answer, spreads = self._place(sharing, x, y, limit)
            if answer:
                self.found = spreads
                return True
            if answer is None:
                limit *= GROWS
        return None

    def _look(self, cell: Cell, enough: Callable[[int], bool]) -> list[Cell]:
        """What remains of a cell: nothing, two halves, or itself where the time is over."""
        while True:
            sharing = self._least(cell.x1, cell.y1)
            if sharing is None:
                return []
            cell = self._clipped(cell, sharing.height)
            if cell.bound >= self.upper or cell.x0 > cell.x1 or cell.y0 > cell.y1:
                return []
            coarse = max((cell.x1 - cell.x0) / cell.x0, (cell.y1 - cell.y0) / cell.y0) > COARSE
            answer, spreads = self._place(sharing, cell.x1, cell.y1, 0 if coarse else cell.limit)
            if answer is not False:
                break
            if enough(self.steps):
                return [cell]
        if answer:
            x, y = (max(spread.extent_um[axis] for spread in spreads) for axis in (0, 1))
            self._take(spreads, x, y, sharing.height)
            if cell.x0 >= x:
                return [replace(cell, y1=y - 1)]
            if cell.y0 >= y:
                return [replace(cell, x1=x - 1)]
        elif not coarse:
            if cell.x0 == cell.x1 and cell.y0 == cell.y1 and cell.limit == MOST_LIMIT:
                self._aside.append(cell)
                return []
            cell = replace(cell, limit=min(MOST_LIMIT, cell.limit * GROWS))
        return self._halves(cell, sharing.height)

    def _clipped(self, cell: Cell, height: int) -> Cell:
        """A cell without the part in which nothing this high is smaller than the best known, nor Y more than X."""
        side = self._side
        area = (self.upper - 1) // height
        x0 = max(cell.x0, cell.y0)
        bound = max(cell.bound, (x0 + side) * (cell.y0 + side) * height)
        x1 = min(cell.x1, area // (cell.y0 + side) - side)
        y1 = min(cell.y1, area // (x0 + side) - side, x1)
        return replace(cell, bound=bound, x0=x0, x1=x1, y1=y1)

    def _halves(self, cell: Cell, height: int) -> list[Cell]:
        side = self._side
        x0, x1, y0, y1 = cell.x0, cell.x1, cell.y0, cell.y1
        if x0 == x1 and y0 == y1:
            return [cell]
        if (x1 - x0) * (y0 + side) >= (y1 - y0) * (x0 + side):
            middle = (x0 + x1) // 2
            halves = [replace(cell, x1=middle), replace(cell, x0=middle + 1)]
        else:
            middle = (y0 + y1) // 2
            halves = [replace(cell, y1=middle), replace(cell, y0=middle + 1)]
        return [self._clipped(half, height) for half in halves]

    def _least(self, x: int, y: int) -> Sharing | None:
        """The least interior height on a floor x by y, as far as is known; None where nothing fits."""
        self._raise_levels(x, y)
        kinds = self.kinds
        total = share_out(self._cost, self._at, kinds.start, kinds.parted, self._best, self._pick)
        height = self.problem.pads_um - self.problem.between_um + total
        if total >= NONE or (self._limits is not None and height > self._limits[2]):
            self.too_high = height - self._limits[2] if self._limits is not None and total < NONE else 0
            return None
        layers, rest = [], kinds.sets - 1
        while rest:
            layer = int(self._pick[rest])
            layers.append((layer, int(self._at[layer])))
            rest -= layer
        return Sharing(height, tuple(layers))

    def _raise_levels(self, x: int, y: int) -> None:
        """Fill in the lowest level at which each set may fit a floor x by y, as far as is known."""
        kinds, known = self.kinds, self._clashes
        known = np.ascontiguousarray(known[(known[:, 2] >= x) & (known[:, 3] >= y), :2])
        self._steps += 100 + kinds.work // 500
        self._at[:] = 0
        if self._easier is not None:
            easier = self._easier.proof
            easier._raise_levels(x, y)
            self._at[:] = self._easier.level[easier._at[self._easier.sets]]
        floor = self._plane.floor(x, y)
        chosen = np.zeros((2, HELPFUL), np.int64)
        for row, level in enumerate((len(self._levels) - 1, self._common)):
            tightest(floor.least, floor.caps, self._all, level, chosen[row])
        lowest_levels(kinds.has, kinds.weights, floor.least, floor.caps, np.unique(chosen), known, self._at)

    def refutes(self, items: int, height_um: int, x: int, y: int, limit: int) -> bool:
        """Whether a set is proved not to fit a layer of a height, here or in the easier proof."""
        level = bisect_right(self._levels, height_um) - 1
        if level < 0 or self._easily_refuted(items, height_um, x, y, limit):
            return True
        return self._spread(items, level, x, y, limit)[0] is False

    def _easily_refuted(self, items: int, height_um: int, x: int, y: int, limit: int) -> bool:
        """The same in the easier proof, where that tells anything new."""
        easier = self._easier
        if easier is None or not easier.merged(self.kinds.listed(items)):
            return False
        return easier.proof.refutes(int(easier.sets[items]), height_um, x, y, limit)

    def _spread(self, items: int, level: int, x: int, y: int, limit: int) -> tuple[bool | None, Spread | None]:
        """Whether and how a set fits a layer; what is learnt is kept."""
        for known_level, spread in self._spreads.get(items, []):
            if known_level <= level and spread.extent_um[0] <= x and spread.extent_um[1] <= y:
                return True, spread
        before = self._plane.nodes
        answer, found = self._fits(items, level, x, y, limit)
        if answer is False:
            self._clash(items, level, x, y, SHRINKING * (self._plane.nodes - before))
        if found is not None:
            self._spreads.setdefault(items, []).append((level, found))
        return answer, found

    def _place(self, sharing: Sharing, x: int, y: int, limit: int) -> tuple[bool | None, list[Spread]]:
        """Try every layer of a sharing in the plane; where one cannot be, remember that."""
        spreads: list[Spread] = []
        for items, level in sharing.layers:
            if self._easily_refuted(items, self._levels[level], x, y, limit):
                return False, []
            answer, spread = self._spread(items, level, x, y, limit)
            if answer is False:
                return False, []
            if spread is not None:
                spreads.append(spread)
        return (True if len(spreads) == len(sharing.layers) else None), spreads

    def _fits(self, items: int, level: int, x: int, y: int, limit: int) -> tuple[bool | None, Spread | None]:
        """Ask the plane, unless it has been asked the same with no less effort in vain."""
        key = (items, level, x, y)
        if self._tried.get(key, -1) >= limit:
            return None, None
        before = self._plane.nodes
        answer = self._plane.fits(self.kinds.listed(items), level, x, y, limit)
        self._steps += 20 + self._plane.nodes - before
        if answer[0] is None:
            self._tried[key] = limit
        return answer

    def _clash(self, items: int, level: int, x: int, y: int, effort: int) -> None:
        """Remember a set that does not fit a layer; smaller, or for higher levels too, where `effort` shows that."""
        kinds, last = self.kinds, self._plane.nodes + effort

        def refuted(part: int, level: int) -> bool:
            limit = max(0, last - self._plane.nodes) // 2
            return self._fits(part, level, x, y, limit)[0] is False

        for kind in range(len(kinds.most)):
            while kinds.count(items, kind) and len(kinds.listed(items)) > 2:
                if not refuted(items - kinds.weight[kind], level):
                    break
                items -= kinds.weight[kind]
        while level + 1 < len(self._levels) and refuted(items, level + 1):
            level += 1
        self._clashes = np.concatenate([self._clashes, np.array([(items, level, x, y)], np.int64)])

    def _take(self, spreads: list[Spread], x: int, y: int, height: int) -> None:
        volume = (x + self._side) * (y + self._side) * height
        if volume < self.upper:
            self.upper, self.found = volume, spreads

"""Branch and bound over the size of a box around boxes: the least volume, bracketed from both sides.

As `exact.branch_and_bound`, with one more dimension and one question: do all boxes fit the largest corner of the cell?
Extents that are no sum of sides of boxes (at most one of each) need not be looked at: a plan whose boxes are pushed
together has none.

References
----------
S. Martello, D. Pisinger, D. Vigo, "The three-dimensional bin packing problem", Operations Research 48 (2000), 256-267
(abstract of the report of 1997 read; journal from memory); N. Christofides, C. Whitlock, "An algorithm for
two-dimensional cutting problems", Operations Research 25 (1977), 30-44 (from memory): places at sums of sides alone.
"""

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from math import gcd, prod

import numpy as np

from packing.nest.exact.layer_fit_kernel import FITS, FITS_NOT
from packing.nest.stacked.box_fit_kernel import place_boxes

Sides = tuple[int, int, int]

COARSE = 0.1
"""Cells longer than that share of themselves get a short search alone."""
FIRST_LIMIT, GROWS, MOST_LIMIT = 500, 2, 400_000
"""As for layers; half as many nodes at first, since a node in space costs more."""
CELL_STEPS = 50
"""Cost in nodes of looking at a cell, so that cells without a search are not free."""
FINEST = 200_000
"""Sums of sides are told apart as bits of one number; with more bits than this a cell takes milliseconds, and then
every length counts as a sum."""


@dataclass(frozen=True, slots=True, order=True)
class Cell:
    """A range of extents, both ends included; no plan in it has less volume than `bound`."""

    bound: int
    low: Sides
    high: Sides
    limit: int = FIRST_LIMIT


class Sums:
    """Lengths that are sums of some of the boxes' sides, at most one of each box.

    Parameters
    ----------
    choices
        Per box, the sides it may lay along an axis.
    """

    def __init__(self, choices: Sequence[frozenset[int]]) -> None:
        self._unit = reduce(gcd, (side for own in choices for side in own))
        total = sum(max(own) for own in choices) // self._unit
        self._all = total > FINEST
        self._sums = 1
        if not self._all:
            for own in choices:
                self._sums |= reduce(int.__or__, (self._sums << side // self._unit for side in own))

    def up(self, length: int) -> int:
        """The least sum not less than a length; the length itself beyond all sums."""
        steps = -(-length // self._unit)
        above = self._sums >> steps
        if self._all or not above:
            return length
        return (steps + (above & -above).bit_length() - 1) * self._unit

    def down(self, length: int) -> int:
        """The greatest sum not more than a length; -1 below all."""
        if self._all or length < 0:
            return length
        return ((self._sums & ((2 << length // self._unit) - 1)).bit_length() - 1) * self._unit


class StackedBranchAndBound:
    """The state of one proof; `run` may be called again.

    Parameters
    ----------
    orientations
        Per box, the sides (x, y, z) it may stand with; turning about the vertical is always among them.
    add
        What walls and pads add to each extent.
    upper
        The best volume known: only smaller plans are looked for.
    most
        Largest interior, its longer side first; None for none.
    """

    def __init__(self, orientations: Sequence[tuple[Sides, ...]], add: Sides, upper: int, most: Sides | None) -> None:
        # Large boxes first, so that contradictions come early; equal ones side by side, so that their order can be
        # fixed.
        self.order = sorted(
            range(len(orientations)), key=lambda k: (-prod(orientations[k][0]), sorted(orientations[k]), k)
        )
        self._orientations = [sorted(orientations[k]) for k in self.order]
        self.upper, self.steps = upper, 0
        self.found: list[tuple[Sides, Sides]] | None = None
        self._add, self._most = add, most
        self._volume = sum(prod(own[0]) for own in orientations)
        self._sums = [Sums([frozenset(side[axis] for side in own) for own in orientations]) for axis in range(3)]
        turns = all(len(set(own)) == len({(a, c, b) for a, b, c in own} | set(own)) for own in self._orientations)
        self._turns = turns and add[0] == add[2] and most is None
        low = [max(min(side[axis] for side in own) for own in orientations) for axis in range(3)]
        longest = max(min(max(side[:2]) for side in own) for own in orientations)
        # Length is the longer side of the floor, so no box's longer side on the floor is more.
        low[0] = max(low[0], longest)
        high = [
            upper // ((low[b] + add[b]) * (low[c] + add[c])) - add[a] for a, b, c in ((0, 1, 2), (1, 0, 2), (2, 0, 1))
        ]
        if most is not None:
            high = [min(side, limit - added) for side, limit, added in zip(high, most, add, strict=True)]
        self._open: list[Cell] = []
        self._aside: list[Cell] = []
        self._push(Cell(0, (low[0], low[1], low[2]), (high[0], high[1], high[2])))

    @property
    def bound(self) -> int:
        """No plan has a smaller volume than this, or than the best known."""
        opened = self._open[0].bound if self._open else self.upper
        return min([self.upper, opened, *(cell.bound for cell in self._aside)])

    @property
    def done(self) -> bool:
        """True where there is surely no smaller plan than the best known."""
        return self.bound >= self.upper

    def run(self, enough: Callable[[int], bool]) -> None:
        """Go on until the proof is done or `enough`, asked with the steps so far, says so."""
        while self._open and not self.done and not enough(self.steps):
            cell = heapq.heappop(self._open)
            if cell.bound < self.upper:
                self._explore(cell)

    def _push(self, cell: Cell) -> None:
        """Clip a cell to what can hold a smaller plan, and keep it unless nothing is left."""
        low, high, add = list(cell.low), list(cell.high), self._add
        before: list[int] = []
        # Each clipped side clips the others again, until none moves.
        while before != low + high:
            before = low + high
            # Height and width may change places where every block may and pads are as thick as walls: one half is
            # enough.
            if self._turns:
                low[1], high[2] = max(low[1], low[2]), min(high[2], high[1])
            low[0], high[1] = max(low[0], low[1]), min(high[1], high[0])
            for a, b, c in ((0, 1, 2), (1, 0, 2), (2, 0, 1)):
                floor = (low[b] + add[b]) * (low[c] + add[c])
                # An extent is a sum of some blocks’ sides, as everything can be pushed to one corner: lengths between
                # two sums are left out.
                high[a] = self._sums[a].down(min(high[a], (self.upper - 1) // floor - add[a]))
                if high[b] <= 0 or high[c] <= 0:
                    return
                low[a] = self._sums[a].up(max(low[a], -(-self._volume // (high[b] * high[c]))))
            if any(one > other for one, other in zip(low, high, strict=True)):
                return
        bound = max(cell.bound, self._least((low[0], low[1], low[2])))
        if bound < self.upper:
            heapq.heappush(self._open, Cell(bound, (low[0], low[1], low[2]), (high[0], high[1], high[2]), cell.limit))

    def _least(self, low: Sides) -> int:
        """The least volume with extents of at least `low` that hold all boxes.

        Notes
        -----
        Multiplied out, the volume is the product of the extents, at least the boxes' own volume, and terms that grow
        with the extents, unless something is taken off them.
        """
        x, y, z = (side + added for side, added in zip(low, self._add, strict=True))
        return x * y * z + (max(0, self._volume - prod(low)) if min(self._add) >= 0 else 0)

    def _explore(self, cell: Cell) -> None:
        """Close, halve or put aside one cell."""
        self.steps += CELL_STEPS
        low, high = cell.low, cell.high
        shares = [(high[a] - low[a]) / (low[a] + self._add[a]) for a in range(3)]
        coarse = max(shares) > COARSE
        answer, found = self._fits(high, FIRST_LIMIT if coarse else cell.limit)
        if answer is False:
            return
        if answer:
            extent = [max(at[a] + side[a] for at, side in found) for a in range(3)]
            volume = prod(side + added for side, added in zip(extent, self._add, strict=True))
            if volume < self.upper:
                self.upper, self.found = volume, found
            reached = [low[a] >= extent[a] for a in range(3)]
            # As short as the cell allows along two axes, so that only the third can still be less.
            if sum(reached) == 2:
                axis = reached.index(False)
                self._push(replace(cell, high=_with(high, axis, extent[axis] - 1)))
                return
        elif not coarse:
            if low == high and cell.limit == MOST_LIMIT:
                # Still a part of the bound: what was given up must not count as proved.
                self._aside.append(cell)
                return
            cell = replace(cell, limit=min(MOST_LIMIT, cell.limit * GROWS))
        axis = shares.index(max(shares))
        middle = (low[axis] + high[axis]) // 2
        if low == high:
            self._push(cell)
            return
        self._push(replace(cell, high=_with(high, axis, middle)))
        self._push(replace(cell, low=_with(low, axis, middle + 1)))

    def _fits(self, room: Sides, limit: int) -> tuple[bool | None, list[tuple[Sides, Sides]]]:
        """Tell whether all boxes fit a box, with their places and sides; None where the limit came first."""
        allowed = [
            [side for side in own if all(s <= r for s, r in zip(side, room, strict=True))] for own in self._orientations
        ]
        if not all(allowed) or self._volume > prod(room):
            return False, []
        first = [sum(map(len, allowed[:k])) for k in range(len(allowed))]
        twin = [k - 1 if k and self._orientations[k - 1] == own else -1 for k, own in enumerate(self._orientations)]
        rows = np.array([side for own in allowed for side in own], np.int64)
        out = np.zeros((len(allowed), 4), np.int64)
        answer, nodes = place_boxes(
            np.array(first, np.int64),
            np.array([len(own) for own in allowed], np.int64),
            rows,
            np.array(twin, np.int64),
            twin[1:2] != [0],
            np.array(room, np.int64),
            limit,
            out,
        )
        self.steps += int(nodes)
        if answer != FITS:
            return (False if answer == FITS_NOT else None), []
        return True, [((x, y, z), tuple(rows[row].tolist())) for row, x, y, z in out.tolist()]


def _with(sides: Sides, axis: int, value: int) -> Sides:
    changed = list(sides)
    changed[axis] = value
    return changed[0], changed[1], changed[2]

"""Blocks that stand on each other freely in an outer case: the smallest interior, without layers.

Terms: a block is grown by clearance + web / 2 to each side and web / 2 up and down, so that two blocks keep their web
(and clearances) if and only if the grown boxes do not overlap.
"""

import math
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from packing import kernels
from packing.measure import Order
from packing.nest.effort import LOOK_SECONDS
from packing.nest.result import NOT_FOUND_UNCOMPILED, PLANNED_UNCOMPILED, Nesting, Placement
from packing.nest.search.shelves import Footprint, ShelfProblem, shelf_plan
from packing.nest.stacked.annealer import CHUNK_ITEMS, Annealer, piled
from packing.nest.stacked.blocks import StackingProblem, stacking_problem_of
from packing.nest.stacked.branch_and_bound import Sides, StackedBranchAndBound
from packing.nest.stacked.pile import Pile, pushed
from packing.nest.stacked.refusal import refused_blocks
from packing.plan import Message
from packing.plan.kinds import Limit, Status

DEFAULT_SECONDS = 2.0
MOST_PROVED = 14
"""Of more blocks there are too many pairs, six relations each, for a proof within seconds: the annealer gets it all."""


MOST_PILED = 100
"""More blocks are put on shelves and not annealed: one step would take seconds."""

FIRST_PLAN_SHARE, SHELVED_SHARE = 0.1, 0.7
"""Of the budget, at most, for a first plan of plain rows; the same where there is nothing but rows."""

NOT_FOUND = Message("No plan within the largest interior was found.")

Ints = NDArray[np.int64]
Watch = Callable[[int, int, int], None]


def _nesting(boxes: StackingProblem, found: Pile, bound: int) -> Nesting:
    """A plan as the answer of a search: the interior's long side along x."""
    found = pushed(found)
    extent = found.extent()
    # The interior’s long side lies along x by definition.
    if extent[1] > extent[0]:
        turned = [tuple((y, x, z) for x, y, z in sides) for sides in (found.at, found.sides)]
        found = Pile(turned[0], turned[1])
        extent = found.extent()
    edge, base = boxes.demands.edge_um, boxes.demands.base_um
    placed = []
    for item, (at, side) in enumerate(zip(found.at, found.sides, strict=True)):
        orientation = boxes.orientations[item][boxes.sides[item].index(side)]
        placed.append(Placement(item, orientation, edge + at[0], edge + at[1], base + at[2]))
    interior = (extent[0] + boxes.add[0], extent[1] + boxes.add[1], extent[2] + boxes.add[2])
    nesting = Nesting(Status.PLANNED, interior, (), tuple(placed))
    return replace(nesting, lower_bound_um3=min(bound, nesting.volume_um3), proven=bound >= nesting.volume_um3)


def _single(boxes: StackingProblem) -> Nesting:
    """One block: the best of its ways."""
    plans = [_nesting(boxes, Pile(((0, 0, 0),), (side,)), 0) for side in boxes.sides[0]]
    within = [
        plan
        for plan in plans
        if boxes.most is None or all(a <= b for a, b in zip(plan.interior_um, boxes.most, strict=True))
    ]
    best = min(within, key=lambda plan: plan.volume_um3)
    return replace(best, lower_bound_um3=best.volume_um3, proven=True)


def _on_shelves(boxes: StackingProblem, late: Callable[[], bool]) -> Pile | None:
    """A first pile of plain rows, layer upon layer, pushed together; None where none is within the largest interior."""
    most, add = boxes.most, boxes.add
    shelves = ShelfProblem(
        ways=[[Footprint(*side) for side in own] for own in boxes.sides],
        weights_mg=[item.weight_mg for item in boxes.order.items],
        most_floor_um=None if most is None else (most[0] - add[0], most[1] - add[1]),
        most_height_um=None if most is None else most[2] - add[2],
        most_weight_mg=None,
        side_um=add[0],
        pads_um=add[2],
        between_um=0,
    )
    layers = shelf_plan(shelves, late)
    if layers is None:
        return None
    at: list[Sides] = [(0, 0, 0)] * len(boxes.sides)
    sides = list(at)
    floor = 0
    for layer in layers:
        for one in layer:
            at[one.item], sides[one.item] = (one.x_um, one.y_um, floor), boxes.sides[one.item][one.way]
        floor += max(sides[one.item][2] for one in layer)
    return pushed(Pile(tuple(at), tuple(sides)))


def _many(boxes: StackingProblem, late: Callable[[], bool]) -> Nesting:
    """More blocks than are annealed: the best of many tries with plain rows."""
    found = _on_shelves(boxes, late)
    if found is None:
        return Nesting(Status.NOT_FOUND, message=NOT_FOUND)
    # Where walls or pads are thinner than half a web something is taken off, and the grown volume is no bound.
    filled = sum(math.prod(own[0]) for own in boxes.sides) if min(boxes.add) >= 0 else 0
    return _nesting(boxes, found, filled)


class _Search:
    """Annealing and proving in turn, under one budget."""

    def __init__(self, boxes: StackingProblem, seed: int, budget: Callable[[int], float], watch: Watch | None) -> None:
        self._boxes, self._budget, self._watch = boxes, budget, watch
        self.annealer = Annealer(boxes, seed)
        n = len(boxes.sides)
        row = math.prod(
            sum(max(own[k][q] for k in range(len(own))) for own in boxes.sides) + boxes.add[q] for q in range(3)
        )
        most = row if boxes.most is None else min(row, math.prod(boxes.most))
        # All blocks in a row is always a plan, so no plan above it is worth looking for.
        self.proof = StackedBranchAndBound(boxes.sides, boxes.add, most + 1, boxes.most)
        self._provable = n <= MOST_PROVED
        self.found: Pile | None = None
        # Where limits are tight, or a step is slow, the annealer may be without a plan for long.
        if boxes.most is not None or n > CHUNK_ITEMS:
            first = _on_shelves(boxes, lambda: budget(0) >= FIRST_PLAN_SHARE)
            if first is not None:
                self._take(first)

    @property
    def steps(self) -> int:
        """Effort so far."""
        return self.annealer.steps + self.proof.steps

    def run(self) -> None:
        """Until the budget is used or the best is proved."""
        # A first pile, so that the proof has something to beat; then the proof; what is left goes to annealing again.
        self._anneal(0.15)
        if self._provable:
            self._prove(0.7)
        self._anneal(1.0)

    def _over(self, share: float) -> bool:
        if self._watch is not None:
            volume = self.proof.upper if self.found is not None else 0
            self._watch(volume, self.proof.bound, self.steps)
        return self._budget(self.steps) >= share

    def _anneal(self, share: float) -> None:
        annealer = self.annealer
        while not self._over(share) and not (self.found is not None and self.proof.done):
            before = annealer.value[0]
            annealer.go()
            if annealer.value[0] < before:
                pile = piled(annealer)
                if pile is not None:
                    self._take(pile)

    def _take(self, found: Pile) -> None:
        volume = math.prod(side + add for side, add in zip(found.extent(), self._boxes.add, strict=True))
        if volume < self.proof.upper:
            self.proof.upper, self.found = volume, found

    def _prove(self, share: float) -> None:
        proof = self.proof
        proof.run(lambda _: self._over(share))
        if proof.found is not None:
            at: list[Sides] = [(0, 0, 0)] * len(proof.order)
            sides = list(at)
            for block, (place, side) in zip(proof.order, proof.found, strict=True):
                at[block], sides[block] = place, side
            self.found = Pile(tuple(at), tuple(sides))


def nest_blocks(
    order: Order,
    *,
    seconds: float | None = None,
    steps: int | None = None,
    seed: int = 0,
    stop: Callable[[], bool] | None = None,
    watch: Watch | None = None,
) -> Nesting:
    """Find the smallest interior for blocks that stand on each other freely.

    Parameters
    ----------
    order
        Blocks and rules; sheets and layer pads do not count here.
    seconds, steps
        Bound the search, greater than 0: by a monotonic clock (2 where neither is given), or by effort, which repeats
        exactly on any machine.
    seed
        Any integer.
    stop
        Asked often; True ends the search.
    watch
        Told often of the volume (0 while there is none), the bound, both in cubic micrometres, and the steps so far.

    Returns
    -------
    Nesting
        Without layers, every item in layer -1; each block stands on the bottom pad or, a web above, over a part of
        another block. "impossible" where the largest interior is proved too small, "not found" within the effort.

    Raises
    ------
    BadInput
        An item is no block.
    """
    begun = time.monotonic()
    boxes = stacking_problem_of(order)
    refused = refused_blocks(boxes)
    if refused is not None:
        return replace(refused, seed=seed)
    if seconds is None and steps is None:
        seconds = DEFAULT_SECONDS

    def spent(done: int) -> float:
        shares = [0.0]
        if steps is not None:
            shares.append(done / steps)
        if seconds is not None:
            shares.append((time.monotonic() - begun) / seconds)
        return 1.0 if stop is not None and stop() else max(shares)

    if len(boxes.sides) == 1:
        nesting = _single(boxes)
        return replace(nesting, seconds=time.monotonic() - begun, steps=1, seed=seed)
    if seconds is not None and not kernels.are_compiled() and kernels.compile_beside():
        nesting = _many(boxes, lambda: spent(0) >= SHELVED_SHARE or not kernels.are_compiling())
        while kernels.are_compiling() and spent(0) < SHELVED_SHARE:
            time.sleep(LOOK_SECONDS)
        if kernels.are_compiling():
            message = PLANNED_UNCOMPILED if nesting.status is Status.PLANNED else NOT_FOUND_UNCOMPILED
            return replace(nesting, seconds=time.monotonic() - begun, steps=1, seed=seed, message=message)
    if len(boxes.sides) > MOST_PILED:
        nesting = _many(boxes, lambda: spent(0) >= SHELVED_SHARE)
        return replace(nesting, seconds=time.monotonic() - begun, steps=1, seed=seed)
    search = _Search(boxes, seed, spent, watch)
    search.run()
    if search.found is not None:
        nesting = _nesting(boxes, search.found, search.proof.bound)
    elif search.proof.done:
        message = Message("It is proved that the blocks do not fit the largest interior.")
        nesting = Nesting(Status.IMPOSSIBLE, limit=Limit.HEIGHT, item=order.items[0].id, message=message)
    else:
        nesting = Nesting(Status.NOT_FOUND, message=NOT_FOUND)
    return replace(nesting, seconds=time.monotonic() - begun, steps=search.steps, seed=seed)

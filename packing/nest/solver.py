"""The steps of a search: anneal, prove, and hand over the best with its bound."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from packing import kernels
from packing.nest.arrange.settle import Settled, settle
from packing.nest.bounds import limits_um, lower_bound, within_limits
from packing.nest.effort import (
    BRIEF_SECONDS,
    BRIEF_STEPS,
    HURRIED_SHARES,
    LOOK_SECONDS,
    UNCOMPILED_SECONDS,
    UNCOMPILED_SHARE,
    WORTH_LOADING_S,
    Progress,
    shares,
    tidying_seconds,
)
from packing.nest.infeasibility import excess, overloaded, refused, too_large
from packing.nest.problem import GrownOrientation, Problem
from packing.nest.result import NOT_FOUND_UNCOMPILED, PLANNED_UNCOMPILED, Nesting, Placement
from packing.nest.search.shelves import Footprint, ShelfProblem, shelf_plan
from packing.nest.search.uncompiled import anneal_uncompiled
from packing.plan import Message
from packing.plan.kinds import INTERIOR_LIMITS, Limit, Status

if TYPE_CHECKING:
    from packing.nest.search.anneal import Ints

SECOND_SEED = 1_000_003
"""Far from every seed that somebody types, so that the second search repeats no first one."""
ROUND_OFF_SECONDS = 0.1
"""Kept free at the end: a proof looks at the clock only now and then."""

FIRST_PLAN_SHARE = 0.1
"""Of the time, at most, for a first plan of plain rows."""


MOST_TIDIED_S = 0.5
"""Tidying may end so much after the time given; where it would take longer, the plan is left as the search put it."""

MOST_TIDIED = 40
"""In a search bounded by effort no larger order is tidied."""

PROVED_TOO_SLOW_S = 1.0
"""An order whose tidying as one layer would take longer than this and than a fifth of the time is not proved."""


def _footprint(grown: GrownOrientation) -> Footprint:
    """The room that a way needs on a shelf, thicker walls at sharp ends included."""
    low_x, low_y, high_x, high_y = grown.reach_um
    return Footprint(grown.length_um + low_x + high_x, grown.width_um + low_y + high_y, grown.level_um)


@dataclass
class Solver:
    """One search; see `packing.nest.nest` for what the fields mean."""

    problem: Problem
    seconds: float | None
    effort: int | None
    seed: int
    stop: Callable[[], bool] | None
    progress: Callable[[Progress], None] | None
    pareto_front: bool
    begun: float = field(default_factory=time.monotonic)
    best: Nesting | None = None
    bound_um3: int = 0
    steps: int = 0
    spent_s: float = 0.0
    waited_s: float = 0.0

    @property
    def hurried(self) -> bool:
        """True where the order is so large that its time is kept for finding a plan."""
        items = len(self.problem.order.items)
        if self.seconds is None:
            return items > MOST_TIDIED
        return items > MOST_TIDIED and tidying_seconds([items]) > max(PROVED_TOO_SLOW_S, 0.2 * self.seconds)

    def _untidied(self, layer_sizes: Sequence[int]) -> bool:
        """Tell whether there is no time left to tidy layers of so many items."""
        if self.seconds is None:
            return self.hurried
        return time.monotonic() + tidying_seconds(layer_sizes) > self.begun + self.seconds + MOST_TIDIED_S

    def single(self) -> Nesting:
        """One item: the least volume over its ways, which is the optimum."""
        answers = [
            Nesting(Status.PLANNED, *settle(self.problem, [[Placement(0, grown.orientation, 0, 0)]]), steps=1)
            for grown in self.problem.orientations[0]
        ]
        fitting = [one for one in answers if excess(one.interior_um, self.problem) is None]
        if not fitting:
            least = min(answers, key=lambda one: one.volume_um3).interior_um
            return replace(too_large(self.problem, least), status=Status.IMPOSSIBLE)
        best = min(fitting, key=lambda one: one.volume_um3)
        return replace(best, lower_bound_um3=best.volume_um3, proven=True)

    def run(self) -> Nesting:
        """Two items or more."""
        if self.seconds is not None and not kernels.are_compiled():
            answer = self._while_compiling(self.seconds)
            if answer is not None:
                return answer
        return self._run()

    def _while_compiling(self, seconds: float) -> Nesting | None:
        """Search without kernels while a process of its own compiles them; None where time is left to use them."""
        if not kernels.compile_beside():
            return None
        self.bound_um3 = lower_bound(self.problem)
        self.best = self._on_shelves()
        last = self.begun + UNCOMPILED_SHARE * seconds
        going = True
        while going:
            # Once at least: a search that is stopped at once hands something over, too.
            self._anneal_uncompiled(min(last, time.monotonic() + UNCOMPILED_SECONDS))
            going = time.monotonic() < last and not kernels.are_compiled() and not self._done()
        left = self.begun + seconds - time.monotonic()
        # Where that process failed they are not compiled here: that would take longer than the seconds asked for.
        if left > WORTH_LOADING_S and kernels.are_compiled() and not self._done():
            self.waited_s, self.begun, self.seconds = seconds - left, time.monotonic(), left
            return None
        if self.best is None:
            first = self.problem.order.items[0].id
            return refused(Status.NOT_FOUND, Limit.EFFORT, first, 0, NOT_FOUND_UNCOMPILED)
        found = self._bounded(self.best)
        return found if found.proven else replace(found, message=PLANNED_UNCOMPILED)

    def _anneal_uncompiled(self, until: float) -> None:
        """Keep the best that a search without kernels finds."""
        begun = told = time.monotonic()

        def spent() -> float:
            nonlocal told
            now = time.monotonic()
            self.steps += 1
            if now >= told + LOOK_SECONDS:
                told = now
                self._tell(math.inf if self.best is None else self.best.volume_um3, self.steps)
                if self._stopped() or kernels.are_compiled():
                    return 1.0
            return (now - begun) / max(1e-9, until - begun)

        layers = anneal_uncompiled(self.problem, seed=self.seed, spent=spent)
        nesting = Nesting(
            Status.PLANNED, *settle(self.problem, layers, plain=self._untidied([len(layer) for layer in layers]))
        )
        better = self.best is None or nesting.volume_um3 < self.best.volume_um3
        if better and self._kept(nesting):
            self.best = nesting

    def _run(self) -> Nesting:
        """The search with its kernels."""
        brief = (self.seconds or math.inf) < BRIEF_SECONDS or (self.effort or math.inf) < BRIEF_STEPS
        first, second, third = shares(len(self.problem.order.items), brief=brief)
        if self.hurried:
            first, second, third = HURRIED_SHARES
        self.bound_um3 = lower_bound(self.problem)
        # Where limits are tight the annealer may meet no plan at all: plain rows are one at once, if a poor one.
        if self.best is None and (self.hurried or self.problem.demands.limited):
            self.best = self._on_shelves()
        refusal, pareto_front = self._anneal(first, self.seed)
        # Only a limit of the interior can be proved to be in the way: how heavy a layer may be is left out of the
        # proof.
        if self.best is None and refusal.limit in INTERIOR_LIMITS:
            refusal = self._fit(refusal, first + second)
        if self.best is not None and second:
            self._prove(self.best, first + second)
        if third and not self._done():
            again, more = self._anneal(third, self.seed + SECOND_SEED)
            # A proof that nothing fits outweighs what a second search did not find.
            refusal, pareto_front = (again if refusal.status is not Status.IMPOSSIBLE else refusal), pareto_front + more
        if self.best is None:
            return replace(refusal, steps=self.steps)
        others = self._others(pareto_front) if self.pareto_front else ()
        return replace(self._bounded(self.best), others=others, steps=self.steps)

    def _on_shelves(self) -> Nesting | None:
        """A first plan of plain rows: large, but a plan where limits leave no other to the annealer."""
        problem, limits = self.problem, limits_um(self.problem)
        all_ways = within_limits(problem)
        if not all(all_ways):
            return None
        side, pads = problem.side_um, problem.pads_um
        shelves = ShelfProblem(
            ways=[[_footprint(grown) for grown in own] for own in all_ways],
            weights_mg=[item.weight_mg for item in problem.order.items],
            most_floor_um=None if limits is None else (limits[0] - side, limits[1] - side),
            most_height_um=None if limits is None else limits[2] - pads,
            most_weight_mg=problem.demands.most_layer_mg,
            side_um=side,
            pads_um=pads,
            between_um=problem.between_um,
        )
        last = math.inf if self.seconds is None else self.begun + FIRST_PLAN_SHARE * self.seconds
        found = shelf_plan(shelves, lambda: self._stopped() or time.monotonic() >= last)
        if found is None:
            return None
        layers = []
        for shelf_layer in found:
            chosen = [(one, all_ways[one.item][one.way]) for one in shelf_layer]
            layers.append(
                [
                    Placement(one.item, grown.orientation, one.x_um + grown.reach_um[0], one.y_um + grown.reach_um[1])
                    for one, grown in chosen
                ]
            )
        nesting = Nesting(Status.PLANNED, *settle(problem, layers, plain=True))
        return nesting if self._kept(nesting) else None

    def _done(self) -> bool:
        return self._stopped() or (self.best is not None and self.best.volume_um3 <= self.bound_um3)

    def _bounded(self, nesting: Nesting) -> Nesting:
        volume = nesting.volume_um3
        return replace(nesting, lower_bound_um3=min(self.bound_um3, volume), proven=self.bound_um3 >= volume)

    def _tell(self, volume_um3: float, steps: int) -> None:
        if self.progress is not None:
            volume = 0 if volume_um3 == math.inf else int(volume_um3)
            spent = self.waited_s + time.monotonic() - self.begun
            self.progress(Progress(volume, min(self.bound_um3, volume or self.bound_um3), spent, steps))

    def _stopped(self) -> bool:
        return self.stop is not None and self.stop()

    def _anneal(self, share: float, seed: int) -> tuple[Nesting, list[Ints]]:
        """Keeps the best; the refusal says why there is none, where there is none. Also the states of a front."""
        # Here, not above: it loads the compiled kernels, which an order of one item does without.
        from packing.nest.search.anneal import search

        before, known = self.steps, math.inf if self.best is None else self.best.volume_um3

        def watch(value: float, steps: int) -> bool:
            self._tell(min(value, known), before + steps)
            # No search can find less than the bound.
            return value <= self.bound_um3

        begun = time.monotonic()
        found = search(
            self.problem,
            seconds=None if self.seconds is None else share * self.seconds,
            effort=None if self.effort is None else max(1, int(share * self.effort)),
            seed=seed,
            stop=self.stop,
            watch=watch,
        )
        # At most its share: a first search also loads the kernels, and the proof is not to pay for that.
        self.spent_s += min(time.monotonic() - begun, share * (self.seconds or 0.0))
        self.steps += found.steps
        if found.best is None:
            message = Message("The search was stopped before it had a first plan.")
            return refused(Status.NOT_FOUND, Limit.EFFORT, self.problem.order.items[0].id, 0, message), []
        interior, layers, placed = self._settled(found.best)
        if excess(interior, self.problem) is not None:
            return too_large(self.problem, interior), found.pareto_front
        refusal = overloaded(self.problem.order, placed)
        if refusal is not None:
            return refusal, found.pareto_front
        nesting = Nesting(Status.PLANNED, interior, layers, placed)
        if nesting.volume_um3 < known:
            self.best = nesting
        return nesting, found.pareto_front

    def _settled(self, state: Ints) -> Settled:
        """A state of the annealer as a whole interior."""
        from packing.nest.search.decode import decode

        layers = decode(self.problem, state, plain=self.hurried)
        return settle(self.problem, layers, plain=self._untidied([len(layer) for layer in layers]))

    def _until(self, share: float) -> tuple[float | None, int | None]:
        """Deadline and steps of a proof that ends where this share of the effort is used."""
        if self.seconds is not None:
            left = share * self.seconds - self.spent_s
            return time.monotonic() + max(0.0, left - ROUND_OFF_SECONDS), None
        return None, max(1, int(share * (self.effort or 1)) - self.steps)

    def _prove(self, best: Nesting, share: float) -> None:
        """Raise the bound as far as the rest of the effort goes; take a smaller plan where the proof meets one.

        A proof knows neither the wall at sharp ends nor the heaviest layer: its bound holds all the same.
        """
        from packing.nest.exact.prove import prove

        if self.bound_um3 >= best.volume_um3 or self._stopped():
            return
        deadline, steps = self._until(share)

        def watch(bound_um3: int) -> None:
            self.bound_um3 = max(self.bound_um3, bound_um3)
            self._tell(best.volume_um3, self.steps)

        begun = time.monotonic()
        result = prove(self.problem, best.volume_um3, deadline=deadline, steps=steps, stop=self.stop, watch=watch)
        self.spent_s += time.monotonic() - begun
        self.steps += result.steps
        self.bound_um3 = max(self.bound_um3, result.bound_um3)
        smaller = result.nesting is not None and result.nesting.volume_um3 < best.volume_um3
        if result.nesting is not None and smaller and self._kept(result.nesting):
            self.best = replace(result.nesting, lower_bound_um3=0, proven=False)

    def _kept(self, nesting: Nesting) -> bool:
        """Tell whether a nesting keeps the limits."""
        inside = excess(nesting.interior_um, self.problem) is None
        return inside and overloaded(self.problem.order, nesting.placed) is None

    def _fit(self, refusal: Nesting, share: float) -> Nesting:
        """Try for a plan, or a proof that there is none, where annealing met none within the largest interior."""
        from packing.nest.exact.prove import fits

        limits = limits_um(self.problem)
        if limits is None or self._stopped():
            return refusal
        deadline, steps = self._until(share)
        answer = fits(self.problem.order, limits, deadline=deadline, steps=steps, stop=self.stop)
        self.steps += answer.steps
        if answer.status is Status.PLANNED and self._kept(answer):
            self.best = answer
        return answer if answer.status is Status.IMPOSSIBLE else refusal

    def _others(self, pareto_front: list[Ints]) -> tuple[Nesting, ...]:
        """The other boxes that the annealer met, least volume first."""
        others = [Nesting(Status.PLANNED, *self._settled(state)) for state in pareto_front]
        fitting = {one.interior_um: self._bounded(one) for one in others if self._kept(one)}
        if self.best is not None:
            # The best is handed over by itself; the others differ from it.
            fitting.pop(self.best.interior_um, None)
        return tuple(sorted(fitting.values(), key=lambda one: one.volume_um3))

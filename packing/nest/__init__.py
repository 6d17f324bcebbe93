"""The search for the smallest interior, its bounds and proofs."""

import time
from collections.abc import Callable
from dataclasses import replace

from packing.measure import BadInput, Order
from packing.nest.demands import demands_of
from packing.nest.effort import Progress
from packing.nest.infeasibility import overweight, refused, refutation
from packing.nest.problem import Problem, problem_of
from packing.nest.result import Layer, Nesting, Placement
from packing.nest.ruled import RuledItem, ruled_item
from packing.nest.solver import Solver
from packing.nest.step import on_the_step
from packing.plan.kinds import Status

__all__ = [
    "DEFAULT_SECONDS",
    "Layer",
    "Nesting",
    "Placement",
    "Progress",
    "RuledItem",
    "nest",
    "on_the_step",
    "ruled_item",
]

DEFAULT_SECONDS = 2.0
LONGEST_SECONDS = 86_400


def nest(
    order: Order,
    *,
    seconds: float | None = None,
    effort: int | None = None,
    seed: int = 0,
    stop: Callable[[], bool] | None = None,
    progress: Callable[[Progress], None] | None = None,
    pareto_front: bool = False,
) -> Nesting:
    """Find the smallest interior for an order.

    Parameters
    ----------
    order
        Items and rules.
    seconds
        Bounds the search by a monotonic clock, greater than 0 and at most 86400; 2 where neither this nor `effort` is
        given.
    effort
        Bounds the search by steps, at least 1: the same order, seed and effort give the same nesting on any machine.
    seed
        Any integer.
    stop
        Asked often; where it returns True the best so far is returned.
    progress
        Called often.
    pareto_front
        Whether to hand over different boxes too: the least of each stack of layer heights that the search met, in
        `Nesting.others`, least volume first.

    Returns
    -------
    Nesting
        Planned, impossible (proved) or not found (within the effort, or stopped before the first plan).

    Raises
    ------
    BadInput
        `seconds`, `effort` or `seed` is out of range, or both bounds are given.
    """
    _refuse_bad_bounds(seconds, effort, seed)
    begun = time.monotonic()
    if seconds is None and effort is None:
        seconds = DEFAULT_SECONDS
    if not demands_of(order).in_layers:
        free = _stacked(order, seconds, effort, seed, stop, progress)
        return replace(free, seconds=time.monotonic() - begun, seed=seed)
    problem = problem_of(order)
    nesting = overweight(order) or _refuted(problem)
    if nesting is None:
        solver = Solver(problem, seconds, effort, seed, stop, progress, pareto_front)
        nesting = solver.single() if len(order.items) == 1 else solver.run()
    return replace(nesting, seconds=time.monotonic() - begun, seed=seed)


def _stacked(
    order: Order,
    seconds: float | None,
    effort: int | None,
    seed: int,
    stop: Callable[[], bool] | None,
    progress: Callable[[Progress], None] | None,
) -> Nesting:
    """Nest blocks without layers; what is compiled for them is loaded only here."""
    from packing.nest.stacked.solve import nest_blocks

    begun = time.monotonic()

    def watch(volume_um3: int, bound_um3: int, steps: int) -> None:
        if progress is not None:
            progress(Progress(volume_um3, bound_um3, time.monotonic() - begun, steps))

    return nest_blocks(order, seconds=seconds, steps=effort, seed=seed, stop=stop, watch=watch)


def _refuted(problem: Problem) -> Nesting | None:
    refuted = refutation(problem)
    if refuted is None:
        return None
    return refused(Status.IMPOSSIBLE, refuted.limit, refuted.item, refuted.by_um, refuted.message)


def _refuse_bad_bounds(seconds: float | None, effort: int | None, seed: int) -> None:
    if seconds is not None and effort is not None:
        raise BadInput("seconds", "and effort cannot both bound a search; give one of them.")
    if seconds is not None and not 0 < seconds <= LONGEST_SECONDS:
        raise BadInput("seconds", f"must be greater than 0 and at most {LONGEST_SECONDS}, not {seconds}.")
    if effort is not None and (isinstance(effort, bool) or not isinstance(effort, int) or effort < 1):
        raise BadInput("effort", f"must be a whole number of steps, at least 1, not {effort}.")
    if isinstance(seed, bool) or not isinstance(seed, int):
        raise BadInput("seed", f"must be a whole number, not {seed}.")

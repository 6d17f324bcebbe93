"""The search for the smallest interior, its bounds and proofs."""

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from packing.measure import BadInput, Order, grams, mm
from packing.nest.bound import lower_bound, refutation
from packing.nest.finish import Spot, settle
from packing.nest.problem import Problem, problem_of
from packing.nest.result import Layer, Nesting, Placed

__all__ = ["DEFAULT_SECONDS", "Layer", "Nesting", "Placed", "Progress", "nest"]

DEFAULT_SECONDS = 2.0
LONGEST_SECONDS = 86_400


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search has come: volumes in cubic micrometres, 0 where there is none yet."""

    volume_um3: int
    lower_bound_um3: int
    seconds: float
    steps: int

    @property
    def gap(self) -> float | None:
        """Volume over bound, less one; None while either is unknown."""
        return self.volume_um3 / self.lower_bound_um3 - 1 if self.volume_um3 and self.lower_bound_um3 else None


def nest(
    order: Order,
    *,
    seconds: float | None = None,
    effort: int | None = None,
    seed: int = 0,
    stop: Callable[[], bool] | None = None,
    progress: Callable[[Progress], None] | None = None,
    front: bool = False,
) -> Nesting:
    """Find the smallest interior for an order.

    Parameters
    ----------
    order
        Items and rules.
    seconds
        Bounds the search by a monotonic clock, greater than 0; 2 where neither this nor `effort` is given.
    effort
        Bounds the search by steps, at least 1: the same order, seed and effort give the same nesting on any machine.
    seed
        Any integer.
    stop
        Asked often; where it returns True the best so far is returned.
    progress
        Called often.
    front
        Whether to hand over different boxes too: the least of each stack of layer heights that the search met, in
        `Nesting.others`, least volume first.

    Returns
    -------
    Nesting
        Status "planned", "impossible" (proved) or "not found" (within the effort, or stopped before the first plan).

    Raises
    ------
    BadInput
        `seconds`, `effort` or `seed` is out of range, or both bounds are given.
    """
    _refuse_bad_bounds(seconds, effort, seed)
    begun = time.monotonic()
    if seconds is None and effort is None:
        seconds = DEFAULT_SECONDS
    problem = problem_of(order)
    refuted = refutation(problem)
    overweight = _overweight(order)
    if overweight is not None:
        nesting, steps = overweight, 0
    elif refuted is not None:
        nesting, steps = _refused("impossible", refuted.limit, refuted.item, refuted.by_um, refuted.message), 0
    elif len(order.items) == 1:
        nesting, steps = _single(problem), 1
    else:
        bounds = _Bounds(seconds, effort, seed, stop, progress, front)
        nesting, steps = _annealed(problem, bounds, begun)
    return replace(nesting, seconds=time.monotonic() - begun, steps=steps, seed=seed)


@dataclass(frozen=True)
class _Bounds:
    """How a search is bounded and watched; see `nest`."""

    seconds: float | None
    effort: int | None
    seed: int
    stop: Callable[[], bool] | None
    progress: Callable[[Progress], None] | None
    front: bool


def _refuse_bad_bounds(seconds: float | None, effort: int | None, seed: int) -> None:
    if seconds is not None and effort is not None:
        raise BadInput("seconds", "and effort cannot both bound a search; give one of them.")
    if seconds is not None and not 0 < seconds <= LONGEST_SECONDS:
        raise BadInput("seconds", f"must be greater than 0 and at most {LONGEST_SECONDS}, not {seconds}.")
    if effort is not None and (isinstance(effort, bool) or not isinstance(effort, int) or effort < 1):
        raise BadInput("effort", f"must be a whole number of steps, at least 1, not {effort}.")
    if isinstance(seed, bool) or not isinstance(seed, int):
        raise BadInput("seed", f"must be a whole number, not {seed}.")


def _refused(status: str, limit: str, item: str, by_um: int, message: str) -> Nesting:
    return Nesting(status, limit=limit, item=item, by_um=by_um, message=message)


def _single(problem: Problem) -> Nesting:
    """One item: the least volume over its ways, which is the optimum."""
    answers = []
    for way in problem.ways[0]:
        interior, layers, placed = settle(problem, [[Spot(0, way, 0, 0)]])
        if _excess(interior, problem) is None:
            answers.append(Nesting("planned", interior, layers, placed))
    best = min(answers, key=lambda nesting: nesting.volume_um3)
    return replace(best, lower_bound_um3=best.volume_um3, proven=True)


def _annealed(problem: Problem, bounds: _Bounds, begun: float) -> tuple[Nesting, int]:
    """Two items or more: the annealer, which numba makes slow to import and fast to run."""
    from packing.nest.anneal import search
    from packing.nest.finish import spots_of

    bound = lower_bound(problem)

    def watch(value: float, steps: int) -> bool:
        if bounds.progress is not None:
            volume = 0 if value == float("inf") else int(value)
            bounds.progress(Progress(volume, bound, time.monotonic() - begun, steps))
        return value <= bound

    found = search(
        problem, seconds=bounds.seconds, effort=bounds.effort, seed=bounds.seed, stop=bounds.stop, watch=watch
    )
    if found.best is None:
        return Nesting("not found", message="The search was stopped before it had a first plan."), found.steps
    interior, layers, placed = settle(problem, spots_of(problem, found.best))
    if _excess(interior, problem) is not None:
        return _too_large(problem, interior), found.steps
    overloaded = _overloaded(problem.order, placed)
    if overloaded is not None:
        return overloaded, found.steps
    best = _bounded(Nesting("planned", interior, layers, placed), bound)
    if not bounds.front:
        return best, found.steps
    others = [Nesting("planned", *settle(problem, spots_of(problem, state))) for state in found.front]
    fitting = {other.interior_um: _bounded(other, bound) for other in others if not _excess(other.interior_um, problem)}
    fitting.pop(best.interior_um, None)
    return replace(best, others=tuple(sorted(fitting.values(), key=lambda other: other.volume_um3))), found.steps


def _overweight(order: Order) -> Nesting | None:
    """One item alone is heavier than a layer may be."""
    most = order.rules.max_layer_mg
    heaviest = max(order.items, key=lambda item: item.weight_mg)
    if most is None or heaviest.weight_mg <= most:
        return None
    message = (
        f"item “{heaviest.id}” weighs {grams(heaviest.weight_mg)} g, more than max_layer_g allows ({grams(most)} g)."
    )
    return Nesting("impossible", limit="max_layer_g", item=heaviest.id, message=message)


def _overloaded(order: Order, placed: tuple[Placed, ...]) -> Nesting | None:
    """The search found no plan whose layers are all light enough."""
    most = order.rules.max_layer_mg
    loads: dict[int, int] = {}
    for one in placed:
        loads[one.layer] = loads.get(one.layer, 0) + order.items[one.item].weight_mg
    if most is None or max(loads.values()) <= most:
        return None
    heaviest = max(order.items, key=lambda item: item.weight_mg).id
    message = (
        f"No plan was found within the effort whose layers all keep max_layer_g ({grams(most)} g): the best has a "
        f"layer of {grams(max(loads.values()))} g; item “{heaviest}” is the heaviest."
    )
    return Nesting("not found", limit="max_layer_g", item=heaviest, message=message)


def _bounded(nesting: Nesting, bound_um3: int) -> Nesting:
    """With its lower bound; proven where its volume is no more."""
    volume = nesting.volume_um3
    return replace(nesting, lower_bound_um3=min(bound_um3, volume), proven=bound_um3 >= volume)


def _excess(interior: tuple[int, int, int], problem: Problem) -> tuple[str, int] | None:
    """The limit that an interior breaks most and by how much; None where it breaks none."""
    most = problem.rules.max_interior_um
    if most is None:
        return None
    sides = sorted(interior[:2], reverse=True)
    limits = sorted(most[:2], reverse=True)
    over = {
        "length": sides[0] - limits[0],
        "width": sides[1] - limits[1],
        "height": interior[2] - most[2],
    }
    name = max(over, key=lambda key: over[key])
    return (name, over[name]) if over[name] > 0 else None


def _too_large(problem: Problem, interior: tuple[int, int, int]) -> Nesting:
    """No plan was found within `max_interior`: say which limit, by how much, and which item forces it."""
    name, by = _excess(interior, problem) or ("height", 0)

    def forcing(index: int) -> int:
        ways = problem.ways[index]
        if name == "height":
            return min(way.level_um for way in ways)
        if name == "length":
            return min(max(way.length_um, way.width_um) for way in ways)
        return min(min(way.length_um, way.width_um) for way in ways)

    item = problem.order.items[max(range(len(problem.ways)), key=forcing)].id
    most = problem.rules.max_interior_um or (0, 0, 0)
    limit = {"length": max(most[:2]), "width": min(most[:2]), "height": most[2]}[name]
    message = (
        f"No plan was found within the largest interior: the best so far exceeds its {name}, {mm(limit)} mm, "
        f"by {mm(by)} mm; item “{item}” needs most of it."
    )
    return _refused("not found", f"max_interior {name}", item, by, message)

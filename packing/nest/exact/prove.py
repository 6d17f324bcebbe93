"""Exact answers: proofs that a plan is the smallest, and whether an order fits a given interior.

References
----------
As in `branch_and_bound` and `layer_fit_kernel`; bounds by S. P. Fekete, J. Schepers, "A general framework for bounds
for higher-dimensional orthogonal packing problems", 2004 (read as abstract on arXiv, cs/0402044).
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial

from packing.measure import BadInput, Order
from packing.nest.arrange.settle import settle
from packing.nest.bounds import limits_um, lower_bound, within_limits
from packing.nest.exact.branch_and_bound import BranchAndBound
from packing.nest.exact.item_types import ItemTypes
from packing.nest.exact.layer_fit import FittedLayer
from packing.nest.exact.relaxation import relaxed_order
from packing.nest.infeasibility import refutation
from packing.nest.problem import Problem, problem_of
from packing.nest.result import Nesting, Placement
from packing.plan import Length, Message
from packing.plan.kinds import Limit, Status

MOST_WORK = 2_000_000
STAGES = ((2_000, 0.15), (60_000, 0.4), (MOST_WORK, 1.0))
"""Of the easier orders: most work of sharing out, and the share of the effort after which the next one has its turn."""


class ProofStatus(StrEnum):
    """The end of a proof.

    Proven: no plan is smaller than the one known. Improved: the nesting is smaller than that one, and its own `proven`
    says whether it is the smallest. Open: neither within the effort.
    """

    PROVEN = "proven"
    IMPROVED = "improved"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class ExactResult:
    """The outcome of a proof.

    Parameters
    ----------
    status
        What was proved.
    bound_um3
        No plan has a smaller interior.
    nesting
        The smaller plan where the known one was improved, else None.
    steps
        Effort used.
    """

    status: ProofStatus
    bound_um3: int
    nesting: Nesting | None
    steps: int


def _placements(problem: Problem, fitted_layers: Sequence[FittedLayer]) -> list[list[Placement]]:
    """Layers of item types as layers of items, equal items taken in their order."""
    item_types = ItemTypes(within_limits(problem))
    pool: dict[int, list[int]] = {}
    for item, item_type in enumerate(item_types.of):
        pool.setdefault(item_type, []).append(item)
    layers = []
    for fitted in fitted_layers:
        layer = []
        for item_type, grown, x, y in zip(
            fitted.item_types, fitted.orientations, fitted.x_um, fitted.y_um, strict=True
        ):
            item = pool[item_type].pop(0)
            # By rectangles and level: ways that differ in nothing else are one way to the proof.
            own = next(w for w in problem.orientations[item] if w.rects == grown.rects and w.level_um == grown.level_um)
            layer.append(Placement(item, own.orientation, x, y))
        layers.append(layer)
    return layers


def _enough(steps: int | None, deadline: float | None, stop: Callable[[], bool] | None) -> Callable[[int], bool]:
    def enough(done: int) -> bool:
        return (
            (steps is not None and done >= steps)
            or (deadline is not None and time.monotonic() >= deadline)
            or (stop is not None and stop())
        )

    return enough


def prove(
    problem: Problem,
    upper_um3: int,
    *,
    deadline: float | None = None,
    steps: int | None = None,
    stop: Callable[[], bool] | None = None,
    watch: Callable[[int], None] | None = None,
) -> ExactResult:
    """Prove that no plan is smaller than the one known, or find a smaller one.

    Parameters
    ----------
    problem
        The order, laid out for the search; not refuted.
    upper_um3
        Volume of the best plan known, greater than 0.
    deadline
        On the monotonic clock; kept to within about half a second.
    steps
        Bounds the effort instead or as well: the same problem, volume and steps give the same answer on any machine.
    stop
        Asked often; True ends the proof.
    watch
        Told the lower bound whenever it is asked whether to stop.

    Returns
    -------
    ExactResult

    Notes
    -----
    Orders whose items are many or all but equal are first made easier (see `relaxation`); a bound of the easier order
    holds for the real one. Orders too large for sharing out their items exactly get only that. What sharp ends need
    beyond the wall, and how heavy a layer may be, is left out of the proof: its bound holds all the same, and a plan it
    meets is handed over with the interior that it really needs, for the caller to hold against such rules.
    """
    bound = lower_bound(problem)
    real = ItemTypes(within_limits(problem)).work
    relaxed: BranchAndBound | None = None
    for work, share in STAGES:
        if work >= real:
            break
        limit = None if steps is None else int(steps * share)
        # A share of what is left, not of all: the stages before may have been quick.
        end = None if deadline is None else time.monotonic() + share * (deadline - time.monotonic())
        easier = relaxed_order(problem.order, work, partial(_enough(None, deadline, stop), 0))
        if easier is None:
            return ExactResult(ProofStatus.OPEN, bound, None, 0 if relaxed is None else relaxed.steps)
        relaxed = BranchAndBound(problem_of(easier), upper_um3, relaxed)
        relaxed.run(_enough(limit, end, stop))
        bound = max(bound, relaxed.bound_um3)
        if bound >= upper_um3:
            return ExactResult(ProofStatus.PROVEN, upper_um3, None, relaxed.steps)
    # The table of all sets would not fit: what the easier order proved is all there is to know.
    if real > MOST_WORK and relaxed is not None:
        return ExactResult(ProofStatus.OPEN, bound, None, relaxed.steps)
    proof = BranchAndBound(problem, upper_um3, relaxed)
    enough = _enough(steps, deadline, stop)

    def watched(done: int) -> bool:
        if watch is not None:
            watch(min(proof.upper, max(bound, proof.bound_um3)))
        return enough(done)

    proof.run(watched)
    bound = min(proof.upper, max(bound, proof.bound_um3))
    used = proof.steps
    if bound >= upper_um3:
        return ExactResult(ProofStatus.PROVEN, bound, None, used)
    if proof.found is None:
        return ExactResult(ProofStatus.OPEN, bound, None, used)
    interior, layers, placed = settle(problem, _placements(problem, proof.found))
    nesting = Nesting(Status.PLANNED, interior, layers, placed, bound)
    nesting = replace(nesting, proven=bound >= nesting.volume_um3)
    # With what the proof leaves out, such as the wall at sharp ends, it may be no smaller than the one known.
    if nesting.volume_um3 >= upper_um3:
        return ExactResult(ProofStatus.OPEN, bound, None, used)
    return ExactResult(ProofStatus.IMPROVED, bound, nesting, used)


def _too_high(problem: Problem, by_um: int) -> Nesting:
    """The refusal of an order for which the largest interior is proved to have no room."""
    lowest = [min(grown.level_um for grown in own) for own in problem.orientations]
    tallest = max(range(len(lowest)), key=lowest.__getitem__)
    item = problem.order.items[tallest].id
    message = Message(
        "It is proved that no plan keeps within the largest interior: its height is at least {by} too little for the "
        "layers that this floor needs; {item} is the tallest item.",
        by=Length(by_um),
        item=item,
    )
    return Nesting(Status.IMPOSSIBLE, limit=Limit.HEIGHT, item=item, by_um=by_um, message=message)


def fits(
    order: Order,
    interior_um: tuple[int, int, int],
    *,
    deadline: float | None = None,
    steps: int | None = None,
    stop: Callable[[], bool] | None = None,
) -> Nesting:
    """Tell whether an order fits a given interior, turned by a quarter or not.

    Parameters
    ----------
    order
        Items and rules; a largest interior of its own is put aside.
    interior_um
        Length, width, height, each greater than 0.
    deadline, steps, stop
        As in `prove`.

    Returns
    -------
    Nesting
        Planned with a plan, impossible with the limit that is proved to be in the way, or not found within the
        effort.

    Raises
    ------
    BadInput
        A side of the interior is not greater than 0.
    """
    if min(interior_um) <= 0:
        raise BadInput("interior", f"must have three sides greater than 0, not {interior_um}.")
    rules = replace(order.rules, max_interior_um=interior_um)
    problem = problem_of(replace(order, rules=rules))
    refuted = refutation(problem)
    if refuted is not None:
        return Nesting(
            Status.IMPOSSIBLE, limit=refuted.limit, item=refuted.item, by_um=refuted.by_um, message=refuted.message
        )
    unknown = Nesting(
        Status.NOT_FOUND, message=Message("Neither a plan for this interior nor a proof against it was found.")
    )
    if ItemTypes(within_limits(problem)).work > MOST_WORK:
        return unknown
    # One more than the interior's volume: a plan that fills the interior wholly still has to count as smaller.
    proof = BranchAndBound(problem, interior_um[0] * interior_um[1] * interior_um[2] + 1)
    answer = proof.fit_largest(_enough(steps, deadline, stop))
    if answer is None:
        return replace(unknown, steps=proof.steps)
    if proof.found is None:
        return replace(_too_high(problem, proof.too_high), steps=proof.steps)
    interior, layers, placed = settle(problem, _placements(problem, proof.found))
    # With what the proof leaves out, such as the wall at sharp ends, the plan may be too large after all.
    if any(side > limit for side, limit in zip(interior, limits_um(problem) or interior, strict=True)):
        return replace(unknown, steps=proof.steps)
    return Nesting(Status.PLANNED, interior, layers, placed, steps=proof.steps)

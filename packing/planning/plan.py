"""Planning one parcel: nest, cut the insert, make the box, weigh, choose."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import structs

from packing.boxes import BoxSpec, Infeasible, heads_of, make_box
from packing.boxes.carton_plan import carton_plan
from packing.boxes.cartons import NoCarton
from packing.boxes.styles.stock_carton import carton_for
from packing.insert import with_less_work
from packing.materials import ShopMaterials
from packing.measure import BadInput, Order
from packing.nest import Nesting, Progress, nest, on_the_step
from packing.plan import Message, Plan, Refusal, StockCartonPlan, to_json
from packing.plan.kinds import Limit, Objective, Status
from packing.planning.boxing import slotted_candidate
from packing.planning.candidate import Candidate
from packing.planning.objective import MINUTES_PER_PERCENT, OBJECTIVES, ranked, trades_volume
from packing.planning.result import plan_of, refusal_of
from packing.planning.terms import Billing
from packing.planning.weight import gross_problem, load_of_box, weigh_design
from packing.strength import choose_board

LAYER_MINUTES_PER_PERCENT = 6
"""As `MINUTES_PER_PERCENT`, for the height of layers alone where no thin stock is named."""

MOST_GROWN = Fraction(105, 100)
"""Where an order gives volume for less work, no box of more than so many times the least volume is tried (our own
judgement)."""


@dataclass(frozen=True)
class PlanningResult:
    """The outcome of planning an order.

    Parameters
    ----------
    answer
        The plan, or why there is none.
    nesting
        The search's answer.
    others
        The candidates that were not chosen, the best first.
    """

    answer: Plan | Refusal
    nesting: Nesting
    others: tuple[Candidate, ...] = ()

    @property
    def status(self) -> Status:
        """Planned, or why not."""
        return self.answer.status

    @property
    def plan(self) -> Plan:
        """The plan; raises ValueError with the reason where there is none."""
        if isinstance(self.answer, Refusal):
            raise ValueError(str(self.answer.message))
        return self.answer

    @property
    def content(self) -> dict[str, Any]:
        """The content of the plan's file."""
        return to_json(self.answer)


def plan_parcel(
    order: Order,
    *,
    seconds: float | None = None,
    effort: int | None = None,
    seed: int = 0,
    aim: str = Objective.VOLUME,
    billing: Billing | None = None,
    materials: ShopMaterials | None = None,
    stop: Callable[[], bool] | None = None,
    progress: Callable[[Progress], None] | None = None,
    several: bool = False,
) -> PlanningResult:
    """Plan one parcel: nest, cut the insert, make the box, weigh, choose.

    Parameters
    ----------
    order
        As read by `read_order`.
    seconds, effort, seed, stop, progress
        See `packing.nest.nest`.
    aim
        What the box is to be least in, see `packing.planning.objective`. "volume": the interior, unless a
        little more saves much work where the order trades them. "price": the limits it passes, then surcharges,
        then the bill, then those with the box in its thickest stock and grown by 4 mm, then work. "work":
        sheets with pockets, then minutes for the box, then cuts. "flat": the outside height.
    billing
        What a carrier bills; needed for "price".
    materials
        Foam, board, sundries and stock cartons; the library's own where not given.
    several
        Whether to hand over the candidates that were not chosen under the aim "volume" too, which needs only one.

    Returns
    -------
    PlanningResult

    Raises
    ------
    BadInput
        An unknown aim, or "price" without a billing; no sheet of the board takes a blank of any nesting; see also
        `packing.nest.nest`.
    """
    if aim not in OBJECTIVES:
        raise BadInput("aim", f"must be one of {', '.join(OBJECTIVES)}, not {aim!r}.")
    objective = Objective(aim)
    if objective is Objective.PRICE and billing is None:
        raise BadInput("price", "is missing: the aim “price” needs to know what a carrier charges.")
    materials = materials or ShopMaterials()
    pareto_front = several or objective is not Objective.VOLUME or trades_volume(order)
    nesting = nest(
        order, seconds=seconds, effort=effort, seed=seed, stop=stop, progress=progress, pareto_front=pareto_front
    )
    if nesting.status is not Status.PLANNED:
        return PlanningResult(refusal_of(order, nesting), nesting)
    nesting = on_the_step(order, nesting)
    found = [nesting, *nesting.others]
    if not several and objective is Objective.VOLUME:
        found = [one for one in found if one.volume_um3 <= nesting.volume_um3 * MOST_GROWN]
    found = _with_layer_heights(order, found, objective, materials)
    boxed = [slotted_candidate(order, one, materials, billing=billing) for one in found]
    candidates = [one for one in boxed if isinstance(one, Candidate)]
    if not candidates:
        # No case can be made of any nesting: asked of the search's own, this raises the reason.
        candidates = [nesting_candidate(order, nesting, materials)]
    allowed = [one for one in candidates if gross_problem(order, one.weights) is None]
    if not allowed:
        return _too_heavy(order, nesting, min(candidates, key=lambda one: one.weights.gross_mg))
    chosen, *left = ranked(allowed, order, objective)
    # All nestings come of one search, so whichever is taken tells of its effort.
    used = replace(chosen.nesting, seconds=nesting.seconds, steps=nesting.steps, seed=nesting.seed, others=())
    chosen = replace(chosen, nesting=used)
    others = tuple(one for one in left if one.nesting.interior_um != used.interior_um)
    plan = plan_of(order, chosen, stock_carton_alternative(order, chosen, materials))
    notes = (*plan.box.notes, *_too_weak(chosen, materials))
    return PlanningResult(structs.replace(plan, box=structs.replace(plan.box, notes=notes)), used, others)


def _with_layer_heights(
    order: Order, found: Sequence[Nesting], objective: Objective, materials: ShopMaterials
) -> list[Nesting]:
    """Nestings with layers higher where that saves work: for the least volume instead of the lower, else beside."""
    percent = MINUTES_PER_PERCENT if trades_volume(order) else LAYER_MINUTES_PER_PERCENT
    worth = Decimal(percent if objective is Objective.VOLUME else 0)
    higher = [with_less_work(order, one, materials.foam, worth=worth) for one in found]
    if objective is Objective.VOLUME:
        return [eased or one for one, eased in zip(found, higher, strict=True)]
    return [*found, *(eased for eased in higher if eased is not None)]


def _too_weak(chosen: Candidate, materials: ShopMaterials) -> list[Message]:
    """A sentence where a rule for board grades does not allow the box: which, with its limit and value."""
    choice = choose_board((materials.board,), lambda _board: load_of_box(chosen.design, chosen.weights))
    if choice.board is None:
        return [Message("Do not send it in this board. {reason}", reason=choice.reason)]
    return [choice.reason] if choice.unjudged else []


def nesting_candidate(
    order: Order, nesting: Nesting, materials: ShopMaterials, *, billing: Billing | None = None
) -> Candidate:
    """Box one nesting in a regular slotted case.

    Parameters
    ----------
    order, nesting
        A planned nesting of the order.
    materials
        Foam, board and sundries.
    billing
        See `packing.planning.Billing`; None leaves the bill out.

    Returns
    -------
    Candidate

    Raises
    ------
    BadInput
        The case cannot be made, see `slotted_candidate`.
    """
    found = slotted_candidate(order, nesting, materials, billing=billing)
    if isinstance(found, Infeasible):
        raise BadInput("board", found.reason)
    return found


def stock_carton_alternative(order: Order, chosen: Candidate, materials: ShopMaterials) -> StockCartonPlan | NoCarton:
    """Find the smallest stock carton that takes a candidate's insert.

    Parameters
    ----------
    order, chosen
        The order and the candidate.
    materials
        Its cartons count.

    Returns
    -------
    StockCartonPlan or NoCarton
        The carton as a part of the plan, or why there is none.
    """
    nesting, insert = chosen.nesting, chosen.insert
    spec = BoxSpec(
        nesting.interior_um,
        materials.board,
        sheets=len(insert.sheets),
        heads=heads_of(order, nesting),
        foam=materials.foam,
        cartons=materials.cartons,
    )
    choice, design = carton_for(spec), make_box("carton", spec)
    if isinstance(choice, NoCarton):
        return choice
    if isinstance(design, Infeasible):
        return NoCarton(design.reason)
    gross_mg = weigh_design(order, insert, design, materials).gross_mg
    return carton_plan(choice, weight_mg=design.weight_mg, gross_mg=gross_mg, notes=design.notes)


def _too_heavy(order: Order, nesting: Nesting, lightest: Candidate) -> PlanningResult:
    """Heavier than `max_gross_g`: impossible where the pieces alone are, else not found."""
    limit = order.rules.max_gross_mg or 0
    pieces = sum(item.weight_mg for item in order.items)
    refused = Nesting(
        Status.IMPOSSIBLE if pieces > limit else Status.NOT_FOUND,
        seconds=nesting.seconds,
        steps=nesting.steps,
        seed=nesting.seed,
        limit=Limit.GROSS_WEIGHT,
        item=max(order.items, key=lambda item: item.weight_mg).id,
        by_mg=lightest.weights.gross_mg - limit,
        message=gross_problem(order, lightest.weights) or Message(""),
    )
    return PlanningResult(refusal_of(order, refused), refused)

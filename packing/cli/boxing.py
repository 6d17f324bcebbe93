"""The box of the best style, for the command line: of whatever can be made of the library's board and wood."""

from typing import TYPE_CHECKING

from msgspec import structs

from packing.measure import Order
from packing.plan import Plan
from packing.plan.kinds import Objective

if TYPE_CHECKING:
    from packing.planning import Billing, PlanningResult


def boxed_best(order: Order, answer: "PlanningResult", objective: Objective, billing: "Billing | None") -> Plan:
    """Take the box that is best at what was asked for, by the choice that a shop's orders go by.

    Parameters
    ----------
    order, answer
        A planned order, with the nestings that were not chosen.
    objective
        What the box is to be least in.
    billing
        What a carrier bills; None leaves the bill out.

    Returns
    -------
    Plan
        Where no box passes the rules for board, the slotted case with its note that it must not be sent so.
    """
    from packing.boxes import Infeasible
    from packing.materials import ShopMaterials
    from packing.planning import Terms, candidate_plan, choose_box

    # Which cartons there are nobody has said: they stay the second answer.
    choice = choose_box(order, answer, Terms(ShopMaterials(cartons=())), objective=objective, billing=billing)
    if isinstance(choice.taken, Infeasible):
        return answer.plan
    plan = candidate_plan(order, choice.taken, Terms())
    if choice.not_slotted is None:
        return plan
    return structs.replace(plan, box=structs.replace(plan.box, notes=(*plan.box.notes, choice.not_slotted)))

"""An order file's content goes in to be planned; a plan's content comes back and is checked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import packing
from packing.check import check_plan
from packing.materials import ShopMaterials
from packing.measure import BadInput, read_order
from packing.nest import Progress
from packing.plan import BadPlanFile, Plan, plan_from_json, to_json
from packing.plan.kinds import Objective, Status
from packing.planning import Terms, billing_by, plan_parcel
from shop.adapter.made_from import OrderFile
from shop.adapter.objective import service_in
from shop.adapter.offers import Planned, make_choice
from shop.models import BoxPlan, Offer

_READ = "_plan"
"""Kept in the row's own instance, so that a page which shows a plan in five places reads its file once."""
Report = Callable[[dict[str, object]], None]
Stop = Callable[[], bool]


def code_version() -> str:
    """Tell the version of the planning code.

    Returns
    -------
    str
        As plans record it.
    """
    return packing.__version__


def plan_of(row: BoxPlan | Offer) -> Plan:
    """The plan of a stored row, or of a box offered with it, read once for each instance.

    Parameters
    ----------
    row
        Its `content` is the plan's file; a file of an earlier version is read as one of today.

    Returns
    -------
    Plan
        In whole micrometres and milligrams.

    Raises
    ------
    BadInput
        The row holds no plan that can be read.
    """
    kept: Plan | None = row.__dict__.get(_READ)
    if kept is None:
        kept = row.__dict__[_READ] = read_plan(row.content)
    return kept


def read_plan(content: Mapping[str, object]) -> Plan:
    """Read the plan in a plan file's content.

    Parameters
    ----------
    content
        As `plan_content` writes it, today or in an earlier version.

    Returns
    -------
    Plan
        In whole micrometres and milligrams.

    Raises
    ------
    BadInput
        There is no plan in it that can be read.
    """
    try:
        return plan_from_json(content)
    except BadPlanFile as fault:
        raise BadInput("content", str(fault)) from fault


def plan_content(plan: Plan) -> dict[str, object]:
    """Write the content of a plan's file.

    Parameters
    ----------
    plan
        As the library answered.

    Returns
    -------
    dict
        Plain JSON values, as a row keeps them.
    """
    return to_json(plan)


def plan_with_offers(
    file: OrderFile,
    terms: Terms,
    *,
    seconds: float,
    progress: Report | None = None,
    stop: Stop | None = None,
    enough: Stop | None = None,
) -> Planned:
    """Plan an order, and offer up to four boxes for it that differ on purpose.

    Parameters
    ----------
    file
        As `order_file` gives it.
    terms
        What boxes are made of, as `terms_for` gives it.
    seconds
        Bounds the search.
    progress
        Told of the search as plain values: seconds, steps, aim, volume_l (None before the first plan), and gap (None
        where volume is not aimed at).
    stop
        When true the best so far is returned, without offers: what they cost is not spent on a plan nobody keeps.
    enough
        When true the search ends before its seconds; the best so far is planned to the end.

    Returns
    -------
    Planned
        The box is chosen for the least bill under the rule in the file's stock, or for the least volume where there is
        none; the plan's `chosen` says which. It is a regular slotted case of the lightest board that passes, and the
        first offer where none does.

    Raises
    ------
    BadInput
        On what cannot be read.
    """
    service, order = service_in(file.stock), file.order
    aim = Objective.VOLUME if service is None else Objective.PRICE

    def tell(search: Progress) -> None:
        if progress is not None:
            progress(_progress_content(search, aim))

    plan = plan_parcel(
        order,
        seconds=seconds,
        aim=aim,
        billing=None if service is None else billing_by(service),
        materials=of_any_size(terms.materials),
        several=True,
        stop=lambda: bool((stop and stop()) or (enough and enough())),
        progress=tell,
    )
    if plan.status != Status.PLANNED or (stop is not None and stop()):
        return Planned(plan.answer)
    return make_choice(order, plan, terms, service)


def of_any_size(materials: ShopMaterials) -> ShopMaterials:
    """The materials with board in any size, cut in any way, for the search alone: what can be made is judged after."""
    return replace(materials, board=replace(materials.board, sheet_um=None, cut_by=("knife",)))


def problems(content: Mapping[str, object], plan: Mapping[str, object]) -> list[str]:
    """Have the separate checker find every broken rule of a plan.

    Parameters
    ----------
    content
        The order file that the plan answers.
    plan
        The plan's content.

    Returns
    -------
    list of str
        A sentence each; empty where the plan keeps every rule.

    Raises
    ------
    BadInput
        The order file cannot be read.
    """
    return [str(problem) for problem in check_plan(read_order(content), plan)]


def _progress_content(search: Progress, aim: Objective) -> dict[str, object]:
    return {
        "seconds": round(search.seconds, 1),
        "steps": search.steps,
        "aim": aim.value,
        "volume_l": round(search.volume_um3 / 1e15, 2) if search.volume_um3 else None,
        "gap": None if search.gap is None or aim is not Objective.VOLUME else round(search.gap, 4),
    }

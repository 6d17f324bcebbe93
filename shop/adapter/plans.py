"""An order file's content goes in to be planned; a plan's content comes back and is checked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import packing
from packing.check import check_plan
from packing.materials import Materials
from packing.measure import read_order
from packing.nest import Progress
from packing.planning import Terms, plan_parcel
from shop.adapter.objective import PRICE, VOLUME, price_under, service_in
from shop.adapter.offers import Planned, make_choice

Report = Callable[[dict[str, Any]], None]
Stop = Callable[[], bool]


def code_version() -> str:
    """The version of the planning code, as plans record it."""
    return packing.__version__


def plan_with_offers(
    content: Mapping[str, Any],
    stock: Mapping[str, Any],
    terms: Terms,
    *,
    seconds: float,
    progress: Report | None = None,
    stop: Stop | None = None,
) -> Planned:
    """Plan an order file's content, and offer up to four boxes for it that differ on purpose.

    Parameters
    ----------
    content, stock
        As `order_file` gives them.
    terms
        What boxes are made of, as `terms_for` gives it.
    seconds
        Bounds the search.
    progress
        Told of the search as plain values: seconds, steps, volume_l (None before the first plan), gap.
    stop
        When true the best so far is returned, without offers: what they cost is not spent on a plan nobody keeps.

    Returns
    -------
    Planned
        The box is chosen for the least bill under the rule in `stock`, or for the least volume where there is none;
        the content's `chosen` says which. It is a regular slotted case of the lightest board that passes, and the
        first offer where none does.

    Raises
    ------
    BadInput
        On what cannot be read.
    """

    def tell(search: Progress) -> None:
        if progress is not None:
            progress(_progress_content(search))

    service, order = service_in(stock), read_order(content)
    plan = plan_parcel(
        order,
        seconds=seconds,
        aim=VOLUME if service is None else PRICE,
        price=None if service is None else price_under(service),
        materials=_of_any_size(terms.materials),
        several=True,
        stop=stop,
        progress=tell,
    )
    if plan.status != "planned" or (stop is not None and stop()):
        return Planned(plan.content, {})
    return make_choice(order, plan, terms, service)


def _of_any_size(materials: Materials) -> Materials:
    """The materials with board in any size, cut in any way, for the search alone: what can be made is judged after."""
    return replace(materials, board=replace(materials.board, sheet_um=None, cut_by=("knife",)))


def problems(content: Mapping[str, Any], plan: Mapping[str, Any]) -> list[str]:
    """Every broken rule of a plan, a sentence each, as the separate checker finds them."""
    return [str(problem) for problem in check_plan(read_order(content), plan)]


def _progress_content(search: Progress) -> dict[str, Any]:
    return {
        "seconds": round(search.seconds, 1),
        "steps": search.steps,
        "volume_l": round(search.volume_um3 / 1e15, 2) if search.volume_um3 else None,
        "gap": None if search.gap is None else round(search.gap, 4),
    }

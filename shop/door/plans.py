"""An order file's content goes in to be planned; a plan's content comes back and is checked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import ROUND_FLOOR, Decimal
from typing import Any

import packing
from packing import choose, material
from packing.check import check_plan
from packing.measure import BadInput, read_order
from packing.nest import Progress
from shop.door.aim import PRICE, VOLUME, chosen_for, price_under, service_in
from shop.models import Carton
from shop.money import Money

BOARDS: dict[str, material.Board] = {material.C_FLUTE.name: material.C_FLUTE}
SHOPS_OWN = "the shop's own figure"

Report = Callable[[dict[str, Any]], None]
Stop = Callable[[], bool]


def code_version() -> str:
    """The version of the planning code, as plans record it."""
    return packing.__version__


def plan_order(
    content: Mapping[str, Any],
    stock: Mapping[str, Any],
    cartons: Iterable[Carton] = (),
    *,
    seconds: float,
    progress: Report | None = None,
    stop: Stop | None = None,
) -> dict[str, Any]:
    """Plan an order file's content; returns the plan file's content, whatever its status.

    The box is chosen for the least bill under the rule in `stock`, or for the least volume where there is none; the
    content's `chosen` says which.

    `progress` is told of the search as plain values: seconds, steps, volume_l (None before the first plan), gap.
    When `stop` is true the best so far is returned. Raises BadInput.
    """

    def tell(search: Progress) -> None:
        if progress is not None:
            progress(_progress_content(search))

    service = service_in(stock)
    plan = choose.plan(
        read_order(content),
        seconds=seconds,
        aim=VOLUME if service is None else PRICE,
        price=None if service is None else price_under(service),
        materials=materials_of(stock, cartons),
        stop=stop,
        progress=tell,
    )
    if plan.status != "planned":
        return plan.content
    return {**plan.content, "chosen": chosen_for(plan.content, service)}


def problems(content: Mapping[str, Any], plan: Mapping[str, Any]) -> list[str]:
    """Every broken rule of a plan, a sentence each, as the separate checker finds them."""
    return [str(problem) for problem in check_plan(read_order(content), plan)]


def materials_of(stock: Mapping[str, Any], cartons: Iterable[Carton] = ()) -> choose.Materials:
    """The shop's foam, board and cartons as the library takes them. Raises BadInput on a board that is not known."""
    foam, board_name = stock["foam"], stock["board"]
    if board_name and board_name not in BOARDS:
        raise BadInput("board", f"must be one of {', '.join(BOARDS)}, not {board_name}.")
    board = BOARDS[board_name] if board_name else material.C_FLUTE
    return choose.Materials(
        foam=material.Foam(
            name=foam["name"],
            density_g_m3=int(Decimal(str(foam["density_kg_m3"])) * 1000),
            fit_um=int(Decimal(str(foam["fit_mm"])) * 1000),
            spread=material.PE_FOAM.spread,
            source=SHOPS_OWN,
        ),
        board=board,
        cartons=tuple(_carton(carton, board) for carton in cartons),
    )


def _carton(carton: Carton, board: material.Board) -> material.Carton:
    inner = tuple(
        int((getattr(carton, side) * 1000).to_integral_value(ROUND_FLOOR)) for side in ("length", "width", "height")
    )
    price = "" if carton.price is None else str(Money(carton.price, carton.currency or carton.shop.currency))
    return material.Carton(carton.name, (inner[0], inner[1], inner[2]), BOARDS.get(carton.board, board), price)


def _progress_content(search: Progress) -> dict[str, Any]:
    return {
        "seconds": round(search.seconds, 1),
        "steps": search.steps,
        "volume_l": round(search.volume_um3 / 1e15, 2) if search.volume_um3 else None,
        "gap": None if search.gap is None else round(search.gap, 4),
    }

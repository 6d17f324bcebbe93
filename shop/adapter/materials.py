"""The shop's stock as the library takes it: foam, board, cartons."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import ROUND_FLOOR, Decimal

import msgspec
from msgspec import UNSET

from packing import materials
from packing.cushion import CurvePoint, fit_curve
from packing.measure import BadInput
from shop.adapter.made_from import Stock
from shop.adapter.stock import SHOPS_OWN
from shop.models import Carton
from shop.money import Money

BOARDS: dict[str, materials.Board] = {board.name: board for board in materials.BOARDS}
USUAL = materials.C_FLUTE.name
"""The search needs some board to reckon with before one is chosen by weight."""


def materials_of(
    stock: Stock, cartons: Iterable[Carton] = (), boards: Mapping[str, materials.Board] = BOARDS
) -> materials.ShopMaterials:
    """The shop's foam, board and cartons as the library takes them.

    Parameters
    ----------
    stock
        As `order_file` gives it.
    cartons
        Rows in stock.
    boards
        What there is, by name. Where the shop has chosen none of them, the search reckons with the usual board, or
        with the lightest there is.

    Raises
    ------
    BadInput
        On a board that is not known.
    """
    foam, board_name = stock.foam, stock.board
    if board_name and board_name not in boards:
        raise BadInput("board", f"must be one of {', '.join(boards)}, not {board_name}.")
    board = boards[board_name or USUAL] if board_name or USUAL in boards else next(iter(boards.values()))
    return materials.ShopMaterials(
        foam=materials.Foam(
            name=foam.name,
            density_g_m3=int(Decimal(str(foam.density_kg_m3)) * 1000),
            fit_um=int(Decimal(str(foam.fit_mm)) * 1000),
            spread=materials.PE_FOAM.spread,
            source=SHOPS_OWN,
            stress_pa=None if foam.meant_for_kpa is None else _pascals(foam.meant_for_kpa),
            snug_um=materials.PE_FOAM.snug_um if foam.snug_mm is UNSET else int(Decimal(str(foam.snug_mm)) * 1000),
            curve=None if foam.curve is UNSET else fit_curve(foam.curve),
        ),
        board=board,
        cartons=tuple(_carton(carton, boards.get(carton.board, board)) for carton in cartons),
    )


def curve_points(rows: Sequence[Mapping[str, float]]) -> tuple[CurvePoint, ...]:
    """The points of a maker's curve as the shop keeps them.

    Parameters
    ----------
    rows
        Heights and thicknesses in whole micrometres, static stress in pascals, peaks in units of gravity.

    Returns
    -------
    tuple of CurvePoint
    """
    return msgspec.convert(tuple(rows), tuple[CurvePoint, ...])


def check_curve(rows: Sequence[Mapping[str, float]]) -> None:
    """Refuse points that no curve goes through.

    Parameters
    ----------
    rows
        See `curve_points`.

    Raises
    ------
    BadInput
        Fewer than three, a figure not greater than 0, points of one energy, stress that falls with energy.
    """
    fit_curve(curve_points(rows))


def _pascals(kilopascals: tuple[float, float]) -> tuple[int, int]:
    least, most = (round(Decimal(str(one)) * 1000) for one in kilopascals)
    return least, most


def _carton(carton: Carton, board: materials.Board) -> materials.Carton:
    inner = tuple(
        int((getattr(carton, side) * 1000).to_integral_value(ROUND_FLOOR)) for side in ("length", "width", "height")
    )
    price = "" if carton.price is None else str(Money(carton.price, carton.currency or carton.shop.currency))
    return materials.Carton(carton.name, (inner[0], inner[1], inner[2]), board, price)

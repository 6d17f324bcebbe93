"""The rows that a box was made from, kept with its plan."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TypeVar

import msgspec
from msgspec import structs

from packing import materials
from packing.materials import Fastener, Timber, allowance_for
from packing.plan import Plan, Size, render
from packing.plan.kinds import StockKind
from packing.planning import Terms
from packing.strength import Load, grade
from shop.models import BoxPlan, Offer


class BoardFigures(msgspec.Struct, frozen=True):
    """The figures of a board that decide a box, with what folding takes from it."""

    flute: str
    wall: str
    grade: str
    caliper_um: int
    caliper_tolerance_um: int
    grammage_mg_m2: int
    joint_um: int
    burst_psi: int
    facings_lb: int
    ect_lb_in: int
    sheet_um: tuple[int, int] | None
    cut_by: tuple[str, ...]
    panel_um: int
    layer_um: int


class WoodFigures(msgspec.Struct, frozen=True):
    """The figures of sawn boards or panels that decide a box."""

    thickness_um: int
    thickness_tolerance_um: int
    width_um: int
    length_um: int
    density_g_m3: int
    processed: bool
    cut_by: tuple[str, ...]


class FastenerFigures(msgspec.Struct, frozen=True):
    """The figures of a screw or nail that decide a box."""

    diameter_um: int
    length_um: int
    each_mg: int


class CartonFigures(msgspec.Struct, frozen=True):
    """The figures of a stock carton that decide a box."""

    inner_um: Size
    board: str


Row = TypeVar("Row")
Figures = BoardFigures | WoodFigures | FastenerFigures | CartonFigures


class KeptLoad(msgspec.Struct, frozen=True):
    """The load that a box has to stand."""

    gross_mg: int
    contents_mg: int
    inner_um: Size
    outer_um: Size
    slotted: bool


class KeptCheck(msgspec.Struct, frozen=True, array_like=True):
    """The verdict of one rule for board grades on a box."""

    rule: str
    result: str
    limit: str
    verdict: str


class KeptGrade(msgspec.Struct, frozen=True):
    """The board of a box, its load, and what each rule for board grades made of them."""

    board: str
    load: KeptLoad
    checks: tuple[KeptCheck, ...]


class Snapshot(msgspec.Struct, frozen=True, omit_defaults=True):
    """The figures of the very rows that a box was made from, by kind and name; sources are left out.

    Parameters
    ----------
    board, wood, fastener, carton
        What the box is made of.
    second_carton
        The stock carton that is the second answer.
    grade
        The checks of its board with the load they were made for; None for bare wood.
    prices
        Of board, wood and carton, None where not known; empty where boxes are not ranked by money.
    """

    board: dict[str, BoardFigures] = {}
    wood: dict[str, WoodFigures] = {}
    fastener: dict[str, FastenerFigures] = {}
    carton: dict[str, CartonFigures] = {}
    second_carton: dict[str, CartonFigures] = msgspec.field(name="second carton", default_factory=dict)
    grade: KeptGrade | None = None
    prices: dict[str, dict[str, str | None]] = {}

    def __bool__(self) -> bool:
        return self != Snapshot()


def snapshot_of(row: BoxPlan | Offer) -> Snapshot:
    """Read which rows a stored plan's box, or an offered one, was made from.

    Parameters
    ----------
    row
        A stored plan or offer.

    Returns
    -------
    Snapshot
        Empty for a plan that was stored before rows were kept.
    """
    return msgspec.convert(row.snapshot, Snapshot)


def snapshot(plan: Plan, terms: Terms) -> Snapshot:
    """Take down what of the shop's rows a plan's box was made from.

    Parameters
    ----------
    plan
        With its box.
    terms
        What it was made with.

    Returns
    -------
    Snapshot
        Of the rows that the box's pieces, hardware and stock cartons name.
    """
    pieces, there = plan.box.pieces, rows_in_stock(terms)
    stocks = [piece.stock for piece in pieces if piece.stock is not None]
    boards = {stock.name for stock in stocks if stock.kind is StockKind.BOARD}
    cartons = {piece.carton for piece in pieces if piece.carton}
    second = set() if plan.carton is None else {plan.carton.name}
    kept = Snapshot(
        board=_named(there.board, boards | (set() if plan.carton is None else {plan.carton.board})),
        wood=_named(there.wood, {stock.name for stock in stocks if stock.kind is StockKind.TIMBER}),
        fastener=_named(there.fastener, {render(line.what) for line in plan.box.hardware}),
        carton=_named(there.carton, cartons),
        second_carton=_named(there.carton, second - cartons),
        grade=_graded(plan, terms),
    )
    return structs.replace(kept, prices=_prices_of(kept, there)) if there.prices else kept


def _prices_of(kept: Snapshot, there: Snapshot) -> dict[str, dict[str, str | None]]:
    """Prices paid for the rows of a box; a second answer's carton decides nothing."""
    return {
        kind: {name: price for name, price in prices.items() if name in getattr(kept, kind)}
        for kind, prices in there.prices.items()
    }


def rows_in_stock(terms: Terms) -> Snapshot:
    """Every row there is now, as snapshots keep them."""
    cartons = {carton.name: CartonFigures(carton.inner_um, carton.board.name) for carton in terms.materials.cartons}
    joinery = terms.materials.joinery
    return Snapshot(
        board={board.name: _board(board, terms) for board in _boards(terms)},
        wood={one.name: _wood(one) for one in (*joinery.planks, *joinery.panels)},
        fastener={one.name: _fastener(one) for one in (*joinery.screws, *joinery.nails)},
        carton=cartons,
        second_carton=cartons,
        prices=_prices(terms),
    )


def _prices(terms: Terms) -> dict[str, dict[str, str | None]]:
    """Prices of every row; none where boxes are not ranked by money, and no price decides anything."""
    rates, joinery = terms.materials.rates, terms.materials.joinery
    if rates.billed_unit is None or rates.hour is None:
        return {}
    return {
        "board": {board.name: _plain(board.price_m2) for board in _boards(terms)},
        "wood": {one.name: _plain(one.price) for one in (*joinery.planks, *joinery.panels)},
        "carton": {one.name: _plain(rates.cartons.get(one.name)) for one in terms.materials.cartons},
    }


def _plain(price: Decimal | None) -> str | None:
    return None if price is None else format(price.normalize(), "f")


def checks_of(name: str, load: KeptLoad, terms: Terms) -> tuple[KeptCheck, ...]:
    """Each rule for board grades with its result, limit and verdict; none where the board is not in stock."""
    board = next((one for one in reversed(_boards(terms)) if one.name == name), None)
    if board is None:
        return ()
    held = Load(
        gross_mg=load.gross_mg,
        inner_um=load.inner_um,
        outer_um=load.outer_um,
        contents_mg=load.contents_mg,
        slotted=load.slotted,
        stack_um=terms.stack_um,
        days=terms.days,
        humidity=terms.humidity,
        tables=terms.tables,
    )
    checks = grade(board, held, terms.rules).checks
    return tuple(KeptCheck(check.rule, check.result, check.limit, check.verdict) for check in checks)


def _named(rows: Mapping[str, Row], names: set[str]) -> dict[str, Row]:
    return {name: figures for name, figures in rows.items() if name in names}


def _boards(terms: Terms) -> list[materials.Board]:
    """Every board by rising weight of its word: the last of a name is the one that counts."""
    return [carton.board for carton in terms.materials.cartons] + [terms.materials.board, *terms.materials.boards]


def _board(board: materials.Board, terms: Terms) -> BoardFigures:
    row = allowance_for(board, terms.materials.allowances)
    return BoardFigures(
        flute=board.flute,
        wall=board.wall,
        grade=board.grade,
        caliper_um=board.caliper_um,
        caliper_tolerance_um=board.caliper_tolerance_um,
        grammage_mg_m2=board.grammage_mg_m2,
        joint_um=board.joint_um,
        burst_psi=board.burst_psi,
        facings_lb=board.facings_lb,
        ect_lb_in=board.ect_lb_in,
        sheet_um=board.sheet_um,
        cut_by=board.cut_by,
        panel_um=row.panel_um,
        layer_um=row.layer_um,
    )


def _wood(timber: Timber) -> WoodFigures:
    return WoodFigures(
        thickness_um=timber.thickness_um,
        thickness_tolerance_um=timber.thickness_tolerance_um,
        width_um=timber.width_um,
        length_um=timber.length_um,
        density_g_m3=timber.density_g_m3,
        processed=timber.processed,
        cut_by=timber.cut_by,
    )


def _fastener(one: Fastener) -> FastenerFigures:
    return FastenerFigures(diameter_um=one.diameter_um, length_um=one.length_um, each_mg=one.each_mg)


def _graded(plan: Plan, terms: Terms) -> KeptGrade | None:
    """The load of a plan's box, and what each rule makes of its board; None where no board was graded."""
    box, weight = plan.box, plan.weight
    if box.grade is None or box.board is None:
        return None
    case_mg, inner_um, layers = weight.box_mg, box.inner_um, box.flap_layers
    if box.case is not None:
        # The case's walls carry what is piled on it; the wooden box inside is a part of its contents.
        case_mg, inner_um, layers = box.case.weight_mg, box.case.inner_um, box.case.flap_layers
    load = KeptLoad(
        gross_mg=weight.gross_mg,
        contents_mg=weight.gross_mg - case_mg,
        inner_um=inner_um,
        outer_um=box.outer_um,
        slotted=layers > 0,
    )
    return KeptGrade(box.board.name, load, checks_of(box.board.name, load, terms))

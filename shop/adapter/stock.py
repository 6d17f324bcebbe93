"""The shop's rows of material and work as the library takes them, and the library's own as rows to start with."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from packing import materials, strength
from packing.materials import (
    ALLOWANCES,
    LABOUR_TIMES,
    NAILS,
    PLANKS,
    PLANKS_INCH,
    PLYWOOD,
    PLYWOOD_INCH,
    SCREWS,
    SCREWS_INCH,
    Allowance,
    Fastener,
    Joinery,
    LabourTime,
    Timber,
)
from packing.measure import BadInput
from packing.sureness import Sureness
from shop import models
from shop.models import Shop

Row = TypeVar("Row", bound=models.StockRow)
Thing = TypeVar("Thing")
SHOPS_OWN = "the shop's own figure"
"""Said where a row was changed by the shop and gives no source of its own."""
SQUARE_METRE_STEP = Decimal("0.0001")
"""Prices are kept and shown with four decimals, as in the settings."""
BOARD_SPREAD = materials.C_FLUTE.spread
"""A shop's row has no spread of its own yet; the published boards' is taken."""


def boards_of(shop: Shop) -> dict[str, materials.Board]:
    """Read the shop's boards in stock, light to heavy; the library's where the shop keeps none.

    Parameters
    ----------
    shop
        Whose rows they are.

    Returns
    -------
    dict of Board
        By name.

    Raises
    ------
    BadInput
        The shop keeps rows of boards and none is in stock.
    """
    rows = models.BoardRow.objects.filter(shop=shop)
    return {board.name: board for board in _in_stock(rows, _board, materials.BOARDS, "boards")}


def joinery_of(shop: Shop) -> Joinery:
    """The shop's wood, screws and nails in stock; the library's of each kind of which the shop keeps none.

    Raises
    ------
    BadInput
        The shop keeps rows of a kind and none of them is in stock.
    """
    wood = models.WoodRow.objects.filter(shop=shop)
    hardware = models.FastenerRow.objects.filter(shop=shop)
    return Joinery(
        planks=_in_stock(wood.filter(processed=False), _timber, PLANKS, "sawn boards"),
        panels=_in_stock(wood.filter(processed=True), _timber, PLYWOOD, "panels"),
        screws=_in_stock(hardware.filter(kind="screw"), _fastener, SCREWS, "screws"),
        nails=_in_stock(hardware.filter(kind="nail"), _fastener, NAILS, "nails"),
        rope_handles=shop.rope_handles,
        feet=shop.feet,
    )


def work_of(shop: Shop) -> tuple[LabourTime, ...]:
    """The time of each kind of work; the library's guesses where the shop keeps no times."""
    rows = models.LabourTime.objects.filter(shop=shop)
    return tuple(LabourTime(row.what, row.minutes, row.source or SHOPS_OWN) for row in rows) or LABOUR_TIMES


def sheet_prices(shop: Shop) -> dict[tuple[str, int], Decimal]:
    """Read what a square metre costs by the sheets in stock that have a price, whole ones alone.

    Parameters
    ----------
    shop
        Whose rows they are.

    Returns
    -------
    dict of Decimal
        By material and the thickness it is sold as, and the one it measures, in micrometres: the least, in the shop's
        currency.
    """
    found: dict[tuple[str, int], Decimal] = {}
    for row in models.SheetRow.objects.filter(shop=shop, offcut=False, price__isnull=False):
        each = (row.price or Decimal(0)) * 1_000_000 / (row.length_mm * row.width_mm)
        # Foam is asked for as it is sold, boards and wood as they measure.
        for thickness_um in {_um(row.nominal_mm), _um(row.thickness_mm)}:
            key = row.material, thickness_um
            found[key] = min(found.get(key, each), each)
    return {key: each.quantize(SQUARE_METRE_STEP) for key, each in found.items()}


def allowances_of(shop: Shop) -> tuple[Allowance, ...]:
    """The allowances of folding by flute; the library's where the shop keeps none."""
    rows = models.AllowanceRow.objects.filter(shop=shop)
    own = tuple(
        Allowance(
            row.flute, _um(row.caliper_mm), _um(row.panel_mm), _um(row.layer_mm), row.source or SHOPS_OWN, row.sureness
        )
        for row in rows
    )
    return own or ALLOWANCES


def stock_to_start_with(*, inch: bool = False) -> dict[type[models.ShopOwned], list[dict[str, object]]]:
    """Write the library's boards, wood, screws, nails, times, allowances and rules for board as a shop's rows.

    Parameters
    ----------
    inch
        Give wood and screws as they are bought by the inch.

    Returns
    -------
    dict of list of dict
        By the model, the fields of each row.
    """
    wood = (*PLANKS_INCH, *PLYWOOD_INCH) if inch else (*PLANKS, *PLYWOOD)
    return {
        models.BoardRow: [_board_fields(board) for board in materials.BOARDS],
        models.WoodRow: [_timber_fields(timber) for timber in wood],
        models.FastenerRow: [
            *(_fastener_fields(one, "screw") for one in (SCREWS_INCH if inch else SCREWS)),
            *(_fastener_fields(one, "nail") for one in NAILS),
        ],
        models.LabourTime: [{"what": row.what, "minutes": row.minutes, "source": row.source} for row in LABOUR_TIMES],
        models.AllowanceRow: [
            {
                "flute": row.flute,
                "caliper_mm": _mm(row.caliper_um),
                "panel_mm": _mm(row.panel_um),
                "layer_mm": _mm(row.layer_um),
                "source": row.source,
                "sureness": row.sureness,
            }
            for row in ALLOWANCES
        ],
        models.SheetRow: _sheets(inch=inch),
        models.GradeRule: [dict(row) for row in strength.table_rows(strength.Tables())],
    }


_SHEET_SOURCE = (
    "a usual size, common practice, no source; how many there are is invented: measure and count what is in hand"
)
_SHEETS_STARTED_WITH = 4


def _sheets(*, inch: bool) -> list[dict[str, object]]:
    """Sheets of foam to start with, as they are sold by the inch or by the millimetre."""
    if inch:
        thicknesses = [Decimal("25.4") * share for share in map(Decimal, ("0.125", "0.25", "0.5", "1", "1.5", "2"))]
        sides = {"length_mm": Decimal("2743.2"), "width_mm": Decimal("1219.2"), "trim_mm": Decimal("6.35")}
    else:
        thicknesses = [Decimal(one) for one in (3, 6, 12, 25, 30, 50)]
        sides = {"length_mm": Decimal(2700), "width_mm": Decimal(1200), "trim_mm": Decimal(6)}
    usual = {"material": materials.PE_FOAM.name, "count": _SHEETS_STARTED_WITH, "source": _SHEET_SOURCE}
    return [
        {"nominal_mm": one, "thickness_mm": one, "sureness": Sureness.PRACTICE.value, **usual, **sides}
        for one in thicknesses
    ]


def _in_stock(
    rows: Iterable[Row], read: Callable[[Any], Thing], usual: Sequence[Thing], what: str
) -> tuple[Thing, ...]:
    kept = list(rows)
    if not kept:
        return tuple(usual)
    there = tuple(read(row) for row in kept if row.in_stock)
    if not there:
        raise BadInput(what, "must have at least one row that is in stock; there is none.")
    return there


def _board(row: models.BoardRow) -> materials.Board:
    sheet = None
    if row.sheet_across_mm is not None and row.sheet_along_mm is not None:
        sheet = (_um(row.sheet_across_mm), _um(row.sheet_along_mm))
    return materials.Board(
        name=row.name,
        flute=row.flute,
        grade=row.grade,
        caliper_um=_um(row.caliper_mm),
        grammage_mg_m2=int(row.grammage_g_m2 * 1000),
        joint_um=_um(row.joint_mm),
        spread=BOARD_SPREAD,
        source=row.source or SHOPS_OWN,
        wall=row.wall,
        burst_psi=row.burst_psi,
        facings_lb=row.facings_lb,
        ect_lb_in=row.ect_lb_in,
        caliper_tolerance_um=_um(row.caliper_tolerance_mm),
        sheet_um=sheet,
        price_m2=row.price_m2,
        cut_by=tuple(row.cut_by.split(", ")),
        sureness=_sureness(row),
    )


def _board_fields(board: materials.Board) -> dict[str, object]:
    across, along = board.sheet_um or (None, None)
    return {
        "name": board.name,
        "flute": board.flute,
        "grade": board.grade,
        "wall": board.wall,
        "caliper_mm": _mm(board.caliper_um),
        "caliper_tolerance_mm": _mm(board.caliper_tolerance_um),
        "grammage_g_m2": Decimal(board.grammage_mg_m2) / 1000,
        "joint_mm": _mm(board.joint_um),
        "burst_psi": board.burst_psi,
        "facings_lb": board.facings_lb,
        "ect_lb_in": board.ect_lb_in,
        "sheet_across_mm": None if across is None else _mm(across),
        "sheet_along_mm": None if along is None else _mm(along),
        "price_m2": board.price_m2,
        "cut_by": ", ".join(board.cut_by),
        "source": board.source,
        "sureness": board.sureness or "",
    }


def _timber(row: models.WoodRow) -> Timber:
    nominal = None
    if row.nominal_thickness_in is not None and row.nominal_width_in is not None:
        nominal = (Fraction(row.nominal_thickness_in), Fraction(row.nominal_width_in))
    usual = PLYWOOD[0] if row.processed else PLANKS[0]
    return Timber(
        name=row.name,
        nominal=row.nominal,
        thickness_um=_um(row.thickness_mm),
        width_um=_um(row.width_mm),
        length_um=_um(row.length_mm),
        density_g_m3=int(row.density_kg_m3 * 1000),
        processed=row.processed,
        kerf_um=_um(row.kerf_mm),
        nominal_in=nominal,
        spread=usual.spread,
        price=row.price,
        per=row.per,
        thickness_tolerance_um=_um(row.thickness_tolerance_mm),
        cut_by=tuple(row.cut_by.split(", ")),
        source=row.source or SHOPS_OWN,
        sureness=_sureness(row),
    )


def _timber_fields(timber: Timber) -> dict[str, object]:
    thickness, width = timber.nominal_in or (None, None)
    return {
        "name": timber.name,
        "nominal": timber.nominal,
        "processed": timber.processed,
        "thickness_mm": _mm(timber.thickness_um),
        "thickness_tolerance_mm": _mm(timber.thickness_tolerance_um),
        "width_mm": _mm(timber.width_um),
        "length_mm": _mm(timber.length_um),
        "density_kg_m3": Decimal(timber.density_g_m3) / 1000,
        "kerf_mm": _mm(timber.kerf_um),
        "nominal_thickness_in": None if thickness is None else Decimal(thickness.numerator) / thickness.denominator,
        "nominal_width_in": None if width is None else Decimal(width.numerator) / width.denominator,
        "price": timber.price,
        "per": timber.per,
        "cut_by": ", ".join(timber.cut_by),
        "source": timber.source,
        "sureness": timber.sureness or "",
    }


def _fastener(row: models.FastenerRow) -> Fastener:
    return Fastener(
        name=row.name,
        diameter_um=_um(row.diameter_mm),
        length_um=_um(row.length_mm),
        each_mg=int(row.each_g * 1000),
        source=row.source or SHOPS_OWN,
        sureness=_sureness(row),
    )


def _fastener_fields(one: Fastener, kind: str) -> dict[str, object]:
    return {
        "name": one.name,
        "kind": kind,
        "diameter_mm": _mm(one.diameter_um),
        "length_mm": _mm(one.length_um),
        "each_g": Decimal(one.each_mg) / 1000,
        "source": one.source,
        "sureness": one.sureness or "",
    }


def _sureness(row: models.StockRow) -> Sureness | None:
    """The level a row says, if any."""
    return Sureness(row.sureness) if row.sureness else None


def _um(value: Decimal) -> int:
    return int(value * 1000)


def _mm(value: int) -> Decimal:
    return Decimal(value) / 1000

"""The shop's stock sheets as the library takes them, and what a plan is cut from."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from packing.plan import Plan
from packing.stock import (
    CutFromStock,
    Keeping,
    LaidSheet,
    StockRow,
    StockSheet,
    cut_from_stock,
    heads_by_sheet,
    heads_of,
    needs_of,
    together,
)
from shop.models import SheetRow, Shop

__all__ = [
    "CutFromStock",
    "LaidSheet",
    "SheetOnPaper",
    "cut_plan_from",
    "cut_plans_from",
    "offcut_labels",
    "sheets_hash",
    "sheets_of",
]
KEEPING = Keeping()


@dataclass(frozen=True, slots=True)
class SheetOnPaper:
    """A row of stock as it was when something was laid on it; lengths in whole micrometres.

    Parameters
    ----------
    row
        Its key.
    label, material
        What is written on it; what it is.
    nominal_um, thickness_um, tolerance_um, length_um, width_um, trim_um, kerf_um
        As in the row.
    cut_by, turns, count, offcut
        As in the row.
    """

    row: int
    label: str
    material: str
    nominal_um: int
    thickness_um: int
    tolerance_um: int
    length_um: int
    width_um: int
    trim_um: int
    kerf_um: int
    cut_by: str
    turns: bool
    count: int
    offcut: bool


def sheets_of(shop: Shop) -> tuple[SheetOnPaper, ...]:
    """Read the shop's rows of stock: whole sheets, none left among them, and offcuts that are there.

    Parameters
    ----------
    shop
        Whose rows they are.

    Returns
    -------
    tuple of SheetOnPaper
        In the rows' own order.
    """
    return tuple(_of(row) for row in SheetRow.objects.filter(shop=shop) if row.count or not row.offcut)


def sheets_hash(sheets: Sequence[SheetOnPaper]) -> str:
    """Name the state of the stock.

    Parameters
    ----------
    sheets
        As `sheets_of` gives them.

    Returns
    -------
    str
        Another one whenever a row, a size or a count is another.
    """
    return hashlib.sha256(repr(tuple(sheets)).encode()).hexdigest()


def cut_plan_from(plan: Plan, sheets: Iterable[SheetOnPaper]) -> tuple[CutFromStock, ...]:
    """Lay a plan's flat parts on stock.

    Parameters
    ----------
    plan
        Whose insert and box are cut.
    sheets
        The stock.

    Returns
    -------
    tuple of CutFromStock
        One for each material and thickness of which the shop keeps rows. The same plan and stock give the same.
    """
    return cut_from_stock(needs_of(plan), stock_rows(sheets), heads=heads_of(plan), keeping=KEEPING)


def cut_plans_from(plans: Mapping[str, Plan], sheets: Iterable[SheetOnPaper]) -> tuple[CutFromStock, ...]:
    """Lay the flat parts of several plans on the same stock.

    Parameters
    ----------
    plans
        By what stands before the ids of their parts.
    sheets
        The stock.

    Returns
    -------
    tuple of CutFromStock
        See `cut_plan_from`.
    """
    needs = together(need for prefix, plan in plans.items() for need in needs_of(plan, prefix))
    heads = {sheet: over for prefix, plan in plans.items() for sheet, over in heads_by_sheet(plan, prefix).items()}
    return cut_from_stock(needs, stock_rows(sheets), heads=heads, keeping=KEEPING)


def stock_rows(sheets: Iterable[SheetOnPaper]) -> list[StockRow]:
    """The rows as the library lays parts on them."""
    return [_row(sheet) for sheet in sheets]


def _label(order_number: int | str, index: int) -> str:
    """The label written on an order's offcut, counted from 1."""
    return f"{order_number}-{index}"


def offcut_labels(prefix: str, cuts: Iterable[CutFromStock]) -> list[list[tuple[str, ...]]]:
    """Number the offcuts that an order leaves.

    Parameters
    ----------
    prefix
        Stands before each number.
    cuts
        As `cut_plan_from` gives them.

    Returns
    -------
    list of list of tuple
        By need and sheet, the labels of its offcuts, counted through the whole order from 1.
    """
    index = 0
    found = []
    for cut in cuts:
        sheets = []
        for sheet in () if cut.layout is None else cut.layout.sheets:
            sheets.append(tuple(_label(prefix, index + at) for at in range(1, len(sheet.offcuts) + 1)))
            index += len(sheet.offcuts)
        found.append(sheets)
    return found


def _of(row: SheetRow) -> SheetOnPaper:
    return SheetOnPaper(
        row=row.pk,
        label=row.label,
        material=row.material,
        nominal_um=_um(row.nominal_mm),
        thickness_um=_um(row.thickness_mm),
        tolerance_um=_um(row.tolerance_mm),
        length_um=_um(row.length_mm),
        width_um=_um(row.width_mm),
        trim_um=_um(row.trim_mm),
        kerf_um=_um(row.kerf_mm),
        cut_by=row.cut_by,
        turns=row.turns,
        count=row.count,
        offcut=row.offcut,
    )


def _row(sheet: SheetOnPaper) -> StockRow:
    size = sheet.length_um, sheet.width_um
    return StockRow(
        sheet=StockSheet(str(sheet.row), size, sheet.trim_um, sheet.count, sheet.offcut),
        material=sheet.material,
        nominal_um=sheet.nominal_um,
        thickness_um=sheet.thickness_um,
        tolerance_um=sheet.tolerance_um,
        kerf_um=sheet.kerf_um,
        cut_by=tuple(sheet.cut_by.split(", ")),
        turns=sheet.turns,
    )


def _um(value: Decimal) -> int:
    return int(value * 1000)

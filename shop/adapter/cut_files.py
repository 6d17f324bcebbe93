"""The cutting files of a plan's box and insert, as one archive."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence

from packing.draw.cut_stock import nested_sheets
from packing.draw.cut_way import FOLLOWERS, ON_THE_LINE, USUAL_KERF_UM, CutWay
from packing.plan import Plan
from packing.plan.kinds import Cutter
from shop.adapter.cutting import SheetOnPaper, cut_plan_from, offcut_labels, stock_rows

__all__ = ["FOLLOWERS", "CutWay", "cut_archive", "cut_way"]

FIXED_DATE = (1980, 1, 1, 0, 0, 0)
"""The first day a zip archive knows: with the day of the request in it the same plan would not give the same bytes."""


def cut_archive(
    plan: Plan, way: CutWay = ON_THE_LINE, sheets: Sequence[SheetOnPaper] = (), parcel_name: str = ""
) -> bytes:
    """Pack an SVG and a DXF of every flat piece and insert sheet, full size in mm, and the cautions.

    Parameters
    ----------
    plan
        Whose box and insert they are.
    way
        How the files are cut.
    sheets
        The stock; each sheet of it that is cut into has a file with all its parts, too.
    parcel_name
        The order's number, with the parcel's where there are several; stands before the number of each offcut.

    Returns
    -------
    bytes
        A zip archive. The same plan gives the same bytes.

    Raises
    ------
    BadInput
        The plan's box was made before boxes listed their pieces; the cut is too wide for a part.
    """
    from packing.draw.cut_file_dxf import cut_files  # noqa: PLC0415 -- slow to load, and few pages need it

    nested = None
    if sheets:
        cuts = cut_plan_from(plan, sheets)
        nested = nested_sheets({"": plan}, cuts, stock_rows(sheets), offcut_labels(parcel_name, cuts), way)
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in cut_files(plan, way, nested).items():
            entry = zipfile.ZipInfo(name, FIXED_DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, text)
    return held.getvalue()


def cut_way(tool: Cutter, kerf_mm: float | None, *, moved: bool) -> CutWay:
    """The way that cutting files are cut.

    Parameters
    ----------
    tool
        One of `FOLLOWERS`.
    kerf_mm
        Width of its cut; None for what is usual.
    moved
        Whether the lines are moved by half of that.

    Returns
    -------
    CutWay

    Raises
    ------
    BadInput
        A cut below nothing or beyond reason.
    """
    return CutWay(tool, USUAL_KERF_UM[tool] if kerf_mm is None else round(1000 * kerf_mm), moved)

"""Laying rectangles on sheets and bars: as few as can be, offcuts first, and the order of the cuts."""

from packing.stock.from_plan import (
    CutFromStock,
    Half,
    Need,
    StockRow,
    cut_from_stock,
    heads_by_sheet,
    heads_of,
    needs_of,
    together,
)
from packing.stock.model import (
    Axis,
    Cut,
    Cutting,
    Keeping,
    Lack,
    LaidPart,
    LaidSheet,
    Layout,
    Part,
    Rect,
    Shortage,
    StockSheet,
    area,
)
from packing.stock.needed import fits, new_at_least
from packing.stock.solve import lay_out

__all__ = [
    "Axis",
    "Cut",
    "CutFromStock",
    "Cutting",
    "Half",
    "Keeping",
    "Lack",
    "LaidPart",
    "LaidSheet",
    "Layout",
    "Need",
    "Part",
    "Rect",
    "Shortage",
    "StockRow",
    "StockSheet",
    "area",
    "cut_from_stock",
    "fits",
    "heads_by_sheet",
    "heads_of",
    "lay_out",
    "needs_of",
    "new_at_least",
    "together",
]

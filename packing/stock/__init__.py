"""Laying rectangles on sheets and bars: as few as can be, offcuts first, and the order of the cuts."""

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
    "Cutting",
    "Keeping",
    "Lack",
    "LaidPart",
    "LaidSheet",
    "Layout",
    "Part",
    "Rect",
    "Shortage",
    "StockSheet",
    "area",
    "fits",
    "lay_out",
    "new_at_least",
]

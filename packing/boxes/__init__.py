"""Styles of box as small plug-ins: stock carton, corrugated and wooden, each with pieces, steps and weight.

`make_box(code, need)` makes one, `all_styles()` lists them; a new one is a module in `packing.boxes.styles`.
"""

from packing.boxes.content import flat_content, made_content, no_box_content
from packing.boxes.design import Closing, Fact, Flat, Fold, Groove, Hardware, Made, NoBox, Plate, Step
from packing.boxes.fold import blank_of, folded_inside
from packing.boxes.registry import Style, all_styles, make_box, register, style_of
from packing.boxes.slotted import is_slotted
from packing.boxes.spec import ALLOWANCES, Allowance, Joinery, Need, allowance_for, fit_for, heads_of, refuse_small

__all__ = [
    "ALLOWANCES",
    "Allowance",
    "Closing",
    "Fact",
    "Flat",
    "Fold",
    "Groove",
    "Hardware",
    "Joinery",
    "Made",
    "Need",
    "NoBox",
    "Plate",
    "Step",
    "Style",
    "all_styles",
    "allowance_for",
    "blank_of",
    "fit_for",
    "flat_content",
    "folded_inside",
    "heads_of",
    "is_slotted",
    "made_content",
    "make_box",
    "no_box_content",
    "refuse_small",
    "register",
    "style_of",
]

"""Styles of box as small plug-ins: stock carton, corrugated and wooden, each with pieces, steps and weight.

`make_box(code, need)` makes one, `styles()` lists them; a new one is a module in `packing.style.kinds`.
"""

from packing.style.content import flat_content, made_content, no_box_content
from packing.style.fold import blank_of, folded_inside
from packing.style.model import Closing, Fact, Flat, Fold, Groove, Hardware, Made, NoBox, Plate, Step
from packing.style.need import ALLOWANCES, Allowance, Joinery, Need, allowance_for, fit_for, heads_of, refuse_small
from packing.style.registry import Style, make_box, register, style_of, styles
from packing.style.slotted import is_slotted

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
    "styles",
]

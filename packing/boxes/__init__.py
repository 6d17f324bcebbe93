"""Styles of box as small plug-ins: stock carton, corrugated and wooden, each with pieces, steps and weight.

`make_box(code, need)` makes one, `all_styles()` lists them; a new one is a module in `packing.boxes.styles`.
"""

from packing.boxes.content import box_plan
from packing.boxes.design import BoxDesign, Closing, Fold, Hardware, Infeasible, PlacedPanel, Step
from packing.boxes.piece import CutPiece, Groove, Hole
from packing.boxes.registry import Style, all_styles, make_box, register, style_of
from packing.boxes.spec import BoxSpec, fit_for, heads_of, refuse_small
from packing.materials import ALLOWANCES, Allowance, Joinery, allowance_for

__all__ = [
    "ALLOWANCES",
    "Allowance",
    "BoxDesign",
    "BoxSpec",
    "Closing",
    "CutPiece",
    "Fold",
    "Groove",
    "Hardware",
    "Hole",
    "Infeasible",
    "Joinery",
    "PlacedPanel",
    "Step",
    "Style",
    "all_styles",
    "allowance_for",
    "box_plan",
    "fit_for",
    "heads_of",
    "make_box",
    "refuse_small",
    "register",
    "style_of",
]

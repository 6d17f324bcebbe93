"""The insert: the cut sheets that hold the pieces, what is put back over them, and what lifts them out."""

from packing.insert.make import make_insert
from packing.insert.model import CutRow, Insert, Lift, Loose, Pocket, Sheet, letter_of
from packing.insert.plan import insert_plan
from packing.insert.stack import GAP_UM

__all__ = [
    "GAP_UM",
    "CutRow",
    "Insert",
    "Lift",
    "Loose",
    "Pocket",
    "Sheet",
    "insert_plan",
    "letter_of",
    "make_insert",
]

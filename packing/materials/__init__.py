"""Materials of inserts and boxes: foam, board, cartons, wood, fasteners, supplies and their cost.

Every row has its source; a shop replaces the rows it starts with by its own measured ones.
"""

from packing.materials.allowances import ALLOWANCES, Allowance, allowance_fact, allowance_for
from packing.materials.board import Board, board_plan
from packing.materials.carton import Carton
from packing.materials.defaults import (
    BOARDS,
    C_FLUTE,
    EXAMPLE_CARTONS,
    PE_FOAM,
    PLANKS,
    PLANKS_INCH,
    PLYWOOD,
    PLYWOOD_INCH,
    STIFF_SHEET,
    WHITE_PINE,
)
from packing.materials.fasteners import NAILS, SCREWS, SCREWS_INCH, Fastener
from packing.materials.fastening import Fastening, clinched, nailed, screwed
from packing.materials.foam import Foam
from packing.materials.joinery import Joinery
from packing.materials.rates import LABOUR_TIMES, LabourTime, Rates, shown_quantity, work_called
from packing.materials.shop_materials import ShopMaterials
from packing.materials.supplies import CLOSING_TAPE, EDGE_GUARD, LIFT_TAPE, PAPERS, WRAP, Sundry, Supplies
from packing.materials.treatment import WoodPart, WoodVerdict, treatment_plan, wood_verdict
from packing.materials.wood import Timber, Wood, board_feet

__all__ = [
    "ALLOWANCES",
    "BOARDS",
    "CLOSING_TAPE",
    "C_FLUTE",
    "EDGE_GUARD",
    "EXAMPLE_CARTONS",
    "LABOUR_TIMES",
    "LIFT_TAPE",
    "NAILS",
    "PAPERS",
    "PE_FOAM",
    "PLANKS",
    "PLANKS_INCH",
    "PLYWOOD",
    "PLYWOOD_INCH",
    "SCREWS",
    "SCREWS_INCH",
    "STIFF_SHEET",
    "WHITE_PINE",
    "WRAP",
    "Allowance",
    "Board",
    "Carton",
    "Fastener",
    "Fastening",
    "Foam",
    "Joinery",
    "LabourTime",
    "Rates",
    "ShopMaterials",
    "Sundry",
    "Supplies",
    "Timber",
    "Wood",
    "WoodPart",
    "WoodVerdict",
    "allowance_fact",
    "allowance_for",
    "board_feet",
    "board_plan",
    "clinched",
    "nailed",
    "screwed",
    "shown_quantity",
    "treatment_plan",
    "wood_verdict",
    "work_called",
]

"""Wood for boxes: handbook weights, what there is to cut from, screws and nails, and when treated wood is needed."""

from packing.materials.defaults import PLANKS, PLYWOOD, WOODS
from packing.materials.fasteners import NAILS, SCREWS, Fastener, Fastening, clinched, nailed, screwed
from packing.materials.treatment import WoodPart, WoodVerdict, verdict_content, wood_verdict
from packing.materials.wood import Timber, Wood, board_feet, count_from, timber_content

__all__ = [
    "NAILS",
    "PLANKS",
    "PLYWOOD",
    "SCREWS",
    "WOODS",
    "Fastener",
    "Fastening",
    "Timber",
    "Wood",
    "WoodPart",
    "WoodVerdict",
    "board_feet",
    "clinched",
    "count_from",
    "nailed",
    "screwed",
    "timber_content",
    "verdict_content",
    "wood_verdict",
]

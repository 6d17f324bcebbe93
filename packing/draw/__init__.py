"""Pictures of a plan, from it alone, as SVG text.

Each function takes a `Plan` and gives a `Drawing`: plan views of the layers, sections, the open box in space,
working drawings of every sheet and of the box's blank, and the closed box.
"""

from packing.draw.assembly_steps import step_drawing
from packing.draw.blank import blank_drawing
from packing.draw.box_piece import piece_drawing
from packing.draw.canvas import Drawing
from packing.draw.closed_box import small_box, tape_picture
from packing.draw.corner_template import corner_pages
from packing.draw.cut_file import as_cut
from packing.draw.cut_order import SheetCuts, cut_order
from packing.draw.full_size import FullSizePage, full_size_pages, whole_sheets
from packing.draw.head_templates import HeadTemplate, head_templates, template_pages
from packing.draw.insert_sheet import alike, id_runs, sheet_drawing, together
from packing.draw.layer_plan import layer_name, plan_view
from packing.draw.lid_section import lid_section
from packing.draw.open_box import isometric
from packing.draw.pocket import pocket_picture
from packing.draw.rods import Rod, RodMark, rod_pages, rods
from packing.draw.scale import SCALES
from packing.draw.section import side_section
from packing.draw.stock_sheet import stock_sheet_drawing
from packing.draw.wood_section import box_section

__all__ = [
    "SCALES",
    "Drawing",
    "FullSizePage",
    "HeadTemplate",
    "Rod",
    "RodMark",
    "SheetCuts",
    "alike",
    "as_cut",
    "blank_drawing",
    "box_section",
    "corner_pages",
    "cut_order",
    "full_size_pages",
    "head_templates",
    "id_runs",
    "isometric",
    "layer_name",
    "lid_section",
    "piece_drawing",
    "plan_view",
    "pocket_picture",
    "rod_pages",
    "rods",
    "sheet_drawing",
    "side_section",
    "small_box",
    "step_drawing",
    "stock_sheet_drawing",
    "tape_picture",
    "template_pages",
    "together",
    "whole_sheets",
]

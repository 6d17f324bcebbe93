"""A plywood box with a screwed lid: long sides over the ends, bottom and lid over all."""

from packing.boxes.design import Made, NoBox, Step
from packing.boxes.registry import register
from packing.boxes.spec import DRIFT, Need, roomy
from packing.boxes.wooden import (
    SIDE_FACT,
    WORK_FACT,
    handles,
    hardware,
    outside,
    panel_of,
    piece,
    placed_plates,
    screwed_shut,
    side_thickness_um,
    too_long,
    wood_parts,
    wood_work,
)
from packing.materials import screwed
from packing.measure import mm

CODE, NAME = "ply", "plywood box, screwed lid"


@register(CODE, NAME, "wood", order=80)
def make(need: Need) -> Made | NoBox:
    """Six panels of one thickness; glue and screws at the corners and the bottom, screws alone in the lid."""
    panel = panel_of(CODE, need, side_thickness_um(need))
    if isinstance(panel, NoBox):
        return panel
    twice = 2 * panel.thickness_tolerance_um
    need = roomy(need, (twice, 0, 0))
    length, width, height = inner = need.inner_um
    t = panel.thickness_um
    outer = (length + 2 * t, width + 2 * t, height + 2 * t)
    pieces = (
        piece("X1", "long side", panel, (outer[0], height), ((-t, -t, 0), (-t, width, 0)), (0, 2, 1)),
        piece("X2", "end", panel, (width, height), ((-t, 0, 0), (length, 0, 0)), (2, 0, 1)),
        piece("X3", "bottom", panel, (outer[0], outer[1]), ((-t, -t, -t),), (0, 1, 2)),
        piece("X4", "lid", panel, (outer[0], outer[1]), ((-t, -t, height),), (0, 1, 2)),
    )
    flats = tuple(one.flat for one in pieces)
    refused = too_long(CODE, flats)
    if refused is not None:
        return refused
    screws = need.joinery.screws
    corners = hardware(screwed(t, width, height, edge_um=t, screws=screws), 4, "long side into end")
    along = screwed(t, height, outer[0], edge_um=t, screws=screws)
    across = screwed(t, height, width, edge_um=t, screws=screws)
    bottom = (hardware(along, 2, "bottom into long sides"), hardware(across, 2, "bottom into ends"))
    lid = (hardware(along, 2, "lid into long sides"), hardware(across, 2, "lid into ends"))
    fastenings = (corners, *bottom, *lid)
    return Made(
        style=CODE,
        name=NAME,
        family="wood",
        fit_um=need.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging=outside(need),
        flats=flats,
        closing=screwed_shut(hardware(along, 2, "lid")),
        assembly=lambda: (
            Step("Cut all panels; face grain along the first size.", placed_plates(pieces, ("bottom",)), ("bottom",)),
            Step(
                f"Glue and screw the long sides to the ends: {corners.count} × {corners.what}, drilled before.",
                placed_plates(pieces, ("long side", "end")),
                ("long side", "end"),
            ),
            Step(
                f"Glue and screw the bottom on, {mm(along.spacing_um)} mm apart.",
                placed_plates(pieces, ("long side", "end", "bottom")),
                ("bottom",),
            ),
            Step(
                f"Put the insert in and screw the lid on, {mm(along.spacing_um)} mm apart, without glue.",
                placed_plates(pieces, ("long side", "end", "bottom", "lid")),
                ("lid",),
            ),
        ),
        board=None,
        spread=panel.spread,
        hardware=(*fastenings, *handles(need)),
        wood=wood_parts(flats),
        facts=(DRIFT, SIDE_FACT, WORK_FACT),
        work=wood_work(flats, fastenings),
        more_um=(0, twice, twice),
    )

"""A plywood box with a screwed lid: long sides over the ends, bottom and lid over all."""

from packing.boxes.design import BoxDesign, Infeasible, Step
from packing.boxes.registry import register
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.wooden import (
    SIDE_FACT,
    WORK_FACT,
    handles,
    hardware,
    outside,
    panel_of,
    place_piece,
    placed_panels_of,
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
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Six panels of one thickness; glue and screws at the corners and the bottom, screws alone in the lid."""
    panel = panel_of(CODE, spec, side_thickness_um(spec))
    if isinstance(panel, Infeasible):
        return panel
    twice = 2 * panel.thickness_tolerance_um
    spec = with_tolerance_room(spec, (twice, 0, 0))
    length, width, height = inner = spec.inner_um
    t = panel.thickness_um
    outer = (length + 2 * t, width + 2 * t, height + 2 * t)
    pieces = (
        place_piece("X1", "long side", panel, (outer[0], height), ((-t, -t, 0), (-t, width, 0)), (0, 2, 1)),
        place_piece("X2", "end", panel, (width, height), ((-t, 0, 0), (length, 0, 0)), (2, 0, 1)),
        place_piece("X3", "bottom", panel, (outer[0], outer[1]), ((-t, -t, -t),), (0, 1, 2)),
        place_piece("X4", "lid", panel, (outer[0], outer[1]), ((-t, -t, height),), (0, 1, 2)),
    )
    cut_pieces = tuple(one.cut_piece for one in pieces)
    refused = too_long(CODE, cut_pieces)
    if refused is not None:
        return refused
    screws = spec.joinery.screws
    corners = hardware(screwed(t, width, height, edge_um=t, screws=screws), 4, "long side into end")
    along = screwed(t, height, outer[0], edge_um=t, screws=screws)
    across = screwed(t, height, width, edge_um=t, screws=screws)
    bottom = (hardware(along, 2, "bottom into long sides"), hardware(across, 2, "bottom into ends"))
    lid = (hardware(along, 2, "lid into long sides"), hardware(across, 2, "lid into ends"))
    fastenings = (corners, *bottom, *lid)
    return BoxDesign(
        style=CODE,
        name=NAME,
        family="wood",
        fit_um=spec.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging=outside(spec),
        cut_pieces=cut_pieces,
        closing=screwed_shut(hardware(along, 2, "lid")),
        assembly=lambda: (
            Step(
                "Cut all panels; face grain along the first size.", placed_panels_of(pieces, ("bottom",)), ("bottom",)
            ),
            Step(
                f"Glue and screw the long sides to the ends: {corners.count} × {corners.what}, drilled before.",
                placed_panels_of(pieces, ("long side", "end")),
                ("long side", "end"),
            ),
            Step(
                f"Glue and screw the bottom on, {mm(along.spacing_um)} mm apart.",
                placed_panels_of(pieces, ("long side", "end", "bottom")),
                ("bottom",),
            ),
            Step(
                f"Put the insert in and screw the lid on, {mm(along.spacing_um)} mm apart, without glue.",
                placed_panels_of(pieces, ("long side", "end", "bottom", "lid")),
                ("lid",),
            ),
        ),
        board=None,
        spread=panel.spread,
        hardware=(*fastenings, *handles(spec)),
        wood=wood_parts(cut_pieces),
        facts=(DRIFT, SIDE_FACT, WORK_FACT),
        work=wood_work(cut_pieces, fastenings),
        more_um=(0, twice, twice),
    )

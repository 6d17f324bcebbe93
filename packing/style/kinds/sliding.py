"""A presentation box with a sliding lid: a tongue all round the lid runs in grooves of sides and far end."""

from dataclasses import replace

from packing.measure import BadInput, mm
from packing.style.model import Fact, Flat, Groove, Made, NoBox, Step
from packing.style.need import DRIFT, Need
from packing.style.registry import register
from packing.style.wooden import (
    END_GRAIN,
    WORK_FACT,
    hardware,
    panel_of,
    piece,
    placed_plates,
    plank_of,
    screwed_shut,
    side_thickness_um,
    too_long,
    wood_parts,
    wood_work,
)
from packing.timber import Timber, screwed

CODE, NAME = "sliding", "presentation box, sliding lid"
RIM_UM = 6_000
GROOVE = Fact(
    "The groove is a third of the side deep; the tongue is half a millimetre thinner than the groove and ends half a "
    "millimetre before its bottom.",
    "common practice, no source",
    "practice",
)


def _lid(need: Need, panel: Timber) -> tuple[int, int]:
    """Thickness of the tongue and height of the step above it."""
    groove, play = need.joinery.groove_um, need.joinery.play_um
    tongue = groove - play
    if tongue <= 0:
        raise BadInput("groove", f"must be wider than the play of {mm(play)} mm, not {mm(groove)} mm.")
    if panel.thickness_um < tongue:
        raise BadInput(
            "lid",
            f"must not be thinner than its groove: a groove of {mm(groove)} mm takes a tongue of {mm(tongue)} mm, "
            f"{panel.name} is {mm(panel.thickness_um)} mm thick.",
        )
    return tongue, panel.thickness_um - tongue


def _lid_panel(need: Need) -> Timber | NoBox:
    return panel_of(CODE, need, need.joinery.lid_um)


def _stepped(lid: Flat, depth: int, step: int) -> Flat:
    """The lid with a step along both sides and the far end; what is left below is the tongue."""
    if not step:
        return lid
    length, width = lid.size_um
    strips = (
        ((0, 0), (length, depth)),
        ((0, width - depth), (length, width)),
        ((length - depth, depth), (length, width - depth)),
    )
    return replace(lid, grooves=tuple(Groove("step", low, high, step) for low, high in strips))


@register(CODE, NAME, "wood", order=90)
def make(need: Need) -> Made | NoBox:
    """Sides of sawn wood where a board is wide enough, else of plywood; bottom and lid of plywood."""
    length, width, height = inner = need.inner_um
    lid_panel, floor = _lid_panel(need), panel_of(CODE, need, max(9_000, side_thickness_um(need) - 3_000))
    if isinstance(lid_panel, NoBox):
        return lid_panel
    if isinstance(floor, NoBox):
        return floor
    tongue, step = _lid(need, lid_panel)
    groove, play = need.joinery.groove_um, need.joinery.play_um
    full = height + groove + max(RIM_UM, step)
    side = plank_of(need, full)
    if side is None:
        panel = panel_of(CODE, need, 12_000)
        if isinstance(panel, NoBox):
            return panel
        side = panel
    t = side.thickness_um
    depth = t // 3 // 500 * 500
    outer = (length + 2 * t, width + 2 * t, full + floor.thickness_um)
    lid_size = (t + length + depth - play, width + 2 * (depth - play))
    pieces = [
        piece("X1", "side", side, (outer[0], full), ((-t, -t, 0), (-t, width, 0)), (0, 2, 1)),
        piece("X2", "far end", side, (width, full), ((length, 0, 0),), (2, 0, 1)),
        piece("X3", "near end", side, (width, height), ((-t, 0, 0),), (2, 0, 1)),
        piece("X4", "bottom", floor, outer[:2], ((-t, -t, -floor.thickness_um),), (0, 1, 2)),
        piece("X5", "lid", lid_panel, lid_size, ((-t, play - depth, height),), (0, 1, 2)),
    ]
    cut = {
        "side": (Groove("groove", (0, height), (outer[0], height + groove), depth),),
        "far end": (Groove("groove", (0, height), (width, height + groove), depth),),
    }
    pieces = [replace(one, flat=replace(one.flat, grooves=cut.get(one.flat.what, ()))) for one in pieces]
    pieces[-1] = replace(pieces[-1], flat=_stepped(pieces[-1].flat, depth - play if step else 0, step))
    flats = tuple(one.flat for one in pieces)
    refused = too_long(CODE, flats)
    if refused is not None:
        return refused
    screws = need.joinery.screws
    fastenings = (
        hardware(screwed(t, width, height, edge_um=t, screws=screws), 4, "side into end, glued"),
        hardware(screwed(floor.thickness_um, height, outer[0], edge_um=t, screws=screws), 2, "bottom into sides"),
        hardware(screwed(floor.thickness_um, height, width, edge_um=t, screws=screws), 2, "bottom into ends"),
    )
    frame = ("side", "far end", "near end")
    return Made(
        style=CODE,
        name=NAME,
        family="wood",
        fit_um=need.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging="wood",
        flats=flats,
        closing=screwed_shut(None),
        steps=(
            Step(
                f"Groove sides and far end: {mm(groove)} mm wide, {mm(depth)} mm deep, {mm(height)} mm above the lower "
                "edge, before assembling.",
                placed_plates(pieces, ("side", "far end")),
                ("side", "far end"),
            ),
            Step(
                f"Glue and screw the sides to the ends, {fastenings[0].count} × {fastenings[0].what}; the near end is "
                f"{mm(full - height)} mm lower, the lid runs over it.",
                placed_plates(pieces, frame),
                frame,
            ),
            Step("Glue and screw the bottom on.", placed_plates(pieces, (*frame, "bottom")), ("bottom",)),
            Step(
                f"Lid: leave a tongue {mm(tongue)} mm thick along both sides and the far end"
                + (f", {mm(depth - play)} mm wide, {mm(step)} mm below the top" if step else "")
                + "; wax it and slide it in.",
                placed_plates(pieces, (*frame, "bottom", "lid")),
                ("lid",),
            ),
        ),
        board=None,
        spread=max(side.spread, floor.spread),
        hardware=fastenings,
        wood=wood_parts(flats),
        notes=(
            f"Groove {mm(groove)} × {mm(depth)} mm; tongue {mm(tongue)} mm thick; the lid is "
            f"{mm(lid_panel.thickness_um)} mm thick.",
        ),
        facts=(DRIFT, GROOVE, END_GRAIN, WORK_FACT),
        work=wood_work(flats, fastenings),
    )

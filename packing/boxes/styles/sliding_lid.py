"""A presentation box with a sliding lid: a tongue all round the lid runs in grooves of sides and far end."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.boxes.design import BoxDesign, CutPiece, Groove, Hardware, Infeasible, Step
from packing.boxes.registry import register
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.wooden import (
    END_GRAIN,
    WORK_FACT,
    PlacedPiece,
    hardware,
    panel_of,
    place_piece,
    placed_panels_of,
    plank_of,
    screwed_shut,
    side_thickness_um,
    too_long,
    wood_parts,
    wood_work,
)
from packing.materials import Timber, screwed
from packing.measure import BadInput, mm
from packing.sureness import Fact

CODE, NAME = "sliding", "presentation box, sliding lid"
RIM_UM = 6_000
GROOVE = Fact(
    "The groove is a third of the side deep; the tongue is half a millimetre thinner than the groove and ends half a "
    "millimetre before its bottom.",
    "common practice, no source",
    "practice",
)


def _lid(spec: BoxSpec, panel: Timber) -> tuple[int, int]:
    """Thickness of the tongue and height of the step above it."""
    groove, play = spec.joinery.groove_um, spec.joinery.play_um
    tongue = groove - play
    if tongue <= 0:
        raise BadInput("groove", f"must be wider than the play of {mm(play)} mm, not {mm(groove)} mm.")
    thinnest = panel.thickness_um - panel.thickness_tolerance_um
    if thinnest < tongue:
        raise BadInput(
            "lid",
            f"must not be thinner than its groove: a groove of {mm(groove)} mm takes a tongue of {mm(tongue)} mm, "
            f"{panel.name} may be as thin as {mm(thinnest)} mm.",
        )
    return tongue, panel.thickness_um - tongue


def _stepped(lid: CutPiece, depth: int, step: int) -> CutPiece:
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


@dataclass(frozen=True, slots=True)
class _Cut:
    """What a sliding-lid box is cut from, and the figures of its groove and tongue."""

    side: Timber
    floor: Timber
    lid: Timber
    full: int
    depth: int
    tongue: int
    step: int


def _cut(spec: BoxSpec) -> _Cut | Infeasible:
    """Sides of sawn wood where a board is wide enough for them, else of plywood."""
    lid = panel_of(CODE, spec, spec.joinery.lid_um)
    floor = panel_of(CODE, spec, max(9_000, side_thickness_um(spec) - 3_000))
    if isinstance(lid, Infeasible):
        return lid
    if isinstance(floor, Infeasible):
        return floor
    tongue, step = _lid(spec, lid)
    full = spec.inner_um[2] + spec.joinery.groove_um + max(RIM_UM, step)
    side = plank_of(spec, full) or panel_of(CODE, spec, 12_000)
    if isinstance(side, Infeasible):
        return side
    return _Cut(side, floor, lid, full, side.thickness_um // 3 // 500 * 500, tongue, step)


def _pieces(spec: BoxSpec, cut: _Cut) -> list[PlacedPiece]:
    """Every piece in place, grooves and steps cut."""
    length, width, height = spec.inner_um
    groove, play = spec.joinery.groove_um, spec.joinery.play_um
    t, full, depth, under = cut.side.thickness_um, cut.full, cut.depth, cut.floor.thickness_um
    long, wide = length + 2 * t, width + 2 * t
    lid_size = (t + length + depth - play, width + 2 * (depth - play))
    side = place_piece("X1", "side", cut.side, (long, full), ((-t, -t, 0), (-t, width, 0)), (0, 2, 1))
    far = place_piece("X2", "far end", cut.side, (width, full), ((length, 0, 0),), (2, 0, 1))
    lid = place_piece("X5", "lid", cut.lid, lid_size, ((-t, play - depth, height),), (0, 1, 2))
    return [
        replace(side, cut_piece=_grooved(side.cut_piece, height, groove, depth)),
        replace(far, cut_piece=_grooved(far.cut_piece, height, groove, depth)),
        place_piece("X3", "near end", cut.side, (width, height), ((-t, 0, 0),), (2, 0, 1)),
        place_piece("X4", "bottom", cut.floor, (long, wide), ((-t, -t, -under),), (0, 1, 2)),
        replace(lid, cut_piece=_stepped(lid.cut_piece, depth - play, cut.step)),
    ]


def _grooved(cut_piece: CutPiece, height: int, groove: int, depth: int) -> CutPiece:
    """A groove from end to end, above the inside height."""
    return replace(cut_piece, grooves=(Groove("groove", (0, height), (cut_piece.size_um[0], height + groove), depth),))


def _steps(spec: BoxSpec, cut: _Cut, pieces: Sequence[PlacedPiece], corners: Hardware) -> tuple[Step, ...]:
    frame = ("side", "far end", "near end")
    groove, tongue, height = spec.joinery.groove_um, cut.depth - spec.joinery.play_um, spec.inner_um[2]
    wide = f", {mm(tongue)} mm wide, {mm(cut.step)} mm below the top" if cut.step else ""
    return (
        Step(
            f"Groove sides and far end: {mm(groove)} mm wide, {mm(cut.depth)} mm deep, {mm(height)} mm above the lower "
            "edge, before assembling.",
            placed_panels_of(pieces, ("side", "far end")),
            ("side", "far end"),
        ),
        Step(
            f"Glue and screw the sides to the ends, {corners.count} × {corners.what}; the near end is "
            f"{mm(cut.full - height)} mm lower, the lid runs over it.",
            placed_panels_of(pieces, frame),
            frame,
        ),
        Step("Glue and screw the bottom on.", placed_panels_of(pieces, (*frame, "bottom")), ("bottom",)),
        Step(
            f"Lid: leave a tongue {mm(cut.tongue)} mm thick along both sides and the far end{wide}; wax it and slide "
            "it in.",
            placed_panels_of(pieces, (*frame, "bottom", "lid")),
            ("lid",),
        ),
    )


@register(CODE, NAME, "wood", order=90)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Sides of sawn wood where a board is wide enough, else of plywood; bottom and lid of plywood."""
    cut = _cut(spec)
    if isinstance(cut, Infeasible):
        return cut
    twice = 2 * cut.side.thickness_tolerance_um
    spec = with_tolerance_room(spec, (twice, 0, 0))
    length, width, height = inner = spec.inner_um
    pieces = _pieces(spec, cut)
    cut_pieces = tuple(one.cut_piece for one in pieces)
    refused = too_long(CODE, cut_pieces)
    if refused is not None:
        return refused
    t, under, screws = cut.side.thickness_um, cut.floor.thickness_um, spec.joinery.screws
    outer = (length + 2 * t, width + 2 * t, cut.full + under)
    fastenings = (
        hardware(screwed(t, width, height, edge_um=t, screws=screws), 4, "side into end, glued"),
        hardware(screwed(under, height, outer[0], edge_um=t, screws=screws), 2, "bottom into sides"),
        hardware(screwed(under, height, width, edge_um=t, screws=screws), 2, "bottom into ends"),
    )
    figures = (
        f"Groove {mm(spec.joinery.groove_um)} × {mm(cut.depth)} mm; tongue {mm(cut.tongue)} mm thick; the lid is "
        f"{mm(cut.lid.thickness_um)} mm thick."
    )
    return BoxDesign(
        style=CODE,
        name=NAME,
        family="wood",
        fit_um=spec.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging="wood",
        cut_pieces=cut_pieces,
        closing=screwed_shut(None),
        assembly=lambda: _steps(spec, cut, pieces, fastenings[0]),
        board=None,
        spread=max(cut.side.spread, cut.floor.spread),
        hardware=fastenings,
        wood=wood_parts(cut_pieces),
        notes=(figures,),
        facts=(DRIFT, GROOVE, END_GRAIN, WORK_FACT),
        work=wood_work(cut_pieces, fastenings),
        more_um=(0, twice, cut.floor.thickness_tolerance_um),
    )

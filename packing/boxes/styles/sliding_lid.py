"""A presentation box with a sliding lid: a tongue all round the lid runs in grooves of sides and far end."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.boxes.design import BoxDesign, Closing, Hardware, Infeasible, Step
from packing.boxes.fastenings import Joint, Line, laid_out, with_holes
from packing.boxes.piece import CutPiece, Groove
from packing.boxes.placed_piece import PlacedPiece, panels_of, place_piece
from packing.boxes.registry import register
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.wooden import (
    END_GRAIN,
    UNDERSIZE_UM,
    WORK_FACT,
    panel_of,
    plank_of,
    side_thickness_um,
    too_long,
    wood_parts,
    wood_work,
)
from packing.materials import Timber, screwed
from packing.measure import BadInput, down_to_step, mm, nearest_step, up_to_step
from packing.measure import Step as RuleStep
from packing.messages import Length, Message
from packing.plan import FactPlan
from packing.plan.kinds import ContainerKind, GrooveKind, Packaging, PieceRole, TapePattern

CODE, NAME = "sliding", "presentation box, sliding lid"
# What is left of the sides over the groove at the least: the lid is drawn against it.
RIM_UM = 6_000
PULL_UM = (45_000, 15_000)
"""A hollow for a finger, across the lid and along it (common practice, no source)."""
PULL_DEPTH_UM, PULL_IN_UM = 4_000, 20_000
"""Its depth, half the lid at most; its distance from the near end."""
STRIP_UM = 100_000
GROOVE = FactPlan(
    Message(
        "The groove is a third of the side deep; the tongue is {play} thinner than the groove and ends {play} before "
        "its bottom; above the tongue the lid has {side} of room to each side and to the far end.",
        play=Length(500),
        side=Length(1_000),
    ),
    "common practice, no source",
    "practice",
)
FRAME = (PieceRole.SIDE, PieceRole.FAR_END, PieceRole.NEAR_END)


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


def _stepped(lid: CutPiece, shoulder: int, step: int) -> CutPiece:
    """The lid with a step along both sides and the far end, a tongue left below it, and a hollow to pull it by."""
    length, width = lid.size_um
    grooves = []
    if step:
        strips = (
            ((0, 0), (length, shoulder)),
            ((0, width - shoulder), (length, width)),
            ((length - shoulder, shoulder), (length, width - shoulder)),
        )
        grooves = [Groove(GrooveKind.STEP, low, high, step) for low, high in strips]
    across, along = min(PULL_UM[0], (width - 2 * shoulder) // 2), min(PULL_UM[1], length // 4)
    begin, middle = min(PULL_IN_UM, length // 4), width // 2
    pull = Groove(
        GrooveKind.FINGER_PULL,
        (begin, middle - across // 2),
        (begin + along, middle + across // 2),
        min(PULL_DEPTH_UM, lid.thickness_um // 2),
    )
    return replace(lid, grooves=(*grooves, pull))


@dataclass(frozen=True, slots=True)
class _Cut:
    """Stock of a sliding-lid box, and the figures of its groove and tongue."""

    side: Timber
    floor: Timber
    lid: Timber
    full: int
    depth: int
    end_play: int
    tongue: int
    step: int


def _cut(spec: BoxSpec) -> _Cut | Infeasible:
    """Sides of sawn wood where a board is wide enough for them, else of plywood."""
    lid = panel_of(CODE, spec, spec.joinery.lid_um)
    floor = panel_of(CODE, spec, max(9_000, side_thickness_um(spec) - 3_000), undersize_um=UNDERSIZE_UM)
    if isinstance(lid, Infeasible):
        return lid
    if isinstance(floor, Infeasible):
        return floor
    tongue, step = _lid(spec, lid)
    full = up_to_step(spec.inner_um[2] + spec.joinery.groove_um + max(RIM_UM, step), spec.step)
    side = plank_of(spec, full) or panel_of(CODE, spec, 12_000, undersize_um=UNDERSIZE_UM)
    if isinstance(side, Infeasible):
        return side
    return _Cut(side, floor, lid, full, *_groove(spec, side), tongue, step)


def _groove(spec: BoxSpec, side: Timber) -> tuple[int, int]:
    """A third of the side deep, and the play before its bottom: together they bring the lid to whole steps."""
    third, play = side.thickness_um // 3, spec.joinery.play_um
    if spec.step is RuleStep.SIXTEENTH:
        return down_to_step(third, spec.step), nearest_step(2 * play, spec.step) // 2
    return third // 500 * 500, play


def _pieces(spec: BoxSpec, cut: _Cut) -> list[PlacedPiece]:
    """Every piece in place, grooves and steps cut."""
    length, width, height = spec.inner_um
    groove, play = spec.joinery.groove_um, cut.end_play
    t, full, depth, under = cut.side.thickness_um, cut.full, cut.depth, cut.floor.thickness_um
    long, wide = length + 2 * t, width + 2 * t
    lid_size = (down_to_step(t + length + depth - play, spec.step), width + 2 * (depth - play))
    side = place_piece("X1", PieceRole.SIDE, cut.side, (long, full), ((-t, -t, 0), (-t, width, 0)), (0, 2, 1))
    far = place_piece("X2", PieceRole.FAR_END, cut.side, (width, full), ((length, 0, 0),), (2, 0, 1))
    lid = place_piece("X5", PieceRole.LID, cut.lid, lid_size, ((-t, play - depth, height),), (0, 1, 2))
    return [
        replace(side, cut_piece=_grooved(side.cut_piece, height, groove, depth)),
        replace(far, cut_piece=_grooved(far.cut_piece, height, groove, depth)),
        place_piece("X3", PieceRole.NEAR_END, cut.side, (width, height), ((-t, 0, 0),), (2, 0, 1)),
        place_piece("X4", PieceRole.BOTTOM, cut.floor, (long, wide), ((-t, -t, -under),), (0, 1, 2)),
        replace(lid, cut_piece=_stepped(lid.cut_piece, depth - play + spec.joinery.side_play_um, cut.step)),
    ]


def _grooved(cut_piece: CutPiece, height: int, groove: int, depth: int) -> CutPiece:
    """A groove from end to end, above the inside height."""
    return replace(
        cut_piece, grooves=(Groove(GrooveKind.GROOVE, (0, height), (cut_piece.size_um[0], height + groove), depth),)
    )


def _joints(spec: BoxSpec, cut: _Cut) -> tuple[Joint, ...]:
    """Corners below the groove, then the bottom."""
    length, width, height = spec.inner_um
    t, under, screws = cut.side.thickness_um, cut.floor.thickness_um, spec.joinery.screws
    half = t // 2
    corner = screwed(t, width, edge_um=t, screws=screws)
    flat = screwed(under, height, edge_um=t, screws=screws)

    def corners(x: int) -> tuple[Line, ...]:
        return tuple(Line((x, y, 0), 2, 1, way, height) for y, way in ((-t, 1), (width + t, -1)))

    def across(x: int) -> tuple[Line, ...]:
        return (Line((x, 0, -under), 1, 2, 1, width),)

    along = tuple(Line((-t, y, -under), 0, 2, 1, length + 2 * t) for y in (-half, width + half))
    return (
        Joint(Message("side into far end, glued"), corner, corners(length + half), "X1", "X2"),
        Joint(Message("side into near end, glued"), corner, corners(-half), "X1", "X3"),
        Joint(Message("bottom into sides"), flat, along, "X4", "X1"),
        Joint(Message("bottom into far end"), flat, across(length + half), "X4", "X2"),
        Joint(Message("bottom into near end"), flat, across(-half), "X4", "X3"),
    )


def _tongue(spec: BoxSpec, cut: _Cut) -> Message:
    """Make the lid."""
    if not cut.step:
        return Message(
            "Lid: its edges are the tongue, {tongue} thick; sink the finger pull into the near end; wax it and "
            "slide it in.",
            tongue=Length(cut.tongue),
        )
    return Message(
        "Lid: leave a tongue {tongue} thick along both sides and the far end, {wide} wide, {step} below the top; sink "
        "the finger pull into the near end; wax it and try that it slides.",
        tongue=Length(cut.tongue),
        wide=Length(cut.depth - cut.end_play + spec.joinery.side_play_um),
        step=Length(cut.step),
    )


def _steps(spec: BoxSpec, cut: _Cut, pieces: Sequence[PlacedPiece], rows: Sequence[Hardware]) -> tuple[Step, ...]:
    grooved, shell = (PieceRole.SIDE, PieceRole.FAR_END), (*FRAME, PieceRole.BOTTOM)
    height, corners, bottom = spec.inner_um[2], rows[:2], rows[2:]
    closed = panels_of(pieces, (*shell, PieceRole.LID))
    return (
        Step(
            Message(
                "Groove sides and far end: {wide} wide, {deep} deep, {up} above the lower edge, before assembling. "
                "Mark and drill the holes.",
                wide=Length(spec.joinery.groove_um),
                deep=Length(cut.depth),
                up=Length(height),
            ),
            panels_of(pieces, grooved),
            tuple(role.value for role in grooved),
        ),
        Step(
            Message(
                "Glue and screw the sides to the ends, {count} × {screw}; the near end is {lower} lower, the lid runs "
                "over it.",
                count=sum(row.count for row in corners),
                screw=corners[0].what,
                lower=Length(cut.full - height),
            ),
            panels_of(pieces, FRAME),
            tuple(role.value for role in FRAME),
        ),
        Step(
            Message(
                "Glue and screw the bottom on, {count} × {screw}.",
                count=sum(row.count for row in bottom),
                screw=bottom[0].what,
            ),
            panels_of(pieces, shell),
            (PieceRole.BOTTOM.value,),
        ),
        Step(_tongue(spec, cut), panels_of(pieces, (PieceRole.LID,)), (PieceRole.LID.value,)),
        Step(Message("Put the insert in and slide the lid in over it."), closed, (PieceRole.LID.value,)),
    )


def _closing(outer_um: tuple[int, int, int]) -> Closing:
    """A strip of paper tape over the lid's near end, down the end of the box."""
    half, middle, height = STRIP_UM // 2, outer_um[1] // 2, outer_um[2]
    strip = ((half, middle, height), (0, middle, height), (0, middle, height - half))
    text = Message("Slide the lid in; a strip of paper tape over its near end keeps it shut.")
    return Closing(text, TapePattern.STRIPS, (strip,))


@register(CODE, NAME, ContainerKind.WOOD, order=90)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Sides of sawn wood where a board is wide enough, else of plywood; bottom and lid of plywood."""
    cut = _cut(spec)
    if isinstance(cut, Infeasible):
        return cut
    twice = 2 * cut.side.thickness_tolerance_um
    spec = with_tolerance_room(spec, (twice, 0, 0))
    length, width, _height = inner = spec.inner_um
    bare = _pieces(spec, cut)
    refused = too_long(CODE, [one.cut_piece for one in bare])
    if refused is not None:
        return refused
    joints = _joints(spec, cut)
    rows, shafts = laid_out(joints)
    pieces = with_holes(bare, joints, shafts)
    cut_pieces = tuple(one.cut_piece for one in pieces)
    t, under = cut.side.thickness_um, cut.floor.thickness_um
    outer = (length + 2 * t, width + 2 * t, cut.full + under)
    figures = Message(
        "Groove {groove} wide, {depth} deep; tongue {tongue} thick; the lid is {lid} thick and has {play} of room to "
        "each side above its tongue.",
        groove=Length(spec.joinery.groove_um),
        depth=Length(cut.depth),
        tongue=Length(cut.tongue),
        lid=Length(cut.lid.thickness_um),
        play=Length(spec.joinery.side_play_um),
    )
    return BoxDesign(
        style=CODE,
        name=NAME,
        family=ContainerKind.WOOD,
        fit_um=spec.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging=Packaging.WOOD,
        cut_pieces=cut_pieces,
        closing=_closing(outer),
        assembly=lambda: _steps(spec, cut, pieces, rows),
        board=None,
        spread=max(cut.side.spread, cut.floor.spread),
        hardware=rows,
        wood=wood_parts(cut_pieces),
        notes=(figures,),
        facts=(DRIFT, GROOVE, END_GRAIN, WORK_FACT),
        work=wood_work(cut_pieces, rows),
        more_um=(0, twice, cut.floor.thickness_tolerance_um),
    )

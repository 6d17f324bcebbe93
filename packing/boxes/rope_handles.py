"""Rope handles of wooden boxes: two holes through each end, clear of every screw and nail."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import hypot

from packing.boxes.design import Hardware, Step
from packing.boxes.fastenings import APART, Shaft, split_by_holes
from packing.boxes.piece import Hole, Size
from packing.boxes.placed_piece import PlacedPiece, panels_of
from packing.boxes.spec import BoxSpec
from packing.messages import Length, Message
from packing.plan import FactPlan
from packing.plan.kinds import FastenerKind, Packaging, PieceRole

NAME = "rope handle, 10 mm, knotted inside"
HANDLE_MG = 45_000
ROPE_UM, HOLE_UM = 10_000, 12_000
"""Thickness of the rope; the drill for it (common practice, no source)."""
GRIP_UM, BESIDE_UM = 100_000, 45_000
"""Between the two holes of an end: a hand in a glove; from a hole to the long sides (common practice, no source)."""
DOWN_UM, STEP_UM = 50_000, 5_000
"""From the top of the end to its holes; the steps in which they are tried lower down, to the middle of the end."""
RULE = FactPlan(
    Message(
        "one through each end, its holes {grip} apart, knotted inside; the knots want a hollow in the insert; for "
        "lifting by two hands, not for hoisting",
        grip=Length(GRIP_UM),
    ),
    "common practice, no source; weight from memory: weigh one",
    "practice",
)


@dataclass(frozen=True, slots=True)
class RopeHandles:
    """Additions of rope handles to a box: none where they are not asked for or have no room, which `notes` says.

    Parameters
    ----------
    pieces
        Those of the box, holes in its ends.
    hardware, packaging
        The handles; what a carrier sees of the bare box.
    notes, insert_notes
        What there is to say; what is hollowed in the insert.
    steps
        When the ropes go in; empty without handles.
    """

    pieces: tuple[PlacedPiece, ...]
    hardware: tuple[Hardware, ...] = ()
    packaging: Packaging = Packaging.WOOD
    notes: tuple[Message, ...] = ()
    insert_notes: tuple[Message, ...] = ()

    def steps(self, roles: Sequence[PieceRole]) -> tuple[Step, ...]:
        """Putting the ropes in, with the pieces that stand by then."""
        if not self.hardware:
            return ()
        text = Message(
            "Round the rims of the rope holes, pull a rope through both holes of each end and knot it inside, so that "
            "a hand in a glove goes under it outside."
        )
        return (Step(text, panels_of(self.pieces, roles), (PieceRole.END.value,)),)


def rope_handles(
    spec: BoxSpec, pieces: tuple[PlacedPiece, ...], shafts: Sequence[Shaft], row: int, inner_um: Size
) -> RopeHandles:
    """Set two holes for a rope in each end, where handles are asked for.

    Parameters
    ----------
    spec
        Its joinery says whether.
    pieces, shafts
        The box, and its screws and nails, which the holes keep clear of.
    row
        Index that the handles get among the hardware.
    inner_um
        Its inside.
    """
    if not spec.joinery.rope_handles:
        return RopeHandles(pieces)
    seams = {panel.low[2] for one in pieces for panel in one.placed_panels if one.cut_piece.role is PieceRole.END}
    places = _places(inner_um, shafts, seams)
    if places is None:
        note = Message(
            "There is no room for rope handles in ends of {width} × {height}: two holes {grip} apart, {beside} from "
            "the sides, {down} below the top, clear of screws.",
            width=Length(inner_um[1]),
            height=Length(inner_um[2]),
            grip=Length(GRIP_UM),
            beside=Length(BESIDE_UM),
            down=Length(DOWN_UM),
        )
        return RopeHandles(pieces, notes=(note,))
    handle = Hardware(NAME, FastenerKind.HANDLE, 2, HANDLE_MG, Message("ends"), RULE)
    hollow = Message(
        "Hollow both ends of the insert for the knots of the rope handles: two hollows {wide} wide and {deep} deep in "
        "each, {grip} apart, {down} below the top.",
        wide=Length(3 * ROPE_UM),
        deep=Length(2 * ROPE_UM),
        grip=Length(GRIP_UM),
        down=Length(inner_um[2] - places[0][1]),
    )
    holed = tuple(split for one in pieces for split in _holed(one, places, row))
    return RopeHandles(holed, (handle,), Packaging.WOOD_WITH_HANDLES, insert_notes=(hollow,))


def _places(inner_um: Size, shafts: Sequence[Shaft], seams: Collection[int]) -> list[tuple[int, int]] | None:
    """Both holes of an end, across the box and up it, as high as screws, nails and seams of courses let them be."""
    width, height = inner_um[1], inner_um[2]
    left = (width - GRIP_UM) // 2
    if left < BESIDE_UM:
        return None
    for z in range(height - DOWN_UM, height // 2, -STEP_UM):
        holes = [(left, z), (left + GRIP_UM, z)]
        whole = all(abs(z - seam) >= HOLE_UM for seam in seams)
        if whole and all(_clear(hole, shaft) for hole in holes for shaft in shafts):
            return holes
    return None


def _clear(hole: tuple[int, int], shaft: Shaft) -> bool:
    """Tell whether a hole along the box passes a shaft by three of its diameters; shafts along the box count too."""
    gaps = [max(0, shaft.low[axis] - at, at - shaft.high[axis]) for axis, at in zip((1, 2), hole, strict=True)]
    return hypot(*gaps) >= HOLE_UM / 2 + APART * shaft.diameter_um


def _holed(one: PlacedPiece, places: Sequence[tuple[int, int]], row: int) -> list[PlacedPiece]:
    if one.cut_piece.role is not PieceRole.END:
        return [one]
    rim = HOLE_UM // 2

    def holes_in(low: Size, high: Size) -> tuple[Hole, ...]:
        inside = [
            (y, z) for y, z in places if low[1] + rim <= y <= high[1] - rim and low[2] + rim <= z <= high[2] - rim
        ]
        return tuple(Hole((y - low[1], z - low[2]), HOLE_UM, row) for y, z in inside)

    return split_by_holes(one, lambda panel: (*one.cut_piece.holes, *holes_in(panel.low, panel.high)))

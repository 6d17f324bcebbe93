"""Screws and nails of a wooden box in their places, worked out from the holes of its pieces."""

from collections.abc import Iterator
from dataclasses import dataclass

from packing.plan import BoxPlan, HardwarePlan, HolePlan, PanelPlan, PiecePlan
from packing.plan.kinds import FastenerKind, PieceRole, Shell
from packing.plan.rows import Size

HOLDS_POINTS = (PieceRole.LID_BATTEN, PieceRole.END_CLEAT, PieceRole.FOOT)
"""Pieces that clinched nails go right through with their points: their heads lie in the other piece."""


@dataclass(frozen=True, slots=True)
class Shaft:
    """One screw or nail: from the face its head lies in to its point, in the frame of the box's inside."""

    head: Size
    point: Size
    row: int


def standing(box: BoxPlan) -> tuple[PanelPlan, ...]:
    """Boards after the last step of the box round the insert, without a case outside it; none where none are told."""
    steps = [step for step in box.steps if step.plates and step.shell == Shell.BOX]
    return steps[-1].plates if steps else ()


def axes_of(piece: PiecePlan, plate: PanelPlan) -> tuple[int, int, int]:
    """Along which axes of the box a piece in its place has its length, its width and its thickness."""
    sides = [high - low for low, high in zip(plate.min_um, plate.max_um, strict=True)]
    into = min(range(3), key=lambda axis: abs(sides[axis] - piece.thickness_um))
    flat = [axis for axis in range(3) if axis != into]
    along = min(flat, key=lambda axis: abs(sides[axis] - piece.size_um[0]))
    return along, next(axis for axis in flat if axis != along), into


def shafts(box: BoxPlan) -> Iterator[Shaft]:
    """Every screw and nail in its place, heads outside but for clinched nails."""
    plates = standing(box)
    for piece in box.pieces:
        for hole in piece.holes:
            row = box.hardware[hole.row]
            clinched = row.kind == FastenerKind.CLINCHED_NAIL and piece.role in HOLDS_POINTS
            if hole.edge or clinched or row.kind == FastenerKind.HANDLE:
                continue
            for plate in plates:
                if plate.piece == piece.id:
                    yield _shaft(box, piece, plate, hole, row)


def _shaft(box: BoxPlan, piece: PiecePlan, plate: PanelPlan, hole: HolePlan, row: HardwarePlan) -> Shaft:
    along, across, into = axes_of(piece, plate)
    head = list(plate.min_um)
    head[along] += hole.at_um[0]
    head[across] += hole.at_um[1]
    low_side = plate.min_um[into] + plate.max_um[into] < box.inner_um[into]
    inwards = low_side is not (row.kind == FastenerKind.CLINCHED_NAIL)
    head[into] = plate.min_um[into] if inwards else plate.max_um[into]
    point = list(head)
    point[into] += row.length_um if inwards else -row.length_um
    return Shaft((head[0], head[1], head[2]), (point[0], point[1], point[2]), hole.row)

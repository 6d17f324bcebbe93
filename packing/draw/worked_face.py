"""The face that a grooved piece's working drawing shows: the one with the grooves, as it lies on the bench."""

from dataclasses import dataclass

from msgspec import structs

from packing.draw.fasteners import axes_of, standing
from packing.plan import BoxPlan, HolePlan, PanelPlan, PiecePlan
from packing.plan.kinds import PieceRole
from packing.plan.rows import Point

DRILLED_UM = 1_000
"""Holes by hand are set no closer than this (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class WorkedFace:
    """A piece as its drawing shows it.

    Parameters
    ----------
    piece
        Turned over where its grooves are on the face that the plan does not show.
    words
        Which face that is; "" where both are alike.
    """

    piece: PiecePlan
    words: str


def worked_face(box: BoxPlan, piece: PiecePlan) -> WorkedFace:
    """A piece seen on the face its grooves are cut in; a piece without grooves as it is."""
    if not piece.grooves:
        return WorkedFace(piece, "")
    lid = piece.role == PieceRole.LID
    turned = [_from_behind(piece, plate, box, lid=lid) for plate in standing(box) if plate.piece == piece.id]
    shown = _mirrored(piece) if turned and all(turned) else piece
    words = "seen from above" if lid else "seen from the inside, the grooved face"
    if len(set(turned)) > 1 and not _alike(piece, _mirrored(piece)):
        words += "; one as drawn, one its mirror image"
    return WorkedFace(shown, words)


def _from_behind(piece: PiecePlan, plate: PanelPlan, box: BoxPlan, *, lid: bool) -> bool:
    """Tell whether whoever looks at the grooved face sees the piece's length run from right to left."""
    along, up, into = axes_of(piece, plate)
    low_side = plate.min_um[into] + plate.max_um[into] < box.inner_um[into]
    look = -1 if low_side is not lid else 1
    even = (into, up, along) in ((0, 1, 2), (1, 2, 0), (2, 0, 1))
    return look * (1 if even else -1) < 0


def _mirrored(piece: PiecePlan) -> PiecePlan:
    """The piece turned over about its width."""
    length = piece.size_um[0]

    def at(point: Point) -> Point:
        return length - point[0], point[1]

    def rect(low: Point, high: Point) -> tuple[Point, Point]:
        return (length - high[0], low[1]), (length - low[0], high[1])

    grooves = []
    for groove in piece.grooves:
        low, high = rect(groove.min_um, groove.max_um)
        grooves.append(structs.replace(groove, min_um=low, max_um=high))
    return structs.replace(
        piece,
        outline_um=tuple(at(point) for point in reversed(piece.outline_um)),
        grooves=tuple(grooves),
        holes=tuple(structs.replace(hole, at_um=at(hole.at_um)) for hole in piece.holes),
        marks=tuple(structs.replace(m, start_um=at(m.start_um), end_um=at(m.end_um)) for m in piece.marks),
    )


def _alike(one: PiecePlan, other: PiecePlan) -> bool:
    """Tell whether both have the same holes in the same places, as nearly as a drill is set."""
    return len(one.holes) == len(other.holes) and all(
        any(_same(hole, there) for there in other.holes) for hole in one.holes
    )


def _same(one: HolePlan, other: HolePlan) -> bool:
    alike = (one.drill_um, one.edge) == (other.drill_um, other.edge)
    return alike and all(abs(a - b) <= DRILLED_UM for a, b in zip(one.at_um, other.at_um, strict=True))

"""Feet of wooden boxes: two battens under the bottom along the box, so that fingers go under it."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.boxes.design import Hardware, Step
from packing.boxes.fastenings import Joint, Line
from packing.boxes.piece import Size
from packing.boxes.placed_piece import PlacedPiece, panels_of, place_piece
from packing.boxes.spec import BoxSpec
from packing.boxes.wooden import BATTEN_UM, plank_of
from packing.materials import clinched
from packing.messages import Length, Message
from packing.plan.kinds import PieceRole

APART_UM = 40_000
"""Least room between the two feet (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Feet:
    """Additions of feet to a box: none where they are not asked for or have no room, which `notes` says.

    Parameters
    ----------
    pieces, joints
        Two battens; clinched nails through the bottom into them.
    height_um, tolerance_um
        How much higher the box stands; by how much that may be more.
    notes
        What there is to say.
    """

    pieces: tuple[PlacedPiece, ...] = ()
    joints: tuple[Joint, ...] = ()
    height_um: int = 0
    tolerance_um: int = 0
    notes: tuple[Message, ...] = ()

    def steps(self, nails: Hardware | None, pieces: Sequence[PlacedPiece], roles: Sequence[PieceRole]) -> list[Step]:
        """Nailing the feet on, with the pieces that stand by then."""
        if nails is None:
            return []
        text = Message(
            "Nail the two feet under the bottom, along the box: {count} × {nail}, driven from the inside, heads flush; "
            "bend the points over across the grain outside.",
            count=nails.count,
            nail=nails.what,
        )
        return [Step(text, panels_of(pieces, (*roles, PieceRole.FOOT)), (PieceRole.FOOT.value,))]


def feet(
    spec: BoxSpec, inner_um: Size, wall_um: int, under_um: int, boards: Sequence[tuple[int, int]], id_: str
) -> Feet:
    """Set two feet under a bottom, where they are asked for.

    Parameters
    ----------
    spec
        Its joinery says whether, and what battens there are.
    inner_um, wall_um, under_um
        Inside of the box, thickness of its walls and of its bottom.
    boards
        From where to where along the box each board of the bottom goes; nails go through each.
    id_
        Of the piece.
    """
    if not spec.joinery.feet:
        return Feet()
    length, width, _height = inner_um
    batten = plank_of(spec, BATTEN_UM)
    if batten is None or width < 2 * batten.width_um + APART_UM:
        note = Message("There are no feet: a box {width} wide inside has no room for two.", width=Length(width))
        return Feet(notes=(note,))
    size = (length + 2 * wall_um, batten.width_um)
    ys = (0, width - batten.width_um)
    lows = [(-wall_um, y, -under_um - batten.thickness_um) for y in ys]
    piece = place_piece(id_, PieceRole.FOOT, batten, size, lows, (0, 1, 2))
    spans = [(max(0, low), min(length, high)) for low, high in boards]
    lines = tuple(
        Line((low, y + batten.width_um // 2, 0), 0, 2, -1, high - low) for y in ys for low, high in spans if high > low
    )
    nail = clinched(under_um + batten.thickness_um, nails=spec.joinery.nails)
    joint = Joint(Message("bottom into feet"), nail, lines, "X3", id_)
    return Feet((piece,), (joint,), batten.thickness_um, batten.thickness_tolerance_um)

"""Ways in which the pieces of a box have to be cut, held against those in which their stock may be."""

from packing.boxes.design import BoxDesign, Infeasible
from packing.boxes.piece import CutPiece
from packing.materials import Board
from packing.messages import Message, Name, Series
from packing.plan.kinds import Cutter, PieceRole

STRAIGHT_CORNERS = 4
"""A plain rectangle; any corner more is a notch or a slot."""
FREE, STRAIGHT, GROOVED = (Cutter.KNIFE, Cutter.LASER), (Cutter.KNIFE, Cutter.LASER, Cutter.SAW), (Cutter.SAW,)
"""Ways to cut any outline; from edge to edge; part of the way through."""


def is_odd(cut_piece: CutPiece) -> bool:
    """Tell whether a piece has slots, notches or inner corners, which no straight cut from edge to edge makes."""
    return bool(cut_piece.slots) or len(cut_piece.outline) != STRAIGHT_CORNERS


def ways_to_cut(cut_piece: CutPiece) -> tuple[tuple[str, ...], ...]:
    """List a piece's needs, each a choice of ways of which one must do.

    Parameters
    ----------
    cut_piece
        A piece of a box.

    Returns
    -------
    tuple of tuples
        A saw cuts straight from edge to edge, what is odd needs a knife or a laser. A groove is sawn, it goes part of
        the way through. Wood is not cut with a knife.
    """
    outline: tuple[str, ...] = FREE if is_odd(cut_piece) else STRAIGHT
    if not isinstance(cut_piece.material, Board):
        outline = tuple(way for way in outline if way != Cutter.KNIFE)
    return (outline, GROOVED) if cut_piece.grooves else (outline,)


def cannot_cut(design: BoxDesign) -> Infeasible | None:
    """The first piece that its stock may not be cut to, as a refusal; None where every piece can be cut.

    Parameters
    ----------
    design
        A carton as bought is cut already.
    """
    for cut_piece in design.cut_pieces:
        if cut_piece.role is PieceRole.CARTON:
            continue
        for ways in ways_to_cut(cut_piece):
            if not set(ways) & set(cut_piece.material.cut_by):
                return Infeasible(design.style, "cut", 0, 0, _sentence(design, cut_piece, ways))
    return None


def _sentence(design: BoxDesign, cut_piece: CutPiece, ways: tuple[str, ...]) -> Message:
    if ways == GROOVED:
        text = (
            "The {piece} of the {box} has a groove or step in its face and needs a {ways}; {material} may be cut by "
            "{may} alone."
        )
    elif is_odd(cut_piece):
        text = (
            "The {piece} of the {box} is no plain rectangle and needs a {ways}; {material} may be cut by {may} alone."
        )
    else:
        text = "The {piece} of the {box} is a plain rectangle and needs a {ways}; {material} may be cut by {may} alone."
    return Message(
        text,
        piece=cut_piece.what,
        box=design.name,
        ways=Series(tuple(Name(way) for way in ways), " or a "),
        material=cut_piece.material.name,
        may=Series(tuple(Name(way) for way in cut_piece.material.cut_by), " or "),
    )

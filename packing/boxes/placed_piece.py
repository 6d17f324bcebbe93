"""Pieces of wood in their places in the box."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from packing.boxes.design import PlacedPanel
from packing.boxes.piece import CutPiece, Size, plain
from packing.materials import Timber
from packing.messages import Length, Message
from packing.plan.kinds import PieceRole


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A flat piece and where each of its copies stands.

    Parameters
    ----------
    cut_piece
        The piece.
    placed_panels
        Its copies.
    axes
        For x, y and z of the box: 0 the size along the grain, 1 across it, 2 the thickness.
    """

    cut_piece: CutPiece
    placed_panels: tuple[PlacedPanel, ...]
    axes: Size


def place_piece(
    id_: str, role: PieceRole, timber: Timber, size_um: tuple[int, int], lows: Sequence[Size], axes: Size
) -> PlacedPiece:
    """A rectangular piece standing at each of `lows`.

    Parameters
    ----------
    id_, role, timber
        Of the piece.
    size_um
        Along the grain and across it.
    lows
        Lower corners.
    axes
        See `PlacedPiece`.
    """
    source = None
    if timber.nominal_in is not None and size_um[1] != timber.width_um:
        source = Message("{timber}, ripped to {width}", timber=timber.name, width=Length(size_um[1]))
    cut_piece = plain(id_, role, timber, size_um, len(lows), source)
    sides = (size_um[0], size_um[1], timber.thickness_um)
    placed_panels = tuple(
        PlacedPanel(
            role.value,
            low,
            (low[0] + sides[axes[0]], low[1] + sides[axes[1]], low[2] + sides[axes[2]]),
            id_,
        )
        for low in lows
    )
    return PlacedPiece(cut_piece, placed_panels, axes)


def panels_of(pieces: Sequence[PlacedPiece], roles: Collection[PieceRole]) -> tuple[PlacedPanel, ...]:
    """The plates of the pieces with these roles, in the pieces' order."""
    return tuple(panel for one in pieces if one.cut_piece.role in roles for panel in one.placed_panels)

"""Stock cartons as bought."""

from dataclasses import dataclass

from packing.materials.board import Board


@dataclass(frozen=True, slots=True)
class Carton:
    """A stock carton as bought.

    Parameters
    ----------
    name
        As the shop calls it.
    inner_um
        Inside length, width and height, at the opening.
    board
        Its board.
    price
        As text, shown and never computed with; "" where unknown.
    """

    name: str
    inner_um: tuple[int, int, int]
    board: Board
    price: str = ""

"""What one shop builds its inserts and boxes from."""

from dataclasses import dataclass, field

from packing.materials.board import Board
from packing.materials.carton import Carton
from packing.materials.defaults import C_FLUTE, EXAMPLE_CARTONS, PE_FOAM
from packing.materials.foam import Foam
from packing.materials.supplies import Supplies


@dataclass(frozen=True)
class Materials:
    """What the shop builds from.

    Parameters
    ----------
    foam, board
        Insert and box.
    supplies
        Tape, papers, wraps and guards.
    cartons
        Stock cartons for the second answer; empty where there are none.
    """

    foam: Foam = PE_FOAM
    board: Board = C_FLUTE
    supplies: Supplies = field(default_factory=Supplies)
    cartons: tuple[Carton, ...] = EXAMPLE_CARTONS

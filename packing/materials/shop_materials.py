"""All that one shop builds its inserts and boxes from, in one bag."""

from dataclasses import dataclass, field

from packing.materials.allowances import ALLOWANCES, Allowance
from packing.materials.board import Board
from packing.materials.carton import Carton
from packing.materials.defaults import BOARDS, C_FLUTE, EXAMPLE_CARTONS, PE_FOAM
from packing.materials.foam import Foam
from packing.materials.joinery import Joinery
from packing.materials.rates import Rates
from packing.materials.supplies import Supplies


@dataclass(frozen=True)
class ShopMaterials:
    """Materials of one shop and their cost; each row says where its figures come from.

    Parameters
    ----------
    foam
        Of the insert.
    board, boards
        The board that the search reckons with, which stands for all where `boards` is empty; those in stock.
    cartons
        Stock cartons; empty where there are none.
    joinery
        Wood, screws and nails, and how wooden boxes are made.
    supplies
        Tape, papers, wraps and guards.
    allowances
        What folding takes, by flute.
    rates
        Prices and times.
    """

    foam: Foam = PE_FOAM
    board: Board = C_FLUTE
    boards: tuple[Board, ...] = BOARDS
    cartons: tuple[Carton, ...] = EXAMPLE_CARTONS
    joinery: Joinery = field(default_factory=Joinery)
    supplies: Supplies = field(default_factory=Supplies)
    allowances: tuple[Allowance, ...] = ALLOWANCES
    rates: Rates = field(default_factory=Rates)

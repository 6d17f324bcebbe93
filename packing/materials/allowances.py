"""What folding takes from the sizes of corrugated board, by flute."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.materials.board import Board
from packing.measure import mm
from packing.sureness import Fact


@dataclass(frozen=True, slots=True)
class Allowance:
    """What folding takes from a size, for one flute.

    Parameters
    ----------
    flute
        As in `Board.flute`.
    caliper_um
        Of the board the row is made for; a board measured more than `WITHIN_UM` off goes by its own caliper.
    panel_um
        Added to the inside from score to score.
    layer_um
        Added to the inside height for each layer of flaps.
    source, sureness
        Where it comes from; "primary", "secondary", "memory" or "practice".
    """

    flute: str
    caliper_um: int
    panel_um: int
    layer_um: int
    source: str
    sureness: str


WITHIN_UM = 300
_MAKERS = "makers' tables in metric, from memory; measure a sample fold of the board in hand"
ALLOWANCES = (
    Allowance("B", 3_000, 3_000, 3_000, _MAKERS, "memory"),
    Allowance("C", 4_000, 4_000, 4_000, _MAKERS, "memory"),
    Allowance("E", 1_600, 2_000, 1_500, _MAKERS, "memory"),
    Allowance("A", 5_000, 5_000, 5_000, "one caliper a fold, derived from the caliper", "memory"),
    Allowance("BC", 7_000, 7_000, 7_000, _MAKERS, "memory"),
)


def allowance_for(board: Board, rows: Sequence[Allowance] = ALLOWANCES) -> Allowance:
    """The row for a board's flute, or one made from its measured caliper where there is none near it."""
    for row in rows:
        if row.flute == board.flute and abs(row.caliper_um - board.caliper_um) <= WITHIN_UM:
            return row
    t = board.caliper_um
    return Allowance(board.flute, t, t, t, "the board's measured caliper, once a fold", "practice")


def allowance_fact(row: Allowance) -> Fact:
    """What the folds of a blank are laid out by, for the paper it is cut by."""
    return Fact(
        f"Panels are laid out {mm(row.panel_um)} mm longer than the inside, walls {mm(row.layer_um)} mm higher for "
        "each layer of flaps. Fold a sample of the board in hand first.",
        row.source,
        row.sureness,
    )

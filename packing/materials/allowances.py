"""Allowances that folding takes from the sizes of corrugated board, by flute."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.materials.board import Board
from packing.plan import FactPlan, Length, Message
from packing.plan.kinds import FactKind


@dataclass(frozen=True, slots=True)
class Allowance:
    """The allowance that folding takes from a size, for one flute.

    Parameters
    ----------
    flute
        As in `Board.flute`.
    caliper_um
        Of the board the row is made for; what a board measures more or less is added to the row's figures.
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


_MAKERS = "makers' tables in metric, from memory; measure a sample fold of the board in hand"
ALLOWANCES = (
    Allowance("B", 3_000, 3_000, 3_000, _MAKERS, "memory"),
    Allowance("C", 4_000, 4_000, 4_000, _MAKERS, "memory"),
    Allowance(
        "E",
        1_600,
        2_000,
        1_600,
        f"{_MAKERS}; they give 1.5 mm for a layer, here it is the caliper, so that the insert never has less room",
        "memory",
    ),
    Allowance("A", 5_000, 5_000, 5_000, "one caliper a fold", "memory"),
    Allowance("BC", 7_000, 7_000, 7_000, _MAKERS, "memory"),
)


def allowance_for(board: Board, rows: Sequence[Allowance] = ALLOWANCES) -> Allowance:
    """Find what folding takes from a board.

    Parameters
    ----------
    board
        Its flute and measured caliper count.
    rows
        Allowances by flute.

    Returns
    -------
    Allowance
        The row of the flute, moved by what the board measures more or less than the row says; a caliper a fold where
        there is no row. Micrometres.
    """
    t = board.caliper_um
    for row in rows:
        if row.flute == board.flute:
            # Makers’ tables are for a nominal caliper: what the board in hand measures more, each fold takes more.
            off = t - row.caliper_um
            return replace(row, caliper_um=t, panel_um=row.panel_um + off, layer_um=row.layer_um + off)
    return Allowance(board.flute, t, t, t, "the board's measured caliper, once a fold", "practice")


def allowance_fact(row: Allowance) -> FactPlan:
    """State what the folds of a blank are laid out by, for the paper it is cut by.

    Parameters
    ----------
    row
        In micrometres.

    Returns
    -------
    FactPlan
    """
    return FactPlan(
        Message(
            "Panels are laid out {panel} longer than the inside, walls {layer} higher for each layer of flaps. Fold a "
            "sample of the board in hand first.",
            panel=Length(row.panel_um),
            layer=Length(row.layer_um),
        ),
        row.source,
        row.sureness,
        kind=FactKind.FOLDING,
    )

"""What is packed with besides foam and board: tape, papers, wraps and guards."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sundry:
    """Something small that rides along and weighs: tape by the metre, papers, wraps, guards, lift tape.

    Parameters
    ----------
    what
        The name on the weight list.
    unit
        "m" or "each".
    each_mg
        Weight of one unit.
    spread
        Relative standard deviation.
    source
        Where the weight comes from.
    """

    what: str
    unit: str
    each_mg: int
    spread: float
    source: str


LIFT_TAPE = Sundry("lift tape, 25 mm cotton", "m", 7_000, 0.1, "weighed by nobody yet: from memory; weigh a roll")
CLOSING_TAPE = Sundry(
    "closing tape, 60 mm reinforced paper",
    "m",
    8_500,
    0.1,
    "about 140 g/m² from memory; weigh a roll before relying on it",
)
PAPERS = Sundry("papers, one sheet A4 or Letter", "each", 5_000, 0.03, "A4 at 80 g/m², derived")
WRAP = Sundry("corrosion-inhibiting wrap", "each", 6_500, 0.2, "from memory; weigh one")
EDGE_GUARD = Sundry("edge guard", "each", 18_000, 0.25, "from memory; weigh one")


@dataclass(frozen=True, slots=True)
class Supplies:
    """What a shop packs with besides foam and board.

    Parameters
    ----------
    closing_tape, lift_tape
        By the metre.
    papers, wrap, edge_guard
        Each: one sheet of paper, one wrap for a tool, one guard for an edge.
    paper_sheets
        How many sheets of paper ride along.
    """

    closing_tape: Sundry = CLOSING_TAPE
    lift_tape: Sundry = LIFT_TAPE
    papers: Sundry = PAPERS
    wrap: Sundry = WRAP
    edge_guard: Sundry = EDGE_GUARD
    paper_sheets: int = 2

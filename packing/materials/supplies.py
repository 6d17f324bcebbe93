"""Supplies besides foam and board: tape, papers, wraps and guards."""

from dataclasses import dataclass

from packing.plan import Length, Message
from packing.plan.kinds import SundryKind, Unit


@dataclass(frozen=True, slots=True)
class Sundry:
    """Something small that rides along and weighs: tape by the metre, papers, wraps, guards, lift tape.

    Parameters
    ----------
    kind
        What it is.
    what
        The name on the weight list.
    unit
        What it is counted in.
    each_mg
        Weight of one unit.
    spread
        Relative standard deviation.
    source
        Where the weight comes from.
    """

    kind: SundryKind
    what: Message
    unit: Unit
    each_mg: int
    spread: float
    source: str


LIFT_TAPE = Sundry(
    SundryKind.LIFT_TAPE,
    Message("lift tape, {width} cotton", width=Length(25_000)),
    Unit.METRE,
    7_000,
    0.1,
    "weighed by nobody yet: from memory; weigh a roll",
)
CLOSING_TAPE = Sundry(
    SundryKind.CLOSING_TAPE,
    Message("closing tape, {width} reinforced paper", width=Length(60_000)),
    Unit.METRE,
    8_500,
    0.1,
    "about 140 g/m² from memory; weigh a roll before relying on it",
)
PAPERS = Sundry(
    SundryKind.PAPERS,
    Message("papers, one sheet A4 or Letter"),
    Unit.EACH,
    5_000,
    0.03,
    "A4 at 80 g/m²",
)
WRAP = Sundry(SundryKind.WRAP, Message("corrosion-inhibiting wrap"), Unit.EACH, 6_500, 0.2, "from memory; weigh one")
EDGE_GUARD = Sundry(SundryKind.EDGE_GUARD, Message("edge guard"), Unit.EACH, 18_000, 0.25, "from memory; weigh one")


@dataclass(frozen=True, slots=True)
class Supplies:
    """A shop's supplies besides foam and board.

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

"""Judgements and reckonings of a box in a plan: rules for its board and its wood, its cost."""

from decimal import Decimal

from packing.messages import Message
from packing.plan.kinds import (
    CostUnit,
    PriceKind,
    TreatmentVerdict,
    Verdict,
)
from packing.plan.piece import BoardPlan
from packing.plan.rows import Row


class InputPlan(Row, frozen=True):
    """One figure that went into a check, with its unit."""

    name: Message
    value: Message


class MarkPlan(Row, frozen=True):
    """The mark of a figure: where it was read, the year of its values, how sure it is."""

    source: str
    year: str = ""
    sureness: str = ""


class CheckPlan(Row, frozen=True):
    """One rule for one board: inputs by name, result and limit with units, verdict, source, the verdict in words.

    `source`, `year` and `sureness` are of all its figures together, as sure as the least sure; `marks` has each.
    """

    rule: str
    verdict: Verdict
    sentence: Message
    inputs: tuple[InputPlan, ...] = ()
    result: str = ""
    limit: str = ""
    source: str = ""
    year: str = ""
    sureness: str = ""
    note: str = ""
    marks: tuple[MarkPlan, ...] = ()


class GradedPlan(Row, frozen=True):
    """One board tried, and what each rule said of it."""

    board: str
    grade: str
    allowed: bool
    checks: tuple[CheckPlan, ...]


class GradePlan(Row, frozen=True):
    """The lightest board that passes, and all that were tried before it."""

    board: BoardPlan | None
    reason: Message
    tried: tuple[GradedPlan, ...]


class TreatmentPlan(Row, frozen=True):
    """Demands of the rules for wood in packaging, on which parts, and where that was read."""

    verdict: TreatmentVerdict
    sentence: Message
    parts: tuple[str, ...]
    source: str
    sureness: str
    year: str = ""


class CostLinePlan(Row, frozen=True):
    """So much of one thing at a price; amount and price are None where not known."""

    what: Message
    quantity: Decimal
    unit: CostUnit
    price: Decimal | None
    amount: Decimal | None


class UnpricedPlan(Row, frozen=True):
    """A price or a time that is not known: of what kind, of which row."""

    kind: PriceKind
    name: str = ""


class CostPlan(Row, frozen=True):
    """Material and minutes of one box and its insert in one currency.

    Parameters
    ----------
    currency, lines, minutes, insert_minutes
        What is counted; minutes of all work and of the insert's alone.
    known, total
        Sum of the amounts that are known; the whole, None where one is missing.
    missing, unpriced
        What is missing, as sentences; the same by kind and name, the worth of billed weight with it.
    sending
        Billed weight by what the shop says it is worth; None where it does not say.
    """

    currency: str
    lines: tuple[CostLinePlan, ...]
    minutes: float
    known: Decimal
    total: Decimal | None
    missing: tuple[Message, ...] = ()
    sending: Decimal | None = None
    unpriced: tuple[UnpricedPlan, ...] = ()
    insert_minutes: float = 0

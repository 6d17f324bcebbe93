"""The outcome of one rule for one board and load, and how its figures are shown."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from packing.plan import Figure, InputPlan, Message, Quantity
from packing.plan.kinds import Verdict
from packing.strength.defaults import Source
from packing.sureness import SURENESS
from packing.units import plain_number

_ALLOWING = (Verdict.PASSES, Verdict.NOT_APPLICABLE)
"""Verdicts that leave a board in the running; a rule that does not judge has a say of its own."""


@dataclass(frozen=True, slots=True)
class Check:
    """One rule for one board and load.

    Parameters
    ----------
    rule
        Its name.
    inputs
        What went in.
    result, limit
        What came out and what it is held against, as texts with units.
    verdict
        What the rule says; not judged: outside what it is made for.
    source
        Where the rule was read, as sure as the least sure figure in it.
    sentence
        The verdict in words.
    short
        Of a rule that does not judge: what was computed all the same is less than the load.
    parts
        The sources of its figures where they are several; empty: `source` is all there is.
    """

    rule: str
    inputs: tuple[InputPlan, ...]
    result: str
    limit: str
    verdict: Verdict
    source: Source
    sentence: Message
    short: bool = False
    parts: tuple[Source, ...] = ()

    @property
    def marks(self) -> tuple[Source, ...]:
        """The source of each figure that counts, least sure first."""
        return tuple(sorted(self.parts or (self.source,), key=lambda one: -SURENESS.index(one.sureness)))

    @property
    def allows(self) -> bool:
        """True where the rule leaves the board in the running; one that does not judge leaves it unless it is short."""
        return self.verdict in _ALLOWING or (self.verdict is Verdict.NOT_JUDGED and not self.short)


def shown(value: Fraction | float, places: int = 1) -> str:
    """A number for people, rounded up so that what is over a limit looks it."""
    scaled = ceil(Fraction(value) * 10**places)
    return plain_number(Decimal(scaled) / 10**places)


def given(name: str, value: Quantity | str) -> InputPlan:
    """An input of a check: its name in English, and its figure or a few words of English."""
    said = Message(value) if isinstance(value, str) else Message("{value}", value=value)
    return InputPlan(Message(name), said)


def figure(value: Fraction | float, unit: str, places: int = 1) -> Figure:
    """A number in a rule's own unit, rounded up as `shown` does."""
    return Figure(shown(value, places), unit)

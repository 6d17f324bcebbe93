"""The outcome of one rule for one board and load, and how its figures are shown."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from packing.strength.defaults import Source
from packing.sureness import SURENESS


@dataclass(frozen=True, slots=True)
class Check:
    """One rule for one board and load.

    Parameters
    ----------
    rule
        Its name.
    inputs
        What went in, as pairs of name and text.
    result, limit
        What came out and what it is held against, as texts with units.
    verdict
        "passes", "fails", "not applicable", "not known" or "not judged": outside what the rule is made for.
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
    inputs: tuple[tuple[str, str], ...]
    result: str
    limit: str
    verdict: str
    source: Source
    sentence: str
    short: bool = False
    parts: tuple[Source, ...] = ()

    @property
    def marks(self) -> tuple[Source, ...]:
        """The source of each figure that counts, least sure first."""
        return tuple(sorted(self.parts or (self.source,), key=lambda one: -SURENESS.index(one.sureness)))

    @property
    def allows(self) -> bool:
        """Whether the rule leaves the board in the running; one that does not judge leaves it where it is not short."""
        return self.verdict in ("passes", "not applicable") or (self.verdict == "not judged" and not self.short)


def shown(value: Fraction | float, places: int = 1) -> str:
    """A number for people, rounded up so that what is over a limit looks it."""
    scaled = ceil(Fraction(value) * 10**places)
    text = f"{scaled / 10**places:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text

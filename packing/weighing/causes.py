"""Causes that a box weighs too little or too much, likeliest first.

Each cause changes the weight by so much; what remains unexplained is judged against the spread of good boxes, and how
often such a slip happens at all is weighed in. Those shares are our own guess and only order what fits.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from math import log

from packing.plan import Message, Weight
from packing.weighing.tolerance import Expectation

MOST_CAUSES = 3
"""Causes named to the packer; how many more would fit is only counted."""
MOST_ITEMS_IN_PAIRS = 60
"""Items of a box of which two may be missing: more pairs than these boxes have would fit by chance."""
STRANGER_RARITY = 10
"""So many times rarer a tool is taken for a stranger than for another of its own kind (our own guess)."""


class CauseKind(StrEnum):
    """A way in which a box can be packed wrong."""

    MISSING = "missing"
    LEFT_OUT = "left out"
    SWAPPED = "swapped"
    TOO_MANY = "too many"
    TWO_MISSING = "two missing"


_RARITY = {
    CauseKind.MISSING: 0.0,
    CauseKind.LEFT_OUT: 0.7,
    CauseKind.SWAPPED: 0.7,
    CauseKind.TOO_MANY: 2.0,
    CauseKind.TWO_MISSING: 3.0,
}
"""By how many powers of e rarer than one missing piece (our own guess)."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A thing with its weight: a piece or a block of the box or on the rack, or a part of what goes with it.

    Parameters
    ----------
    name
        As it is stamped or called, such as "CH125-007".
    weight_mg
        Milligrams.
    kind
        What it is one of, such as its product's code: like things are mistaken for each other first. "" for none.
    """

    name: str
    weight_mg: int
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing that would explain a reading.

    Parameters
    ----------
    kind
        What went wrong.
    things
        What is missing, left out or too many; of a swap what should be in.
    instead
        Of a swap: what is in its place.
    off_mg
        By how much it misses the reading.
    rarity
        Greater is less likely.
    """

    kind: CauseKind
    things: tuple[Weighed, ...]
    instead: Weighed | None
    off_mg: int
    rarity: float

    @property
    def message(self) -> Message:
        """A sentence that names it, for the packer."""
        first = self.things[0]
        named: dict[str, Weight | str] = {"name": first.name, "weight": Weight(first.weight_mg)}
        match self.kind:
            case CauseKind.MISSING:
                return Message("{name} ({weight}) may be missing.", **named)
            case CauseKind.LEFT_OUT:
                return Message("{name} ({weight}) may be left out.", **named)
            case CauseKind.TOO_MANY:
                return Message("{name} ({weight}) may be in the box as well.", **named)
            case CauseKind.TWO_MISSING:
                other = self.things[1]
                named |= {"other": other.name, "other_weight": Weight(other.weight_mg)}
                return Message("{name} ({weight}) and {other} ({other_weight}) may both be missing.", **named)
            case CauseKind.SWAPPED:
                instead = self.instead or first
                named |= {"other": instead.name, "other_weight": Weight(instead.weight_mg)}
                return Message("{other} ({other_weight}) in place of {name} ({weight})?", **named)


@dataclass(frozen=True, slots=True)
class Findings:
    """The difference of a reading, in milligrams, and what would explain it, likeliest first.

    `more` counts causes that fit too and are not named.
    """

    by_mg: int
    causes: tuple[Cause, ...] = ()
    more: int = 0

    @property
    def off(self) -> Message:
        """The difference in words: short or over."""
        template = "{by} short." if self.by_mg < 0 else "{by} over."
        return Message(template, by=Weight(abs(self.by_mg)))


def likely_causes(
    reading_mg: int,
    expected: Expectation,
    items: Sequence[Weighed],
    *,
    parts: Sequence[Weighed] = (),
    rack: Sequence[Weighed] = (),
) -> Findings:
    """Name what may be wrong with a box whose reading is off.

    Parameters
    ----------
    reading_mg
        What the scale reads, in milligrams.
    expected
        What it should read.
    items
        What is packed by the plan.
    parts
        What goes with it: the insert, its sheets, papers, tape.
    rack
        What lies about that could be in the box by mistake.

    Returns
    -------
    Findings
        Without causes where the reading fits, or where nothing alone explains it.
    """
    by_mg = reading_mg - expected.gross_mg
    if expected.fits(reading_mg):
        return Findings(by_mg)
    # Nothing missing makes a box heavier and nothing added makes it lighter; a swap may do either.
    possible = [*_short(items, parts), *_wrong(items, rack)] if by_mg < 0 else [*_wrong(items, rack), *_extra(rack)]
    judged = (_judged(one, by_mg, expected) for one in possible)
    # The rarity has the miss in it already; the miss by itself only orders causes that are equally rare.
    fitting = sorted((one for one in judged if one is not None), key=lambda one: (one.rarity, abs(one.off_mg)))
    return Findings(by_mg, tuple(fitting[:MOST_CAUSES]), max(0, len(fitting) - MOST_CAUSES))


@dataclass(frozen=True, slots=True)
class _Possible:
    kind: CauseKind
    things: tuple[Weighed, ...]
    change_mg: int
    among: int
    instead: Weighed | None = None


def _short(items: Sequence[Weighed], parts: Sequence[Weighed]) -> Iterator[_Possible]:
    """All that may be missing."""
    for item in items:
        yield _Possible(CauseKind.MISSING, (item,), -item.weight_mg, len(items))
    for part in parts:
        yield _Possible(CauseKind.LEFT_OUT, (part,), -part.weight_mg, len(parts))
    if len(items) <= MOST_ITEMS_IN_PAIRS:
        pairs = list(combinations(items, 2))
        for one, other in pairs:
            yield _Possible(CauseKind.TWO_MISSING, (one, other), -one.weight_mg - other.weight_mg, len(pairs))


def _wrong(items: Sequence[Weighed], rack: Sequence[Weighed]) -> Iterator[_Possible]:
    """All that may be in another's place."""
    alike = Counter(other.kind for other in rack)
    for item in items:
        for other in rack:
            among = len(items) * (alike[item.kind] if other.kind == item.kind else STRANGER_RARITY * len(rack))
            yield _Possible(CauseKind.SWAPPED, (item,), other.weight_mg - item.weight_mg, among, other)


def _extra(rack: Sequence[Weighed]) -> Iterator[_Possible]:
    """All that may have come in as well."""
    for other in rack:
        yield _Possible(CauseKind.TOO_MANY, (other,), other.weight_mg, len(rack))


def _judged(one: _Possible, by_mg: int, expected: Expectation) -> Cause | None:
    """A possible cause with how rare it is, as far as it explains the reading within the tolerance."""
    off_mg = by_mg - one.change_mg
    # A swap of two that weigh the same changes nothing, so that it explains nothing.
    if abs(off_mg) > max(expected.tolerance_mg, 1) or one.change_mg == 0:
        return None
    spread = (off_mg / expected.sd_mg) ** 2 / 2 if expected.sd_mg else 0.0
    # The more things there are to be mistaken, the sooner one fits by chance: each takes its share of the likelihood.
    return Cause(one.kind, one.things, one.instead, off_mg, spread + _RARITY[one.kind] + log(one.among))

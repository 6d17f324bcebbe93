"""Evidence of a published rule's figures: handed on to each limit and row that rests on them."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from packing.carry.model import Trigger
from packing.sureness import Sureness


@dataclass(frozen=True, slots=True)
class Evidence:
    """The evidence of a figure: where it was read, how sure it is, the day it stood there."""

    source: str
    sureness: Sureness
    as_of: dt.date


def resting_on(evidence: Evidence, triggers: Iterable[Trigger]) -> tuple[Trigger, ...]:
    """The same limits, each marked with where it was read."""
    return tuple(
        replace(one, source=evidence.source, sureness=evidence.sureness, as_of=evidence.as_of) for one in triggers
    )

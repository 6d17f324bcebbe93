"""What the shop pays for material and work, and how long each kind of work takes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class LabourTime:
    """How long one of a kind of work takes: "blank", "cut m", "crease m", "joint", "board cut", "screw" and so on."""

    what: str
    minutes: Decimal
    source: str = "a guess, no source; time your own"


LABOUR_TIMES = tuple(
    LabourTime(what, Decimal(minutes))
    for what, minutes in (
        ("carton", "1.5"),
        ("blank", "2"),
        ("cut m", "0.5"),
        ("crease m", "0.4"),
        ("joint", "1"),
        ("board cut", "1"),
        ("screw", "0.4"),
        ("nail", "0.25"),
        ("groove m", "3"),
    )
)


@dataclass(frozen=True, slots=True)
class Rates:
    """What the shop pays and counts with.

    Parameters
    ----------
    currency
        ISO code of every amount.
    hour
        Price of an hour of work; None where not known.
    work
        Minutes for each kind of work.
    cartons
        Price of each stock carton by name.
    fastener
        Price of one screw or nail; None where not known.
    billed_unit
        What one billed unit of a carrier's weight, such as a pound, is worth to the shop; None where not known.
    """

    currency: str = "USD"
    hour: Decimal | None = None
    work: tuple[LabourTime, ...] = LABOUR_TIMES
    cartons: Mapping[str, Decimal] = field(default_factory=dict)
    fastener: Decimal | None = None
    billed_unit: Decimal | None = None

"""The shop's prices of material and work, and the time of each kind of work."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from packing.messages import Message
from packing.plan.kinds import InsertWork

MILLI = Decimal("0.001")
"""Quantities are shown with three decimals, and priced as shown, so that a reader can follow the sum."""
SAME_UM = 60
"""Thicknesses that differ by no more are one: an order file knows hundredths of a millimetre, 3.175 becomes 3.18."""
ESTIMATE = "an estimate, no source; time your own"


def shown_quantity(value: Fraction) -> Decimal:
    """Round a quantity to what is shown and priced.

    Parameters
    ----------
    value
        In its unit, exact.

    Returns
    -------
    Decimal
        With three decimals.
    """
    return (Decimal(value.numerator) / Decimal(value.denominator)).quantize(MILLI)


@dataclass(frozen=True, slots=True)
class LabourTime:
    """The time of one of a kind of work: on a box "blank", "cut m", "screw" and so on, on an insert `InsertWork`."""

    what: str
    minutes: Decimal
    source: str = "a guess, no source; time your own"


_INSERT_TIMES = (
    (InsertWork.SHEET, "1"),
    (InsertWork.EDGE, "0.18"),
    (InsertWork.MARKED_SHEET, "1"),
    (InsertWork.RECTANGLE, "0.2"),
    (InsertWork.POCKET, "0.3"),
    (InsertWork.CORNER, "0.12"),
    (InsertWork.SLICE, "3"),
    (InsertWork.LONG_SLICE, "5"),
    (InsertWork.FILL, "0.7"),
    (InsertWork.LOOSE, "0.3"),
    (InsertWork.ITEM, "0.5"),
    (InsertWork.TAPE, "1"),
    (InsertWork.STACKED, "1"),
)

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
) + tuple(LabourTime(what.value, Decimal(minutes), ESTIMATE) for what, minutes in _INSERT_TIMES)


_CALLED = {
    "carton": Message("a stock carton set up"),
    "blank": Message("a blank laid out"),
    "cut m": Message("a metre of board cut"),
    "crease m": Message("a metre of crease"),
    "joint": Message("a joint of a blank"),
    "glue joint": Message("a joint glued"),
    "board cut": Message("a saw cut"),
    "screw": Message("a screw"),
    "nail": Message("a nail"),
    "groove m": Message("a metre of groove"),
    InsertWork.SHEET: Message("a sheet of foam fetched"),
    InsertWork.EDGE: Message("a metre of a foam sheet’s edge, each pass of the knife"),
    InsertWork.MARKED_SHEET: Message("a sheet taken to the marking"),
    InsertWork.RECTANGLE: Message("a pocket marked out"),
    InsertWork.POCKET: Message("a metre of pocket edge, each pass of the knife"),
    InsertWork.CORNER: Message("a corner of a pocket, each pass of the knife"),
    InsertWork.SLICE: Message("a slice of foam"),
    InsertWork.LONG_SLICE: Message("a long slice of foam"),
    InsertWork.FILL: Message("a piece of thin stock"),
    InsertWork.LOOSE: Message("a loose piece put in"),
    InsertWork.ITEM: Message("a piece tried in its pocket"),
    InsertWork.TAPE: Message("a lift tape"),
    InsertWork.STACKED: Message("a sheet laid on the stack"),
}


def work_called(what: str) -> Message:
    """Name a kind of work for people, as one of what it is counted in.

    Parameters
    ----------
    what
        As in `LabourTime`; a kind of the shop's own is called what the shop calls it.

    Returns
    -------
    Message
    """
    return _CALLED.get(what) or Message("{what}", what=what)


@dataclass(frozen=True, slots=True)
class Timed:
    """Minutes of some work; the kinds of it that have no row, which count for nothing."""

    minutes: Decimal
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rates:
    """Prices and times that a shop counts with.

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
    foam_m3
        Price of a cubic metre of the insert's foam; None where not known.
    sheet_m2
        Price of a square metre by what a sheet of it costs, by material and the thickness it is sold as or
        measures, in micrometres; such a price comes before every other.
    billed_unit, billed_in
        What a pound ("lb") or a kilogram ("kg") of billed weight is worth to the shop; None where not known.
    billed_minutes
        How many minutes of work it is worth, which counts where not both of billed weight and an hour have a price;
        None where not said.
    """

    currency: str = "USD"
    hour: Decimal | None = None
    work: tuple[LabourTime, ...] = LABOUR_TIMES
    cartons: Mapping[str, Decimal] = field(default_factory=dict)
    fastener: Decimal | None = None
    foam_m3: Decimal | None = None
    sheet_m2: Mapping[tuple[str, int], Decimal] = field(default_factory=dict)
    billed_unit: Decimal | None = None
    billed_in: str = "lb"
    billed_minutes: Decimal | None = None

    @property
    def in_money(self) -> bool:
        """True where boxes are compared by what sending and making cost."""
        return self.billed_unit is not None and self.hour is not None

    def sheet_price(self, material: str, thickness_um: int) -> Decimal | None:
        """The least price of a square metre by the sheet, of those of one thickness; None where none has one."""
        alike = (
            price
            for (name, sold_um), price in self.sheet_m2.items()
            if name == material and abs(sold_um - thickness_um) <= SAME_UM
        )
        return min(alike, default=None)

    @property
    def insert_minutes(self) -> Mapping[InsertWork, Decimal]:
        """Minutes of each kind of work on an insert; by the library's row where there is none, to choose by."""
        rows = {row.what: row.minutes for row in (*LABOUR_TIMES, *self.work)}
        return {kind: rows[kind.value] for kind in InsertWork}

    def timed(self, work: Iterable[tuple[str, float | Fraction]]) -> Timed:
        """Add up the minutes of some work, so much of each kind; every sum of minutes is this one."""
        times = {row.what: row.minutes for row in self.work}
        counts = [(what, shown_quantity(Fraction(count))) for what, count in work]
        known = (times[what] * count for what, count in counts if what in times)
        return Timed(sum(known, Decimal(0)), tuple(what for what, _ in counts if what not in times))

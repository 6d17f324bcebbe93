"""A carrier's bill of the box, and the reason for which the box was chosen."""

import datetime as dt
from decimal import Decimal

import msgspec

from packing.messages import Message
from packing.plan.kinds import Objective, Purpose
from packing.plan.rows import Row

Number = int | float


class ReasonPlan(Row, frozen=True):
    """One limit that is passed, with where its figure was read, on which day, how sure it is."""

    text: Message
    source: str = ""
    as_of: dt.date | None = None
    sureness: str = ""


class SurchargePlan(Row, frozen=True):
    """A surcharge, counted once: its name, the sentence, each limit that is passed; as sure as the least sure."""

    name: str
    sentence: Message
    reasons: tuple[ReasonPlan, ...]
    sureness: str = ""


class BillPlan(Row, frozen=True):
    """A bill under one dated rule; every figure is in the service's own units.

    Parameters
    ----------
    carrier, service, valid_from, valid_to, as_of
        Whose rule it is, and the days it is for and was read.
    length_unit, weight_unit
        Units of all figures.
    divisor, side_rounding, weight_step
        The rule; None where a service has no divisor.
    sides, length_plus_girth, volume
        The box as the rule rounds it.
    actual, actual_rounded, dimensional_exact, dimensional, billed
        Weights.
    flags, over
        Surcharges that apply; limits that are passed.
    surcharges
        The same surcharges as data.
    notes
        Where a rule caps the billed weight, or the service's prices end below it.
    hint, published
        What would bill less; how old the rule is.
    source, sureness, note
        Where it was read.
    """

    carrier: str
    service: str
    valid_from: dt.date
    valid_to: dt.date | None
    as_of: dt.date | None
    length_unit: str
    weight_unit: str
    divisor: Number | None
    side_rounding: str
    weight_step: Number
    sides: tuple[Number, ...]
    length_plus_girth: Number
    volume: Number
    actual: Number
    actual_rounded: Number
    dimensional_exact: Number | None
    dimensional: Number | None
    billed: Number
    flags: tuple[Message, ...] = ()
    over: tuple[Message, ...] = ()
    surcharges: tuple[SurchargePlan, ...] = ()
    notes: tuple[Message, ...] = ()
    hint: Message | None = None
    published: Message | None = None
    source: str = ""
    sureness: str = ""
    note: str = ""


class SurchargePricePlan(Row, frozen=True):
    """The price of one surcharge of a bill; None where the price table does not say."""

    name: str
    price: Decimal | None


class ChargePlan(Row, frozen=True):
    """The price of one bill by a price table, in one currency and exact.

    Parameters
    ----------
    currency, zone
        Of the table; None where no zone leads to the destination.
    weight_price, surcharges, total
        The price of the billed weight; each surcharge that applies; both together, surcharges without a price left out.
    missing
        Why there is no price.
    valid_from, valid_to, as_of, source, sureness, note
        Of the table: the days it is for and was read, and where.
    """

    currency: str
    zone: str | None
    weight_price: Decimal | None
    surcharges: tuple[SurchargePricePlan, ...]
    total: Decimal | None
    missing: Message | None
    valid_from: dt.date
    valid_to: dt.date | None
    as_of: dt.date | None = None
    source: str = ""
    sureness: str = ""
    note: str = ""

    @property
    def unpriced(self) -> tuple[str, ...]:
        """The surcharges that apply and have no price."""
        return tuple(row.name for row in self.surcharges if row.price is None)


class ChoicePlan(Row, frozen=True, omit_defaults=True):
    """The reason for which a box was chosen.

    Parameters
    ----------
    objective
        "aim" in the file.
    offer, purposes
        Of a box taken by hand: its place among the offers and what it is best at.
    carrier, service, valid_from, valid_to, as_of, billed, weight_unit, flags, over
        With a carrier named: the rule that priced the boxes and its bill of this one.
    surcharges, notes, source, sureness, note
        Of that bill, as there: where each figure that decided was read and how sure it is.
    """

    objective: Objective = msgspec.field(name="aim")
    offer: int | None = None
    purposes: tuple[Purpose, ...] = ()
    carrier: str | None = None
    service: str | None = None
    valid_from: dt.date | None = None
    valid_to: dt.date | None = None
    as_of: dt.date | None = None
    billed: Number | None = None
    weight_unit: str | None = None
    flags: tuple[Message, ...] = ()
    over: tuple[Message, ...] = ()
    surcharges: tuple[SurchargePlan, ...] = ()
    notes: tuple[Message, ...] = ()
    source: str = ""
    sureness: str = ""
    note: str = ""

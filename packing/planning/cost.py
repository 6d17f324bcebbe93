"""What a box costs to make: material by rows, minutes by rows; what is missing is said, never guessed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

from packing.boxes import Flat, Made
from packing.material import Board
from packing.materials import board_feet

MILLI = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class WorkRow:
    """How long one of a kind of work takes: "blank", "cut m", "crease m", "joint", "board cut", "screw" and so on."""

    what: str
    minutes: Decimal
    source: str = "a guess, no source; time your own"


WORK = tuple(
    WorkRow(what, Decimal(minutes))
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
    """

    currency: str = "USD"
    hour: Decimal | None = None
    work: tuple[WorkRow, ...] = WORK
    cartons: Mapping[str, Decimal] = field(default_factory=dict)
    fastener: Decimal | None = None


@dataclass(frozen=True, slots=True)
class CostLine:
    """So much of one thing at a price; the amount is None where the price is not known."""

    what: str
    quantity: Decimal
    unit: str
    price: Decimal | None

    @property
    def amount(self) -> Decimal | None:
        """Quantity by price, not rounded."""
        return None if self.price is None else self.quantity * self.price


@dataclass(frozen=True, slots=True)
class Cost:
    """Material and work of one box.

    Parameters
    ----------
    currency
        Of all amounts.
    lines
        Material, then work.
    minutes
        Of work; kinds without a row count for nothing and are named in `missing`.
    missing
        Sentences: which price or time is not known.
    """

    currency: str
    lines: tuple[CostLine, ...]
    minutes: Decimal
    missing: tuple[str, ...]

    @property
    def known(self) -> Decimal:
        """Sum of what is known; rounded by whoever shows it."""
        return sum((line.amount for line in self.lines if line.amount is not None), Decimal(0))

    @property
    def total(self) -> Decimal | None:
        """The whole cost; None while anything is missing."""
        return None if self.missing else self.known


def _decimal(value: Fraction) -> Decimal:
    return (Decimal(value.numerator) / Decimal(value.denominator)).quantize(MILLI)


def material_quantity(flat: Flat) -> tuple[Fraction, str]:
    """How much stock a kind of piece takes, all its copies: square metres, or board feet on nominal size."""
    stuff = flat.stuff
    if not isinstance(stuff, Board) and stuff.nominal_in is not None and stuff.per == "board foot":
        thickness, width = stuff.nominal_in
        return flat.count * board_feet(thickness, width, flat.size_um[0]), "board foot"
    return Fraction(flat.count * flat.size_um[0] * flat.size_um[1], 10**12), "m²"


def _material(made: Made, rates: Rates) -> list[CostLine]:
    amounts: dict[tuple[str, str], Fraction] = {}
    prices: dict[tuple[str, str], Decimal | None] = {}
    lines = []
    for flat in made.flats:
        if flat.what.startswith("carton "):
            name = flat.what.removeprefix("carton ")
            lines.append(CostLine(flat.what, Decimal(1), "each", rates.cartons.get(name)))
            continue
        quantity, unit = material_quantity(flat)
        key = (flat.stuff.name, unit)
        amounts[key] = amounts.get(key, Fraction(0)) + quantity
        prices[key] = flat.stuff.price_m2 if isinstance(flat.stuff, Board) else flat.stuff.price
    lines += [CostLine(name, _decimal(amounts[name, unit]), unit, prices[name, unit]) for name, unit in amounts]
    count = sum(one.count for one in made.hardware)
    if count:
        lines.append(CostLine("screws and nails", Decimal(count), "each", rates.fastener))
    return lines


def cost_of(made: Made, rates: Rates) -> Cost:
    """Material and minutes of one box.

    Parameters
    ----------
    made
        The box.
    rates
        Prices and times.

    Returns
    -------
    Cost
        Exact Decimals. Material is what is cut from, not what is sent; waste between pieces is not counted.
    """
    lines = _material(made, rates)
    missing = [f"The price of {line.what} is not known." for line in lines if line.price is None]
    times = {row.what: row.minutes for row in rates.work}
    minutes = Decimal(0)
    for what, count in made.work:
        if what in times:
            minutes += times[what] * Decimal(str(round(count, 3)))
        else:
            missing.append(f"How long one {what} takes is not known.")
    lines.append(CostLine("work", (minutes / 60).quantize(MILLI), "hour", rates.hour))
    if rates.hour is None:
        missing.append("The price of an hour of work is not known.")
    return Cost(rates.currency, tuple(lines), minutes, tuple(missing))


def _text(value: Decimal | None) -> str | None:
    return None if value is None else format(value.normalize(), "f")


def _lines(lines: Sequence[CostLine]) -> list[dict[str, Any]]:
    return [
        {
            "what": line.what,
            "quantity": _text(line.quantity),
            "unit": line.unit,
            "price": _text(line.price),
            "amount": _text(line.amount),
        }
        for line in lines
    ]


def cost_content(cost: Cost) -> dict[str, Any]:
    """A cost as plain JSON; amounts are texts of exact decimals, None where not known."""
    return {
        "currency": cost.currency,
        "lines": _lines(cost.lines),
        "minutes": float(round(cost.minutes, 1)),
        "known": _text(cost.known),
        "total": _text(cost.total),
        "missing": list(cost.missing),
    }

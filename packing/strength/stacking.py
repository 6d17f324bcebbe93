"""Stacking strength of a slotted case: McKee's formula, and what time and damp leave of it."""

from collections.abc import Sequence
from math import sqrt

from packing.measure import BadInput
from packing.strength.defaults import DAYS, HUMIDITY, Multiplier, Source
from packing.sureness import Sureness

FACTOR = 5.87
"""For pounds-force, with edge crush in pounds for an inch and inches under the root; it has no dimension."""
UM_PER_INCH = 25_400
DEPTH_SHARE = 7
"""The formula holds where the depth is at least a seventh of the perimeter."""
SIDES_RATIO = 3
"""The formula holds where the longer side of the opening is at most three times the shorter."""
FORMULA = Source(
    "McKee, Gander and Wachuta, simplified formula; its constant 5.87 as later papers print it", "1963", Sureness.MEMORY
)
RANGE = Source(
    "range of the formula: length to width up to 3, depth from a seventh of the perimeter", "1963", Sureness.MEMORY
)


def mckee_lbf(ect_lb_in: float, caliper_in: float, perimeter_in: float) -> float:
    """Compression strength in pounds-force: 5.87 × ECT × √(caliper × perimeter).

    Parameters
    ----------
    ect_lb_in
        Edge crush in pounds for an inch, greater than 0.
    caliper_in, perimeter_in
        Inches, greater than 0.

    Returns
    -------
    float

    Raises
    ------
    BadInput
        A value that is not greater than zero.

    References
    ----------
    McKee, Gander, Wachuta: Compression strength formula for corrugated boxes, 1963; constant from memory.
    """
    if min(ect_lb_in, caliper_in, perimeter_in) <= 0:
        raise BadInput("stacking", "needs edge crush, caliper and perimeter greater than zero.")
    return FACTOR * ect_lb_in * sqrt(caliper_in * perimeter_in)


def multiplier(rows: Sequence[Multiplier], value: int, what: str) -> Multiplier:
    """The first row that reaches a value.

    Raises
    ------
    BadInput
        The value is negative or beyond the last row.
    """
    for row in sorted(rows, key=lambda one: one.up_to):
        if 0 <= value <= row.up_to:
            return row
    raise BadInput(what, f"must be from 0 to {max(row.up_to for row in rows)}, not {value}.")


def derated_lbf(
    strength_lbf: float,
    *,
    days: int,
    humidity: int,
    day_rows: Sequence[Multiplier] = DAYS,
    humidity_rows: Sequence[Multiplier] = HUMIDITY,
) -> float:
    """The rest of a compression strength after time under load and damp air.

    Parameters
    ----------
    strength_lbf
        Of the dry, new box.
    days, humidity
        Time under load; relative humidity in percent. The row at or above the value counts.
    day_rows, humidity_rows
        Tables.

    Returns
    -------
    float
    """
    by_days, by_humidity = multiplier(day_rows, days, "days"), multiplier(humidity_rows, humidity, "humidity")
    return strength_lbf * float(by_days.factor) * float(by_humidity.factor)

"""The revised NIOSH lifting equation: the weight that nearly all healthy people can lift as described.

References
----------
NIOSH publication 94-110, "Applications Manual for the Revised NIOSH Lifting Equation", 1994, revised September 2021:
RWL = LC · HM · VM · DM · AM · FM · CM; frequency multipliers of its table 5, couplings of its table 7. Read in copies.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import prod

from packing.measure import BadInput
from packing.plan import Message
from packing.units import G_PER_POUND, MM_PER_INCH


class Coupling(StrEnum):
    """The hold that the hands have: handles or cut-outs, a plain box of good size, a bulky or sagging one."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


class LiftUnits(StrEnum):
    """The units whose rounded constants count: centimetres and kilograms, or inches and pounds."""

    METRIC = "cm, kg"
    US = "in, lb"


@dataclass(frozen=True, slots=True)
class _Constants:
    load_mg: float
    um: float
    reach: float
    farthest: float
    knuckle: float
    slope: float
    highest: float
    travel: float
    least_travel: float
    most_travel: float


_CONSTANTS = {
    LiftUnits.METRIC: _Constants(23e6, 1e4, 25, 63, 75, 0.003, 175, 4.5, 25, 175),
    LiftUnits.US: _Constants(51e3 * float(G_PER_POUND), 1e3 * float(MM_PER_INCH), 10, 25, 30, 0.0075, 70, 1.8, 10, 70),
}
TRAVEL_SHARE = 0.82
TWIST_SLOPE, MOST_TWIST = 0.0032, 135
FREQUENCIES = (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)
HOURS = (1, 2, 8)
_MULTIPLIERS = {
    (1, False): (1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37, 0, 0, 0),
    (1, True): (1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28),
    (2, False): (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0, 0, 0, 0, 0),
    (2, True): (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0.23, 0.21, 0, 0, 0),
    (8, False): (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0, 0, 0, 0, 0, 0, 0),
    (8, True): (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0, 0, 0, 0, 0),
}
"""By hours of lifting and whether the hands are at 75 cm (30 in) or higher."""
_GRIPS = {Coupling.GOOD: (1.0, 1.0), Coupling.FAIR: (0.95, 1.0), Coupling.POOR: (0.9, 0.9)}
"""Hands below 75 cm (30 in), and from there up."""


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift as it is done, at the end that is looked at.

    Parameters
    ----------
    away_um
        From the middle between the ankles to the hands, flat.
    height_um
        Of the hands above the floor, at this end.
    travel_um
        How far up or down the hands go.
    twist_deg
        Turned away from straight ahead.
    per_minute, hours
        Lifts a minute; hours of such work in a day, up to 8.
    grip
        The hold of the hands.
    units
        Whose rounded constants count.
    """

    away_um: int
    height_um: int
    travel_um: int
    twist_deg: float = 0.0
    per_minute: float = 0.2
    hours: float = 1.0
    grip: Coupling = Coupling.FAIR
    units: LiftUnits = LiftUnits.METRIC


@dataclass(frozen=True, slots=True)
class LiftLimit:
    """The recommended weight limit of a lift and the multipliers it comes from, each 0 to 1."""

    load_mg: int
    away: float
    height: float
    travel: float
    twist: float
    frequency: float
    grip: float

    @property
    def limit_mg(self) -> int:
        """Recommended weight limit (RWL) in milligrams; 0 where such a lift is not to be done by hand at all."""
        return int(self.load_mg * prod((self.away, self.height, self.travel, self.twist, self.frequency, self.grip)))

    def index(self, weight_mg: int) -> Decimal | None:
        """Lifting index of a weight: above 1 some people are at risk, above 3 many; None where the limit is 0."""
        if not self.limit_mg:
            return None
        return (Decimal(weight_mg) / self.limit_mg).quantize(Decimal("0.1"))


def lift_limit(lift: Lift) -> LiftLimit:
    """The recommended weight limit of one end of a lift.

    Parameters
    ----------
    lift
        As `read_lift` makes it.

    Returns
    -------
    LiftLimit

    Notes
    -----
    Multipliers are not rounded, where the manual's worksheets round each to two places: limits differ from those by
    about 2 %. A frequency between two rows of the table takes the row of the higher one.

    References
    ----------
    NIOSH publication 94-110, revised 2021, section 1.3.
    """
    # Each system has rounded constants of its own: a lift is judged by one of them throughout.
    by = _CONSTANTS[lift.units]
    away, height, travel = (value / by.um for value in (lift.away_um, lift.height_um, lift.travel_um))
    raised = height >= by.knuckle
    return LiftLimit(
        load_mg=int(by.load_mg),
        away=0.0 if away > by.farthest else by.reach / max(away, by.reach),
        height=0.0 if height > by.highest else 1 - by.slope * abs(height - by.knuckle),
        travel=0.0 if travel > by.most_travel else TRAVEL_SHARE + by.travel / max(travel, by.least_travel),
        twist=0.0 if lift.twist_deg > MOST_TWIST else 1 - TWIST_SLOPE * lift.twist_deg,
        frequency=_frequency(lift.per_minute, lift.hours, raised),
        grip=_GRIPS[lift.grip][raised],
    )


def _frequency(per_minute: float, hours: float, raised: bool) -> float:
    spell = next(spell for spell in HOURS if hours <= spell)
    rows = zip(FREQUENCIES, _MULTIPLIERS[spell, raised], strict=True)
    return next((float(multiplier) for frequency, multiplier in rows if per_minute <= frequency), 0.0)


def read_lift(lift: Lift) -> Lift:
    """Check that a lift is one that somebody could do.

    Parameters
    ----------
    lift
        As it was typed.

    Returns
    -------
    Lift
        The same.

    Raises
    ------
    BadInput
        A value is below 0 or beyond what the equation speaks of; it names the field, the rule and the value.
    """
    metre = 1_000_000
    bounds = (
        ("away", lift.away_um / metre, 2.0, "m"),
        ("height", lift.height_um / metre, 3.0, "m"),
        ("travel", lift.travel_um / metre, 3.0, "m"),
        ("twist", lift.twist_deg, 180.0, "°"),
        ("per_minute", lift.per_minute, 60.0, "a minute"),
        ("hours", lift.hours, float(HOURS[-1]), "h"),
    )
    for field, value, most, unit in bounds:
        if not 0 <= value <= most:
            rule = Message("is from 0 to {most} {unit}, not {value}.", most=f"{most:g}", unit=unit, value=f"{value:g}")
            raise BadInput(field, rule)
    return lift

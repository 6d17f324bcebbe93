"""Published rules for board grades, as rows that the user can edit. Look at the source before relying on one."""

from dataclasses import dataclass
from fractions import Fraction

from packing.sureness import Sureness


@dataclass(frozen=True, slots=True)
class Source:
    """The source of a rule: where it was read, the year of the values, how sure they are."""

    name: str
    year: str
    sureness: Sureness


POSTAL_SOURCE = Source("USPS Publication 2, exhibit 2-3.1.3", "as read in 2026; edition of the 2000s", Sureness.PRIMARY)
DENSE_SOURCE = Source("USPS Publication 2, section 6-3", "as read in 2026; edition of the 2000s", Sureness.PRIMARY)
_ITEM_222, _TRADE_PAGES = "NMFC Item 222 (made for truck and rail, not for parcels)", "trade pages read in 2026"
FREIGHT_SOURCE = Source(_ITEM_222, _TRADE_PAGES, Sureness.SECONDARY)
FREIGHT_FROM_MEMORY = Source(_ITEM_222, _TRADE_PAGES, Sureness.MEMORY)
RETAINED_SOURCE = Source(
    "industry handbook's table of retained strength, as later pages print it", "pages read in 2026", Sureness.SECONDARY
)


@dataclass(frozen=True, slots=True)
class GradeRow:
    """One line of the postal table: box grade by weight, for easy and for difficult loads.

    Parameters
    ----------
    easy_lb, difficult_lb
        Greatest gross weight; None where the grade is not for such loads.
    max_length_girth_in
        Greatest length and girth together.
    burst_psi
        The box grade.
    source
        Of this line.
    """

    easy_lb: int | None
    difficult_lb: int | None
    max_length_girth_in: int
    burst_psi: int
    source: Source = POSTAL_SOURCE


@dataclass(frozen=True, slots=True)
class FreightRow:
    """One line of the freight table: a wall, its greatest weight and size, and either burst with facings or edge crush.

    Parameters
    ----------
    wall
        "single", "double", "triple".
    max_lb, max_united_in
        Greatest gross weight; greatest length, width and depth together, outside.
    burst_psi, facings_lb, ect_lb_in
        Least burst with least weight of facings for 1000 ft²; or least edge crush.
    source
        Of this line.
    """

    wall: str
    max_lb: int
    max_united_in: int
    burst_psi: int
    facings_lb: int
    ect_lb_in: int
    source: Source = FREIGHT_FROM_MEMORY


@dataclass(frozen=True, slots=True)
class DenseRow:
    """Least burst for high-density contents up to a weight."""

    up_to_lb: int
    burst_psi: int
    source: Source = DENSE_SOURCE


@dataclass(frozen=True, slots=True)
class DensityRow:
    """Most pounds on a square foot of the smallest side, for contents heavier than a weight."""

    above_lb: int
    limit_lb_ft2: int
    source: Source = DENSE_SOURCE


@dataclass(frozen=True, slots=True)
class Multiplier:
    """Strength retained: up to so many days, or up to so much relative humidity."""

    up_to: int
    factor: Fraction
    source: Source = RETAINED_SOURCE


POSTAL = (
    GradeRow(20, None, 67, 125),
    GradeRow(40, 20, 100, 175),
    GradeRow(65, 45, 108, 200),
    GradeRow(70, 65, 108, 275),
    GradeRow(None, 70, 108, 350),
)
DENSE = (DenseRow(45, 200), DenseRow(70, 275))
DENSITY = DensityRow(15, 60)
_S, _D = "single", "double"
# One line was found on a page; the others are from memory and say so in their source.
FREIGHT = (
    FreightRow(_S, 20, 40, 125, 52, 23),
    FreightRow(_S, 35, 50, 150, 66, 26),
    FreightRow(_S, 50, 60, 175, 75, 29),
    FreightRow(_S, 65, 75, 200, 84, 32, FREIGHT_SOURCE),
    FreightRow(_S, 80, 85, 250, 111, 40),
    FreightRow(_S, 95, 95, 275, 138, 44),
    FreightRow(_S, 120, 105, 350, 180, 55),
    FreightRow(_D, 80, 85, 200, 92, 42),
    FreightRow(_D, 100, 95, 275, 110, 48),
    FreightRow(_D, 120, 105, 350, 126, 51),
    FreightRow(_D, 140, 110, 400, 180, 61),
    FreightRow(_D, 160, 115, 500, 222, 71),
    FreightRow(_D, 180, 120, 600, 270, 82),
)
DAYS = tuple(Multiplier(days, Fraction(f)) for days, f in ((10, "0.63"), (30, "0.60"), (90, "0.55"), (180, "0.50")))
HUMIDITY = tuple(
    Multiplier(percent, Fraction(f))
    for percent, f in ((50, "1.0"), (60, "0.90"), (70, "0.80"), (80, "0.68"), (90, "0.48"), (100, "0.15"))
)


@dataclass(frozen=True, slots=True)
class Tables:
    """The rows that checks go by; a shop hands in its own where it has edited them."""

    postal: tuple[GradeRow, ...] = POSTAL
    dense: tuple[DenseRow, ...] = DENSE
    density: DensityRow = DENSITY
    freight: tuple[FreightRow, ...] = FREIGHT
    days: tuple[Multiplier, ...] = DAYS
    humidity: tuple[Multiplier, ...] = HUMIDITY

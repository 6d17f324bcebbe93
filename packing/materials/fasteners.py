"""Screws and nails: which kind a joint takes, how far apart, which drills."""

from dataclasses import dataclass
from fractions import Fraction

from packing.measure import mm
from packing.messages import Length, Message
from packing.plan import FactPlan
from packing.sureness import Sureness

SCREW_SPACING_UM = 100_000
"""Along a joint, at most (common practice, no source)."""
NAIL_SPACING_UM = 50_000
"""Nails hold less each, so they stand twice as near (common practice, no source)."""
EDGE_UM = 30_000
"""From a joint's end to its first fastener, where the joint is long enough (common practice, no source)."""
PILOT_SHARE = 0.533
"""A pilot hole is 80 % of the root, and the root two thirds of the shank (from memory)."""
NAIL_PILOT_SHARE = 0.75
"""A hole for a nail is at most 75 % of its shank in wood of a gravity of 0.6 or less."""
DRILL_STEP_UM = 500
"""Drills are sold in half millimetres."""

CLINCH_UM = (5_000, 20_000)
"""Length of the point that is bent over, least and most."""
TABLE = "distances: LVL Handbook, 2025, table 5.1, page 149"
SCREW_RULE = FactPlan(
    Message(
        "a screw reaches into the holding piece by the thickness of the piece it fastens and by 7 of its diameters at "
        "least; they stand about {spacing} apart, not closer than 7 diameters to an end or to the next and 3 to one "
        "that crosses it; in a thin edge they stand in the middle, nearer to its faces than the 3 diameters of a "
        "structural joint, so number and glue must hold; the pilot hole is half to 0.7 of the diameter",
        spacing=Length(SCREW_SPACING_UM),
    ),
    f"reach from memory; the spacing is common practice, no source; {TABLE}, predrilled, pilot holes page 158",
    "practice",
    "2025",
)
NAIL_RULE = FactPlan(
    Message(
        "a nail is about three times as long as the piece it fastens is thick, two thirds of it or more in the holding "
        "piece, and they stand about {spacing} apart, where it can be not closer than 10 diameters to an end or to the "
        "next, 7 where they are drilled before, and 3 to one that crosses it; most boxes fail by too few nails",
        spacing=Length(NAIL_SPACING_UM),
    ),
    "lengths as in the Navy training manual 14119, part on nails; the failures in U.S. Forest Products Laboratory, "
    f"Technical Note B-10, The nailing of boxes, one page (studylib.net/doc/10960784); the spacing from memory; "
    f"{TABLE}",
    "memory",
    "read in 2026",
)
CLINCH_RULE = FactPlan(
    Message(
        "nails driven from the inside, heads flush, their points bent over across the grain outside by {least} to "
        "{most}",
        least=Length(CLINCH_UM[0]),
        most=Length(CLINCH_UM[1]),
    ),
    "common practice, no source",
    "practice",
)


@dataclass(frozen=True, slots=True)
class Fastener:
    """A kind of screw or nail the shop has.

    Parameters
    ----------
    name
        As on the parts list.
    diameter_um, length_um
        Of the shank; under the head.
    each_mg
        Weight of one.
    source
        Where the weight comes from.
    sureness
        How sure it is; None where the row does not say.
    """

    name: str
    diameter_um: int
    length_um: int
    each_mg: int
    source: str = "weight from memory; weigh ten"
    sureness: Sureness | None = Sureness.MEMORY


def drill(um: float) -> int:
    """The drill nearest to a size."""
    return max(1, round(um / DRILL_STEP_UM)) * DRILL_STEP_UM


def drill_below(um: float) -> int:
    """The largest drill that is no larger than a size."""
    return max(1, int(um / DRILL_STEP_UM)) * DRILL_STEP_UM


def _screw(diameter_um: int, length_mm: int, each_mg: int) -> Fastener:
    return Fastener(f"countersunk screw {mm(diameter_um)} × {length_mm}", diameter_um, length_mm * 1000, each_mg)


SCREWS = (
    _screw(3_000, 25, 900),
    _screw(3_000, 30, 1_050),
    _screw(3_500, 35, 1_600),
    _screw(3_500, 40, 1_850),
    _screw(4_000, 50, 2_900),
    _screw(4_500, 60, 4_300),
    _screw(5_000, 70, 6_200),
)


def _numbered(gauge: int, inches: str, each_mg: int) -> Fastener:
    """A wood screw as it is sold by the inch: its shank is 0.060 in and 0.013 in for each number."""
    length = sum(Fraction(part) for part in inches.split())
    return Fastener(
        f"countersunk wood screw No. {gauge} × {inches} in",
        round((Fraction("0.060") + gauge * Fraction("0.013")) * 25_400),
        int(length * 25_400),
        each_mg,
        "weight reckoned from the metric ones; weigh ten; shank by number as in ASME B18.6.1, from memory",
    )


SCREWS_INCH = (
    _numbered(4, "1", 800),
    _numbered(4, "1 1/4", 990),
    _numbered(6, "1 1/2", 1_760),
    _numbered(8, "1 3/4", 2_780),
    _numbered(8, "2", 3_160),
    _numbered(10, "2 1/2", 5_250),
    _numbered(10, "3", 6_300),
)
NAILS = (
    Fastener("coated box nail 4d, 1 3/8 in", 2_000, 34_900, 950),
    Fastener("coated box nail 6d, 1 7/8 in", 2_300, 47_600, 1_700),
    Fastener("coated box nail 8d, 2 3/8 in", 2_700, 60_300, 2_800),
    Fastener("coated box nail 10d, 2 7/8 in", 3_000, 73_000, 4_200),
)

"""Screws and nails: which kind a joint takes, how far apart, which drills."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.measure import BadInput, mm
from packing.messages import Length, Message
from packing.plan import FactPlan
from packing.plan.kinds import FastenerKind

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
"""How much of the point is bent over, least and most."""
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
    """

    name: str
    diameter_um: int
    length_um: int
    each_mg: int
    source: str = "weight from memory; weigh ten"


def _drill(um: float) -> int:
    """The drill nearest to a size."""
    return max(1, round(um / DRILL_STEP_UM)) * DRILL_STEP_UM


def _drill_below(um: float) -> int:
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
NAILS = (
    Fastener("coated box nail 4d, 1 3/8 in", 2_000, 34_900, 950),
    Fastener("coated box nail 6d, 1 7/8 in", 2_300, 47_600, 1_700),
    Fastener("coated box nail 8d, 2 3/8 in", 2_700, 60_300, 2_800),
    Fastener("coated box nail 10d, 2 7/8 in", 3_000, 73_000, 4_200),
)


@dataclass(frozen=True, slots=True)
class Fastening:
    """One kind of fastener for one kind of joint.

    Parameters
    ----------
    fastener, kind
        What.
    spacing_um
        At most from one to the next.
    rule
        What it follows and how sure that is.
    edge_um
        From its axis to the nearest face of the holding piece; 0 where it goes through a face.
    drilled
        Whether a hole is drilled for a nail, which may then stand nearer to an end; screws always have one.
    """

    fastener: Fastener
    kind: FastenerKind
    spacing_um: int
    rule: FactPlan
    edge_um: int = 0
    drilled: bool = False

    @property
    def clearance_um(self) -> int:
        """Drill for the piece a screw fastens: its shank and a little; nails want none."""
        return -(-self.fastener.diameter_um // DRILL_STEP_UM) * DRILL_STEP_UM if self._screw else 0

    @property
    def pilot_um(self) -> int:
        """Drill for the piece that holds it; 0 where none is drilled."""
        if self._screw:
            return _drill(PILOT_SHARE * self.fastener.diameter_um)
        return _drill_below(NAIL_PILOT_SHARE * self.fastener.diameter_um) if self.drilled else 0

    @property
    def least_um(self) -> int:
        """Least distance to a joint's end and to the next in the row."""
        return (7 if self._screw or self.drilled else 10) * self.fastener.diameter_um

    @property
    def _screw(self) -> bool:
        return self.kind is FastenerKind.SCREW


def screwed(
    fastened_um: int, holding_um: int, *, edge_um: int | None = None, screws: Sequence[Fastener] = SCREWS
) -> Fastening:
    """The screw for a joint.

    Parameters
    ----------
    fastened_um
        Thickness of the piece it goes through.
    holding_um
        How deep the holding piece is along the screw.
    edge_um
        Thickness of the holding piece where it goes into its edge; a screw is at most a third of it thick.
    screws
        What the shop has, short to long.

    Returns
    -------
    Fastening
        With the shortest screw that follows the rule.

    Raises
    ------
    BadInput
        Where no screw does, with the length it would need.
    """
    thickest = max(edge_um // 3, 3_000) if edge_um else 10**9
    for screw in sorted(screws, key=lambda one: (one.length_um, one.diameter_um)):
        reach = screw.length_um - fastened_um
        enough = reach >= max(fastened_um, 7 * screw.diameter_um)
        if enough and reach <= holding_um and screw.diameter_um <= thickest:
            return Fastening(screw, FastenerKind.SCREW, SCREW_SPACING_UM, SCREW_RULE, (edge_um or 0) // 2)
    raise BadInput(
        "screws",
        f"must hold {mm(fastened_um)} mm of wood by at least as much again and 7 diameters: none of the "
        f"{len(screws)} kinds in stock does so within {mm(holding_um)} mm of holding wood.",
    )


def nailed(
    fastened_um: int, holding_um: int, *, edge_um: int | None = None, nails: Sequence[Fastener] = NAILS
) -> Fastening:
    """The nail for a joint: the kind nearest to three times the fastened thickness.

    Parameters
    ----------
    fastened_um, holding_um, edge_um
        See `screwed`.
    nails
        What the shop has.

    Returns
    -------
    Fastening

    Raises
    ------
    BadInput
        Where none has two thirds of its length in the holding piece and stays inside it.
    """
    fit = [
        nail
        for nail in nails
        if nail.length_um < fastened_um + holding_um and 3 * (nail.length_um - fastened_um) >= 2 * nail.length_um
    ]
    if not fit:
        raise BadInput(
            "nails",
            f"must be about three times {mm(fastened_um)} mm long and stay inside {mm(fastened_um + holding_um)} mm of "
            f"wood: none of the {len(nails)} kinds in stock does.",
        )
    best = min(fit, key=lambda nail: (abs(nail.length_um - 3 * fastened_um), nail.length_um))
    return Fastening(best, FastenerKind.NAIL, NAIL_SPACING_UM, NAIL_RULE, (edge_um or 0) // 2)


def clinched(through_um: int, *, nails: Sequence[Fastener] = NAILS) -> Fastening:
    """The nail to drive through two pieces and bend over: battens and cleats too thin to hold a screw.

    Parameters
    ----------
    through_um
        Both thicknesses together.
    nails
        What the shop has.

    Returns
    -------
    Fastening
        With the shortest nail that stands out far enough.

    Raises
    ------
    BadInput
        Where no nail stands out by 5 to 20 mm.
    """
    least, most = CLINCH_UM
    fit = [nail for nail in nails if through_um + least <= nail.length_um <= through_um + most]
    if not fit:
        raise BadInput(
            "nails",
            f"must stand out of {mm(through_um)} mm of wood by {mm(least)} to {mm(most)} mm to be bent over: none of "
            f"the {len(nails)} kinds in stock does.",
        )
    best = min(fit, key=lambda nail: nail.length_um)
    return Fastening(best, FastenerKind.CLINCHED_NAIL, NAIL_SPACING_UM, CLINCH_RULE)

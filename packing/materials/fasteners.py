"""Screws and nails: how long, how many, how far apart."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.measure import BadInput, mm
from packing.sureness import Fact

SCREW_SPACING_UM = 100_000
NAIL_SPACING_UM = 50_000
EDGE_UM = 30_000
SCREW_RULE = Fact(
    "a screw reaches into the holding piece by the thickness of the piece it fastens and by 7 of its diameters at "
    "least, and they stand about 100 mm apart",
    "reach from memory; the spacing is common practice, no source",
    "practice",
)
NAIL_RULE = Fact(
    "a nail is about three times as long as the piece it fastens is thick, two thirds of it or more in the holding "
    "piece, and they stand about 50 mm apart; most boxes fail by too few nails",
    "lengths as in the Navy training manual 14119, part on nails; the failures in U.S. Forest Products Laboratory, "
    "Technical Note B-10, The nailing of boxes; the spacing from memory",
    "memory",
    "read in 2026",
)
CLINCH_UM = (5_000, 20_000)
CLINCH_RULE = Fact(
    "nails driven through and bent over across the grain by 5 to 20 mm", "common practice, no source", "practice"
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
    """So many of one fastener along a joint.

    Parameters
    ----------
    fastener, count
        What, and how many along one joint.
    spacing_um
        From one to the next.
    rule
        What it follows, where that was read, how sure it is.
    """

    fastener: Fastener
    count: int
    spacing_um: int
    rule: Fact


def _along(joint_um: int, spacing_um: int) -> tuple[int, int]:
    """How many along a joint and how far apart in whole mm, the outer ones `EDGE_UM` from its ends; two at least."""
    between = joint_um - 2 * EDGE_UM
    if between <= 0:
        return (2, joint_um // 3_000 * 1_000) if joint_um >= 40_000 else (1, 0)
    gaps = max(1, -(-between // spacing_um))
    return gaps + 1, between // gaps // 1_000 * 1_000


def screwed(
    fastened_um: int,
    holding_um: int,
    joint_um: int,
    *,
    edge_um: int | None = None,
    screws: Sequence[Fastener] = SCREWS,
) -> Fastening:
    """Screws along one joint.

    Parameters
    ----------
    fastened_um
        Thickness of the piece they go through.
    holding_um
        How deep the holding piece is along the screw.
    joint_um
        Length of the joint.
    edge_um
        Thickness of the holding piece where they go into its edge; a screw is at most a third of it thick.
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
            count, spacing = _along(joint_um, SCREW_SPACING_UM)
            return Fastening(screw, count, spacing, SCREW_RULE)
    raise BadInput(
        "screws",
        f"must hold {mm(fastened_um)} mm of wood by at least as much again and 7 diameters: none of the "
        f"{len(screws)} kinds in stock does so within {mm(holding_um)} mm of holding wood.",
    )


def nailed(fastened_um: int, holding_um: int, joint_um: int, *, nails: Sequence[Fastener] = NAILS) -> Fastening:
    """Nails along one joint: the kind nearest to three times the fastened thickness.

    Parameters
    ----------
    fastened_um, holding_um, joint_um
        See `screwed`.
    nails
        What the shop has.

    Returns
    -------
    Fastening

    Raises
    ------
    BadInput
        Where no nail has two thirds of its length in the holding piece without coming out of it.
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
    count, spacing = _along(joint_um, NAIL_SPACING_UM)
    return Fastening(best, count, spacing, NAIL_RULE)


def clinched(through_um: int, joint_um: int, *, nails: Sequence[Fastener] = NAILS) -> Fastening:
    """Nails driven through two pieces and bent over: battens and cleats too thin to hold a screw.

    Parameters
    ----------
    through_um, joint_um
        Both thicknesses together; length of the joint.
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
    count, spacing = _along(joint_um, NAIL_SPACING_UM)
    return Fastening(best, count, spacing, CLINCH_RULE)

"""The screw or nail of a joint, and the places of its fasteners."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.materials.fasteners import (
    CLINCH_RULE,
    CLINCH_UM,
    DRILL_STEP_UM,
    NAIL_PILOT_SHARE,
    NAIL_RULE,
    NAIL_SPACING_UM,
    NAILS,
    PILOT_SHARE,
    SCREW_RULE,
    SCREW_SPACING_UM,
    SCREWS,
    Fastener,
    drill,
    drill_below,
)
from packing.measure import BadInput, mm
from packing.plan import FactPlan
from packing.plan.kinds import FastenerKind


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
        # Up to a drill that there is: the screw must turn freely in this piece, or it does not draw the joint together.
        return -(-self.fastener.diameter_um // DRILL_STEP_UM) * DRILL_STEP_UM if self._screw else 0

    @property
    def pilot_um(self) -> int:
        """Drill for the piece that holds it; 0 where none is drilled."""
        if self._screw:
            return drill(PILOT_SHARE * self.fastener.diameter_um)
        return drill_below(NAIL_PILOT_SHARE * self.fastener.diameter_um) if self.drilled else 0

    @property
    def least_um(self) -> int:
        """Least distance to a joint's end and to the next in the row."""
        # A drilled hole keeps the wood from splitting, so what goes into one may stand nearer to the end.
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
    # A thicker screw would split the edge; one of 3 mm is allowed in any.
    thickest = None if edge_um is None else max(edge_um // 3, 3_000)
    for screw in sorted(screws, key=lambda one: (one.length_um, one.diameter_um)):
        reach = screw.length_um - fastened_um
        enough = reach >= max(fastened_um, 7 * screw.diameter_um)
        if enough and reach <= holding_um and (thickest is None or screw.diameter_um <= thickest):
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
    # With two thirds in the holding piece each is three times the fastened one at least: the shortest is nearest to it.
    best = min(fit, key=lambda nail: nail.length_um)
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

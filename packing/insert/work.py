"""Minutes at the bench: kinds of work, how long one of each takes, how much of each an insert asks for."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from packing.insert.model import CORNER_CUT_OFF_UM, Hole, Insert
from packing.insert.outline import union_of
from packing.materials import Rates
from packing.plan.kinds import Grip, InsertWork, LiftKind

PASS_UM = 13_000
"""A knife takes a pass for each 13 mm of thickness (an estimate, no source)."""
LONG_SLICE_UM = 160_000
"""A slice of plank up to this long keeps its thickness when cut freehand (an estimate, no source)."""


CORNER_CUT_UM = CORNER_CUT_OFF_UM * 1_414 // 1_000
"""Length of the cut across a corner."""

INSERT_MINUTES: Mapping[InsertWork, Decimal] = Rates().insert_minutes
"""Minutes for one of each: estimates, no source; the shop times its own. Edges, cuts and corners count once a pass."""


def passes(thickness_um: int) -> int:
    """Count the rounds of the knife in a cut through foam.

    Parameters
    ----------
    thickness_um
        Of the foam, in micrometres.

    Returns
    -------
    int
        One for each `PASS_UM`, or a part of it.
    """
    return -(-thickness_um // PASS_UM)


def marked(hole: Hole) -> Fraction:
    """Count the rectangles that the marking of a hole is worth: an outline by its corners, four to a rectangle."""
    return max(Fraction(1), Fraction(len(hole.outline), 4))


def insert_work(insert: Insert) -> tuple[tuple[InsertWork, Fraction], ...]:
    """Count the work of each kind that an insert is.

    Parameters
    ----------
    insert
        As `make_insert` gives it.

    Returns
    -------
    tuple of (InsertWork, Fraction)
        Every kind there is any of, in the order of `InsertWork`; lengths in metres, once for each pass of the knife.
    """
    counts = dict.fromkeys(InsertWork, Fraction(0))
    around = Fraction(2 * (insert.size_um[0] + insert.size_um[1]), 10**6)
    for sheet in insert.sheets:
        rounds = passes(sheet.thickness_um)
        counts[InsertWork.SHEET] += 1
        counts[InsertWork.STACKED] += 1
        counts[InsertWork.EDGE] += around * rounds
        if sheet.pockets:
            cut = union_of(tuple(pocket.hole for pocket in sheet.pockets), insert.size_um)
            counts[InsertWork.MARKED_SHEET] += 1
            counts[InsertWork.RECTANGLE] += sum(marked(pocket.hole) for pocket in sheet.pockets)
            counts[InsertWork.POCKET] += Fraction(cut.length_um * rounds, 10**6)
            counts[InsertWork.CORNER] += cut.corners * rounds
        if sheet.grip is Grip.CORNERS:
            counts[InsertWork.POCKET] += 2 * Fraction(CORNER_CUT_UM * rounds, 10**6)
        elif sheet.grip is Grip.TAPE:
            counts[InsertWork.TAPE] += 1
    for slices in insert.saddles + insert.plugs:
        x0, y0, x1, y1 = slices.rect
        counts[InsertWork.LONG_SLICE if max(x1 - x0, y1 - y0) > LONG_SLICE_UM else InsertWork.SLICE] += 1
        counts[InsertWork.LOOSE] += 1
    for thin in insert.fills + insert.rests:
        counts[InsertWork.FILL] += len(thin.thicknesses_um)
        counts[InsertWork.POCKET] += Fraction(bool(thin.grip_um) * CORNER_CUT_UM, 10**6)
        counts[InsertWork.LOOSE] += len(thin.thicknesses_um)
    # A plate is sawn off a strip and to its length.
    counts[InsertWork.SAW_CUT] += 2 * len(insert.plates)
    counts[InsertWork.LOOSE] += len(insert.plates)
    counts[InsertWork.ITEM] += len(insert.item_ids)
    counts[InsertWork.TAPE] += sum(lift.kind is LiftKind.TAPE for lift in insert.lifts)
    return tuple((kind, count) for kind, count in counts.items() if count)

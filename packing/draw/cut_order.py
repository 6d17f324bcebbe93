"""The order in which the sheets of an insert are cut by knife: what is punched, what comes first, how many rounds."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from packing.draw.cut_file import sheet_loops
from packing.draw.insert_sheet import alike
from packing.draw.pocket_shapes import grouped, pocket_loops
from packing.draw.shapes import Point
from packing.insert import passes
from packing.plan import Plan, SheetPlan

CORNER_SINE = 0.25
"""A knife follows a turn of less than some 15 degrees without a punched hole (an estimate, no source)."""


@dataclass(frozen=True, slots=True)
class SheetCuts:
    """The cutting of sheets that are alike.

    Parameters
    ----------
    ids
        Of the sheets, from the bottom up.
    thickness_um
        Of each.
    rounds
        Of the knife, for a cut through one.
    letters
        Whose pockets are cut, first to last.
    corners
        How many are punched or drilled before that, in one sheet.
    """

    ids: tuple[str, ...]
    thickness_um: int
    rounds: int
    letters: tuple[str, ...]
    corners: int


def cut_order(plan: Plan) -> tuple[SheetCuts, ...]:
    """List the sheets with pockets in the order in which they are cut.

    Parameters
    ----------
    plan
        In layers; a plan without has no pockets.

    Returns
    -------
    tuple of SheetCuts
        Thin sheets first, while the hand is learning the pockets on little stock. In a sheet the pockets nearest its
        middle come first, so that the walls that hold it together are cut last (common practice, no source).
    """
    stack = {sheet.id: sheet for sheet in plan.insert.sheets}
    groups = [ids for ids in alike(plan.insert) if stack[ids[0]].pockets]
    made = [_cuts(stack[ids[0]], ids, plan) for ids in groups]
    return tuple(sorted(made, key=lambda one: one.thickness_um))


def _cuts(sheet: SheetPlan, ids: Sequence[str], plan: Plan) -> SheetCuts:
    _, loops = sheet_loops(sheet, plan.sheet_size_um or sheet.size_um)
    middle = sheet.size_um[0] / 2, sheet.size_um[1] / 2
    letters = {letter: _nearness(pocket_loops(own), middle) for letter, own in grouped(sheet.pockets).items()}
    return SheetCuts(
        tuple(ids),
        sheet.thickness_um,
        passes(sheet.thickness_um),
        tuple(sorted(letters, key=lambda letter: (letters[letter], letter))),
        sum(_turns_in(loop, at) for loop in loops for at in range(len(loop))),
    )


def _nearness(loops: Sequence[Sequence[Point]], middle: Point) -> float:
    """The distance from the nearest corner of a pocket to the middle of its sheet."""
    return min(hypot(x - middle[0], y - middle[1]) for loop in loops for x, y in loop)


def _turns_in(loop: Sequence[Point], at: int) -> bool:
    """Tell whether a pocket's edge turns into the foam at a corner, by more than a knife follows."""
    (ax, ay), (bx, by), (cx, cy) = loop[at - 1], loop[at], loop[(at + 1) % len(loop)]
    dx, dy, ex, ey = bx - ax, by - ay, cx - bx, cy - by
    across, along = dx * ey - dy * ex, dx * ex + dy * ey
    return across > 0 and (along < 0 or across > CORNER_SINE * hypot(dx, dy) * hypot(ex, ey))

"""Grips: every sheet and fill that comes out before a piece does can be taken hold of."""

from collections.abc import Iterator
from math import hypot

from packing.check.butt_sides import FLAP_UM
from packing.check.insert_reader import CutInsert, Sheet
from packing.check.kinds import Role
from packing.check.plan_reader import PlanView
from packing.check.report import Problem, missed, shown
from packing.check.sheets import zone
from packing.measure import Rules

SHARE = 3
"""Off a narrow piece a third of its side is enough (our own judgement)."""


def check_grips(plan: PlanView, insert: CutInsert, rules: Rules) -> Iterator[Problem]:
    """Where a plan says how much of corners is cut off: no sheet and no fill is without a grip, foam enough is left."""
    if not insert.grip_um:
        return
    length, width, _ = plan.interior_um
    for sheet in insert.sheets:
        found, grip = zone(plan, sheet), sheet.content.get("grip")
        # The base and the lowest cut sheets are still in the box when the last piece is out.
        stays = found is not None and (found[0] == "base" or (found == ("layer", 0) and not _covers(sheet)))
        if not stays and grip not in ("corners", "tape"):
            yield Problem("grip", sheet.id, f"is lifted out and has no grip, but {grip!r}.")
        if grip == "corners":
            yield from _foam_left(insert, sheet, rules, (length, width))
    for piece in insert.loose:
        least = min(insert.grip_um, piece.box.side(0) // SHARE, piece.box.side(1) // SHARE)
        cut = piece.content.get("grip_mm", 0)
        given = round(1000 * cut) if isinstance(cut, int | float) else 0
        # To half a millimetre.
        if piece.what == "fill" and not least - 500 <= given <= insert.grip_um:
            yield missed("grip", piece.id, f"has {shown(given)} of a corner cut off for a finger.", least - given)


def _covers(sheet: Sheet) -> bool:
    return sheet.content.get("role") == Role.COVER


def _foam_left(insert: CutInsert, sheet: Sheet, rules: Rules, size: tuple[int, int]) -> Iterator[Problem]:
    """The foam between a cut across a corner, at 45 degrees, and the nearest corner of each pocket."""
    keep = min(rules.wall_um, FLAP_UM)
    for pocket in sheet.pockets:
        for across, up in (
            (pocket.rect.x0, size[1] - pocket.rect.y1),
            (size[0] - pocket.rect.x1, pocket.rect.y0),
        ):
            left = (across + up - insert.grip_um) / hypot(1, 1)
            if left < keep - 1:
                message = f"its corner cut off leaves {shown(round(left))} of foam before the pocket of {pocket.item}."
                yield missed("grip", sheet.id, message, round(keep - left))

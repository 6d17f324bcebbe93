"""The working drawings of a box's pieces, and its making step by step in pictures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.adapter.plan_parts import PiecePlan, PieceRole, Plan
from shop.papers.context import PaperContext
from shop.papers.drawings import Room, largest, page_room, placed
from shop.papers.measures import PlanWording

BAR_MM, GAP_MM = 8.0, 6.0
WORDS_MM = {1: 9.0, 2: 14.0}
"""What stands over a piece takes, in mm: a line over a single one, two lines and the gap over each of several."""
PLAIN_ON_A_PAGE, STEPS_ON_A_PAGE = 4, 6
STEP_WORDS_MM = 24.0


def piece_pages(plan: Plan, context: PaperContext) -> list[dict[str, Any]]:
    """A page for each piece that is creased, slotted or grooved, and one for up to four plain ones.

    A plain piece is left to the parts list where the box has one blank, whose drawing stands on a page of its own.
    """
    pieces = [piece for piece in plan.box.pieces if not piece.carton]
    worked = [piece for piece in pieces if piece.creases or piece.slots or piece.grooves or piece.marks]
    plain = [piece for piece in pieces if piece not in worked]
    if plan.box.blank is not None:
        worked, plain = [piece for piece in worked if piece.role is not PieceRole.BLANK], []
    groups = [plain[at : at + PLAIN_ON_A_PAGE] for at in range(0, len(plain), PLAIN_ON_A_PAGE)]
    together = sorted([*([piece] for piece in worked), *groups], key=lambda group: pieces.index(group[0]))
    return [_page(group, plan, context) for group in together]


def step_pages(plan: Plan, context: PaperContext) -> list[dict[str, Any]]:
    """The steps six to a page, each with what stands after it where there is something to show."""
    write, steps = PlanWording(context.bench), plan.box.steps
    page = page_room(context.page_size, wide=True)
    paper = ((page.width - 2 * GAP_MM) / 3, page.height / 2 - STEP_WORDS_MM)
    shown = []
    for index, step in enumerate(steps):
        drawing = adapter.step_drawing(plan, index, paper=paper) if step.plates else None
        text = write.message(step.text)
        shown.append({"number": index + 1, "text": text, "drawing": None if drawing is None else placed(drawing)})
    return [
        {"title": _("Making it, step by step"), "first": at + 1, "steps": shown[at : at + STEPS_ON_A_PAGE]}
        for at in range(0, len(shown), STEPS_ON_A_PAGE)
    ]


def _page(pieces: Sequence[PiecePlan], plan: Plan, context: PaperContext) -> dict[str, Any]:
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    across, down = (1, 1) if len(pieces) == 1 else (2, -(-len(pieces) // 2))
    room = Room((page.width - (across - 1) * GAP_MM) / across, (page.height - BAR_MM) / down - WORDS_MM[across])
    names = ", ".join(piece.id for piece in pieces)
    drawn = [_drawn(piece, plan, context, room, unit) for piece in pieces]
    scales = {row["drawing"].scale for row in drawn}
    return {
        "title": ngettext("Piece %(ids)s", "Pieces %(ids)s", len(pieces)) % {"ids": names},
        "scale": scales.pop() if len(scales) == 1 else _("as said"),
        "pieces": drawn,
        "across": across,
    }


def _drawn(piece: PiecePlan, plan: Plan, context: PaperContext, room: Room, unit: str) -> dict[str, Any]:
    picture = largest(lambda at: adapter.piece_drawing(plan, piece.id, scale=at, unit=unit), piece.size_um, room, unit)
    write = PlanWording(context.bench)
    return {
        "id": piece.id,
        "what": write.message(piece.what),
        "count": piece.count,
        "size": write.size(piece.size_um),
        "thickness": write.length(piece.thickness_um, fine=True),
        "material": piece.material,
        "grain": write.message(piece.grain),
        "drawing": placed(picture),
    }

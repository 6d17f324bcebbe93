"""The working drawings of a box's pieces, and its making step by step in pictures."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.adapter.plan_parts import ContainerKind, GrooveKind, PiecePlan, PieceRole, Plan
from shop.papers.context import PaperContext
from shop.papers.drawings import Picture, Placed, Room, largest, page_room, placed
from shop.papers.measures import PlanWording

BAR_MM, GAP_MM = 8.0, 6.0
WORDS_MM = {1: 12.0, 2: 20.0}
"""Height over a piece, in mm: of a line over a single one, of two lines and the gap over each of several."""
PLAIN_ON_A_PAGE, STEPS_ON_A_PAGE = 4, 6
STEP_WORDS_MM, SECTION_WORDS_MM = 30.0, 18.0


def piece_pages(plan: Plan, context: PaperContext, folding_mm: float) -> list[dict[str, object]]:
    """A page for each piece that is creased, slotted or grooved, and one for up to four plain ones.

    Under pieces with creases `folding_mm` are left for what their folds go by. A plain piece is left to the parts list
    where the box has one blank, whose drawing stands on a page of its own.
    """
    pieces = [piece for piece in plan.box.pieces if not piece.carton]
    worked = [piece for piece in pieces if piece.creases or piece.slots or piece.grooves or piece.marks]
    plain = [piece for piece in pieces if piece not in worked]
    if plan.box.blank is not None:
        worked, plain = [piece for piece in worked if piece.role is not PieceRole.BLANK], []
    groups = [plain[at : at + PLAIN_ON_A_PAGE] for at in range(0, len(plain), PLAIN_ON_A_PAGE)]
    together = sorted([*([piece] for piece in worked), *groups], key=lambda group: pieces.index(group[0]))
    return [_page(group, plan, context, folding_mm) for group in together]


def step_pages(plan: Plan, context: PaperContext) -> list[dict[str, object]]:
    """The steps six to a page, each with what stands after it if that can be shown; last how it is taped."""
    write, steps, unit = PlanWording(context.bench), plan.box.steps, context.bench.length
    page = page_room(context.page_size, wide=True)
    paper = ((page.width - 2 * GAP_MM) / 3, page.height / 2 - STEP_WORDS_MM)
    shown = []
    for index, step in enumerate(steps):
        drawing = adapter.step_drawing(plan, index, paper=paper) if step.plates else None
        text = write.message(step.text)
        shown.append({"number": index + 1, "text": text, "drawing": None if drawing is None else placed(drawing)})
    tape = adapter.tape_picture(plan, unit=unit, paper=paper)
    if tape is not None:
        words = write.message(plan.box.closing.text)
        shown.append({"number": len(shown) + 1, "text": words, "drawing": placed(tape)})
    return [
        {"title": _("Making it, step by step"), "first": at + 1, "steps": shown[at : at + STEPS_ON_A_PAGE]}
        for at in range(0, len(shown), STEPS_ON_A_PAGE)
    ]


def section_pages(plan: Plan, context: PaperContext) -> list[dict[str, object]]:
    """Sections of a wooden box with its screws and nails, along and across at one scale; of a sliding lid; corners."""
    if plan.box.family is not ContainerKind.WOOD:
        return []
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    room = Room((page.width - GAP_MM) / 2, page.height - SECTION_WORDS_MM)
    length, width, height = plan.box.outer_um

    def drawn(*, across: bool) -> Picture:
        def make(at: float) -> Picture:
            return adapter.box_section(plan, across=across, scale=at, unit=unit)

        return largest(make, (width if across else length, height), room, unit)

    scale = max(drawn(across=across).scale or 1.0 for across in (False, True))
    both = [adapter.box_section(plan, across=across, scale=scale, unit=unit) for across in (False, True)]
    told = _("Without the insert. Dash-dotted lines are the axes of screws and nails, the short stroke is the head.")
    pages = [_section_page(_("Sections"), both, told)]
    if any(groove.name is GrooveKind.FINGER_PULL for piece in plan.box.pieces for groove in piece.grooves):
        lid = adapter.lid_section(plan, unit=unit, paper=(page.width, page.height - SECTION_WORDS_MM))
        pages.append(_section_page(_("Section of the sliding lid"), [lid], ""))
    corners = adapter.corner_pages(
        plan, unit=unit, paper=(page.width, page.height - SECTION_WORDS_MM), stretch=context.stretch
    )
    told = _(
        "Check the bar first. Cut along the solid lines, lay the corner on the corner of the piece and prick each "
        "cross through; what lies beyond the paper is measured."
    )
    return pages + [_section_page(_("Corner templates, full size"), [corner], told) for corner in corners]


def _section_page(title: str, pictures: Sequence[Picture], told: str) -> dict[str, object]:
    drawings = [placed(picture) for picture in pictures]
    return {
        "title": title,
        "scale": drawings[0].scale,
        "drawings": drawings,
        "told": told,
        "across": len(drawings),
    }


def _page(pieces: Sequence[PiecePlan], plan: Plan, context: PaperContext, folding_mm: float) -> dict[str, object]:
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    across, down = (1, 1) if len(pieces) == 1 else (2, -(-len(pieces) // 2))
    creased = any(piece.creases for piece in pieces)
    height = page.height - BAR_MM - (folding_mm if creased else 0)
    room = Room((page.width - (across - 1) * GAP_MM) / across, height / down - WORDS_MM[across])
    names = ", ".join(piece.id for piece in pieces)
    found = [_largest(piece, plan, room, unit) for piece in pieces]
    # One scale for a page, so that pieces drawn side by side can be compared.
    scale = max(picture.scale or 0 for picture in found)
    drawn = [
        placed(picture if picture.scale == scale else _at(piece, plan, scale, unit))
        for piece, picture in zip(pieces, found, strict=True)
    ]
    return {
        "title": ngettext("Piece %(ids)s", "Pieces %(ids)s", len(pieces)) % {"ids": names},
        "scale": drawn[0].scale,
        "pieces": [_shown(piece, context, drawing) for piece, drawing in zip(pieces, drawn, strict=True)],
        "across": across,
        "creased": creased,
    }


def _at(piece: PiecePlan, plan: Plan, scale: float, unit: str) -> Picture:
    return adapter.piece_drawing(plan, piece.id, scale=scale, unit=unit)


def _largest(piece: PiecePlan, plan: Plan, room: Room, unit: str) -> Picture:
    """A piece's drawing as large as its place takes; the pieces of a page then share the smallest of these scales."""
    return largest(lambda at: _at(piece, plan, at, unit), piece.size_um, room, unit)


def _shown(piece: PiecePlan, context: PaperContext, drawing: Placed) -> dict[str, object]:
    write = PlanWording(context.bench)
    return {
        "id": piece.id,
        "what": write.message(piece.what),
        "count": piece.count,
        "size": write.size(piece.size_um),
        "stuff": write.stuff(piece.material, piece.thickness_um),
        "grain": write.message(piece.grain),
        "drawing": drawing,
    }

"""The working drawings of a box's pieces, and its making step by step in pictures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.formatting import Wording
from shop.papers.context import PaperContext
from shop.papers.drawings import Room, largest, page_room, placed

Content = dict[str, Any]
Flat = dict[str, Any]

BAR_MM, GAP_MM = 8.0, 6.0
WORDS_MM = {1: 9.0, 2: 14.0}
"""What stands over a piece takes, in mm: a line over a single one, two lines and the gap over each of several."""
PLAIN_ON_A_PAGE, STEPS_ON_A_PAGE = 4, 6
STEP_WORDS_MM = 24.0
WORKED = ("creases", "slots", "grooves", "marks")


def piece_pages(content: Content, context: PaperContext) -> list[dict[str, Any]]:
    """A page for each piece that is creased, slotted or grooved, and one for up to four plain ones.

    A plain piece is left to the parts list where the box has one blank, whose drawing stands on a page of its own.
    """
    box = content["box"]
    flats: list[Flat] = [flat for flat in box.get("flats", []) if not flat.get("carton")]
    worked = [flat for flat in flats if any(flat[name] for name in WORKED)]
    plain = [flat for flat in flats if flat not in worked]
    if box["blank"]:
        worked, plain = [flat for flat in worked if flat["what"] != "blank"], []
    groups = [plain[at : at + PLAIN_ON_A_PAGE] for at in range(0, len(plain), PLAIN_ON_A_PAGE)]
    together = sorted([*([flat] for flat in worked), *groups], key=lambda group: flats.index(group[0]))
    return [_page(group, content, context) for group in together]


def step_pages(content: Content, context: PaperContext) -> list[dict[str, Any]]:
    """The steps six to a page, each with what stands after it where there is something to show."""
    write, steps = Wording(context.bench), content["box"].get("steps", [])
    page = page_room(context.page_size, wide=True)
    paper = ((page.width - 2 * GAP_MM) / 3, page.height / 2 - STEP_WORDS_MM)
    shown = []
    for index, step in enumerate(steps):
        drawing = adapter.step_drawing(content, index, paper=paper) if step.get("plates") else None
        text = write.sentence(step["text"])
        shown.append({"number": index + 1, "text": text, "drawing": None if drawing is None else placed(drawing)})
    return [
        {"title": _("Making it, step by step"), "first": at + 1, "steps": shown[at : at + STEPS_ON_A_PAGE]}
        for at in range(0, len(shown), STEPS_ON_A_PAGE)
    ]


def _page(flats: Sequence[Flat], content: Content, context: PaperContext) -> dict[str, Any]:
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    across, down = (1, 1) if len(flats) == 1 else (2, -(-len(flats) // 2))
    room = Room((page.width - (across - 1) * GAP_MM) / across, (page.height - BAR_MM) / down - WORDS_MM[across])
    names = ", ".join(flat["id"] for flat in flats)
    drawn = [_drawn(flat, content, context, room, unit) for flat in flats]
    scales = {piece["drawing"].scale for piece in drawn}
    return {
        "title": ngettext("Piece %(ids)s", "Pieces %(ids)s", len(flats)) % {"ids": names},
        "scale": scales.pop() if len(scales) == 1 else _("as said"),
        "pieces": drawn,
        "across": across,
    }


def _drawn(flat: Flat, content: Content, context: PaperContext, room: Room, unit: str) -> dict[str, Any]:
    size = (flat["size_mm"][0], flat["size_mm"][1])
    picture = largest(lambda at: adapter.piece_drawing(content, flat["id"], scale=at, unit=unit), size, room, unit)
    write = Wording(context.bench)
    return {
        "id": flat["id"],
        "what": flat["what"],
        "count": flat["count"],
        "size": write.size(flat["size_mm"]),
        "thickness": write.length(flat["thickness_mm"], fine=True),
        "material": flat["material"],
        "grain": write.sentence(flat.get("grain", "")),
        "drawing": placed(picture),
    }

"""The box cut plan: the blank, its board and parts, how it is folded and closed, and a carton that would do."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.adapter import ChoicePlan
from shop.adapter.plan_parts import (
    AreaPlan,
    BlankPlan,
    BoardPlan,
    BoxPlan,
    ContainerKind,
    Cutter,
    FactKind,
    Packaging,
    PartPlan,
    Plan,
    StockCartonPlan,
    SundryKind,
)
from shop.formatting import filled
from shop.marks import Mark, marks_of, marks_of_box, marks_of_facts
from shop.papers.box_pieces import piece_pages, section_pages, step_pages
from shop.papers.box_weights import _tolerance, _weights
from shop.papers.cautions import for_cutting, outside_mark
from shop.papers.context import PaperContext
from shop.papers.drawings import Picture, Placed, Room, check_bar, largest, page_room, placed
from shop.papers.from_stock import from_stock
from shop.papers.measures import PlanWording

# The blank has a sheet of its own where that shows it twice as large: tables on another page are less of a nuisance.
CHECK_BAR_MM, MUCH_LARGER = 8.0, 2
BELOW_MM = 52.0
"""Of a page with the blank, what board, panels and closing take under it."""
# Height and letters of a line of marks, by the type of papers.css.
MARK_LINE_MM, MARK_LINE = 4.6, 150
CLOSED = (56.0, 36.0)
"""A picture to know the box by, not to measure on."""


def box_plan(plan: Plan, context: PaperContext) -> dict[str, object]:
    """The content of the box cut plan's template.

    A box without one blank, such as a wooden one, has a drawing of each of its pieces instead.
    """
    write = PlanWording(context.bench)
    box = plan.box
    marks = marks_of_box(box, write.message)
    folding = marks_of_facts((fact for fact in box.facts if fact.kind is FactKind.FOLDING), write.message)
    blank, alone = _blank(plan, context, _lines(folding))
    pieces = piece_pages(plan, context, MARK_LINE_MM * _lines(folding))
    steps = step_pages(plan, context)
    sections = section_pages(plan, context)
    bought = {piece.id for piece in box.pieces if piece.carton}
    closed = placed(adapter.small_box(plan, unit=context.bench.length, paper=CLOSED))
    return {
        "style": write.style(box),
        "marks": [mark for mark in marks if mark not in folding],
        "folding": folding,
        "blank": blank,
        "blank_alone": alone,
        "closed": closed,
        "check_bar": check_bar(context.bench.length),
        "blank_title": _("The blank, outside up"),
        "lists_title": _("Parts, making and weight"),
        "inner": write.size(box.inner_um),
        "outer": write.size(box.outer_um),
        "most": _most(box, write),
        "blank_size": write.size(box.blank.size_um) if box.blank else "",
        "board": _board(box.board, write) if box.board else None,
        "panels": _panels(box.blank, write) if box.blank else [],
        "parts": [_part(part, write, bought=part.id in bought) for part in box.parts],
        "hardware": [
            {"count": row.count, "what": write.message(row.what), "where": write.message(row.where)}
            for row in box.hardware
        ],
        "notes": [write.message(note) for note in box.notes],
        "wood": write.message(box.wood_abroad) if box.wood_abroad else "",
        "piece_pages": pieces,
        "section_pages": sections,
        "step_pages": steps,
        "stock_pages": from_stock(plan, context, insert=False),
        **_last_page(plan, write),
    }


def _last_page(plan: Plan, write: PlanWording) -> dict[str, object]:
    """The page after the cutting: closing, the stock carton beside, weights, work, cautions."""
    box = plan.box
    return {
        "closing": _closing(plan, write),
        "second": box.family is ContainerKind.CORRUGATED,
        "carton": _carton(plan.carton, write),
        "no_carton": write.message(plan.no_carton) if plan.no_carton else _("No stock carton takes this insert."),
        "weights": _weights(plan.weight, write),
        "gross": write.both(plan.weight.gross_mg),
        "billed": _billed(plan.chosen),
        "billed_marks": marks_of(plan.chosen, write.message) if plan.chosen else [],
        "work": _work(box),
        "tolerance": _tolerance(plan.weight, write),
        "caution": for_cutting(
            board=box.board is not None, wood=box.family is ContainerKind.WOOD, laser=_by_laser(box)
        ),
    }


def _most(box: BoxPlan, write: PlanWording) -> str:
    """The outside in the thickest stock that was bought for, where it is printed otherwise than as planned."""
    most = write.size(box.most_um)
    return "" if most == write.size(box.outer_um) else most


def _blank(plan: Plan, context: PaperContext, mark_lines: int) -> tuple[Placed | None, bool]:
    """The blank's drawing, and whether it needs a sheet of its own: tables and marks then stand on the next."""
    blank = plan.box.blank
    if blank is None:
        return None, False
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    size = blank.size_um

    def drawn(below_mm: float) -> tuple[Picture, bool]:
        room = Room(page.width, page.height - below_mm)
        picture = largest(lambda at: adapter.blank_drawing(plan, scale=at, unit=unit), size, room, unit)
        return picture, room.takes(picture)

    picture, fits = drawn(BELOW_MM + MARK_LINE_MM * mark_lines)
    larger, _fits = drawn(CHECK_BAR_MM + MARK_LINE_MM * mark_lines)
    alone = not fits or (picture.scale or 0) >= MUCH_LARGER * (larger.scale or 0)
    return placed(larger if alone else picture), alone


def _lines(marks: Sequence[Mark]) -> int:
    """The number of lines that the marks take under the blank."""
    return sum(math.ceil(len(f"{mark.text} {mark.words}") / MARK_LINE) for mark in marks)


def _board(board: BoardPlan, write: PlanWording) -> dict[str, object]:
    return {
        "name": board.name,
        "flute": board.flute,
        "caliper": write.length(board.caliper_um, fine=True),
        "grammage": write.grammage(board.grammage_mg_m2),
        "grade": board.grade,
    }


def _panels(blank: BlankPlan, write: PlanWording) -> list[dict[str, object]]:
    """Panels alike as printed, with the figures that stand between their creases on the drawing."""
    counted = Counter((panel.name, *_sides(panel, write)) for panel in blank.panels)
    rows = [
        {"name": name, "across": across, "along": along, "count": count}
        for (name, across, along), count in counted.items()
    ]
    if blank.joint.width_um:
        across = write.between(blank.joint.min_um[0], blank.joint.max_um[0])
        rows.append({"name": _("joint flap"), "across": across, "along": "", "count": 1})
    return rows


def _sides(panel: AreaPlan, write: PlanWording) -> tuple[SafeString, SafeString]:
    (left, low), (right, high) = panel.min_um, panel.max_um
    return write.between(left, right), write.between(low, high)


def _part(part: PartPlan, write: PlanWording, *, bought: bool) -> dict[str, object]:
    """A line of the parts list; a carton is bought, so the size of its blank is not told."""
    return {
        "id": part.id,
        "what": write.message(part.what),
        "stuff": write.stuff(part.material, part.thickness_um),
        "size": "" if bought else write.bare_size(part.size_um),
        "count": part.count,
        "weight": write.weight(part.weight_mg),
    }


def _closing(plan: Plan, write: PlanWording) -> dict[str, object]:
    tape = [row for row in plan.weight.sundries if row.kind is SundryKind.CLOSING_TAPE]
    after = _("Measure and weigh the closed box.")
    if plan.box.packaging is Packaging.CORRUGATED:
        after = filled(
            _("Measure and weigh the closed box: a filled, taped box grows by %(least)s to %(most)s."),
            least=write.length(3_000),
            most=write.length(6_000),
        )
    return {
        "how": write.message(plan.box.closing.text),
        "pictured": bool(plan.box.closing.strips),
        "rows": [
            {
                "what": write.message(row.what),
                "length": write.run(round(row.quantity * 1_000_000)),
                "weight": write.weight(row.weight_mg),
            }
            for row in tape
        ],
        "after": after,
        "mark": outside_mark(plan.weight.gross_mg, write.both(plan.weight.gross_mg)),
    }


def _carton(carton: StockCartonPlan | None, write: PlanWording) -> dict[str, object] | None:
    if carton is None:
        return None
    cut = carton.cut_down_um
    return {
        "name": carton.name,
        "inner": write.size(carton.inner_um),
        "outer": write.size(carton.outer_um),
        "how": filled(_("cut down by %(by)s"), by=write.length(cut)) if cut else _("as bought"),
        "turned": carton.turned,
        "gross": write.both(carton.gross_mg),
        "weight": write.weight(carton.weight_mg),
        "fill": _("%(percent)d %% filled by the insert") % {"percent": round(carton.fill * 100)},
        "notes": [write.message(note) for note in carton.notes],
    }


def _billed(chosen: ChoicePlan | None) -> str:
    """The bill of the carrier by whose rule the box was chosen; "" where none is named."""
    if chosen is None or chosen.billed is None:
        return ""
    return _("%(billed)s %(unit)s billed by %(carrier)s, %(service)s (value of %(year)s: check before quoting)") % {
        "billed": f"{chosen.billed:g}",
        "unit": chosen.weight_unit,
        "carrier": chosen.carrier,
        "service": chosen.service,
        "year": chosen.as_of.year if chosen.as_of else _("no known year"),
    }


def _work(box: BoxPlan) -> str:
    """Minutes of work on the box and its insert; "" where they were not counted."""
    if box.cost is None:
        return ""
    minutes = round(box.cost.minutes)
    return ngettext("about %(n)d minute of work", "about %(n)d minutes of work", minutes) % {"n": minutes}


def _by_laser(box: BoxPlan) -> bool:
    """Tell whether a piece may be cut by laser as its stock's row says."""
    return any(piece.stock is not None and Cutter.LASER in piece.stock.cut_by for piece in box.pieces)

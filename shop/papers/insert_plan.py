"""The insert cut plan: the stack, every sheet to cut, what is kept of the waste, and how it goes together."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from django.utils.html import format_html, format_html_join
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.adapter.plan_parts import (
    CutRowPlan,
    LiftKind,
    LiftPlan,
    LooseKind,
    Plan,
    PocketPlan,
    SheetPlan,
    SheetRole,
)
from shop.marks import Mark, marks_of_facts
from shop.papers.cautions import for_assembling, for_cutting, for_trying
from shop.papers.context import PaperContext
from shop.papers.drawings import Placed, Room, check_bar, largest, page_room, placed
from shop.papers.from_stock import from_stock
from shop.papers.insert_lists import cut_list_pages
from shop.papers.measures import PlanWording
from shop.papers.names import layer_name, part_names, role_names

# What stands beside a drawing, as wide as papers.css makes it with its padding: words 78 + 6 mm, a table 98 + 4 mm.
WORDS_MM = 84.0
BAR_MM = 8.0
LISTED_HEAD_MM = 23.0
"""A table's own head, and over it the name of its sheet and what is said of it."""
MARKING_WORDS_MM = 16.0
"""Two lines over rods and templates: how they are used."""
GAP_MM = 5.0
SECTION_SHARE = 0.6
"""The stack is what is built from; the open box below it only shows how it will look."""
# Heights by the type and padding in papers.css: where those grow these must, or a table runs over the end of its page.
ROW_MM = 6.7
TABLE_HEAD_MM = 22.0
TABLE_WIDTH_MM = 102.0
# The table goes to another page only where that lets the drawing be more than 1.3 times as large.
COLUMNS, FEW_ROWS, MUCH_LARGER = 2, 3, 1.3
UNDER_HEAD_MM, LINE_MM = 10.0, 4.5
LINES = (30, 44, 62)
"""Letters in a line of each column under the cut list: tools, cautions, notes."""


def insert_plan(plan: Plan, context: PaperContext) -> dict[str, object]:
    """The content of the insert cut plan's template."""
    write = PlanWording(context.bench)
    insert = plan.insert
    stack, open_box = _stack(plan, context)
    layers = [_layer(layer, plan, context) for layer in reversed(floors(plan))]
    # In a bought carton sheets are cut as large as that: what is drawn and listed is what is cut.
    cut = adapter.as_cut(plan)
    sheets = [_sheet(group, cut, context, write) for group in cut_alike(cut)]
    marking = _marking(plan, context)
    notes = [write.message(note) for note in plan.notes]
    marks = marks_of_facts(plan.facts, write.message)
    return {
        "material": insert.material,
        "density": write.density(insert.density_g_m3),
        "insert_weight": write.weight(insert.weight_mg),
        "interior": write.size(plan.interior_um),
        "cut_length": write.run(insert.cut_length_um),
        "steps": stacking(plan),
        "tools_needed": tools_needed(bool(tapes(plan))),
        "caution": for_cutting(foam=True),
        "sheets_to_cut": [_stock_row(row, write) for row in cut.insert.cut_list if row.what is LooseKind.SHEET],
        "lists": cut_list_pages(plan, context, write, _under_list(notes, marks)),
        "has_tape": bool(tapes(plan)),
        "notes": notes,
        "marks": marks,
        "stack_title": _("The stack, cut through"),
        "stack": stack,
        "open_box": open_box,
        "layer_views": layers,
        "sheets": sheets,
        "pocket_pages": _pocket_pages(sheets, context),
        "marking": marking,
        "cut_order": order_of_cuts(plan, write),
        "put_together": [for_assembling(), for_trying(adapter.drop_height_um(plan.weight.gross_mg), write)],
        "stock_pages": from_stock(plan, context, insert=True),
        "check_bar": check_bar(context.bench.length),
    }


def floors(plan: Plan) -> list[int | None]:
    """The layers from the bottom up; for a plan without layers, whose items stand freely, None alone."""
    return list(range(len(plan.layers))) or [None]


def tapes(plan: Plan) -> list[LiftPlan]:
    """The lifts that are tapes."""
    return [lift for lift in plan.insert.lifts if lift.kind is LiftKind.TAPE]


def tools_needed(tape: bool) -> list[str]:
    """List the tools to have at hand; common practice, no source."""
    tools = [
        _("straightedge, square, rule or tape"),
        _("long sharp knife or hot wire; cutting mat"),
        _("hole punch or drill, for the corners of pockets"),
        _("marker; cut-resistant glove, eye protection"),
    ]
    if tape:
        tools.insert(3, _("lift tape"))
    return tools


class Place(StrEnum):
    """The place of the table of a sheet's pockets."""

    BESIDE = "beside"
    UNDER = "above"
    ALONE = "alone"


@dataclass(frozen=True, slots=True)
class _Laid:
    """Sheets that are laid one after the other before anything else goes in."""

    sheets: tuple[SheetPlan, ...]

    @property
    def first(self) -> SheetPlan:
        """The lowest of them."""
        return self.sheets[0]


def stacking(plan: Plan) -> list[dict[str, object]]:
    """The steps from the bottom of the box to the top pad: sheets, what goes into them, pieces, covers over them."""
    together = groupby(plan.insert.sheets, key=lambda sheet: (sheet.layer, sheet.role, sheet.over))
    steps = [_Laid(tuple(sheets)) for _alike, sheets in together]
    inside: set[str] = set()
    return [_step(step, following, plan, inside) for step, following in zip(steps, [*steps[1:], None], strict=True)]


def cut_alike(plan: Plan) -> list[list[SheetPlan]]:
    """Sheets with pockets, those with the same cuts together whatever their thickness, from the bottom up."""
    groups: dict[Hashable, list[SheetPlan]] = {}
    for sheet in plan.insert.sheets:
        if sheet.pockets:
            groups.setdefault((sheet.size_um, sheet.pockets), []).append(sheet)
    return list(groups.values())


def _step(step: _Laid, following: _Laid | None, plan: Plan, inside: set[str]) -> dict[str, object]:
    """One step: sheets are laid, then all that has to lie before the next sheets; `inside` is what lies already."""
    layer, role = step.first.layer, step.first.role
    ids = [sheet.id for sheet in step.sheets]
    then: list[dict[str, object]] = []
    shown: dict[str, object] = {"sheets": adapter.id_runs(ids), "ids": ids, "what": role_names()[role], "then": then}
    if layer is None:
        return shown
    if len(plan.layers) > 1:
        name = layer_name(layer, len(plan.layers)).lower()
        shown["what"] = f"{name}, {role_names()[role]}" if role is SheetRole.COVER else name
    more = following.first if following is not None and following.first.layer == layer else None
    letters = [item.letter for item in plan.items if item.layer in (layer, None)]
    now = [letter for letter in letters if letter not in inside and (more is None or letter in more.over)]
    inside.update(now)
    insert = plan.insert
    for rows, name in ((insert.saddles, _("saddles")), (insert.rests, _("rests"))):
        if under := [row.id for row in rows if row.layer == layer and row.letter in now]:
            then.append({"what": name, "ids": adapter.id_runs(under)})
    if tape := [row.letter for row in tapes(plan) if row.layer == layer and row.letter in now]:
        then.append({"what": _("lift tape under"), "letters": tape})
    if plates := [row.id for row in insert.plates if row.layer == layer and row.letter in now]:
        then.append({"what": _("plates, upright in their slots"), "ids": adapter.id_runs(plates)})
    if now:
        then.append({"what": _("pieces"), "letters": now})
    # What reaches up into sheets that are still to come is laid after them.
    ceiling_um = None if more is None else more.floor_um + plan.rules.give_um
    for rows, name in ((insert.fills, _("fills")), (insert.plugs, _("plugs"))):
        over = [
            row.id
            for row in rows
            if row.layer == layer
            and row.letter in inside
            and row.id not in inside
            and (ceiling_um is None or row.max_um[2] <= ceiling_um)
        ]
        inside.update(over)
        if over:
            then.append({"what": name, "ids": adapter.id_runs(over)})
    return shown


def _stack(plan: Plan, context: PaperContext) -> tuple[Placed, Placed]:
    """The stack cut through, and in what room is left under it the open box."""
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    length, _width, height = plan.interior_um
    room = Room(page.width - WORDS_MM, (page.height - BAR_MM) * SECTION_SHARE)
    section = largest(lambda at: adapter.side_section(plan, scale=at, unit=unit), (length, height), room, unit)
    left = (room.width, page.height - BAR_MM - section.height_mm - GAP_MM)
    return placed(section), placed(adapter.isometric(plan, paper=left, caption=False))


def _layer(layer: int | None, plan: Plan, context: PaperContext) -> dict[str, object]:
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    length, width, _height = plan.interior_um
    room = Room(page.width, page.height - BAR_MM)
    picture = largest(lambda at: adapter.plan_view(plan, layer, scale=at, unit=unit), (length, width), room, unit)
    title = _("%(layer)s, from above") % {"layer": layer_name(layer, len(floors(plan)))}
    return {"title": title, "drawing": placed(picture)}


def order_of_cuts(plan: Plan, write: PlanWording) -> list[dict[str, object]]:
    """One row for sheets that are cut alike, in the order in which they are cut; none where no sheet has a pocket."""
    stack = {sheet.id: sheet for sheet in plan.insert.sheets}
    return [
        {
            "ids": adapter.id_runs(cuts.ids),
            "thickness": write.length(cuts.thickness_um, fine=True),
            "rounds": cuts.rounds,
            "letters": cuts.letters,
            "corners": cuts.corners,
            "kept": _kept([stack[one] for one in cuts.ids], plan),
        }
        for cuts in adapter.cut_order(plan)
    ]


def _marking(plan: Plan, context: PaperContext) -> list[dict[str, object]]:
    """Pages in full size to cut out and mark by: the rods, then a template for each different head that fits a page."""
    page = page_room(context.page_size, wide=True)
    paper = (page.width, page.height - MARKING_WORDS_MM)
    rods = adapter.rod_pages(plan, paper=paper, stretch=context.stretch)
    shown = [{"title": _("Rods to mark the sheets by"), "rods": True, "drawing": placed(rod)} for rod in rods]
    heads = adapter.template_pages(plan, paper=paper, stretch=context.stretch)
    return shown + [{"title": _("Templates of heads"), "rods": False, "drawing": placed(page)} for page in heads]


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A sheet to cut, or several alike: its drawing, what is said of it, its pockets, what is kept of its waste."""

    title: str
    drawing: Placed
    words: str
    place: Place
    tables: list[list[dict[str, object]]]
    kept: str


def _sheet(group: Sequence[SheetPlan], plan: Plan, context: PaperContext, write: PlanWording) -> SheetPage:
    first = group[0]
    rows = [_pocket_row(pocket, write) for pocket in first.pockets]
    drawing, place = _sheet_drawing(first, plan, context, len(rows))
    tall = len(rows) if place is Place.BESIDE else _tall(len(rows))
    ids = adapter.id_runs(sheet.id for sheet in group)
    return SheetPage(
        title=ngettext("Sheet %(ids)s", "Sheets %(ids)s", len(group)) % {"ids": ids},
        drawing=drawing,
        words=_sheet_words(group, write),
        place=place,
        tables=[rows[at : at + tall] for at in range(0, len(rows), tall)],
        kept=_kept(group, plan),
    )


def _sheet_drawing(sheet: SheetPlan, plan: Plan, context: PaperContext, rows: int) -> tuple[Placed, Place]:
    """The sheet with its table beside it, under it or on a sheet of its own: wherever it can be drawn much larger."""
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    height = page.height - BAR_MM
    rooms = {
        Place.BESIDE: Room(page.width - TABLE_WIDTH_MM, height if TABLE_HEAD_MM + ROW_MM * rows <= page.height else 1),
        Place.UNDER: Room(page.width, max(1, height - TABLE_HEAD_MM - ROW_MM * _tall(rows))),
        Place.ALONE: Room(page.width, height),
    }

    def make(scale: float) -> adapter.Drawing:
        return adapter.sheet_drawing(plan, sheet.id, scale=scale, unit=unit, listed=False)

    def bare(scale: float) -> adapter.Drawing:
        # Without its caption, which the title block repeats.
        return adapter.sheet_drawing(plan, sheet.id, scale=scale, unit=unit, listed=False, caption=False)

    best = largest(make, sheet.size_um, rooms[Place.ALONE], unit)
    if not rooms[Place.ALONE].takes(best):
        best = largest(bare, sheet.size_um, rooms[Place.ALONE], unit)
    for place in (Place.BESIDE, Place.UNDER):
        picture = largest(make, sheet.size_um, rooms[place], unit)
        if rooms[place].takes(picture) and (picture.scale or 0) <= MUCH_LARGER * (best.scale or 0):
            return placed(picture), place
    return placed(best), Place.ALONE


def _pocket_pages(sheets: Sequence[SheetPage], context: PaperContext) -> list[list[SheetPage]]:
    """The tables that stand under no drawing, as many on a page as it takes."""
    pages: list[list[SheetPage]] = []
    left = 0.0
    for sheet in sheets:
        if sheet.place is not Place.ALONE:
            continue
        needed = LISTED_HEAD_MM + ROW_MM * len(sheet.tables[0])
        if not pages or needed > left:
            pages.append([])
            left = page_room(context.page_size, wide=True).height
        pages[-1].append(sheet)
        left -= needed
    return pages


def _tall(rows: int) -> int:
    """Rows of each table where the pockets stand in several side by side under their drawing; few stand in one."""
    return max(FEW_ROWS, -(-rows // COLUMNS))


def _sheet_words(group: Sequence[SheetPlan], write: PlanWording) -> str:
    told = _("Cut every pocket right through. Places are from the lower left corner, seen from above.")
    if len({sheet.thickness_um for sheet in group}) > 1:
        each = format_html_join(", ", "<b>{}</b> {}", ((sheet.id, write.length(sheet.thickness_um)) for sheet in group))
        return format_html("{}: {}. {}", each, _("alike, cut together"), told)
    count = ngettext("%(count)d sheet", "%(count)d sheets alike, cut together", len(group)) % {"count": len(group)}
    return format_html("<b>{}</b>, {}. {}", write.length(group[0].thickness_um), count, told)


def _kept(group: Sequence[SheetPlan], plan: Plan) -> str:
    ids = {sheet.id for sheet in group}
    loose = (*plan.insert.saddles, *plan.insert.plugs)
    return adapter.id_runs(row.id for row in loose if not ids.isdisjoint(row.from_sheets))


def _pocket_row(pocket: PocketPlan, write: PlanWording) -> dict[str, object]:
    low, high = pocket.min_um, pocket.max_um
    return {
        "letter": pocket.letter,
        "part": part_names()[pocket.part],
        "left": write.bare(low[0]),
        "bottom": write.bare(low[1]),
        "across": write.between(low[0], high[0]),
        "up": write.between(low[1], high[1]),
    }


def _stock_row(row: CutRowPlan, write: PlanWording) -> dict[str, object]:
    return {
        "ids": adapter.id_runs(row.ids),
        "thickness": write.bare(row.thickness_um),
        "size": write.bare_size(row.size_um),
        "count": row.count,
        "source": write.message(row.source),
    }


def _under_list(notes: Sequence[str], marks: Sequence[Mark]) -> float:
    """The height of tools, cautions and notes under the first page of the cut list, in mm: the longest column."""
    columns = [
        tools_needed(tape=True),
        for_cutting(foam=True).lines,
        [*notes, *(f"{one.text} {one.words}" for one in marks)],
    ]
    lines = max(sum(1 + len(words) // line for words in column) for column, line in zip(columns, LINES, strict=True))
    return UNDER_HEAD_MM + LINE_MM * lines

"""The insert cut plan: the stack, every sheet to cut, what is kept of the waste, and how it goes together."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.utils.html import format_html
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import door
from shop.papers.cautions import for_cutting
from shop.papers.context import PaperContext
from shop.papers.drawings import Placed, Room, check_bar, largest, page_room, placed, together
from shop.papers.wording import Wording

Content = dict[str, Any]

WORDS_MM = 84.0
CAPTION_MM = 7.0
BAR_MM = 8.0
ROW_MM = 5.6
TABLE_HEAD_MM = 26.0
TABLE_WIDTH_MM = 92.0
ROWS_A_PAGE = 24


def insert_plan(content: Content, context: PaperContext) -> dict[str, Any]:
    """What the insert cut plan's template shows."""
    write = Wording(context.bench)
    insert = content["insert"]
    return {
        "material": insert["material"],
        "density": write.density(insert["density_kg_m3"]),
        "insert_weight": write.weight(insert["weight_g"]),
        "interior": write.size(content["interior_mm"]),
        "cut_length": write.metres(insert["cut_length_mm"] / 1000),
        "steps": stacking(content),
        "tools_needed": tools_needed(bool(tapes(content))),
        "caution": for_cutting(),
        "sheets_to_cut": [_stock_row(row, write) for row in insert["cut_list"] if row["what"] == "sheet"],
        "lists": _lists(insert, write),
        "lifts": [_lift_row(row, context, write) for row in insert["lifts"]],
        "notes": content["notes"],
        "overview": _overview(content, context),
        "sheets": [_sheet(group, content, context, write) for group in cut_alike(content)],
        "check_bar": check_bar(context.bench.length),
    }


def tapes(content: Content) -> list[dict[str, Any]]:
    """The lifts that are tapes."""
    return [lift for lift in content["insert"]["lifts"] if lift["kind"] == "tape"]


def tools_needed(tape: bool) -> list[str]:
    """What to have at hand; common practice, no source."""
    tools = [
        _("straightedge, square, rule or tape"),
        _("long sharp knife or hot wire; cutting mat"),
        _("hole punch or drill, for the corners of pockets"),
        _("marker; cut-resistant glove, eye protection"),
    ]
    if tape:
        tools.insert(3, _("lift tape"))
    return tools


def stacking(content: Content) -> list[dict[str, Any]]:
    """The steps from the bottom of the box to the top pad: sheets, what goes into them, pieces, plugs."""
    insert = content["insert"]
    steps: list[dict[str, Any]] = []
    for sheet in insert["sheets"]:
        layer = sheet["layer"]
        if layer is not None and steps and steps[-1]["layer"] == layer:
            steps[-1]["sheets"].append(sheet["id"])
            continue
        steps.append({"layer": layer, "role": sheet["role"], "sheets": [sheet["id"]]})
    return [_step(step, content) for step in steps]


def cut_alike(content: Content) -> list[list[dict[str, Any]]]:
    """Sheets with pockets, those with the same pockets together, from the bottom up."""
    groups: list[list[dict[str, Any]]] = []
    for sheet in content["insert"]["sheets"]:
        if not sheet["pockets"]:
            continue
        if groups and groups[-1][0]["pockets"] == sheet["pockets"] and groups[-1][0]["layer"] == sheet["layer"]:
            groups[-1].append(sheet)
        else:
            groups.append([sheet])
    return groups


def role_names() -> dict[str, str]:
    """What a sheet does, by its role in the plan."""
    return {
        "base": _("base pad"),
        "layer": _("layer"),
        "between": _("pad between layers"),
        "top": _("top pad"),
    }


def part_names() -> dict[str, str]:
    """The parts of an item, by their names in the plan."""
    return {"head": _("head"), "handle": _("handle"), "block": _("block"), "notch": _("finger notch")}


def _step(step: dict[str, Any], content: Content) -> dict[str, Any]:
    layer, insert = step["layer"], content["insert"]
    shown: dict[str, Any] = {"sheets": " · ".join(step["sheets"]), "what": role_names()[step["role"]], "then": []}
    if layer is None:
        return shown

    def those(kind: str) -> list[dict[str, Any]]:
        return [row for row in insert[kind] if row["layer"] == layer]

    then: list[dict[str, Any]] = []
    if those("saddles"):
        then.append({"what": _("saddles"), "ids": [row["id"] for row in those("saddles")]})
    if tape := [row for row in tapes(content) if row["layer"] == layer]:
        then.append({"what": _("lift tape under"), "letters": [row["letter"] for row in tape]})
    letters = [item["letter"] for item in content["items"] if item["layer"] == layer]
    then.append({"what": _("pieces"), "letters": letters})
    if those("plugs"):
        then.append({"what": _("plugs"), "ids": [row["id"] for row in those("plugs")]})
    shown["then"] = then
    if len(content["layers"]) > 1:
        shown["what"] = _("layer %(number)d from the bottom") % {"number": layer + 1}
    return shown


def _overview(content: Content, context: PaperContext) -> dict[str, Any]:
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    room = Room(page.width - WORDS_MM, page.height - BAR_MM)
    makes = [partial(_section, content, unit)]
    makes += [partial(_plan, content, unit, layer) for layer in range(len(content["layers"]) - 1, -1, -1)]
    drawings = [placed(picture) for picture in together(makes, room, CAPTION_MM, unit)]
    return {"title": _("The stack"), "drawings": drawings, "scale": drawings[0].scale}


def _section(content: Content, unit: str, scale: float) -> door.Drawing:
    return door.side_section(content, scale=scale, unit=unit)


def _plan(content: Content, unit: str, layer: int, scale: float) -> door.Drawing:
    return door.plan_view(content, layer, scale=scale, unit=unit)


def _sheet(group: list[dict[str, Any]], content: Content, context: PaperContext, write: Wording) -> dict[str, Any]:
    first = group[0]
    rows = [_pocket_row(pocket, write) for pocket in first["pockets"]]
    drawing, below = _sheet_drawing(first, content, context, len(rows))
    half = (len(rows) + 1) // 2
    return {
        "title": _("Sheet %(ids)s") % {"ids": ", ".join(sheet["id"] for sheet in group)},
        "drawing": drawing,
        "words": _sheet_words(group, write),
        "table_below": below,
        "tables": [rows[:half], rows[half:]] if below and len(rows) > 1 else [rows],
        "kept": _kept(group, content),
    }


def _sheet_drawing(sheet: dict[str, Any], content: Content, context: PaperContext, rows: int) -> tuple[Placed, bool]:
    """The sheet with its table beside it or below, whichever lets it be drawn larger."""
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    table = TABLE_HEAD_MM + ROW_MM * ((rows + 1) // 2)
    beside = Room(page.width - TABLE_WIDTH_MM, page.height - BAR_MM)
    below = Room(page.width, page.height - BAR_MM - table)

    def make(scale: float) -> door.Drawing:
        return door.sheet_drawing(content, sheet["id"], scale=scale, unit=unit)

    at_side, under = largest(make, beside, unit), largest(make, below, unit)
    if below.takes(under) and (under.scale or 0) <= (at_side.scale or 0):
        return placed(under), True
    return placed(at_side), False


def _sheet_words(group: list[dict[str, Any]], write: Wording) -> str:
    thick = ngettext("%(thick)s thick.", "%(thick)s thick, cut alike.", len(group)) % {
        "thick": ", ".join(dict.fromkeys(str(write.length(sheet["thickness_mm"], fine=True)) for sheet in group))
    }
    return format_html(
        "{} {}",
        mark_safe(thick),
        _("Cut every pocket right through. Places from the lower left corner, seen from above."),
    )


def _kept(group: list[dict[str, Any]], content: Content) -> str:
    ids = {sheet["id"] for sheet in group}
    loose = content["insert"]["saddles"] + content["insert"]["plugs"]
    return ", ".join(row["id"] for row in loose if ids & set(row["from_sheet"].split(" + ")))


def _pocket_row(pocket: dict[str, Any], write: Wording) -> dict[str, Any]:
    low, high = pocket["min_mm"], pocket["max_mm"]
    return {
        "letter": pocket["letter"],
        "part": part_names()[pocket["part"]],
        "left": write.bare(low[0]),
        "bottom": write.bare(low[1]),
        "across": write.bare(high[0] - low[0]),
        "up": write.bare(high[1] - low[1]),
    }


def _stock_row(row: dict[str, Any], write: Wording) -> dict[str, Any]:
    return {
        "ids": ", ".join(row["ids"]),
        "thickness": write.bare(row["thickness_mm"], fine=True),
        "size": write.bare_size(row["size_mm"]),
        "count": row["count"],
        "source": row["from"],
    }


def _lists(insert: dict[str, Any], write: Wording) -> list[dict[str, Any]]:
    """The lists' pages, so many rows each; one page at least."""
    loose = [_loose_row(row, _("saddle"), write) for row in insert["saddles"]]
    loose += [_loose_row(row, _("plug"), write) for row in insert["plugs"]]
    return [
        {"title": _("Cut list"), "rows": loose[start : start + ROWS_A_PAGE]}
        for start in range(0, max(1, len(loose)), ROWS_A_PAGE)
    ]


def _loose_row(row: dict[str, Any], what: str, write: Wording) -> dict[str, Any]:
    sides = [high - low for low, high in zip(row["min_mm"], row["max_mm"], strict=True)]
    return {
        "id": row["id"],
        "what": what,
        "letter": row["letter"],
        "part": part_names()[row["part"]],
        "size": write.bare_size(sides[:2]),
        "thickness": write.bare(sides[2], fine=True),
        "source": row["from_sheet"],
    }


def _lift_row(row: dict[str, Any], context: PaperContext, write: Wording) -> dict[str, Any]:
    name = context.name_of(row["item"])
    if row["kind"] == "tape":
        how = _("lift tape, %(length)s, under the head and up both sides") % {"length": write.length(row["length_mm"])}
    else:
        sides = [high - low for low, high in zip(row["min_mm"], row["max_mm"], strict=True)]
        how = _("finger notch, %(size)s") % {"size": write.size(sides)}
    return {"letter": row["letter"], "name": name.label or name.name, "how": how}

"""The insert cut plan: the stack, every sheet to cut, what is kept of the waste, and how it goes together."""

from __future__ import annotations

from typing import Any

from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.formatting import Wording, filled
from shop.papers.cautions import for_cutting
from shop.papers.context import PaperContext
from shop.papers.drawings import Placed, Room, check_bar, enlarged, largest, page_room, placed

Content = dict[str, Any]

WORDS_MM = 84.0
CAPTION_MM = 7.0
BAR_MM = 8.0
GAP_MM = 5.0
SECTION_SHARE = 0.6
ROW_MM = 5.3
TABLE_HEAD_MM = 17.0
TABLE_WIDTH_MM = 84.0
COLUMNS, FEW_ROWS = 3, 3
LIST_HEAD_MM, LIST_ROW_MM = 13.0, 5.6
STOCK_ROW_MM = 8.0
TAPE_WORDS_MM, NOTE_LINE_MM, NOTE_LINE = 10.0, 4.2, 58


def insert_plan(content: Content, context: PaperContext) -> dict[str, Any]:
    """What the insert cut plan's template shows."""
    write = Wording(context.bench)
    insert = content["insert"]
    stack, open_box = _stack(content, context)
    layers = [_layer(layer, content, context) for layer in reversed(floors(content))]
    sheets = [_sheet(group, content, context, write) for group in cut_alike(content)]
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
        "lists": _lists(insert, context, write),
        "has_tape": bool(tapes(content)),
        "notes": [write.sentence(note) for note in content["notes"]],
        "notes_under_lifts": _notes_under_lifts(content, context),
        "stack_title": _("The stack, cut through"),
        "stack": stack,
        "open_box": open_box,
        "layer_views": layers,
        "sheets": sheets,
        "drawings": [stack, open_box, *(page["drawing"] for page in layers + sheets)],
        "check_bar": check_bar(context.bench.length),
    }


def floors(content: Content) -> list[int | None]:
    """The layers from the bottom up; for a plan without layers, whose items stand freely, None alone."""
    return list(range(len(content["layers"]))) or [None]


def layer_name(layer: int | None, layers: int) -> str:
    """A layer in words, the same as under the drawings."""
    if layer is None or layers == 1:
        return _("All pieces")
    if layer in (0, layers - 1):
        return _("Bottom layer") if layer == 0 else _("Top layer")
    return _("Layer %(number)d from the bottom") % {"number": layer + 1}


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
    """The steps from the bottom of the box to the top pad: sheets, what goes into them, pieces, covers over them."""
    steps: list[dict[str, Any]] = []
    for sheet in content["insert"]["sheets"]:
        alike = (sheet["layer"], sheet["role"], sheet.get("over", []))
        if steps and steps[-1]["alike"] == alike:
            steps[-1]["sheets"].append(sheet["id"])
        else:
            steps.append({"alike": alike, "sheets": [sheet["id"]], "floor_mm": sheet["floor_mm"]})
    laid: set[str] = set()
    return [_step(step, following, content, laid) for step, following in zip(steps, [*steps[1:], None], strict=True)]


def cut_alike(content: Content) -> list[list[dict[str, Any]]]:
    """Sheets with pockets, those of one thickness with the same pockets together, from the bottom up."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for sheet in content["insert"]["sheets"]:
        if sheet["pockets"]:
            key = repr((sheet["layer"], sheet["thickness_mm"], sheet["size_mm"], sheet["pockets"]))
            groups.setdefault(key, []).append(sheet)
    return list(groups.values())


def role_names() -> dict[str, str]:
    """What a sheet does, by its role in the plan."""
    return {
        "base": _("base pad"),
        "layer": _("layer"),
        "cover": _("cover, laid on over the pieces"),
        "between": _("pad between layers"),
        "top": _("top pad"),
    }


def part_names() -> dict[str, str]:
    """The parts of an item, by their names in the plan."""
    return {"head": _("head"), "handle": _("handle"), "block": _("block"), "notch": _("notch")}


def _step(step: dict[str, Any], following: dict[str, Any] | None, content: Content, laid: set[str]) -> dict[str, Any]:
    """One step: sheets are laid, then all that has to lie before the next sheets; `laid` is what lies already."""
    layer, role, _over = step["alike"]
    shown: dict[str, Any] = {"sheets": adapter.id_runs(step["sheets"]), "what": role_names()[role], "then": []}
    if layer is None:
        return shown
    if len(content["layers"]) > 1:
        name = layer_name(layer, len(content["layers"])).lower()
        shown["what"] = f"{name}, {role_names()[role]}" if role == "cover" else name
    letters = [item["letter"] for item in content["items"] if item["layer"] in (layer, None)]
    more = following if following is not None and following["alike"][0] == layer else None
    now = [letter for letter in letters if letter not in laid and (more is None or letter in more["alike"][2])]
    laid.update(now)
    then: list[dict[str, Any]] = []
    for kind, name in (("saddles", _("saddles")), ("rests", _("rests"))):
        if ids := [row["id"] for row in _loose_of(content, kind, layer) if row["letter"] in now]:
            then.append({"what": name, "ids": adapter.id_runs(ids)})
    if tape := [row for row in tapes(content) if row["layer"] == layer and row["letter"] in now]:
        then.append({"what": _("lift tape under"), "letters": [row["letter"] for row in tape]})
    if now:
        then.append({"what": _("pieces"), "letters": now})
    for kind, name in (("fills", _("fills")), ("plugs", _("plugs"))):
        rows = [row for row in _loose_of(content, kind, layer) if row["letter"] in laid and row["id"] not in laid]
        if more is not None:
            ceiling = more["floor_mm"] + content["rules"].get("bite", 0)
            rows = [row for row in rows if row["max_mm"][2] <= ceiling]
        laid.update(row["id"] for row in rows)
        if rows:
            then.append({"what": name, "ids": adapter.id_runs(row["id"] for row in rows)})
    shown["then"] = then
    return shown


def _loose_of(content: Content, kind: str, layer: int) -> list[dict[str, Any]]:
    """The loose pieces of one kind in one layer."""
    return [row for row in content["insert"].get(kind, []) if row["layer"] == layer]


def _stack(content: Content, context: PaperContext) -> tuple[Placed, Placed]:
    """The stack cut through, and in what room is left under it the open box."""
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    length, _width, height = content["interior_mm"]
    room = Room(page.width - WORDS_MM, (page.height - BAR_MM) * SECTION_SHARE)
    section = largest(lambda at: adapter.side_section(content, scale=at, unit=unit), (length, height), room, unit)
    left = (room.width, page.height - BAR_MM - section.height_mm - GAP_MM)
    return placed(section), placed(adapter.isometric(content, paper=left, caption=False))


def _layer(layer: int | None, content: Content, context: PaperContext) -> dict[str, Any]:
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    length, width, _height = content["interior_mm"]
    room = Room(page.width, page.height - BAR_MM)
    picture = largest(lambda at: adapter.plan_view(content, layer, scale=at, unit=unit), (length, width), room, unit)
    title = _("%(layer)s, from above") % {"layer": layer_name(layer, len(floors(content)))}
    return {"title": title, "drawing": placed(picture)}


def _sheet(group: list[dict[str, Any]], content: Content, context: PaperContext, write: Wording) -> dict[str, Any]:
    first = group[0]
    rows = [_pocket_row(pocket, write) for pocket in first["pockets"]]
    drawing, below = _sheet_drawing(first, content, context, len(rows))
    tall = _tall(len(rows))
    ids = adapter.id_runs(sheet["id"] for sheet in group)
    return {
        "title": ngettext("Sheet %(ids)s", "Sheets %(ids)s", len(group)) % {"ids": ids},
        "drawing": drawing,
        "words": _sheet_words(group, write),
        "table_below": below,
        "tables": [rows[at * tall : (at + 1) * tall] for at in range(COLUMNS)] if below else [rows],
        "kept": _kept(group, content),
    }


def _sheet_drawing(sheet: dict[str, Any], content: Content, context: PaperContext, rows: int) -> tuple[Placed, bool]:
    """The sheet with its table beside it or, where it can then be drawn larger, above its table."""
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    size = (sheet["size_mm"][0], sheet["size_mm"][1])
    beside = Room(page.width - TABLE_WIDTH_MM, page.height - BAR_MM)
    above = Room(page.width, page.height - BAR_MM - TABLE_HEAD_MM - ROW_MM * _tall(rows))

    def make(scale: float) -> adapter.Drawing:
        return adapter.sheet_drawing(content, sheet["id"], scale=scale, unit=unit)

    picture = largest(make, size, beside, unit)
    larger = enlarged(make, picture, above, unit)
    return (placed(picture), False) if larger is None else (placed(larger), True)


def _tall(rows: int) -> int:
    """Rows of each table where the pockets stand in several side by side under their drawing; few stand in one."""
    return max(FEW_ROWS, -(-rows // COLUMNS))


def _sheet_words(group: list[dict[str, Any]], write: Wording) -> str:
    thick = write.length(group[0]["thickness_mm"])
    count = ngettext("%(count)d sheet", "%(count)d sheets, cut alike", len(group)) % {"count": len(group)}
    return format_html(
        "<b>{}</b>, {}. {}",
        thick,
        count,
        _("Cut every pocket right through. Places are from the lower left corner, seen from above."),
    )


def _kept(group: list[dict[str, Any]], content: Content) -> str:
    ids = {sheet["id"] for sheet in group}
    loose = content["insert"]["saddles"] + content["insert"]["plugs"]
    return adapter.id_runs(row["id"] for row in loose if ids & set(_sources(row)))


def _sources(row: dict[str, Any]) -> list[str]:
    """Ids of the sheets a loose piece is cut from; plans of before have them in one text."""
    sources: list[str] = row["from_sheets"] if "from_sheets" in row else row["from_sheet"].split(" + ")
    return sources


def _pocket_row(pocket: dict[str, Any], write: Wording) -> dict[str, Any]:
    low, high = pocket["min_mm"], pocket["max_mm"]
    return {
        "letter": pocket["letter"],
        "part": part_names()[pocket["part"]],
        "left": write.bare(low[0]),
        "bottom": write.bare(low[1]),
        "across": write.between(low[0], high[0]),
        "up": write.between(low[1], high[1]),
    }


def _stock_row(row: dict[str, Any], write: Wording) -> dict[str, Any]:
    return {
        "ids": adapter.id_runs(row["ids"]),
        "thickness": write.bare(row["thickness_mm"]),
        "size": write.bare_size(row["size_mm"]),
        "count": row["count"],
        "source": write.sentence(row["from"]),
    }


def _lists(insert: dict[str, Any], context: PaperContext, write: Wording) -> list[dict[str, Any]]:
    """The cut list's pages: on each so many lifts and so many pieces of waste to keep as it takes."""
    lifts = [_lift_row(row, context, write) for row in insert["lifts"]]
    loose = [_loose_row(row, _("saddle"), write) for row in insert["saddles"]]
    loose += [_loose_row(row, _("rest"), write) for row in insert.get("rests", [])]
    loose += [_loose_row(row, _("plug"), write) for row in insert["plugs"]]
    loose += [_loose_row(row, _("fill"), write) for row in insert.get("fills", [])]
    stock = sum(row["what"] == "sheet" for row in insert["cut_list"])
    height = page_room(context.page_size, wide=True).height - LIST_HEAD_MM
    fit = int(height / LIST_ROW_MM)
    first = max(1, int((height - 2 * LIST_HEAD_MM - STOCK_ROW_MM * stock) / LIST_ROW_MM))
    pages = [{"title": _("Cut list"), "lifts": lifts[:first], "loose": loose[:fit]}]
    lifts, loose = lifts[first:], loose[fit:]
    while lifts or loose:
        pages.append({"title": _("Cut list"), "lifts": lifts[:fit], "loose": loose[:fit]})
        lifts, loose = lifts[fit:], loose[fit:]
    return pages


def _notes_under_lifts(content: Content, context: PaperContext) -> bool:
    """Whether the first page of the cut list has room for the notes under its lifts; else they follow the cautions."""
    insert = content["insert"]
    sheets = sum(row["what"] == "sheet" for row in insert["cut_list"])
    lines = sum(1 + len(note) // NOTE_LINE for note in content["notes"])
    taken = 3 * LIST_HEAD_MM + STOCK_ROW_MM * sheets + LIST_ROW_MM * len(insert["lifts"]) + NOTE_LINE_MM * lines
    return taken + TAPE_WORDS_MM <= page_room(context.page_size, wide=True).height


def _loose_row(row: dict[str, Any], what: str, write: Wording) -> dict[str, Any]:
    low, high = row["min_mm"], row["max_mm"]
    return {
        "id": row["id"],
        "what": what,
        "letter": row["letter"],
        "part": part_names()[row["part"]],
        "size": write.bare_extent(low[:2], high[:2]),
        "thickness": _thicknesses(row, write),
        "source": adapter.id_runs(_sources(row)) or _("thin stock"),
    }


def _thicknesses(row: dict[str, Any], write: Wording) -> str:
    """How thick a loose piece is: of thin stock, the thickness of each sheet of it."""
    if row.get("thicknesses_mm") and not _sources(row):
        return " + ".join(write.bare(thickness) for thickness in row["thicknesses_mm"])
    return write.between(row["min_mm"][2], row["max_mm"][2])


def _lift_row(row: dict[str, Any], context: PaperContext, write: Wording) -> dict[str, Any]:
    name = context.name_of(row["item"])
    if row["kind"] == "tape":
        how = filled(_("lift tape, %(length)s"), length=write.length(row["length_mm"]))
    else:
        how = filled(_("finger notch, %(size)s"), size=write.extent(row["min_mm"], row["max_mm"]))
    return {"letter": row["letter"], "name": name.label or name.name, "how": how}

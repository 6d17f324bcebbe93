"""The sheets of an insert and the pockets in them, against the items they must hold."""

from collections.abc import Iterator

from packing.check.butt_sides import over_um
from packing.check.figures import corners_of, cut_into_um, has_sides_that_cross, placed_outline
from packing.check.insert_reader import CutInsert, Pocket, Sheet
from packing.check.kinds import Part, Role
from packing.check.layers import fewest_sheets
from packing.check.plan_reader import PlanItem, PlanView
from packing.check.rectangles import Box, Rect, uncovered_area
from packing.check.report import Problem, missed, shown
from packing.measure import Item, Order, Rules, Tool

MOST_CORNERS = 12
"""Of one part's pocket that a knife cuts along a straightedge."""
ROUNDING_UM = 3
"""Corners of outlines are whole micrometres."""


def check_sheets(plan: PlanView, insert: CutInsert, rules: Rules) -> Iterator[Problem]:
    """The sheets fill the height (without layers: the two pads), have the interior's size and lie where they may."""
    height = plan.interior_um[2]
    spans = [(0, height)]
    if not plan.layers:
        spans = [(0, rules.base_pad_um), (height - rules.top_pad_um, height)]
    for low, high in spans:
        inside = [sheet for sheet in insert.sheets if low <= sheet.floor_um < high]
        reached = low
        for sheet in inside:
            if sheet.floor_um != reached:
                message = f"its floor is at {shown(sheet.floor_um)}, what is below ends at {shown(reached)}."
                yield missed("sheets", sheet.id, message, sheet.floor_um - reached)
            reached = sheet.top_um
        if reached != high:
            message = f"the sheets from {shown(low)} up end at {shown(reached)}; they must end at {shown(high)}."
            yield missed("sheets", "insert", message, reached - high)
    ids = [sheet.id for sheet in insert.sheets]
    for index, sheet in enumerate(insert.sheets):
        if not any(low <= sheet.floor_um < high for low, high in spans):
            yield Problem("sheets", sheet.id, f"its floor is at {shown(sheet.floor_um)}, where no sheet can be.")
        if sheet.id in ids[:index]:
            yield Problem("sheets", sheet.id, "another sheet has the same id.")
        for name, side, want in zip(("length", "width"), sheet.size_um, plan.interior_um, strict=False):
            if side != want:
                message = f"its {name} is {shown(side)}, the interior's {shown(want)}."
                yield missed("sheets", sheet.id, message, side - want)
        yield from _zone_problems(plan, sheet, rules)


def zone(plan: PlanView, sheet: Sheet) -> tuple[str, int | None] | None:
    """Role and layer of a sheet by where it lies; None where it crosses a layer's floor or top."""
    for index, layer in enumerate(plan.layers):
        if layer.floor_um <= sheet.floor_um and sheet.top_um <= layer.top_um:
            return ("layer", index)
        if sheet.floor_um < layer.top_um and sheet.top_um > layer.floor_um:
            return None
    if not plan.layers:
        return None
    if sheet.top_um <= min(layer.floor_um for layer in plan.layers):
        return ("base", None)
    if sheet.floor_um >= max(layer.top_um for layer in plan.layers):
        return ("top", None)
    return ("between", None)


def _zone_problems(plan: PlanView, sheet: Sheet, rules: Rules) -> Iterator[Problem]:
    found = zone(plan, sheet)
    if found is None:
        if plan.layers:
            yield Problem("sheets", sheet.id, "crosses the floor or the top of a layer.")
        return
    role, layer = found
    roles = ("layer", "cover") if role == Role.LAYER else (role,)
    if sheet.content.get("role", role) not in roles or sheet.content.get("layer", layer) != layer:
        given = f"{sheet.content.get('role')!r}, layer {sheet.content.get('layer')!r}"
        yield Problem("sheets", sheet.id, f"is called {given}, but lies in: {role}, layer {layer!r}.")
    stiff = rules.stiff_sheet_um or 0
    if role == Role.BETWEEN and stiff and "material" in sheet.content:
        return
    thicknesses = (*rules.sheets_um, *(rules.thin_um or ()))
    stock = sheet.thickness_um in thicknesses
    if not stock and role == Role.LAYER:
        yield Problem("sheets", sheet.id, f"{shown(sheet.thickness_um)} is not a stock thickness, and it is no pad.")
    pad = {"base": rules.base_pad_um, "between": rules.layer_pad_um - stiff, "top": rules.top_pad_um}.get(role)
    if not stock and pad is not None and pad in fewest_sheets(thicknesses, pad):
        yield Problem(
            "sheets", sheet.id, f"{shown(sheet.thickness_um)} is not a stock thickness, and stock makes its pad."
        )
    if sheet.content.get("stock", stock) is not stock:
        yield Problem(
            "sheets", sheet.id, f"stock is {sheet.content['stock']!r}; {shown(sheet.thickness_um)} makes it {stock!r}."
        )


def check_pockets(plan: PlanView, insert: CutInsert, order: Order) -> Iterator[Problem]:
    """Every part has its room in every sheet it passes, and no more is cut away than may be."""
    rules = order.rules
    items = {item.id: item for item in plan.items}
    ordered = {item.id: item for item in order.items}
    for item in plan.items:
        for part, box in item.parts.items():
            for sheet in insert.sheets:
                if enters(box, sheet, rules):
                    yield from _room_problems(sheet, item, part, ordered.get(item.id), rules)
        yield from _cover_problems(plan, insert, item, rules)
    for sheet in insert.sheets:
        for pocket in sheet.pockets:
            if pocket.item not in items:
                yield Problem("pocket", sheet.id, f"has a pocket for {pocket.item!r}, which is not in the plan.")
            else:
                yield from _pocket_problems(plan, insert, sheet, pocket, items[pocket.item], rules)


def _room_problems(sheet: Sheet, item: PlanItem, part: str, ordered: Item | None, rules: Rules) -> Iterator[Problem]:
    """A part's rectangle is open in a sheet, or its outline but for what foam gives."""
    box, figures = item.parts[part], sheet.figures(item.id)
    if not figures:
        left = uncovered_area(box.rect, sheet.holes(item.id))
        if left:
            message = f"no room for {left / 10**6:g} mm² of {item.id} {part}, which reaches down to {shown(box.z0)}."
            yield Problem("pocket", sheet.id, message)
        return
    shape = placed_outline(ordered, item, part) if isinstance(ordered, Tool) else corners_of(box.rect)
    holes = (*figures, *(corners_of(hole) for hole in sheet.holes(item.id)))
    deep = round(cut_into_um(shape, holes))
    if deep > rules.give_um + ROUNDING_UM:
        message = f"foam reaches {shown(deep)} into {item.id} {part}; it gives {shown(rules.give_um)}."
        yield missed("pocket", sheet.id, message, deep - rules.give_um)


def _outline_problems(sheet: Sheet, pocket: Pocket) -> Iterator[Problem]:
    """An outline has its own least rectangle, sides that do not cross, no more of them than a knife is to follow."""
    figure, name = pocket.outline, f"{pocket.item} {pocket.part}"
    xs, ys = [x for x, _ in figure], [y for _, y in figure]
    if Rect(min(xs), min(ys), max(xs), max(ys)) != pocket.rect:
        yield Problem("pocket", sheet.id, f"the outline for {name} has not the corners min_mm and max_mm.")
    if has_sides_that_cross(figure):
        yield Problem("pocket", sheet.id, f"the outline for {name} crosses itself.")
    if len(figure) > MOST_CORNERS:
        yield Problem(
            "pocket", sheet.id, f"the outline for {name} has {len(figure)} corners, more than {MOST_CORNERS}."
        )


def enters(box: Box, sheet: Sheet, rules: Rules) -> bool:
    """Tell whether a part reaches into a sheet by more than foam gives."""
    return sheet.top_um > box.z0 + rules.give_um and sheet.floor_um < box.z1 - rules.give_um


def _cover_problems(plan: PlanView, insert: CutInsert, item: PlanItem, rules: Rules) -> Iterator[Problem]:
    """A sheet over a part of its layer is a cover, and names the piece that must lie before it is laid on."""
    if not insert.has_covers:
        return
    letter = item.content.get("letter")
    for sheet in insert.sheets:
        over = in_layer(plan, sheet, item) and any(
            sheet.floor_um >= box.z1 - rules.give_um for box in item.parts.values()
        )
        named = letter in _listed(sheet.content.get("over"))
        if over and sheet.content.get("role") != Role.COVER:
            yield Problem("cover", sheet.id, f"lies over {item.id}, but is called {sheet.content.get('role')!r}.")
        if over != named:
            verb = "does not name" if over else "names"
            yield Problem("cover", sheet.id, f"{verb} {item.id} among what it lies over.")


def _listed(value: object) -> list[object]:
    """A list as it is; anything else as nothing."""
    return list(value) if isinstance(value, list | tuple) else []


def in_layer(plan: PlanView, sheet: Sheet, item: PlanItem) -> bool:
    """Tell whether a sheet is one of an item's layer."""
    return item.layer >= 0 and zone(plan, sheet) == ("layer", item.layer)


def _pocket_problems(
    plan: PlanView, insert: CutInsert, sheet: Sheet, pocket: Pocket, item: PlanItem, rules: Rules
) -> Iterator[Problem]:
    name = f"{item.id} {pocket.part}"
    if plan.layers and not in_layer(plan, sheet, item):
        yield Problem("pocket", sheet.id, f"has a pocket for {name}, but lies outside layer {item.layer}.")
        return
    letter = item.content.get("letter")
    if pocket.content.get("letter", letter) != letter:
        yield Problem(
            "letter", sheet.id, f"letters the pocket of {name} {pocket.content['letter']!r}; it is {letter!r}."
        )
    # Finger room and slots of plates are judged by themselves.
    if pocket.part in (Part.NOTCH, Part.PLATE):
        return
    if pocket.part not in item.parts:
        yield Problem("pocket", sheet.id, f"has a pocket for {name}; the item has {', '.join(sorted(item.parts))}.")
        return
    box = item.parts[pocket.part]
    if pocket.outline:
        yield from _outline_problems(sheet, pocket)
    room = box.rect.grown(rules.clearance_um)
    air = insert.butt_air_um if pocket.part == Part.HANDLE and not pocket.outline else 0
    over = over_um(room, pocket.rect, item, air)
    if over > 0:
        message = f"the pocket of {name} reaches {shown(over)} past its clearance of {shown(rules.clearance_um)}."
        yield missed("pocket", sheet.id, message, over)
    if sheet.top_um <= box.z0:
        yield Problem("pocket", sheet.id, f"is cut for {name}, which starts above it at {shown(box.z0)}.")
    elif insert.has_covers and not enters(box, sheet, rules):
        yield Problem("pocket", sheet.id, f"is cut for {name}, which does not reach into it: it must stay whole.")

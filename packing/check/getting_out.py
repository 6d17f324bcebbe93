"""Finger room and lift tapes: everything can be lifted out, and the foam that carries the heads is left alone."""

from collections.abc import Iterator
from itertools import combinations

from packing.check.butt_sides import FLAP_UM, lost_wall_um
from packing.check.figures import ROUNDING_UM2, corners_of, figures_area, left_uncovered
from packing.check.insert_reader import CutInsert, Lift, Pocket, Sheet
from packing.check.kinds import Part
from packing.check.layers import rooms
from packing.check.plan_reader import PlanItem, PlanView
from packing.check.rectangles import Box, Rect, rect_gap
from packing.check.report import Problem, apart, missed, shown
from packing.check.sheets import enters, in_layer, zone
from packing.check.stated_figures import part_weights_mg
from packing.measure import Item, Order, Rules

HEAVY_HEAD_MG = 1_500_000
"""A head from this weight is not got out with one finger."""


def check_notches(plan: PlanView, insert: CutInsert, rules: Rules) -> Iterator[Problem]:
    """Finger room meets its own pocket, is as high as the pocket, and keeps wall and web."""
    items = {item.id: item for item in plan.items}
    length, width, _ = plan.interior_um
    for index, sheet in enumerate(insert.sheets):
        own = [pocket for pocket in sheet.pockets if pocket.part == Part.NOTCH and pocket.item in items]
        for notch in own:
            item = items[notch.item]
            if plan.layers and not in_layer(plan, sheet, item):
                continue
            rect, name = notch.rect, f"the notch of {notch.item}"
            lost = lost_wall_um(rect, item, (length, width), rules, insert.butt_air_um)
            if lost > 0:
                edge = min(rect.x0, rect.y0, length - rect.x1, width - rect.y1)
                message = f"{name} leaves {shown(edge)} to the edge, wall is {shown(rules.wall_um)}."
                yield missed("notch", sheet.id, message, lost)
            holes = [p for p in sheet.pockets if p.item == notch.item and p.part != Part.NOTCH]
            if not any(_opens_into(rect, hole) for hole in holes):
                yield Problem("notch", sheet.id, f"{name} does not meet its pocket.")
            above = insert.sheets[index + 1] if index + 1 < len(insert.sheets) else None
            if above is not None and in_layer(plan, above, item) and _goes_on(insert, item, rect, above, rules):
                closed = left_uncovered(rect, above.holes(notch.item), above.figures(notch.item))
                if closed:
                    yield Problem("notch", sheet.id, f"{name} is closed over {closed / 10**6:g} mm² by {above.id}.")
            yield from _notch_webs(plan, insert, sheet, notch, item, rules)
            if insert.has_covers:
                outlined = any(hole.outline for hole in holes if hole.part == Part.HEAD)
                yield from _bearing(sheet, rect, item, rules, outlined=outlined)
    yield from _notch_pairs(plan, insert, items, rules)


def _opened(item: PlanItem, rect: Rect, rules: Rules) -> list[str]:
    """The parts whose room finger room meets."""
    return [part for part, room in rooms(item, rules.clearance_um).items() if rect_gap(rect, room) <= 0]


def _goes_on(insert: CutInsert, item: PlanItem, rect: Rect, above: Sheet, rules: Rules) -> bool:
    """Tell whether the next sheet up has to be open over finger room: where it is cut for the part this opens into."""
    if not insert.has_covers:
        return True
    return any(enters(item.parts[part], above, rules) for part in _opened(item, rect, rules))


def _web_um(insert: CutInsert, item: PlanItem, rect: Rect, rules: Rules) -> int:
    """Least foam between finger room and the pockets of other items."""
    beside_handle = insert.has_covers and _opened(item, rect, rules) == ["handle"]
    return min(rules.web_um, FLAP_UM) if beside_handle else rules.web_um


def _notch_webs(
    plan: PlanView, insert: CutInsert, sheet: Sheet, notch: Pocket, item: PlanItem, rules: Rules
) -> Iterator[Problem]:
    web = _web_um(insert, item, notch.rect, rules)
    for other in plan.items:
        if other.id == item.id or other.layer != item.layer:
            continue
        for part, room in rooms(other, rules.clearance_um).items():
            gap = rect_gap(notch.rect, room)
            if gap < web:
                message = f"the notch of {item.id} and {other.id} {part} {apart(gap)}, web is {shown(web)}."
                yield missed("notch", sheet.id, message, web - gap)


def _bearing(sheet: Sheet, rect: Rect, item: PlanItem, rules: Rules, *, outlined: bool) -> Iterator[Problem]:
    """Finger room is beside the handle, clear of the head, or at the crown; never at shoulders, cheeks or edges."""
    if Part.HEAD not in item.parts:
        return
    head, handle = item.parts["head"], item.parts["handle"]
    if _opened(item, rect, rules) == ["handle"]:
        flap = rect_gap(rect, head.rect.grown(rules.clearance_um))
        if flap < FLAP_UM - rules.clearance_um:
            message = f"the notch of {item.id} leaves a flap of {shown(flap)} before its head."
            yield missed("notch", sheet.id, message, FLAP_UM - flap)
    elif not _at_crown(rect, head, handle, outlined=outlined):
        yield Problem("notch", sheet.id, f"the notch of {item.id} takes foam that its head bears on.")


def _at_crown(rect: Rect, head: Box, handle: Box, *, outlined: bool) -> bool:
    """Tell whether a rectangle lies beyond a head's crown, the side away from the handle.

    To an outline it reaches in, up to the head's middle: the crown need not come up to the rectangle.
    """
    axis = 0 if handle.x0 >= head.x1 or handle.x1 <= head.x0 else 1
    low, high, side = rect[axis], rect[axis + 2], (head[axis], head[axis + 3])
    middle = (side[0] + side[1]) / 2
    if handle[axis] >= side[1]:
        return high <= (middle if outlined else side[0]) and low < side[0]
    return low >= (middle if outlined else side[1]) and high > side[1]


def _opens_into(rect: Rect, hole: Pocket) -> bool:
    """Tell whether finger room and a pocket are one hole."""
    if not hole.outline:
        return rect_gap(rect, hole.rect) <= 0
    own = [corners_of(rect), hole.figure]
    return sum(figures_area([one]) for one in own) - figures_area(own) > ROUNDING_UM2


def _notch_pairs(plan: PlanView, insert: CutInsert, items: dict[str, PlanItem], rules: Rules) -> Iterator[Problem]:
    """Notches of different items, in whatever sheets of one layer they are."""
    found: dict[tuple[str, Rect], str] = {}
    for sheet in insert.sheets:
        for pocket in sheet.pockets:
            if pocket.part == Part.NOTCH and pocket.item in items:
                found.setdefault((pocket.item, pocket.rect), sheet.id)
    for (a, b), sheet_id in (((a, b), found[b]) for a, b in combinations(found, 2)):
        gap = rect_gap(a[1], b[1])
        web = min(_web_um(insert, items[name], rect, rules) for name, rect in (a, b))
        if a[0] != b[0] and items[a[0]].layer == items[b[0]].layer and gap < web:
            message = f"the notches of {a[0]} and {b[0]} {apart(gap)}, web is {shown(web)}."
            yield missed("notch", sheet_id, message, web - gap)


def check_lifts(plan: PlanView, insert: CutInsert, order: Order) -> Iterator[Problem]:
    """Every head has finger room or a tape, a heavy one more than one finger, and every lift is really there."""
    items = {item.id: item for item in plan.items}
    ordered = {item.id: item for item in order.items}
    for item in plan.items:
        if Part.HEAD in item.parts and item.id not in [lift.item for lift in insert.lifts]:
            yield Problem("lift", item.id, "has neither a finger notch nor a lift tape.")
    for lift in insert.lifts:
        if lift.item not in items:
            yield Problem("lift", lift.item, "is not in the plan, but has a lift.")
            continue
        item = items[lift.item]
        if lift.content.get("layer", item.layer) != item.layer:
            yield Problem(
                "lift", item.id, f"its lift is said to be in layer {lift.content['layer']!r}; it lies in {item.layer}."
            )
        if lift.rect is None:
            if not _positive(lift.content.get("length_mm")):
                yield Problem("lift", item.id, f"its tape must have a length, not {lift.content.get('length_mm')!r}.")
            continue
        yield from _finger_room(plan, insert, lift, item, order.rules)
        if insert.has_covers and lift.item in ordered:
            yield from _one_finger(lift.rect, item, ordered[lift.item], order.rules)


def _finger_room(plan: PlanView, insert: CutInsert, lift: Lift, item: PlanItem, rules: Rules) -> Iterator[Problem]:
    own = [sheet for sheet in insert.sheets if zone(plan, sheet) == ("layer", item.layer)]
    if insert.has_covers and lift.rect is not None:
        parts = [item.parts[part] for part in _opened(item, lift.rect, rules)]
        own = [sheet for sheet in own if any(enters(part, sheet, rules) for part in parts)]
    if not any(p.part == Part.NOTCH and p.item == item.id and p.rect == lift.rect for s in own[-1:] for p in s.pockets):
        yield Problem("lift", item.id, "its notch is not cut in the highest sheet with its pocket.")
    elif insert.has_covers and lift.rect is not None:
        yield from _deep_enough(insert, lift.rect, item, rules)


def _deep_enough(insert: CutInsert, rect: Rect, item: PlanItem, rules: Rules) -> Iterator[Problem]:
    """Fingers reach the middle of what finger room opens to: above it they slip off."""
    floor = min(
        (s.floor_um for s in insert.sheets for p in s.pockets if (p.part, p.item, p.rect) == ("notch", item.id, rect)),
        default=0,
    )
    middle = max((item.parts[part].z0 + item.parts[part].z1) // 2 for part in _opened(item, rect, rules))
    if floor > middle:
        message = f"its notch ends {shown(floor - middle)} above the middle of the part it opens to."
        yield missed("lift", item.id, message, floor - middle)


def _one_finger(rect: Rect, item: PlanItem, ordered: Item, rules: Rules) -> Iterator[Problem]:
    heavy = Part.HEAD in item.parts and part_weights_mg(ordered)["head"] >= HEAVY_HEAD_MG
    if heavy and _opened(item, rect, rules) != ["handle"]:
        yield Problem("lift", item.id, "its head is too heavy for one finger: two opposite, or a tape.")


def _positive(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and value > 0

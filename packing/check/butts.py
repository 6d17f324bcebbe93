"""Air beyond the butts of handles: the head's shoulders carry in a fall along the handle, and foam enough is left."""

from collections.abc import Iterator

from packing.check.butt_sides import AIR_UM, FLAP_UM, butt_side
from packing.check.insert_reader import CutInsert, Pocket, Sheet
from packing.check.kinds import Part
from packing.check.layers import A_STEP_UM, rooms
from packing.check.plan_reader import PlanItem, PlanView
from packing.check.rectangles import Rect
from packing.check.report import Problem, missed, shown
from packing.check.sheets import enters, in_layer
from packing.measure import Order, Rules, Tool

MARKED_UM = 500
"""Less than the whole air is marked to half a millimetre where the order has no step."""


def check_butts(plan: PlanView, insert: CutInsert, order: Order) -> Iterator[Problem]:
    """Where a plan says how much air there is: it is there, or all that wall and web give, and they keep a flap.

    Pockets of a tool with an outline stay in their room.
    """
    rules = order.rules
    square = {item.id for item in order.items if not (isinstance(item, Tool) and item.outline is not None)}
    if not insert.butt_air_um:
        return
    length, width, _ = plan.interior_um
    if insert.butt_air_um != AIR_UM:
        yield Problem("butt", "insert", f"air beyond butts is {shown(insert.butt_air_um)}, not {shown(AIR_UM)}.")
    for sheet in insert.sheets:
        for item in plan.items:
            if item.id not in square or Part.HANDLE not in item.parts or not enters(item.parts["handle"], sheet, rules):
                continue
            pocket = next((p for p in sheet.pockets if (p.item, p.part) == (item.id, "handle")), None)
            if pocket is None or pocket.outline or not in_layer(plan, sheet, item):
                continue
            air, edge = _far(item, pocket.rect, (length, width))
            beyond = _to_others(plan, insert, item, pocket, rules)
            yield from _air_problems(insert, sheet, item, rules, (air, edge, beyond))


def _far(item: PlanItem, rect: Rect, size: tuple[int, int]) -> tuple[int, int]:
    """Air beyond the butt in a pocket, and foam from there to the edge of the sheet."""
    axis, up = butt_side(item)
    handle = item.parts["handle"]
    if up:
        return rect[axis + 2] - handle[axis + 3], size[axis] - rect[axis + 2]
    return handle[axis] - rect[axis], rect[axis]


def _to_others(plan: PlanView, insert: CutInsert, item: PlanItem, pocket: Pocket, rules: Rules) -> int:
    """Foam from a handle's pocket on to the room of another piece, or to what is cut for one, beyond the butt."""
    axis, up = butt_side(item)
    across, rect, flap = 1 - axis, pocket.rect, min(rules.web_um, FLAP_UM)
    others = [
        room
        for other in plan.items
        if other.layer == item.layer and other.id != item.id
        for room in rooms(other, rules.clearance_um).values()
    ]
    others += [p.rect for s in insert.sheets if in_layer(plan, s, item) for p in s.pockets if p.item != item.id]
    # What lies beside the handle's way is no limit to the air beyond its butt.
    gaps = [
        other[axis] - rect[axis + 2] if up else rect[axis] - other[axis + 2]
        for other in others
        if other[across] < rect[across + 2] + flap and other[across + 2] > rect[across] - flap
    ]
    return min((gap for gap in gaps if gap > -insert.butt_air_um), default=10**9)


def _air_problems(
    insert: CutInsert, sheet: Sheet, item: PlanItem, rules: Rules, found: tuple[int, int, int]
) -> Iterator[Problem]:
    air, edge, beyond = found
    if air > insert.butt_air_um:
        message = f"there are {shown(air)} beyond the butt of {item.id}; {shown(insert.butt_air_um)} are meant."
        yield missed("butt", sheet.id, message, air - insert.butt_air_um)
    # More than its clearance is air that wall and web gave.
    if air > rules.clearance_um:
        for left, keep in ((edge, min(rules.wall_um, FLAP_UM)), (beyond, min(rules.web_um, FLAP_UM))):
            if left < keep:
                message = f"beyond the butt of {item.id} {shown(left)} of foam is left; {shown(keep)} is to stay."
                yield missed("butt", sheet.id, message, keep - left)
    spare = min(edge - min(rules.wall_um, FLAP_UM), beyond - min(rules.web_um, FLAP_UM), insert.butt_air_um - air)
    if spare >= (A_STEP_UM[rules.step] + 1 if rules.step else MARKED_UM):
        message = f"there are {shown(air)} beyond the butt of {item.id}, and foam enough for more."
        yield missed("butt", sheet.id, message, spare)

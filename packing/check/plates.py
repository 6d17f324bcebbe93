"""Plates of plywood between steel and foam: where they stand, what they take from webs and walls, whether they bend."""

from collections.abc import Iterator, Mapping
from itertools import combinations
from math import sqrt
from typing import Any

from packing.check.butt_sides import FLAP_UM
from packing.check.insert_reader import CutInsert, Loose, Pocket
from packing.check.kinds import Part
from packing.check.layers import A_STEP_UM
from packing.check.plan_reader import PlanItem, PlanView, Reader
from packing.check.rectangles import Box, Rect, box_gap, rect_gap
from packing.check.report import Problem, missed, shown
from packing.check.sheets import enters, in_layer
from packing.measure import Order, Rules

PLY_G_UM3 = 680_000 / 10**18
"""Birch plywood, 680 kg for a cubic metre (from memory)."""
BENDING_PA = 30_000_000
"""Stress that plywood bears in bending for a moment (from memory, for plywood of softwood)."""
PEAK_G = 115
"""Times the weight at the peak of a fall: the least that tools bear here, our own judgement."""
SIDES: Mapping[str, tuple[int, bool]] = {"left": (0, False), "right": (0, True), "front": (1, False), "back": (1, True)}
WEIGHT_G = 0.1
"""Weights are printed in grams with few digits; further off is another weight (our own judgement)."""


def check_plates(reader: Reader, plan: PlanView, insert: CutInsert, order: Order) -> Iterator[Problem]:
    """Every plate stands against its piece in a slot of its own; where the order asks for plates none is left out."""
    items = {item.id: item for item in plan.items}
    contacts = [held for raw in _rows(reader, insert) if (held := reader.mapping(raw, "contacts")) is not None]
    for plate in insert.plates:
        item = items.get(plate.item)
        if item is None or plate.part not in item.parts:
            yield Problem("plate", plate.id, f"stands at {plate.item!r} {plate.part!r}, which is not in the plan.")
            continue
        side = _side(item.parts[plate.part], plate.box)
        if side is None:
            yield Problem("plate", plate.id, f"does not stand right against {plate.item}.")
            continue
        yield from _slot_problems(plan, insert, plate, item, order.rules)
        yield from _strength(plate, item.parts[plate.part], side, contacts)
        grams = plate.box.side(0) * plate.box.side(1) * plate.box.side(2) * PLY_G_UM3
        if abs(float(plate.weight_g) - grams) > WEIGHT_G:
            yield Problem("plate", plate.id, f"weighs {plate.weight_g} g; its size gives {grams:.1f} g.")
    for one, other in combinations(insert.plates, 2):
        if box_gap(one.box, other.box) < 0:
            yield Problem("plate", one.id, f"runs into {other.id}.")
    yield from _empty_slots(insert, order.rules)
    for held in contacts if order.rules.plates else ():
        # A plate that would do and has room stands there; where there is no room the plan names none.
        if held.get("side") in SIDES and held.get("plate_mm") is not None:
            message = f"no plate stands between {held.get('letter')} and the {held.get('side')}; one would do."
            yield Problem("plate", "contacts", message)


def _rows(reader: Reader, insert: CutInsert) -> list[Any]:
    return list(reader.objects(insert.content, "contacts", "insert", needed=False))


def _side(part: Box, plate: Box) -> str | None:
    """The side of a part that a plate stands against."""
    for side, (axis, up) in SIDES.items():
        meets = plate[axis] == part[axis + 3] if up else plate[axis + 3] == part[axis]
        across = 1 - axis
        covers = plate[across] <= part[across] and plate[across + 3] >= part[across + 3]
        if meets and covers and (plate.z0, plate.z1) == (part.z0, part.z1):
            return side
    return None


def _slot_problems(plan: PlanView, insert: CutInsert, plate: Loose, item: PlanItem, rules: Rules) -> Iterator[Problem]:
    """Its slot is cut, as large as it is, in each sheet that its part reaches into; foam enough is left beside it."""
    # Rules are for what is cut; a plate may stand a little loose in a slot that lies on the lines of a step.
    rect = plate.box.rect
    length, width, _ = plan.interior_um
    edge = min(rect.x0, rect.y0, length - rect.x1, width - rect.y1)
    if edge < min(rules.wall_um, FLAP_UM):
        yield missed("plate", plate.id, f"leaves {shown(edge)} to the edge.", min(rules.wall_um, FLAP_UM) - edge)
    for sheet in insert.sheets:
        if not in_layer(plan, sheet, item) or not enters(item.parts[plate.part], sheet, rules):
            continue
        slots = [p.rect for p in sheet.pockets if p.item == plate.item and _is_slot_of(p, rect, rules)]
        if not slots:
            yield Problem("plate", plate.id, f"has no slot in {sheet.id}.")
        for pocket in sheet.pockets:
            gap = min((rect_gap(slot, pocket.rect) for slot in slots), default=0)
            if slots and pocket.item != plate.item and gap < min(rules.web_um, FLAP_UM):
                message = f"{shown(gap)} are left between it and the pocket of {pocket.item}."
                yield missed("plate", plate.id, message, min(rules.web_um, FLAP_UM) - gap)
    for other in plan.items:
        for part, box in other.parts.items():
            if box_gap(plate.box, box) < 0:
                yield Problem("plate", plate.id, f"runs into {other.id} {part}.")


def _is_slot_of(pocket: Pocket, plate: Rect, rules: Rules) -> bool:
    """Tell whether a hole is the slot of a plate: as large as it, or out to the lines of the order's step."""
    slot, spare = pocket.rect, A_STEP_UM[rules.step] + 1 if rules.step else 0
    beyond = (plate.x0 - slot.x0, plate.y0 - slot.y0, slot.x1 - plate.x1, slot.y1 - plate.y1)
    return pocket.part == Part.PLATE and all(0 <= one <= spare for one in beyond)


def _strength(plate: Loose, part: Box, side: str, contacts: list[Mapping[str, Any]]) -> Iterator[Problem]:
    """Thick enough for the foam under what reaches out beyond the part, a cantilever: t = a root(3 p / f)."""
    # The pressure it hands on is stated with the contact that it serves.
    found = [held for held in contacts if held.get("plate") == plate.id and held.get("side") == side]
    if len(found) != 1:
        yield Problem("plate", plate.id, f"{len(found)} rows of contacts speak of it towards the {side}; one is to.")
        return
    axis, _ = SIDES[side]
    reach = (plate.box.side(1 - axis) - part.side(1 - axis)) / 2
    stress = found[0].get("stress_pa")
    peak = float(stress) * PEAK_G if isinstance(stress, int | float) and not isinstance(stress, bool) else 0.0
    least = reach * sqrt(3 * peak / BENDING_PA)
    if plate.box.side(axis) < least:
        message = f"is {shown(plate.box.side(axis))} thick; what reaches out asks for {shown(round(least))}."
        yield missed("plate", plate.id, message, round(least) - plate.box.side(axis))


def _empty_slots(insert: CutInsert, rules: Rules) -> Iterator[Problem]:
    for sheet in insert.sheets:
        for pocket in sheet.pockets:
            own = [plate.box.rect for plate in insert.plates if plate.item == pocket.item]
            if pocket.part == Part.PLATE and not any(_is_slot_of(pocket, rect, rules) for rect in own):
                yield Problem("plate", sheet.id, f"has a slot for {pocket.item} that no plate stands in.")

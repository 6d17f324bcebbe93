"""Rules for a box that is safe to carry, each in force only where the order names it."""

from collections.abc import Iterator

from packing.check.insert_reader import CutInsert
from packing.check.kinds import Part, Pose
from packing.check.layers import rooms
from packing.check.plan_reader import PlanItem, PlanView
from packing.check.report import Problem, missed, shown
from packing.measure import Order, Sharp, Tool, grams

SIDES = ("back", "left", "front", "right")


def check_sharp_walls(plan: PlanView, order: Order) -> Iterator[Problem]:
    """The wall at every lying head's sharp ends; which end that is follows from the item's turn and cheek."""
    most = order.rules.sharp_wall_um
    if most is None:
        return
    tools = {item.id: item for item in order.items if isinstance(item, Tool)}
    length, width, _ = plan.interior_um
    for placed in plan.items:
        tool = tools.get(placed.id)
        if tool is None or placed.pose != Pose.FLAT or Part.HEAD not in placed.parts:
            continue
        room = rooms(placed, order.rules.clearance_um)["head"]
        left = {"left": room.x0, "front": room.y0, "right": length - room.x1, "back": width - room.y1}
        for side in _sharp_sides(tool, placed):
            if left[side] < most:
                message = f"its sharp end is {shown(left[side])} from the {side} edge, sharp_wall is {shown(most)}."
                yield missed("sharp_wall", placed.id, message, most - left[side])


def _sharp_sides(tool: Tool, placed: PlanItem) -> list[str]:
    """Towards which edges a lying tool's sharp ends look: unturned, the far end looks to the back."""
    if tool.sharp is Sharp.NONE:
        return []
    turn, flipped = placed.content.get("turn"), placed.content.get("flipped")
    quarter = (turn // 90 if isinstance(turn, int) else 0) + (2 if flipped is True else 0)
    ends = [quarter] if tool.sharp is Sharp.FAR else [quarter, quarter + 2]
    return [SIDES[end % 4] for end in ends]


def check_stiff_sheets(plan: PlanView, insert: CutInsert, order: Order) -> Iterator[Problem]:
    """A stiff sheet of another material than the foam right under every layer but the lowest."""
    thickness = order.rules.stiff_sheet_um
    if thickness is None:
        return
    for index, layer in enumerate(plan.layers[1:], start=1):
        under = [sheet for sheet in insert.sheets if sheet.top_um == layer.floor_um]
        if not any(sheet.thickness_um == thickness and sheet.content.get("material") for sheet in under):
            message = f"no stiff sheet of {shown(thickness)} lies right under it; stiff_sheet asks for one."
            yield Problem("stiff_sheet", f"layer {index}", message)


def check_layer_weights(plan: PlanView, order: Order) -> Iterator[Problem]:
    """The weight of the pieces in each layer."""
    most = order.rules.max_layer_mg
    if most is None:
        return
    weight = {item.id: item.weight_mg for item in order.items}
    for index in range(len(plan.layers)):
        load = sum(weight.get(item.id, 0) for item in plan.items if item.layer == index)
        if load > most:
            message = f"its pieces weigh {grams(load)} g together, max_layer_g is {grams(most)} g."
            yield Problem("max_layer", f"layer {index}", message)

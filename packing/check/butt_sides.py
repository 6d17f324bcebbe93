"""The side of a handle's pocket where its butt is, and how far a pocket or finger room may reach there."""

from packing.check.kinds import Part
from packing.check.plan_reader import PlanItem
from packing.check.rectangles import Rect, rect_gap
from packing.measure import Rules

AIR_UM = 10_000
"""Air beyond a butt, where there is room for it."""
FLAP_UM = 15_000
"""Foam left beside air and finger room; a thinner flap tears."""


def butt_side(item: PlanItem) -> tuple[int, bool]:
    """The axis along which a handle leaves its head, and whether towards greater x or y."""
    head, handle = item.parts["head"], item.parts["handle"]
    axis = 0 if handle.x0 >= head.x1 or handle.x1 <= head.x0 else 1
    return axis, handle[axis] >= head[axis + 3]


def over_um(room: Rect, pocket: Rect, item: PlanItem, air_um: int) -> int:
    """By how much a handle's pocket reaches past its room, air beyond the butt left out."""
    sides = list(room)
    if {Part.HEAD, Part.HANDLE} <= set(item.parts):
        axis, up = butt_side(item)
        handle = item.parts["handle"]
        if up:
            sides[axis + 2] = max(sides[axis + 2], handle[axis + 3] + air_um)
        else:
            sides[axis] = min(sides[axis], handle[axis] - air_um)
    return max(sides[0] - pocket.x0, sides[1] - pocket.y0, pocket.x1 - sides[2], pocket.y1 - sides[3])


def lost_wall_um(rect: Rect, item: PlanItem, size: tuple[int, int], rules: Rules, air_um: int) -> int:
    """By how much finger room is nearer to an edge than the wall: at the butt air may leave a flap alone."""
    keep = dict.fromkeys(((0, False), (0, True), (1, False), (1, True)), rules.wall_um)
    if air_um and {Part.HEAD, Part.HANDLE} <= set(item.parts) and rect_gap(rect, item.parts["handle"].rect) < 0:
        keep[butt_side(item)] = min(rules.wall_um, max(FLAP_UM, rules.wall_um - air_um + rules.clearance_um))
    left = {(0, False): rect.x0, (0, True): size[0] - rect.x1, (1, False): rect.y0, (1, True): size[1] - rect.y1}
    return max(keep[side] - left[side] for side in keep)

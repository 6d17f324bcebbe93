"""Finger notches and lift tapes: how each piece is got out again."""

from collections.abc import Mapping, Sequence

from packing.insert.loose import grown
from packing.insert.model import Lift, Rect, Sheet
from packing.materials import Sundry
from packing.measure import Order, Tool
from packing.nest import Placement
from packing.plan.kinds import Axis, LiftKind, Pose, Sharp

NOTCH_WIDTH_UM = 27_000
"""Along the pocket; 25 to 30 mm for a gloved finger (common practice, no source)."""
NOTCH_DEPTH_UM = 20_000
"""Away from the pocket (common practice, no source)."""
STEP_UM = 500
"""A notch in the middle of a side is marked out to half a millimetre."""
OWN_HANDLE_UM = 8_000
"""Foam that stays between a notch and its own item's handle pocket, so that the handle keeps its bed."""
GRIP_UM = 60_000
"""Length of each free end of a lift tape."""

_Side = tuple[int, int, int]
"""Axis the notch points along (0 for x, 1 for y), its sign, the edge's coordinate on that axis."""


def _apart(first: Rect, second: Rect) -> int:
    """How far two rectangles are apart along x or y, whichever is more; negative where they overlap."""
    return max(
        first[0] - second[2],
        second[0] - first[2],
        first[1] - second[3],
        second[1] - first[3],
    )


def _notch(side: _Side, start: int) -> Rect:
    axis, sign, edge = side
    low, high = (edge, edge + NOTCH_DEPTH_UM) if sign > 0 else (edge - NOTCH_DEPTH_UM, edge)
    if axis == 0:
        return (low, start, high, start + NOTCH_WIDTH_UM)
    return (start, low, start + NOTCH_WIDTH_UM, high)


def _best_notch(pocket: Rect, side: _Side, bounds: Rect, obstacles: Sequence[tuple[Rect, int]]) -> Rect | None:
    """The notch on one side that is nearest to its middle and keeps every distance."""
    along = 1 - side[0]
    edge_low, edge_high = pocket[along], pocket[along + 2]
    first, last = sorted((edge_low, edge_high - NOTCH_WIDTH_UM))
    centre = (edge_low + edge_high - NOTCH_WIDTH_UM) // 2 // STEP_UM * STEP_UM
    low, high = max(first, bounds[along]), min(last, bounds[along + 2] - NOTCH_WIDTH_UM)
    starts = {centre, low, high}
    for rect, keep in obstacles:
        starts.update((rect[along] - keep - NOTCH_WIDTH_UM, rect[along + 2] + keep))
    for start in sorted((s for s in starts if low <= s <= high), key=lambda s: (abs(s - centre), s)):
        notch = _notch(side, start)
        inside = bounds[0] <= notch[0] and notch[2] <= bounds[2] and bounds[1] <= notch[1] and notch[3] <= bounds[3]
        if inside and all(_apart(notch, rect) >= keep for rect, keep in obstacles):
            return notch
    return None


def _handle_axis(one: Placement) -> int:
    """The axis along which a tool's handle leaves its head: 0 for x, 1 for y."""
    head, handle = one.parts
    return 0 if handle.x0 >= head.x1 or handle.x1 <= head.x0 else 1


def _lies_sharp(order: Order, one: Placement) -> bool:
    """Whether it is a tool that lies flat and has a sharp end: neither finger nor tape goes there."""
    item = order.items[one.item]
    return isinstance(item, Tool) and item.sharp != Sharp.NONE and one.orientation.pose == Pose.FLAT


def _sides(order: Order, one: Placement, pocket: Rect) -> list[_Side]:
    """The sides of a pocket where a finger may go, best first: long ones, then those away from the handle."""
    x0, y0, x1, y1 = pocket
    sides: list[_Side] = [(0, -1, x0), (0, 1, x1), (1, -1, y0), (1, 1, y1)]
    item = order.items[one.item]
    if not isinstance(item, Tool):
        return sorted(sides, key=lambda side: x1 - x0 if side[0] == 0 else y1 - y0)
    head, handle = one.parts
    handle_axis = _handle_axis(one)
    if _lies_sharp(order, one):
        sides = [side for side in sides if side[0] == handle_axis]

    def rank(side: _Side) -> tuple[int, bool]:
        reach = x1 - x0 if side[0] == 0 else y1 - y0
        middle = (handle.x0 + handle.x1, handle.y0 + handle.y1)[side[0]]
        own = (head.x0 + head.x1, head.y0 + head.y1)[side[0]]
        return reach, side[0] == handle_axis and (middle > own) == (side[1] > 0)

    return sorted(sides, key=rank)


def _tape(order: Order, one: Placement, top_um: int, tape: Sundry) -> Lift:
    part = one.parts[0]
    sizes = (part.x1 - part.x0, part.y1 - part.y0)
    axis = _handle_axis(one) if _lies_sharp(order, one) else sizes.index(min(sizes))
    length = 2 * (top_um - part.z0) + sizes[axis] + 2 * GRIP_UM
    weight = (2 * length * tape.each_mg + 10**6) // (2 * 10**6)
    return Lift(one.item, one.layer, LiftKind.TAPE, None, length, weight, (Axis.X, Axis.Y)[axis])


def find_notches(
    order: Order, placed: Sequence[Placement], size_um: tuple[int, int], *, fit_um: int
) -> dict[int, Rect]:
    """A finger notch beside every head and block where there is foam to spare.

    Parameters
    ----------
    order
        For the rules and what is sharp.
    placed
        The items that lie in layers, in the order's order.
    size_um
        The interior's length and width.
    fit_um
        Room cut around a part.

    Returns
    -------
    dict
        Index of an item to its notch; items without one have a tape.

    Notes
    -----
    A notch keeps `web` from every other item's pocket room and notch, `wall` from the edge, `OWN_HANDLE_UM` from its
    own handle's pocket. It never goes to the ends of a head that is sharp and lies flat. The search is exact on each
    side: the best place is at the middle or where it just keeps one of those distances.
    """
    rules = order.rules
    bounds = (rules.wall_um, rules.wall_um, size_um[0] - rules.wall_um, size_um[1] - rules.wall_um)
    layers = {one.item: one.layer for one in placed}
    found: dict[int, Rect] = {}
    for one in placed:
        pocket = grown(one.parts[0], fit_um)
        obstacles = [
            (grown(part, rules.clearance_um), rules.web_um)
            for other in placed
            if other.layer == one.layer and other.item != one.item
            for part in other.parts
        ]
        obstacles += [(rect, rules.web_um) for item, rect in found.items() if layers[item] == one.layer]
        obstacles += [(grown(part, fit_um), OWN_HANDLE_UM) for part in one.parts[1:]]
        notches = (_best_notch(pocket, side, bounds, obstacles) for side in _sides(order, one, pocket))
        notch = next((rect for rect in notches if rect), None)
        if notch:
            found[one.item] = notch
    return found


def make_lifts(
    order: Order, placed: Sequence[Placement], notches: Mapping[int, Rect], sheets: Sequence[Sheet], tape: Sundry
) -> tuple[Lift, ...]:
    """How each item is got out: by its notch, else by a tape.

    Parameters
    ----------
    order
        For what is sharp.
    placed
        The items that lie in layers, in the order's order.
    notches
        As `find_notches` gives them.
    sheets
        The stack with its pockets.
    tape
        The ribbon, by the metre.

    Returns
    -------
    tuple of Lift
        One for each item. A tape goes under the head the shorter way, along the handle where the head is sharp and lies
        flat, up both sides to the top of its pocket, with a grip at each end.
    """
    lifts = []
    for one in placed:
        notch = notches.get(one.item)
        if notch:
            lifts.append(Lift(one.item, one.layer, LiftKind.NOTCH, notch))
            continue
        cut = [s.top_um for s in sheets if any(p.item == one.item and p.part == one.parts[0].name for p in s.pockets)]
        lifts.append(_tape(order, one, max(cut), tape))
    return tuple(lifts)

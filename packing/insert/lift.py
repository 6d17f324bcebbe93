"""Finger room and lift tapes: how each piece is got out again."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from packing.insert.fitted import Fit, grown, holes_of
from packing.insert.model import Hole, Lift, Rect, Sheet
from packing.materials import Sundry
from packing.measure import Order, Tool
from packing.nest import Placement
from packing.plan.kinds import Axis, LiftKind, Part, Pose, Sharp
from packing.pose import part_weights_mg

NOTCH_WIDTH_UM = 27_000
"""Along the pocket; 25 to 30 mm for a gloved finger (common practice, no source)."""
NOTCH_DEPTH_UM = 20_000
"""Away from the pocket (common practice, no source)."""
STEP_UM = 500
"""A notch in the middle of a side is marked out to half a millimetre."""
FLAP_UM = 15_000
"""Foam that stays between finger room and another pocket: a thinner flap tears (common practice, no source)."""
HEAVY_HEAD_MG = 1_500_000
"""From this weight of head one finger is not enough: two opposite ones or a tape (common practice, no source)."""
GRIP_UM = 60_000
"""Length of each free end of a lift tape."""

_Side = tuple[int, int, int]
"""Axis the notch points along (0 for x, 1 for y), its sign, the edge's coordinate on that axis."""
_Obstacles = Sequence[tuple[Rect, int]]
"""Rectangles that finger room must keep away from, and how far."""


@dataclass(frozen=True, slots=True)
class FingerRoom:
    """A hole that opens into the pocket of one part of an item, and is cut through the same sheets.

    Parameters
    ----------
    part
        Whose pocket it opens into.
    rect
        Its corners in micrometres.
    """

    part: Part
    rect: Rect


def _apart(first: Rect, second: Rect) -> int:
    """The distance of two rectangles along x or y, whichever is more; negative where they overlap."""
    return max(
        first[0] - second[2],
        second[0] - first[2],
        first[1] - second[3],
        second[1] - first[3],
    )


def _fits(rect: Rect, bounds: Rect, obstacles: _Obstacles) -> bool:
    inside = bounds[0] <= rect[0] and rect[2] <= bounds[2] and bounds[1] <= rect[1] and rect[3] <= bounds[3]
    return inside and all(_apart(rect, other) >= keep for other, keep in obstacles)


def _notch(side: _Side, start: int) -> Rect:
    axis, sign, edge = side
    low, high = (edge, edge + NOTCH_DEPTH_UM) if sign > 0 else (edge - NOTCH_DEPTH_UM, edge)
    if axis == 0:
        return (low, start, high, start + NOTCH_WIDTH_UM)
    return (start, low, start + NOTCH_WIDTH_UM, high)


def _best_notch(pocket: Rect, side: _Side, bounds: Rect, obstacles: _Obstacles) -> Rect | None:
    """The notch on one side that is nearest to its middle and keeps every distance."""
    along = 1 - side[0]
    edge_low, edge_high = pocket[along], pocket[along + 2]
    first, last = sorted((edge_low, edge_high - NOTCH_WIDTH_UM))
    # To the half millimetre, as everything that a rod is marked by.
    centre = (edge_low + edge_high - NOTCH_WIDTH_UM) // 2 // STEP_UM * STEP_UM
    low, high = max(first, bounds[along]), min(last, bounds[along + 2] - NOTCH_WIDTH_UM)
    starts = {centre, low, high}
    for rect, keep in obstacles:
        # A best place is the middle, an end, or one that just keeps its distance: nothing between them has to be tried.
        starts.update((rect[along] - keep - NOTCH_WIDTH_UM, rect[along + 2] + keep))
    for start in sorted((s for s in starts if low <= s <= high), key=lambda s: (abs(s - centre), s)):
        notch = _notch(side, start)
        if _fits(notch, bounds, obstacles):
            return notch
    return None


def _handle_axis(one: Placement) -> int:
    """The axis along which a tool's handle leaves its head: 0 for x, 1 for y."""
    head, handle = one.parts
    return 0 if handle.x0 >= head.x1 or handle.x1 <= head.x0 else 1


def _points_up(one: Placement) -> bool:
    """Tell whether a tool's handle leaves its head towards higher x or y."""
    head, handle = one.parts
    return handle.x0 >= head.x1 if _handle_axis(one) == 0 else handle.y0 >= head.y1


def _across_the_handle(one: Placement, fit_um: int, bounds: Rect, obstacles: _Obstacles) -> Rect | None:
    """Room for a finger on both sides of the handle, as near to the head as all distances allow."""
    axis = _handle_axis(one)
    head, pocket = grown(one.parts[0], fit_um), grown(one.parts[1], fit_um)
    up = _points_up(one)
    first = head[axis + 2] + FLAP_UM if up else head[axis] - FLAP_UM - NOTCH_WIDTH_UM
    starts = {first}
    for rect, keep in obstacles:
        starts.update((rect[axis] - keep - NOTCH_WIDTH_UM, rect[axis + 2] + keep))
    low, high = pocket[axis], pocket[axis + 2] - NOTCH_WIDTH_UM
    allowed = [s for s in starts if low <= s <= high and (s >= first if up else s <= first)]
    across = (pocket[1 - axis] - NOTCH_DEPTH_UM, pocket[3 - axis] + NOTCH_DEPTH_UM)
    for start in sorted(allowed, key=lambda s: abs(s - first)):
        end = start + NOTCH_WIDTH_UM
        rect = (start, across[0], end, across[1]) if axis == 0 else (across[0], start, across[1], end)
        if _fits(rect, bounds, obstacles):
            return rect
    return None


def _crown(one: Placement, pocket: Rect) -> _Side:
    """The side of a head's pocket away from the handle."""
    axis, up = _handle_axis(one), _points_up(one)
    return (axis, -1 if up else 1, pocket[axis] if up else pocket[axis + 2])


def _long_sides_first(pocket: Rect) -> list[_Side]:
    x0, y0, x1, y1 = pocket
    sides: list[_Side] = [(0, -1, x0), (0, 1, x1), (1, -1, y0), (1, 1, y1)]
    return sorted(sides, key=lambda side: x1 - x0 if side[0] == 0 else y1 - y0)


def _reaching(notch: Rect, side: _Side, hole: Hole) -> Rect:
    """A notch beside a head's rectangle, made longer towards it until it opens into the head's outline."""
    axis, sign, _ = side
    along = 1 - axis
    depths = []
    for a, b in zip(hole.outline, [*hole.outline[1:], *hole.outline[:1]], strict=True):
        # Sides that look towards the notch, as far as they lie before it.
        looks = (b[1] - a[1] if axis == 0 else a[0] - b[0]) * sign > 0
        low, high = max(notch[along], min(a[along], b[along])), min(notch[along + 2], max(a[along], b[along]))
        if looks and low < high:
            slope = (b[axis] - a[axis]) / (b[along] - a[along])
            depths += [a[axis] + slope * (at - a[along]) for at in (low, high)]
    if not depths:
        return notch
    # A millimetre in, so that the two are one hole.
    to = int(min(depths)) - 1_000 if sign > 0 else int(max(depths)) + 1_000
    reached = list(notch)
    reached[axis if sign > 0 else axis + 2] = min(notch[axis], to) if sign > 0 else max(notch[axis + 2], to)
    return (reached[0], reached[1], reached[2], reached[3])


def _room(order: Order, one: Placement, bounds: Rect, others: Iterable[Rect], fit: Fit) -> FingerRoom | None:
    """Finger room for one item; None where it needs a tape."""
    fit_um = fit.room_um
    pocket = grown(one.parts[0], fit_um)
    rects = list(others)
    obstacles = [(rect, order.rules.web_um) for rect in rects]
    item = order.items[one.item]
    if not isinstance(item, Tool):
        notches = (_best_notch(pocket, side, bounds, obstacles) for side in _long_sides_first(pocket))
        notch = next((rect for rect in notches if rect), None)
        return FingerRoom(Part.BLOCK, notch) if notch else None
    # Beside a handle a flap is enough: it carries nothing, it only must not tear.
    near = [(rect, min(order.rules.web_um, FLAP_UM)) for rect in rects]
    across = _across_the_handle(one, fit_um, bounds, near)
    if across:
        return FingerRoom(Part.HANDLE, across)
    if part_weights_mg(item)[0] >= HEAVY_HEAD_MG:
        return None
    crown = _crown(one, pocket)
    notch = _best_notch(pocket, crown, bounds, obstacles)
    return FingerRoom(Part.HEAD, _reaching(notch, crown, holes_of(item, one, fit)[0])) if notch else None


def find_finger_rooms(
    order: Order, placed: Sequence[Placement], size_um: tuple[int, int], *, fit: Fit
) -> dict[int, FingerRoom]:
    """Finger room for each item where there is foam to spare.

    Parameters
    ----------
    order
        For the rules and the heads' weights.
    placed
        The items that lie in layers, in the order's order.
    size_um
        The interior's length and width.
    fit
        Room cut around a part.

    Returns
    -------
    dict
        Index of an item to its finger room; items without one have a tape.

    Notes
    -----
    A tool has room for a finger on both sides of its handle, `FLAP_UM` or more from its head's pocket and as near to it
    as can be; else, where its head is light, one notch at its crown, the side away from the handle. Shoulders, cheeks,
    faces and edges are left alone: the foam there carries the head. A block has a notch at its longest side where there
    is one. Every room keeps `wall` from the edge and `web` from every other item's pocket room and finger room; beside
    a handle `FLAP_UM` is enough where `web` is more. The search is exact along each side: the best place is the
    preferred one or one that just keeps one of those distances.
    """
    rules = order.rules
    bounds = (rules.wall_um, rules.wall_um, size_um[0] - rules.wall_um, size_um[1] - rules.wall_um)
    layers = {one.item: one.layer for one in placed}
    found: dict[int, FingerRoom] = {}
    for one in placed:
        others = [
            grown(part, rules.clearance_um)
            for other in placed
            if other.layer == one.layer and other.item != one.item
            for part in other.parts
        ]
        # Room that is given stays given: a later item finds what is left.
        others += [room.rect for item, room in found.items() if layers[item] == one.layer]
        room = _room(order, one, bounds, others, fit)
        if room:
            found[one.item] = room
    return found


def _tape(order: Order, one: Placement, top_um: int, tape: Sundry) -> Lift:
    part = one.parts[0]
    item = order.items[one.item]
    sizes = (part.x1 - part.x0, part.y1 - part.y0)
    sharp = isinstance(item, Tool) and item.sharp != Sharp.NONE and one.orientation.pose == Pose.FLAT
    axis = _handle_axis(one) if sharp else sizes.index(min(sizes))
    length = 2 * (top_um - part.z0) + sizes[axis] + 2 * GRIP_UM
    # Half a milligram up, as all weights are rounded.
    weight = (2 * length * tape.each_mg + 10**6) // (2 * 10**6)
    return Lift(one.item, one.layer, LiftKind.TAPE, None, length, weight, (Axis.X, Axis.Y)[axis])


def make_lifts(
    order: Order, placed: Sequence[Placement], rooms: Mapping[int, FingerRoom], sheets: Sequence[Sheet], tape: Sundry
) -> tuple[Lift, ...]:
    """Make the lift of each item: by its finger room, else by a tape.

    Parameters
    ----------
    order
        For what is sharp.
    placed
        The items that lie in layers, in the order's order.
    rooms
        As `find_finger_rooms` gives them.
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
        room = rooms.get(one.item)
        if room:
            lifts.append(Lift(one.item, one.layer, LiftKind.NOTCH, room.rect))
            continue
        # Up to the highest sheet that is cut for the head: there its ends come out.
        cut = [s.top_um for s in sheets if any(p.item == one.item and p.part == one.parts[0].name for p in s.pockets)]
        lifts.append(_tape(order, one, max(cut), tape))
    return tuple(lifts)

"""Finger room and lift tapes: how each piece is got out again."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from packing.insert.butt import FLAP_UM, apart, handle_axis, points_up
from packing.insert.fitted import Fit, grown, holes_of, pocket_rects
from packing.insert.lines import Lines
from packing.insert.model import Hole, Lift, Rect, Sheet
from packing.insert.stack import FINGER_UM
from packing.insert.work import INSERT_MINUTES, passes
from packing.materials import Sundry
from packing.measure import Order, Tool
from packing.nest import Placement
from packing.plan.kinds import Axis, InsertWork, LiftKind, Part, Pose, Sharp
from packing.pose import part_weights_mg

NOTCH_WIDTH_UM = 27_000
"""Along the pocket; 25 to 30 mm for a gloved finger (common practice, no source)."""
NOTCH_DEPTH_UM = 20_000
"""Away from the pocket (common practice, no source)."""
HEAVY_HEAD_MG = 1_500_000
"""From this weight of head one finger is not enough: two opposite ones or a tape (common practice, no source)."""
TAPE_END_UM = 60_000
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


def _fits(rect: Rect, bounds: Rect, obstacles: _Obstacles) -> bool:
    inside = bounds[0] <= rect[0] and rect[2] <= bounds[2] and bounds[1] <= rect[1] and rect[3] <= bounds[3]
    return inside and all(apart(rect, other) >= keep for other, keep in obstacles)


def _room_um(lines: Lines) -> tuple[int, int]:
    """Width of finger room along a pocket, and its depth away from it."""
    return lines.near(NOTCH_WIDTH_UM), lines.near(NOTCH_DEPTH_UM)


def _notch(side: _Side, start: int, lines: Lines) -> Rect:
    (axis, sign, edge), (width, depth) = side, _room_um(lines)
    low, high = (edge, edge + depth) if sign > 0 else (edge - depth, edge)
    if axis == 0:
        return (low, start, high, start + width)
    return (start, low, start + width, high)


def _best_notch(pocket: Rect, side: _Side, bounds: Rect, obstacles: _Obstacles, lines: Lines) -> Rect | None:
    """The notch on one side that is nearest to its middle and keeps every distance."""
    along, (width, _) = 1 - side[0], _room_um(lines)
    edge_low, edge_high = pocket[along], pocket[along + 2]
    first, last = sorted((edge_low, edge_high - width))
    # As everything that a rod is marked by.
    centre = lines.near((edge_low + edge_high - width) // 2)
    low, high = max(first, bounds[along]), min(last, bounds[along + 2] - width)
    starts = {centre, lines.up(low), lines.down(high)}
    for rect, keep in obstacles:
        # A best place is the middle, an end, or one that just keeps its distance: nothing between them has to be tried.
        starts.update((lines.down(rect[along] - keep - width), lines.up(rect[along + 2] + keep)))
    for start in sorted((s for s in starts if low <= s <= high), key=lambda s: (abs(s - centre), s)):
        notch = _notch(side, start, lines)
        if _fits(notch, bounds, obstacles):
            return notch
    return None


def _across_the_handle(one: Placement, fit: Fit, bounds: Rect, obstacles: _Obstacles) -> Rect | None:
    """Room for a finger on both sides of the handle, as near to the head as all distances allow."""
    axis, up, lines = handle_axis(one), points_up(one), Lines(fit.step)
    (head, pocket), (width, depth) = pocket_rects(one, fit), _room_um(lines)
    first = lines.up(head[axis + 2] + FLAP_UM) if up else lines.down(head[axis] - FLAP_UM - width)
    starts = {first}
    for rect, keep in obstacles:
        starts.update((lines.down(rect[axis] - keep - width), lines.up(rect[axis + 2] + keep)))
    low, high = pocket[axis], pocket[axis + 2] - width
    allowed = [s for s in starts if low <= s <= high and (s >= first if up else s <= first)]
    across = (pocket[1 - axis] - depth, pocket[3 - axis] + depth)
    for start in sorted(allowed, key=lambda s: abs(s - first)):
        end = start + width
        rect = (start, across[0], end, across[1]) if axis == 0 else (across[0], start, across[1], end)
        if _fits(rect, bounds, obstacles):
            return rect
    return None


def _crown(one: Placement, pocket: Rect) -> _Side:
    """The side of a head's pocket away from the handle."""
    axis, up = handle_axis(one), points_up(one)
    return (axis, -1 if up else 1, pocket[axis] if up else pocket[axis + 2])


def _long_sides_first(pocket: Rect) -> list[_Side]:
    x0, y0, x1, y1 = pocket
    sides: list[_Side] = [(0, -1, x0), (0, 1, x1), (1, -1, y0), (1, 1, y1)]
    return sorted(sides, key=lambda side: x1 - x0 if side[0] == 0 else y1 - y0)


def _reaching(notch: Rect, side: _Side, hole: Hole, lines: Lines) -> Rect:
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
    to = lines.down(int(min(depths)) - 1_000) if sign > 0 else lines.up(int(max(depths)) + 1_000)
    reached = list(notch)
    reached[axis if sign > 0 else axis + 2] = min(notch[axis], to) if sign > 0 else max(notch[axis + 2], to)
    return (reached[0], reached[1], reached[2], reached[3])


def _at_the_butt(one: Placement, pocket: Rect, bounds: Rect, obstacles: _Obstacles, lines: Lines) -> Rect | None:
    """Room for a finger on both sides of the handle's end: it takes the air beyond the butt in, and fewer corners."""
    axis, up, across = handle_axis(one), points_up(one), 1 - handle_axis(one)
    head, handle = grown(one.parts[0], 0), grown(one.parts[1], 0)
    end, (width, depth) = pocket[axis + 2] if up else pocket[axis], _room_um(lines)
    start = lines.down(handle[axis + 2] - width) if up else lines.up(handle[axis] + width)
    flap = start - head[axis + 2] if up else head[axis] - start
    low, high = pocket[across] - depth, pocket[across + 2] + depth
    along = (min(start, end), max(start, end))
    rect = (along[0], low, along[1], high) if axis == 0 else (low, along[0], high, along[1])
    # The wall beyond the butt has given its air already.
    inside = list(bounds)
    inside[axis], inside[axis + 2] = min(bounds[axis], rect[axis]), max(bounds[axis + 2], rect[axis + 2])
    whole = (inside[0], inside[1], inside[2], inside[3])
    return rect if flap >= FLAP_UM and _fits(rect, whole, obstacles) else None


def _tape_is_less(minutes: Mapping[InsertWork, Decimal]) -> bool:
    """Tell whether a tape is less work than room across a handle: four corners, twice round with the knife."""
    across_m = Decimal(2 * (NOTCH_WIDTH_UM + NOTCH_DEPTH_UM)) / 10**6
    cut = 4 * minutes[InsertWork.CORNER] + across_m * minutes[InsertWork.POCKET]
    return minutes[InsertWork.TAPE] < minutes[InsertWork.RECTANGLE] + passes(FINGER_UM) * cut


@dataclass(frozen=True, slots=True)
class _Search:
    """The search for finger room: what all items have in common."""

    order: Order
    bounds: Rect
    fit: Fit
    handles: Mapping[int, Rect]
    tape_if_heavy: bool

    def room(self, one: Placement, rects: Sequence[Rect], airs: Sequence[Rect]) -> FingerRoom | None:
        """Finger room for one item, clear of rooms of parts and fingers and of air; None where it needs a tape."""
        web = self.order.rules.web_um
        # Beside a handle a flap is enough: it carries nothing, it only must not tear.
        flap = min(web, FLAP_UM)
        near = [(rect, flap) for rect in (*rects, *airs)]
        obstacles = [*((rect, web) for rect in rects), *((rect, flap) for rect in airs)]
        item, pocket, lines = self.order.items[one.item], pocket_rects(one, self.fit)[0], Lines(self.fit.step)
        if not isinstance(item, Tool):
            notches = (_best_notch(pocket, side, self.bounds, obstacles, lines) for side in _long_sides_first(pocket))
            notch = next((rect for rect in notches if rect), None)
            return FingerRoom(Part.BLOCK, notch) if notch else None
        heavy = part_weights_mg(item)[0] >= HEAVY_HEAD_MG
        if heavy and self.tape_if_heavy:
            return None
        own = self.handles.get(one.item)
        # A heavy head is taken hold of next to it.
        across = None if own is None or heavy else _at_the_butt(one, own, self.bounds, near, lines)
        across = across or _across_the_handle(one, self.fit, self.bounds, near)
        if across:
            return FingerRoom(Part.HANDLE, across)
        if heavy:
            return None
        crown = _crown(one, pocket)
        notch = _best_notch(pocket, crown, self.bounds, obstacles, lines)
        if notch is None:
            return None
        return FingerRoom(Part.HEAD, _reaching(notch, crown, holes_of(item, one, self.fit)[0], lines))


def find_finger_rooms(
    order: Order,
    placed: Sequence[Placement],
    size_um: tuple[int, int],
    *,
    fit: Fit,
    handles: Mapping[int, Rect],
    minutes: Mapping[InsertWork, Decimal] = INSERT_MINUTES,
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
    handles
        Pockets with air beyond their butts, as `with_air` gives them.
    minutes
        For one of each kind of work.

    Returns
    -------
    dict
        Index of an item to its finger room; items without one have a tape.

    Notes
    -----
    A tool has room for a finger on both sides of its handle: at its end, where there is air beyond the butt, else
    `FLAP_UM` or more from its head's pocket and as near to it as can be; else, where its head is light, one notch at
    its crown, the side away from the handle. A heavy head has room next to it on both sides of the handle, or a tape
    where that is less work and thin stock is named. Shoulders, cheeks, faces and edges are left alone: the foam there
    carries the head. A block has a notch at its longest side where there is one. Every room keeps `wall` from the edge
    and `web` from every other item's pocket room and finger room; beside a handle, and towards air, `FLAP_UM` is enough
    where `web` is more. The search is exact along each side: the best place is the preferred one or one that just keeps
    one of those distances.
    """
    rules = order.rules
    bounds = (rules.wall_um, rules.wall_um, size_um[0] - rules.wall_um, size_um[1] - rules.wall_um)
    search = _Search(order, bounds, fit, handles, rules.thin_um is not None and _tape_is_less(minutes))
    layers = {one.item: one.layer for one in placed}
    found: dict[int, FingerRoom] = {}
    for one in placed:
        near = [other for other in placed if other.layer == one.layer and other.item != one.item]
        rects = [grown(part, rules.clearance_um) for other in near for part in other.parts]
        # Room that is given stays given: a later item finds what is left.
        rects += [room.rect for item, room in found.items() if layers[item] == one.layer]
        airs = [handles[other.item] for other in near if other.item in handles]
        room = search.room(one, rects, airs)
        if room:
            found[one.item] = room
    return found


def _tape(order: Order, one: Placement, top_um: int, tape: Sundry) -> Lift:
    part = one.parts[0]
    item = order.items[one.item]
    sizes = (part.x1 - part.x0, part.y1 - part.y0)
    sharp = isinstance(item, Tool) and item.sharp != Sharp.NONE and one.orientation.pose == Pose.FLAT
    axis = handle_axis(one) if sharp else sizes.index(min(sizes))
    length = 2 * (top_um - part.z0) + sizes[axis] + 2 * TAPE_END_UM
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

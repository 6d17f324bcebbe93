"""Air beyond the butts of handles, so that in a fall along the handle the head's shoulders carry."""

from collections.abc import Iterable, Sequence

from packing.insert.fitted import Fit, grown, pocket_rects
from packing.insert.lines import Lines
from packing.insert.model import Rect
from packing.measure import Order, Tool
from packing.nest import Placement

AIR_UM = 10_000
"""Beyond a butt (common practice, no source)."""
FLAP_UM = 15_000
"""Foam that stays between air or finger room and another pocket: a thinner flap tears (common practice, no source)."""


def apart(first: Rect, second: Rect) -> int:
    """The distance of two rectangles along x or y, whichever is more; negative where they overlap."""
    return max(
        first[0] - second[2],
        second[0] - first[2],
        first[1] - second[3],
        second[1] - first[3],
    )


def handle_axis(one: Placement) -> int:
    """The axis along which a tool's handle leaves its head: 0 for x, 1 for y."""
    head, handle = one.parts
    return 0 if handle.x0 >= head.x1 or handle.x1 <= head.x0 else 1


def points_up(one: Placement) -> bool:
    """Tell whether a tool's handle leaves its head towards higher x or y."""
    head, handle = one.parts
    return handle.x0 >= head.x1 if handle_axis(one) == 0 else handle.y0 >= head.y1


def _longer(rect: Rect, axis: int, by_um: int, *, up: bool) -> Rect:
    """A rectangle that reaches so much further at one end."""
    sides = list(rect)
    sides[axis + 2 if up else axis] += by_um if up else -by_um
    return (sides[0], sides[1], sides[2], sides[3])


def with_air(order: Order, placed: Sequence[Placement], size_um: tuple[int, int], fit: Fit) -> dict[int, Rect]:
    """The pockets of handles with air beyond their butts.

    Parameters
    ----------
    order
        For its rules: pockets are as snug at the butt as elsewhere where no thin stock is named.
    placed
        The items that lie in layers, in the order's order.
    size_um
        The interior's length and width.
    fit
        Room cut around a part.

    Returns
    -------
    dict
        Index of a tool to its handle's rectangle: `AIR_UM` beyond the butt, or as much as leaves `FLAP_UM` to the
        insert's edge and to every other pocket of its layer.

    Notes
    -----
    Wall and web give the room, which is there already: the interior stays as it is. Pockets of a tool with an outline
    stay within the clearance, so that its finger room alone takes the air in.
    """
    found: dict[int, Rect] = {}
    if order.rules.thin_um is None:
        return found
    for one in placed:
        if isinstance(order.items[one.item], Tool):
            others = _others(order, placed, one, found)
            found[one.item] = _pocket(order, one, size_um, fit, others)
    return found


def _others(order: Order, placed: Iterable[Placement], one: Placement, found: dict[int, Rect]) -> list[Rect]:
    """Rooms of the other parts in its layer, and the pockets that have their air already."""
    near = [other for other in placed if other.layer == one.layer and other.item != one.item]
    rooms = [grown(part, order.rules.clearance_um) for other in near for part in other.parts]
    return rooms + [found[other.item] for other in near if other.item in found]


def _pocket(order: Order, one: Placement, size_um: tuple[int, int], fit: Fit, others: Iterable[Rect]) -> Rect:
    axis, up, lines = handle_axis(one), points_up(one), Lines(fit.step)
    pocket, bare = pocket_rects(one, fit)[1], grown(one.parts[1], 0)
    # On a line, and no more air than there is to be: it is counted from the butt.
    end = lines.down(bare[axis + 2] + AIR_UM) if up else lines.up(bare[axis] - AIR_UM)
    longest = max(0, end - pocket[axis + 2] if up else pocket[axis] - end)
    edge = size_um[axis] - pocket[axis + 2] if up else pocket[axis]
    room = edge - min(order.rules.wall_um, FLAP_UM)
    keep = min(order.rules.web_um, FLAP_UM)
    across = 1 - axis
    for other in others:
        # Beside the handle's way nothing is in the way of its air.
        if other[across] < pocket[across + 2] + keep and other[across + 2] > pocket[across] - keep:
            gap = other[axis] - pocket[axis + 2] if up else pocket[axis] - other[axis + 2]
            room = min(room, gap - keep) if gap >= 0 else room
    if room >= longest:
        return _longer(pocket, axis, longest, up=up)
    return _longer(pocket, axis, max(0, lines.whole(room)), up=up)

"""Holes for parts: a part's rectangle with room round it, or its outline in straight sides that a knife can follow."""

from dataclasses import dataclass
from functools import lru_cache

from packing.insert.model import Hole, Rect
from packing.materials import Foam
from packing.measure import Item, Rules, Tool
from packing.nest import Placement
from packing.plan.kinds import Pose
from packing.polygon import Point, Polygon, clipped, counter_clockwise, extent, offset, simpler
from packing.pose import Part as PlacedPart
from packing.pose import turned_figure

KNIFE_CORNERS = 12
"""Most corners of one part's pocket that is cut by knife along a straightedge (common practice, no source)."""
STRAIGHT_UM = 500
"""A corner that brings the edge no nearer to the part than this is not worth cutting (common practice, no source)."""
_JOINT_UM = 1_000
"""Nearness to the head's underside within which an outline belongs to the joint of head and handle."""


@dataclass(frozen=True, slots=True)
class Fit:
    """The fit of pockets that a stock row wants, within the rules of an order, in micrometres.

    Parameters
    ----------
    room_um
        Round a rectangle, 0 or more.
    snug_um
        Round an outline: less than 0 where foam is to hold it, by no more than it gives.
    clearance_um
        What no pocket reaches past.
    """

    room_um: int
    snug_um: int
    clearance_um: int


def fit_of(foam: Foam, rules: Rules) -> Fit:
    """The fit of a foam within an order's clearance and what its foam gives."""
    most = rules.clearance_um
    return Fit(max(0, min(foam.fit_um, most)), max(-rules.give_um, min(foam.snug_um, most)), most)


def grown(part: PlacedPart, by_um: int) -> Rect:
    """A part's footprint, larger by this on each side."""
    return (part.x0 - by_um, part.y0 - by_um, part.x1 + by_um, part.y1 + by_um)


def holes_of(item: Item, one: Placement, fit: Fit) -> tuple[Hole, ...]:
    """The holes for each part of an item as it lies, in the order of its parts.

    Parameters
    ----------
    item
        Of the order.
    one
        Where it lies.
    fit
        How snug.

    Returns
    -------
    tuple of Hole
        With an outline where the item has one and lies on its cheek.
    """
    rects = [grown(part, fit.room_um) for part in one.parts]
    if not isinstance(item, Tool) or item.outline is None or one.orientation.pose is not Pose.FLAT:
        return tuple(Hole(rect) for rect in rects)
    head, handle = fitted_outline(item, fit)
    holes = []
    for rect, figures in zip(rects, (head, handle), strict=True):
        if not figures:
            holes.append(Hole(rect))
            continue
        cut, traced = (
            tuple((x + one.x_um, y + one.y_um) for x, y in turned_figure(item, one.orientation, figure))
            for figure in figures
        )
        holes.append(Hole(extent(cut), cut, () if traced == cut else traced))
    return tuple(holes)


@lru_cache(maxsize=1024)
def fitted_outline(tool: Tool, fit: Fit) -> tuple[tuple[Polygon, ...], tuple[Polygon, ...]]:
    """The pockets of head and handle in the tool's frame.

    Parameters
    ----------
    tool
        With an outline.
    fit
        How snug.

    Returns
    -------
    tuple
        For head and handle each the figure for a knife, with at most `KNIFE_CORNERS` corners, and the one for a
        machine, with all of them; nothing where the rectangle stands.

    Notes
    -----
    Every side is moved by the fit; then sides are left out, outwards alone, so that the knife's figure holds the
    machine's. Where head and handle meet nothing is moved in, so that no flap of foam stands between them.
    """
    if tool.outline is None:
        return (), ()
    underside = tool.head_height_um
    inwards = max(0, -fit.snug_um)
    head = handle = None
    if tool.outline.head is not None:
        moved = _joint(tool.outline.head, underside - _JOINT_UM, underside + inwards, above=True)
        head = _fitted(moved, tool.head_rect, fit)
    if tool.outline.handle is not None:
        moved = _joint(
            tool.outline.handle, underside + _JOINT_UM, underside - fit.clearance_um + fit.snug_um, above=False
        )
        handle = _fitted(moved, tool.handle_rect, fit)
    return head or (), handle or ()


def _joint(figure: Polygon, limit_um: int, to_um: int, *, above: bool) -> Polygon:
    """A figure that goes on, at the joint of head and handle, up to a place along the handle."""
    at_joint = [x >= limit_um if above else x <= limit_um for x, _ in figure]
    made: list[Point] = []
    for index, (x, y) in enumerate(figure):
        if not at_joint[index]:
            made.append((x, y))
            continue
        # Its own corners stay beside the new ones, so that the sides that lead to the joint keep their direction.
        begins, ends = not at_joint[index - 1], not at_joint[(index + 1) % len(figure)]
        made += [(x, y)] if begins else []
        made.append((to_um, y))
        made += [(x, y)] if ends else []
    return counter_clockwise(tuple(made))


def _fitted(figure: Polygon, rect: Rect, fit: Fit) -> tuple[Polygon, ...] | None:
    """The figure for a knife and the one for a machine; None where no figure is left."""
    moved = offset(figure, fit.snug_um)
    if moved is None:
        return None
    c = fit.clearance_um
    within = clipped(moved, (rect[0] - c, rect[1] - c, rect[2] + c, rect[3] + c))
    if len(within) < 3:
        return None
    return simpler(within, extent(within), KNIFE_CORNERS, STRAIGHT_UM), within

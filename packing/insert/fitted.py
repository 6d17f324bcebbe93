"""Holes for parts: a part's rectangle with room round it, or its outline in straight sides that a knife can follow."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from packing.insert.model import Hole, Rect
from packing.materials import Foam
from packing.measure import Item, Rules, Step, Tool
from packing.nest import Placement, RuledItem, ruled_item
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
    step
        Of the rule on whose lines edges of rectangles are; None for any place.
    """

    room_um: int
    snug_um: int
    clearance_um: int
    step: Step | None = None


def fit_of(foam: Foam, rules: Rules) -> Fit:
    """The fit of a foam within an order's clearance and what its foam gives."""
    most = rules.clearance_um
    # Whatever the row says: room that the nesting did not leave would cut into a neighbour, and foam that is pressed
    # more than it gives does not let the piece in.
    return Fit(max(0, min(foam.fit_um, most)), max(-rules.give_um, min(foam.snug_um, most)), most, rules.step)


def grown(part: PlacedPart, by_um: int) -> Rect:
    """A part's footprint, larger by this on each side."""
    return (part.x0 - by_um, part.y0 - by_um, part.x1 + by_um, part.y1 + by_um)


def pocket_rects(one: Placement, fit: Fit) -> list[Rect]:
    """The rectangle of each part's pocket: the part with the fit's room round it, or the nearest lines of its rule.

    Parameters
    ----------
    one
        Where the item lies.
    fit
        How snug.

    Returns
    -------
    list of tuple
        In the order of the parts; on lines where the item lies at one, and where the clearance leaves room for one.
    """
    return _on_lines(one, fit, _pocket_edges) or [grown(part, fit.room_um) for part in one.parts]


def bearing_rects(one: Placement, fit: Fit) -> list[Rect]:
    """Each part's rectangle, or the lines of the rule next within it: where foam over it ends."""
    return _on_lines(one, fit, _inner_edges) or [grown(part, 0) for part in one.parts]


_Edges = Callable[[RuledItem, int, int, Fit], tuple[int, int]]


def _on_lines(one: Placement, fit: Fit, edges: _Edges) -> list[Rect]:
    """The edges of each part on a rule's lines; nothing where there is no rule, or the item lies between its lines."""
    if fit.step is None:
        return []
    spans = []
    for axis in (0, 1):
        lying = ruled_item(one.orientation, axis, fit.step)
        line = lying.line_at(one.at(axis))
        if line is None:
            return []
        spans.append([edges(lying, part, line, fit) for part in range(len(one.parts))])
    return [(x0, y0, x1, y1) for (x0, x1), (y0, y1) in zip(*spans, strict=True)]


def _pocket_edges(lying: RuledItem, part: int, line: int, fit: Fit) -> tuple[int, int]:
    """The lines outside a part; as far as half a micrometre goes, no nearer to it and no farther than the clearance."""
    place, (low, high), most = lying.place(line), lying.spans[part], fit.clearance_um
    below, above = lying.outside(part, fit.room_um, most)
    first = place + low - fit.room_um if below is None else lying.ruler.line(line + below)
    last = place + high + fit.room_um if above is None else lying.ruler.line(line + above)
    return (
        max(place + low - most, min(place + low, first)),
        min(place + high + most, max(place + high, last)),
    )


def _inner_edges(lying: RuledItem, part: int, line: int, _fit: Fit) -> tuple[int, int]:
    """The lines within a part."""
    place, (low, high) = lying.place(line), lying.spans[part]
    first, last = lying.inside(part)
    return max(place + low, lying.ruler.line(line + first)), min(place + high, lying.ruler.line(line + last))


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
    rects = pocket_rects(one, fit)
    # On its cheek alone does the outline lie in the plane of the sheets; in other poses they cut the head across.
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
    # Neighbours are kept apart by the clearance round the rectangle; an outline past it could run into their pockets.
    within = clipped(moved, (rect[0] - c, rect[1] - c, rect[2] + c, rect[3] + c))
    if len(within) < 3:
        return None
    return simpler(within, extent(within), KNIFE_CORNERS, STRAIGHT_UM), within

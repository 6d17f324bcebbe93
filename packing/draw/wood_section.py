"""Sections of a wooden box: across and along with its screws and nails, and the run of a sliding lid enlarged."""

from collections.abc import Sequence
from itertools import pairwise

from packing.draw import dimension
from packing.draw.box_geometry import box_geometry
from packing.draw.canvas import BLUE, THIN, Canvas, Drawing
from packing.draw.fasteners import shafts
from packing.draw.hatch import cut_through
from packing.draw.scale import Paper, View, fitted, length_text, said
from packing.draw.shapes import Rect
from packing.measure import BadInput
from packing.plan import Plan
from packing.plan.kinds import ContainerKind

_AXIS_LINE = "3 .8 .6 .8"
_HEAD = 0.9
"""Half the width of a head, in mm of paper."""


def box_section(
    plan: Plan,
    *,
    across: bool = False,
    unit: str = "mm",
    paper: Paper = (180.0, 100.0),
    scale: float | None = None,
    ground: str | None = None,
) -> Drawing:
    """A wooden box without its contents, cut through halfway: how its boards meet and where screws and nails go.

    Parameters
    ----------
    plan
        Whose box it is.
    across
        Seen along the length, width across the paper, instead of from the long side.
    unit, paper, scale, ground
        See `plan_view`.

    Returns
    -------
    Drawing
        Dash-dotted lines are the axes of screws and nails, those before and behind the plane too.

    Raises
    ------
    BadInput
        The box is not of wood.
    """
    box = plan.box
    if box.family != ContainerKind.WOOD:
        raise BadInput("section", f"must be of a wooden box, not of a {said(box.name, unit)}.")
    axis = 0 if across else 1
    name = "Section across, halfway along" if across else "Section along, halfway across"
    seen = (box.outer_um[1 - axis], box.outer_um[2])
    canvas, chosen = fitted(lambda view: _draw(plan, axis, name, view), seen, paper, unit=unit, scale=scale)
    inside = " × ".join(length_text(side, unit) for side in box.inner_um)
    return canvas.finish(f"Order {plan.order}: {name.lower()}", f"Inside {inside} {unit}.", chosen, ground)


def _draw(plan: Plan, axis: int, name: str, view: View) -> Canvas:
    """Draw the cut at right angles to x (axis 0) or y (axis 1), the inside's lower corner at the datum."""
    canvas, box, side = Canvas(), plan.box, 1 - axis
    geometry = box_geometry(plan)
    low = geometry.low
    at = (geometry.low[axis] + geometry.high[axis]) / 2
    cut = [found for wall in geometry.walls if (found := wall.cut(axis, at)) is not None]
    rects = [Rect(r.x0 - low[side], r.y0 - low[2], r.x1 - low[side], r.y1 - low[2]) for r in cut]
    cut_through(canvas, [view.rect(rect) for rect in rects], wood=True)
    _axes(canvas, plan, axis, view)
    whole = Rect(min(r.x0 for r in rects), min(r.y0 for r in rects), max(r.x1 for r in rects), max(r.y1 for r in rects))
    outer = view.rect(whole)
    inner = (box.inner_um[side], box.inner_um[2])
    _chain(canvas, [whole.x0, 0, inner[0], whole.x1], outer, view, upright=False)
    _chain(canvas, [whole.y0, 0, inner[1], whole.y1], outer, view, upright=True)
    dimension.across(canvas, (outer.x0, outer.x1), outer.y0 - 6.0, view.figure(whole.x1 - whole.x0), foot=outer.y0)
    dimension.upright(canvas, (outer.y0, outer.y1), outer.x0 - 6.5, view.figure(whole.y1 - whole.y0), foot=outer.x0)
    dimension.strip(canvas, name, view, x0=outer.x0, x1=outer.x1)
    return canvas


def _axes(canvas: Canvas, plan: Plan, axis: int, view: View) -> None:
    """Axes of screws and nails that lie in the plane of the paper, with a stroke for the head."""
    side = 1 - axis
    drawn = set()
    for shaft in shafts(plan.box):
        head, point = ((end[side], end[2]) for end in (shaft.head, shaft.point))
        if head != point:
            drawn.add((head, point))
    for head, point in sorted(drawn):
        (x0, y0), (x1, y1) = view.point(head), view.point(point)
        canvas.lines([((x0, y0), (x1, y1))], THIN, colour=BLUE, dash=_AXIS_LINE)
        ends = ((x0 - _HEAD, y0), (x0 + _HEAD, y0)) if x0 == x1 else ((x0, y0 - _HEAD), (x0, y0 + _HEAD))
        canvas.lines([ends], 0.4, colour=BLUE)


def _chain(canvas: Canvas, places: Sequence[float], outer: Rect, view: View, *, upright: bool) -> None:
    """Walls and inside one after the other: below the section, or to its right; the inside first, it has most room."""
    parts = sorted(pairwise(places), key=lambda part: part[0] - part[1])
    for low, high in parts:
        if high <= low:
            continue
        words = view.figure(high - low)
        if upright:
            ends = (-view.length(high), -view.length(low))
            dimension.upright(canvas, ends, outer.x1 + 6.5, words, foot=outer.x1)
        else:
            ends = (view.length(low), view.length(high))
            dimension.across(canvas, ends, outer.y1 + 7.5, words, foot=outer.y1, before=low == places[0])

"""The working drawing of the box: the flat blank with cuts, creases, slots and joint."""

from collections.abc import Sequence
from itertools import pairwise

from packing.draw import dimension
from packing.draw.canvas import BLUE, FINE, THIN, WIDE, Anchor, Canvas, Drawing, text_box, text_width
from packing.draw.dimension import Edge, Mark, side_of
from packing.draw.hatch import hatched
from packing.draw.panel_names import CREASE, line_legend, panel_names
from packing.draw.scale import Paper, View, between_text, fitted, length_text, said
from packing.draw.shapes import Point, Rect
from packing.draw.solids import rect_of
from packing.measure import BadInput
from packing.plan import BlankPlan, BoxPlan, Plan


def blank_drawing(
    plan: Plan,
    *,
    unit: str = "mm",
    paper: Paper = (250.0, 160.0),
    scale: float | None = None,
    ground: str | None = None,
    caption: bool = True,
) -> Drawing:
    """The flat blank of the box: solid lines are cut, dashed ones creased, the joint is hatched.

    Parameters
    ----------
    plan
        Whose box it is.
    unit, paper, scale, ground, caption
        See `plan_view`.

    Returns
    -------
    Drawing
        At `scale`, with running dimensions of all creases and edges from the lower left corner, names and sizes of the
        panels, width of the slots, and the way the flutes run.

    Raises
    ------
    BadInput
        Where the box has no single blank: `piece_drawing` shows any piece.
    """
    box, blank = plan.box, plan.box.blank
    if blank is None:
        raise BadInput("blank", f"must be one flat sheet; a {said(box.name, unit)} is drawn piece by piece.")
    size = blank.size_um
    canvas, chosen = fitted(
        lambda view: draw_blank(blank, _flute(box), view, "Blank" if caption else ""),
        size,
        paper,
        unit=unit,
        scale=scale,
    )
    panels = "; ".join(
        f"{panel.name} {between_text(panel.min_um[0], panel.max_um[0], unit)} by "
        f"{between_text(panel.min_um[1], panel.max_um[1], unit)}"
        for panel in blank.panels
    )
    description = f"{length_text(size[0], unit)} by {length_text(size[1], unit)} {unit}, flutes upright. {panels}."
    return canvas.finish(f"Order {plan.order}: blank of the box", description, chosen, ground)


def _flute(box: BoxPlan) -> str:
    return box.board.flute if box.board else ""


def draw_blank(blank: BlankPlan, flute: str, view: View, caption: str) -> Canvas:
    """Draw a creased blank on a canvas of its own, with a caption and the meaning of its lines where one is given."""
    canvas = Canvas()
    whole = view.rect(Rect(0, 0, *blank.size_um))
    outline = [view.point(point) for point in blank.outline_um]
    canvas.polygon(outline, WIDE)
    folds = [(view.point(crease.start_um), view.point(crease.end_um)) for crease in blank.creases]
    canvas.lines(folds, 0.35, dash=CREASE)
    slots = [view.rect(rect_of(slot)) for slot in blank.slots]
    for slot in slots:
        canvas.lines(hatched(slot.corners, 45, 0.7), FINE)
    joint = view.rect(rect_of(blank.joint)) if blank.joint.width_um else None
    _figures(canvas, blank, whole, view)
    if joint is not None:
        _joint(canvas, joint)
    panel_names(canvas, blank.panels, view)
    _slot_width(canvas, blank, whole, view)
    _flutes(canvas, flute, whole)
    if joint is not None:
        gaps = [label.grown(0.4) for label in canvas.labels]
        canvas.lines(hatched(_joint_corners(outline, joint), -45, 1.6, gaps), FINE)
    dimension.datum(canvas, whole.x0, whole.y1)
    if caption:
        y = dimension.strip(canvas, caption, view, x0=whole.x0, x1=whole.x1)
        widths = [slot.max_um[0] - slot.min_um[0] for slot in blank.slots]
        line_legend(canvas, (whole.x0, y), view, glued=blank.joint.width_um > 0, slot_um=min(widths, default=None))
    return canvas


def _joint_corners(outline: Sequence[Point], joint: Rect) -> list[Point]:
    """The joint's own figure: the outline's corners that belong to it, else its rectangle."""
    room = joint.grown(0.01)
    own = [point for point in outline if room.holds(Rect(*point, *point))]
    return own if len(own) == 4 else list(joint.corners)


def _figures(canvas: Canvas, blank: BlankPlan, whole: Rect, view: View) -> None:
    """Running dimensions at the bottom and the left; panels above, flaps and height at the right; then the whole.

    Upright they go to the creases and to the rims of flaps that are shorter than their neighbours; where there are no
    slots running ones go to every corner.
    """
    across, along = blank.size_um
    uprights = {crease.start_um[0] for crease in blank.creases if crease.start_um[0] == crease.end_um[0]}
    levels = {crease.start_um[1] for crease in blank.creases if crease.start_um[1] == crease.end_um[1]}
    rims = [corner[1] for panel in blank.panels for corner in (panel.min_um, panel.max_um)]
    xs, ys = sorted({0, across, *uprights}), sorted({0, along, *levels, *rims})
    at = view.length
    corners = [] if blank.slots else blank.outline_um
    # The flaps beside the joint start half a slot in from its crease: no panel and no slot tells where.
    beside = [x for x, _y in blank.outline_um if x > blank.joint.width_um > 0]
    places = sorted({*xs, *([min(beside)] if beside else []), *(x for x, _y in corners)})
    heights = sorted({*ys, *(y for _x, y in corners)})
    dimension.running(canvas, side_of(whole, Edge.BOTTOM), [Mark(x, at(x), whole.y1) for x in places], view)
    dimension.running(canvas, side_of(whole, Edge.LEFT), [Mark(y, -at(y), whole.x0) for y in heights], view)
    lane, side, spill = whole.y0 - 6.0, whole.x1 + 6.5, 0.0
    roomy = [(at(high) - at(low) > text_width(view.between(low, high)) + 1.5, low, high) for low, high in pairwise(xs)]
    # Figures that fit their line go first: the others then see what room is left beside and above.
    for _fits_in, low, high in sorted(roomy, key=lambda part: not part[0]):
        words = view.between(low, high)
        dimension.across(canvas, (at(low), at(high)), lane, words, foot=whole.y0, before=low == 0)
    for low, high in pairwise(ys):
        words = view.between(low, high)
        dimension.upright(canvas, (-at(high), -at(low)), side, words, foot=whole.x1)
        spill = max(spill, canvas.labels.last.x1 - side - 1.5)
    dimension.across(
        # Over those figures, too, that had no room in their line.
        canvas,
        (whole.x0, whole.x1),
        min(lane - 6.5, canvas.extent.y0 - 2.6),
        view.figure(across),
        foot=whole.y0,
    )
    dimension.upright(canvas, (whole.y0, whole.y1), side + 7.0 + spill, view.figure(along), foot=whole.x1)


def _joint(canvas: Canvas, joint: Rect) -> None:
    cx, cy = joint.centre
    for words, turn in (("joint: glue", -90), ("glue", -90)):
        box = text_box(cx, cy, words, turn=turn)
        if joint.grown(-0.2).holds(box):
            canvas.text(cx, cy, words, turn=turn)
            return
    y = joint.y1 + 1.5 + text_width("glue") / 2
    if text_box(cx, y, "glue", turn=-90).width <= joint.width:
        canvas.text(cx, y, "glue", turn=-90)


def _slot_width(canvas: Canvas, blank: BlankPlan, whole: Rect, view: View) -> None:
    """The width of the slots, at one of them, where the panel beside it has room for the words."""
    if not blank.slots:
        return
    slots = [view.rect(rect_of(slot)) for slot in blank.slots]
    index = max(range(len(slots)), key=lambda place: (slots[place].y1, -slots[place].x0))
    slot, row = slots[index], blank.slots[index]
    panels = [view.rect(rect_of(panel)) for panel in blank.panels]
    words = f"slots {view.figure(row.max_um[0] - row.min_um[0])} wide"
    y = slot.y0 + 0.72 * slot.height
    for x, anchor in ((slot.x1 + 3.0, Anchor.START), (slot.x0 - 3.0, Anchor.END)):
        box = text_box(x, y, words, anchor=anchor)
        if whole.holds(box) and canvas.free(box) and any(panel.holds(box) for panel in panels):
            end = slot.x1 if anchor is Anchor.START else slot.x0
            canvas.lines([((end, y), (x - 0.6 if anchor is Anchor.START else x + 0.6, y))], FINE, colour=BLUE)
            canvas.text(x, y, words, anchor=anchor)
            return


def _flutes(canvas: Canvas, flute: str, whole: Rect) -> None:
    """A two-headed arrow along the flutes, upright, beyond the right-hand figures, with what it means."""
    x = canvas.extent.x1 + 5.0
    y0, y1 = whole.y0 + 2.0, whole.y1 - 2.0
    canvas.lines([((x, y0), (x, y1))], THIN)
    for y, way in ((y0, 1.0), (y1, -1.0)):
        canvas.polygon([(x, y), (x - 0.9, y + way * 2.6), (x + 0.9, y + way * 2.6)], FINE, fill="#14120f")
    words = f"{flute} flutes"
    canvas.text(x + 3.0, (y0 + y1) / 2, words, turn=-90)

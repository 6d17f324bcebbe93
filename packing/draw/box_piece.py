"""The working drawing of one flat piece of a box: blank, pad, panel or board, with every dimension to cut it by."""

from collections.abc import Sequence

from packing.draw import dimension
from packing.draw.blank import draw_blank
from packing.draw.canvas import BLUE, FINE, THIN, WIDE, Anchor, Canvas, Drawing, lines_of, text_box
from packing.draw.dimension import Edge, Mark, side_of
from packing.draw.hatch import hatched
from packing.draw.hole_marks import draw_holes, hole_notes, hole_places
from packing.draw.scale import Paper, View, fitted, length_text, said
from packing.draw.shapes import Rect
from packing.draw.solids import fluted, grain_words, rect_of
from packing.draw.worked_face import WorkedFace, worked_face
from packing.measure import BadInput
from packing.plan import AreaPlan, BlankPlan, BoxPlan, GroovePlan, HardwarePlan, JointPlan, PiecePlan, Plan
from packing.plan.kinds import GrooveKind


def piece_drawing(
    plan: Plan,
    piece_id: str,
    *,
    unit: str = "mm",
    paper: Paper = (250.0, 160.0),
    scale: float | None = None,
    ground: str | None = None,
) -> Drawing:
    """One flat piece at scale: solid lines are cut, dashed ones creased, grooves and steps are hatched.

    Parameters
    ----------
    plan
        Whose box it is.
    piece_id
        Id of the piece, as on the parts list.
    unit, paper, scale, ground
        See `plan_view`.

    Returns
    -------
    Drawing
        With running dimensions of every edge, crease, hole and groove's nearer side from the lower left corner, names
        and sizes of its panels, width and depth of its grooves, which face is seen, what screws and nails it takes with
        which drill, and the way flutes or grain run.

    Raises
    ------
    BadInput
        Where the box has no such piece.
    """
    pieces = {piece.id: piece for piece in plan.box.pieces}
    if piece_id not in pieces:
        raise BadInput("piece", f"must be one of {', '.join(pieces) or 'none'}, not {piece_id!r}.")
    piece = pieces[piece_id]
    across, along = piece.size_um
    canvas, chosen = fitted(lambda view: _drawn(plan.box, piece, view), piece.size_um, paper, unit=unit, scale=scale)
    size = f"{length_text(across, unit)} by {length_text(along, unit)} {unit}"
    title = f"Order {plan.order}: {piece.id} {said(piece.what, unit)}"
    return canvas.finish(title, f"{piece.count} of {size}, {grain_words(piece, unit)}.", chosen, ground)


LEAST_NOTES = 110.0
"""Notes under a piece run at least this far, in mm."""


def _drawn(box: BoxPlan, piece: PiecePlan, view: View) -> Canvas:
    """A creased piece as a blank, any other as a board."""
    if piece.creases:
        flute = piece.stock.flute if piece.stock else ""
        return draw_blank(_blank_of(piece), flute, view, _caption(piece, view))
    return _board(worked_face(box, piece), box.hardware, view)


def _blank_of(piece: PiecePlan) -> BlankPlan:
    joint = piece.joint or AreaPlan("joint", (0, 0), (0, 0))
    width = joint.max_um[0] - joint.min_um[0]
    return BlankPlan(
        size_um=piece.size_um,
        outline_um=piece.outline_um,
        creases=piece.creases,
        slots=piece.slots,
        panels=piece.panels,
        joint=JointPlan(joint.min_um, joint.max_um, width),
        flap_gap_um=0,
    )


def _caption(piece: PiecePlan, view: View) -> str:
    count = f", {piece.count} pieces" if piece.count > 1 else ""
    return f"{piece.id} {view.said(piece.what)}{count}"


def _board(face: WorkedFace, hardware: Sequence[HardwarePlan], view: View) -> Canvas:
    canvas, piece = Canvas(), face.piece
    across, along = piece.size_um
    whole = view.rect(Rect(0, 0, across, along))
    canvas.polygon([view.point(point) for point in piece.outline_um], WIDE)
    for groove in piece.grooves:
        rect = view.rect(rect_of(groove))
        canvas.lines(hatched(rect.corners, 45, 1.1), FINE)
        canvas.polygon(rect.corners, THIN)
    draw_holes(canvas, piece.holes, view)
    _running(canvas, piece, whole, view)
    dimension.across(canvas, (whole.x0, whole.x1), whole.y0 - 6.0, view.figure(across), foot=whole.y0)
    dimension.upright(canvas, (whole.y0, whole.y1), whole.x1 + 6.5, view.figure(along), foot=whole.x1)
    _plane(canvas, piece, whole)
    _name(canvas, piece, whole, view)
    _grain(canvas, piece, whole)
    dimension.datum(canvas, whole.x0, whole.y1)
    y = dimension.strip(canvas, _caption(piece, view), view, x0=whole.x0, x1=whole.x1)
    notes = [face.words] if face.words else []
    notes += [_groove_text(groove, view) for groove in _kinds(piece.grooves)]
    notes += hole_notes(piece, hardware, view)
    width = max(canvas.extent.x1 - whole.x0, LEAST_NOTES)
    for line, words in enumerate(words for note in notes for words in lines_of(note, width)):
        canvas.text(whole.x0, y + 5.0 * line, words, anchor=Anchor.START)
    return canvas


def _kinds(grooves: Sequence[GroovePlan]) -> list[GroovePlan]:
    """One of each kind of groove by name, width and depth."""
    found: dict[tuple[GrooveKind, int, int], GroovePlan] = {}
    for groove in grooves:
        found.setdefault((groove.name, _width(groove), groove.depth_um), groove)
    return list(found.values())


def _width(groove: GroovePlan) -> int:
    (x0, y0), (x1, y1) = groove.min_um, groove.max_um
    return min(x1 - x0, y1 - y0)


def _groove_text(groove: GroovePlan, view: View) -> str:
    size = f"{view.figure(_width(groove))} wide"
    if groove.name == GrooveKind.FINGER_PULL:
        size = f"{view.figure(_width(groove))} × {view.figure(_length(groove))}"
    return f"hatched: {groove.name} {size}, {view.figure(groove.depth_um)} deep"


def _length(groove: GroovePlan) -> int:
    (x0, y0), (x1, y1) = groove.min_um, groove.max_um
    return max(x1 - x0, y1 - y0)


def _running(canvas: Canvas, piece: PiecePlan, whole: Rect, view: View) -> None:
    """Running dimensions of corners, grooves and the holes in the face.

    A groove has one, for its side nearer to the corner, and none where it runs along an edge: how wide it is, is said.
    """
    held = hole_places(piece)
    places = [{point[axis] for point in piece.outline_um} | held[axis] for axis in (0, 1)]
    for groove in piece.grooves:
        low, high = groove.min_um, groove.max_um
        inside = [low[axis] > 0 and high[axis] < piece.size_um[axis] for axis in (0, 1)]
        if inside[0 if high[0] - low[0] < high[1] - low[1] else 1]:
            for axis in (0, 1):
                places[axis] |= {low[axis]} if inside[axis] else set()
    xs, ys = (sorted(found) for found in places)
    at = view.length
    dimension.running(canvas, side_of(whole, Edge.BOTTOM), [Mark(x, at(x), whole.y1) for x in xs], view)
    dimension.running(canvas, side_of(whole, Edge.LEFT), [Mark(y, -at(y), whole.x0) for y in ys], view)


def _name(canvas: Canvas, piece: PiecePlan, whole: Rect, view: View) -> None:
    """Write the piece's name in its middle where that fits."""
    (cx, cy), name = whole.centre, view.said(piece.what)
    for turn in (0, -90):
        box = text_box(cx, cy, name, turn=turn, bold=True)
        if whole.grown(-0.6).holds(box) and canvas.free(box):
            canvas.text(cx, cy, name, turn=turn, bold=True)
            return


def _plane(canvas: Canvas, piece: PiecePlan, whole: Rect) -> None:
    """The plane of a sliding lid's section: a dash-dotted line with its letter at both ends."""
    if not any(groove.name == GrooveKind.STEP for groove in piece.grooves):
        return
    # Beside the middle, where the name stands.
    x = whole.x0 + 0.62 * whole.width
    canvas.lines([((x, whole.y0 - 1.5), (x, whole.y1 + 1.5))], 0.35, dash="6 1.2 1 1.2")
    for y in (whole.y0 + 4.0, whole.y1 - 4.0):
        if canvas.free(text_box(x + 2.2, y, "A", anchor=Anchor.START, bold=True)):
            canvas.text(x + 2.2, y, "A", anchor=Anchor.START, bold=True)


def _grain(canvas: Canvas, piece: PiecePlan, whole: Rect) -> None:
    """A two-headed arrow along flutes or grain, beyond the figures, with what it means."""
    upright = fluted(piece)
    words = "flutes" if upright else "grain"
    if upright:
        x = canvas.extent.x1 + 4.0
        ends = ((x, whole.y0 + 1.0), (x, whole.y1 - 1.0))
        canvas.text(x + 3.0, (whole.y0 + whole.y1) / 2, words, turn=-90)
    else:
        y = canvas.extent.y0 - 4.0
        ends = ((whole.x0 + 1.0, y), (whole.x1 - 1.0, y))
        canvas.text((whole.x0 + whole.x1) / 2, y - 3.0, words)
    canvas.lines([ends], THIN, colour=BLUE)
    for (x, y), way in zip(ends, (1.0, -1.0), strict=True):
        tip = [(x, y), (x - 0.9, y + way * 2.6), (x + 0.9, y + way * 2.6)]
        if not upright:
            tip = [(x, y), (x + way * 2.6, y - 0.9), (x + way * 2.6, y + 0.9)]
        canvas.polygon(tip, FINE, fill=BLUE, colour=BLUE)

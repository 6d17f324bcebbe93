"""The working drawing of one flat piece of a box: blank, pad, panel or board, with every dimension to cut it by."""

from collections.abc import Sequence

from packing.draw import dimension
from packing.draw.canvas import BLUE, FINE, THIN, WIDE, Canvas, Drawing, text_box
from packing.draw.dimension import Edge, Mark, side_of
from packing.draw.hatch import hatched
from packing.draw.scale import Paper, View, fitted, length_text, said
from packing.draw.shapes import Rect
from packing.draw.solids import fluted, grain_words, rect_of
from packing.measure import BadInput
from packing.plan import GroovePlan, HardwarePlan, HolePlan, PiecePlan, Plan
from packing.plan.kinds import GrooveKind

CREASE = "2.4 1.2"
_LEAST_HOLE = 0.6
"""A hole is drawn with at least this radius, in mm of paper, so that a print shows it."""


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
        With running dimensions of every edge, crease and groove's nearer side from the lower left corner, the names of
        its panels, width and depth of its grooves, and the way flutes or grain run.

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
    canvas, chosen = fitted(
        lambda view: _draw(piece, plan.box.hardware, view), piece.size_um, paper, unit=unit, scale=scale
    )
    size = f"{length_text(across, unit)} by {length_text(along, unit)} {unit}"
    title = f"Order {plan.order}: {piece.id} {said(piece.what, unit)}"
    return canvas.finish(title, f"{piece.count} of {size}, {grain_words(piece, unit)}.", chosen, ground)


def _draw(piece: PiecePlan, hardware: Sequence[HardwarePlan], view: View) -> Canvas:
    canvas = Canvas()
    across, along = piece.size_um
    whole = view.rect(Rect(0, 0, across, along))
    canvas.polygon([view.point(point) for point in piece.outline_um], WIDE)
    folds = [(view.point(crease.start_um), view.point(crease.end_um)) for crease in piece.creases]
    canvas.lines(folds, 0.35, dash=CREASE)
    for groove in piece.grooves:
        rect = view.rect(rect_of(groove))
        canvas.lines(hatched(rect.corners, 45, 1.1), FINE)
        canvas.polygon(rect.corners, THIN)
    _holes(canvas, piece.holes, view)
    _running(canvas, piece, whole, view)
    dimension.across(canvas, (whole.x0, whole.x1), whole.y0 - 6.0, view.figure(across), foot=whole.y0)
    dimension.upright(canvas, (whole.y0, whole.y1), whole.x1 + 6.5, view.figure(along), foot=whole.x1)
    _names(canvas, piece, whole, view)
    _grain(canvas, piece, whole)
    dimension.datum(canvas, whole.x0, whole.y1)
    count = f", {piece.count} pieces" if piece.count > 1 else ""
    y = dimension.strip(canvas, f"{piece.id} {view.said(piece.what)}{count}", view, x0=whole.x0, x1=whole.x1)
    notes = [_groove_text(groove, view) for groove in _kinds(piece.grooves)]
    notes += _hole_notes(piece.holes, hardware, view)
    for line, note in enumerate(notes):
        canvas.text(whole.x0, y + 5.0 * line, note, anchor="start")
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
    return f"hatched: {groove.name} {view.figure(_width(groove))} wide, {view.figure(groove.depth_um)} deep"


def _holes(canvas: Canvas, holes: Sequence[HolePlan], view: View) -> None:
    """A ring with a cross for each screw or nail, as large as its drill; a square for one in the edge."""
    for hole in holes:
        (x, y), reach = view.point(hole.at_um), max(_LEAST_HOLE, view.length(hole.drill_um) / 2)
        arm = reach + 0.7
        canvas.lines([((x - arm, y), (x + arm, y)), ((x, y - arm), (x, y + arm))], FINE, colour=BLUE)
        if hole.edge:
            canvas.polygon(Rect(x - reach, y - reach, x + reach, y + reach).corners, FINE, colour=BLUE)
        elif hole.drill_um:
            canvas.circle(x, y, reach, THIN, colour=BLUE)


def _hole_notes(holes: Sequence[HolePlan], hardware: Sequence[HardwarePlan], view: View) -> list[str]:
    """What each kind of cross means: fastener, drill, first place, spacing."""
    kinds = dict.fromkeys((hole.row, hole.drill_um, hole.edge) for hole in holes)
    notes = []
    for index, drill_um, edge in kinds:
        row = hardware[index]
        count = sum((hole.row, hole.drill_um, hole.edge) == (index, drill_um, edge) for hole in holes)
        words = [f"{count} × {view.said(row.what)}{' into the edge' if edge else ''}"]
        words += [f"drill {view.drill(drill_um)}"] if drill_um else []
        words += [f"first {view.figure(row.first_um)} from the end"] if row.first_um else []
        words += [f"then every {view.figure(row.spacing_um)}"] if row.spacing_um else []
        notes.append(f"{'square' if edge else 'cross'}: " + ", ".join(words))
    return notes


def _running(canvas: Canvas, piece: PiecePlan, whole: Rect, view: View) -> None:
    """Running dimensions of corners, creases and grooves.

    A groove has one, for its side nearer to the corner, and none where it runs along an edge: how wide it is, is said.
    """
    points = list(piece.outline_um)
    points += [end for crease in piece.creases for end in (crease.start_um, crease.end_um)]
    places = [{point[axis] for point in points} for axis in (0, 1)]
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


def _names(canvas: Canvas, piece: PiecePlan, whole: Rect, view: View) -> None:
    """Panels' names in their middle where they fit; a piece without panels has its own."""
    named = [(panel.name, view.rect(rect_of(panel))) for panel in piece.panels]
    if piece.joint:
        named.append(("joint: glue", view.rect(rect_of(piece.joint))))
    for name, rect in named or [(view.said(piece.what), whole)]:
        cx, cy = rect.centre
        for turn in (0, -90):
            box = text_box(cx, cy, name, turn=turn, bold=True)
            if rect.grown(-0.6).holds(box) and canvas.free(box):
                canvas.text(cx, cy, name, turn=turn, bold=True)
                break


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

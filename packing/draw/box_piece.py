"""The working drawing of one flat piece of a box: blank, pad, panel or board, with every dimension to cut it by."""

from collections.abc import Mapping, Sequence
from typing import Any

from packing.draw import dimension
from packing.draw.canvas import BLUE, FINE, THIN, WIDE, Canvas, Drawing, text_box
from packing.draw.dimension import Mark, side_of
from packing.draw.hatch import hatched
from packing.draw.parse import Content, grain_words, require_planned
from packing.draw.scale import Paper, View, fitted, length_text
from packing.draw.shapes import Point, Rect
from packing.measure import BadInput

CREASE = "2.4 1.2"


def piece_drawing(
    content: Content,
    piece: str,
    *,
    unit: str = "mm",
    paper: Paper = (250.0, 160.0),
    scale: float | None = None,
    ground: str | None = None,
) -> Drawing:
    """One flat piece at scale: solid lines are cut, dashed ones creased, grooves and steps are hatched.

    Parameters
    ----------
    content
        A plan's content, planned, whose box has `flats`.
    piece
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
        Where the content is no plan, or its box has no such piece.
    """
    require_planned(content)
    flats = {flat["id"]: flat for flat in content["box"].get("flats", [])}
    if piece not in flats:
        raise BadInput("piece", f"must be one of {', '.join(flats) or 'none'}, not {piece!r}.")
    flat = flats[piece]
    across, along = flat["size_mm"]
    canvas, chosen = fitted(lambda view: _draw(flat, view), (across, along), paper, unit=unit, scale=scale)
    size = f"{length_text(across, unit)} by {length_text(along, unit)} {unit}"
    title = f"Order {content['order']}: {flat['id']} {flat['what']}"
    return canvas.finish(title, f"{flat['count']} of {size}, {grain_words(flat, unit)}.", chosen, ground)


def _on_paper(values: Sequence[float], view: View) -> Point:
    return values[0] / view.scale, -values[1] / view.scale


def _rect(held: Mapping[str, Any], view: View) -> Rect:
    (x0, y0), (x1, y1) = held["min_mm"], held["max_mm"]
    return view.rect(Rect(x0, y0, x1, y1))


def _draw(flat: Mapping[str, Any], view: View) -> Canvas:
    canvas = Canvas()
    across, along = flat["size_mm"]
    whole = view.rect(Rect(0, 0, across, along))
    canvas.polygon([_on_paper(point, view) for point in flat["outline_mm"]], WIDE)
    folds = [(_on_paper(row["from"], view), _on_paper(row["to"], view)) for row in flat["creases"]]
    canvas.lines(folds, 0.35, dash=CREASE)
    for groove in flat["grooves"]:
        rect = _rect(groove, view)
        canvas.lines(hatched(rect.corners, 45, 1.1), FINE)
        canvas.polygon(rect.corners, THIN)
    _running(canvas, flat, whole, view)
    dimension.across(canvas, (whole.x0, whole.x1), whole.y0 - 6.0, view.figure(across), foot=whole.y0)
    dimension.upright(canvas, (whole.y0, whole.y1), whole.x1 + 6.5, view.figure(along), foot=whole.x1)
    _names(canvas, flat, whole, view)
    _grain(canvas, flat, whole)
    dimension.datum(canvas, whole.x0, whole.y1)
    count = f", {flat['count']} pieces" if flat["count"] > 1 else ""
    y = dimension.strip(canvas, f"{flat['id']} {flat['what']}{count}", view, x0=whole.x0, x1=whole.x1)
    for line, groove in enumerate(_kinds(flat["grooves"])):
        canvas.text(whole.x0, y + 5.0 * line, _groove_text(groove, view), anchor="start")
    return canvas


def _kinds(grooves: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """One of each kind of groove by name, width and depth."""
    found: dict[tuple[str, float, float], Mapping[str, Any]] = {}
    for groove in grooves:
        found.setdefault((groove["name"], _width(groove), groove["depth_mm"]), groove)
    return list(found.values())


def _width(groove: Mapping[str, Any]) -> float:
    (x0, y0), (x1, y1) = groove["min_mm"], groove["max_mm"]
    return float(min(x1 - x0, y1 - y0))


def _groove_text(groove: Mapping[str, Any], view: View) -> str:
    return f"hatched: {groove['name']} {view.figure(_width(groove))} wide, {view.figure(groove['depth_mm'])} deep"


def _running(canvas: Canvas, flat: Mapping[str, Any], whole: Rect, view: View) -> None:
    """Running dimensions of corners, creases and grooves.

    A groove has one, for its side nearer to the corner, and none where it runs along an edge: how wide it is, is said.
    """
    points = [tuple(point) for point in flat["outline_mm"]]
    points += [tuple(row[end]) for row in flat["creases"] for end in ("from", "to")]
    places = [{float(point[axis]) for point in points} for axis in (0, 1)]
    for groove in flat["grooves"]:
        low, high = groove["min_mm"], groove["max_mm"]
        inside = [low[axis] > 0 and high[axis] < flat["size_mm"][axis] for axis in (0, 1)]
        if inside[0 if high[0] - low[0] < high[1] - low[1] else 1]:
            for axis in (0, 1):
                places[axis] |= {float(low[axis])} if inside[axis] else set()
    xs, ys = (sorted(found) for found in places)
    at = view.scale
    dimension.running(canvas, side_of(whole, "bottom"), [Mark(x, x / at, whole.y1) for x in xs], view)
    dimension.running(canvas, side_of(whole, "left"), [Mark(y, -y / at, whole.x0) for y in ys], view)


def _names(canvas: Canvas, flat: Mapping[str, Any], whole: Rect, view: View) -> None:
    """Panels' names in their middle where they fit; a piece without panels has its own."""
    named = [(panel["name"], _rect(panel, view)) for panel in flat["panels"]]
    if flat["joint"]:
        named.append(("joint: glue", _rect(flat["joint"], view)))
    for name, rect in named or [(flat["what"], whole)]:
        cx, cy = rect.centre
        for turn in (0, -90):
            box = text_box(cx, cy, name, turn=turn, bold=True)
            if rect.grown(-0.6).holds(box) and canvas.free(box):
                canvas.text(cx, cy, name, turn=turn, bold=True)
                break


def _grain(canvas: Canvas, flat: Mapping[str, Any], whole: Rect) -> None:
    """A two-headed arrow along flutes or grain, beyond the figures, with what it means."""
    upright = flat["stuff"]["kind"] == "board"
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

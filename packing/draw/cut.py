"""The working drawing of one insert sheet: its pockets, dimensioned for knife and straightedge."""

from collections.abc import Sequence

from packing.draw import dimension
from packing.draw.canvas import RING, TEXT, THIN, WIDE, Canvas, Drawing, ring_width, text_box, text_width
from packing.draw.marking import mark_pockets, overall
from packing.draw.reading import Content, Pocket, Sheet, by_letter, require_planned, sheets
from packing.draw.scale import Paper, View, fitted, length_text
from packing.draw.shapes import Point, Rect, Segment, union_outline
from packing.measure import BadInput


def alike(content: Content) -> list[list[str]]:
    """Sheet ids gathered where size, thickness, layer and pockets agree, from the bottom up: one drawing for each."""
    groups: dict[object, list[str]] = {}
    for sheet in sheets(content):
        groups.setdefault((sheet.size, sheet.thickness, sheet.layer, sheet.pockets), []).append(sheet.id)
    return list(groups.values())


def sheet_drawing(
    content: Content,
    sheet_id: str,
    *,
    unit: str = "mm",
    paper: Paper = (250.0, 160.0),
    scale: float | None = None,
    ground: str | None = None,
    caption: bool = True,
) -> Drawing:
    """One sheet of the insert, to be marked out and cut.

    Parameters
    ----------
    content
        A plan's content, planned.
    sheet_id
        Such as "S2".
    unit, paper, scale, ground, caption
        See `plan_view`.

    Returns
    -------
    Drawing
        At `scale`. All running dimensions from the lower left corner, that of every cut on the nearer side; each
        pocket's length by width in it or beside it. Corners are square and the figures are those of the cut lines: the
        knife's own width is not allowed for.

    Raises
    ------
    BadInput
        Where the content is no plan or has no such sheet.
    """
    require_planned(content)
    stack = {sheet.id: sheet for sheet in sheets(content)}
    if sheet_id not in stack:
        raise BadInput("sheet_id", f"must be one of {', '.join(stack)}, not {sheet_id!r}.")
    sheet = stack[sheet_id]
    ids = next(group for group in alike(content) if sheet_id in group)
    name = f"{', '.join(ids)} · {length_text(sheet.thickness, unit)} thick · cut {len(ids)}"
    words = name if caption else ""
    canvas, chosen = fitted(lambda view: _draw(sheet, view, words), sheet.size, paper, unit=unit, scale=scale)
    return canvas.finish(f"Order {content['order']}: sheet {sheet_id}", _words(sheet, unit), chosen, ground)


def _words(sheet: Sheet, unit: str) -> str:
    pockets = [
        f"{pocket.letter} {pocket.part} from {_pair(pocket.rect.x0, pocket.rect.y0, unit, 'and')}, "
        f"{_pair(pocket.rect.width, pocket.rect.height, unit, 'by')}"
        for pocket in sheet.pockets
    ]
    size = _pair(*sheet.size, unit, "by")
    return f"{size} {unit}, {length_text(sheet.thickness, unit)} thick. " + ("; ".join(pockets) or "No pockets") + "."


def _pair(first: float, second: float, unit: str, word: str) -> str:
    return f"{length_text(first, unit)} {word} {length_text(second, unit)}"


def _draw(sheet: Sheet, view: View, caption: str) -> Canvas:
    canvas = Canvas()
    floor = view.rect(Rect(0, 0, *sheet.size))
    canvas.polygon(floor.corners, WIDE)
    groups = by_letter(sheet.pockets)
    pockets = [view.rect(pocket.rect) for pocket in sheet.pockets]
    mark_pockets(canvas, list(groups.values()), view, floor=floor, outer=floor, holes=pockets)
    overall(canvas, floor, floor, sheet.size, view)
    for rects in groups.values():
        canvas.lines(union_outline([view.rect(rect) for rect in rects]), WIDE)
    _letters(canvas, sheet, view)
    for pocket in sorted(sheet.pockets, key=lambda pocket: -pocket.rect.width * pocket.rect.height):
        _size(canvas, pocket, pockets, floor, view)
    _this_side_up(canvas, sheet, pockets, floor)
    dimension.datum(canvas, floor.x0, floor.y1)
    if caption:
        dimension.strip(canvas, caption, view, x0=floor.x0, x1=floor.x1)
    return canvas


def _letters(canvas: Canvas, sheet: Sheet, view: View) -> None:
    """A ring in one pocket of each item: the head's or the block's where the sheet has it."""
    for letter in by_letter(sheet.pockets):
        own = [pocket for pocket in sheet.pockets if pocket.letter == letter]
        own.sort(key=lambda pocket: ("head", "block", "handle", "notch").index(pocket.part))
        rect = view.rect(own[0].rect)
        half = ring_width(letter) / 2
        for fx, fy in ((0.5, 0.5), (0.5, 0.25), (0.5, 0.75), (0.25, 0.5), (0.75, 0.5)):
            x, y = rect.x0 + fx * rect.width, rect.y0 + fy * rect.height
            if canvas.free(Rect(x - half, y - RING, x + half, y + RING)):
                break
        canvas.ring(x, y, letter)


def _size(canvas: Canvas, pocket: Pocket, pockets: Sequence[Rect], floor: Rect, view: View) -> None:
    """Length by width of one pocket: in it, along its longer side; else beside it with a leader."""
    rect = view.rect(pocket.rect)
    short, long = sorted((pocket.rect.width, pocket.rect.height))
    words = _pair(long, short, view.unit, "×")
    lying = rect.width >= rect.height
    for turn in (0, -90) if lying else (-90, 0):
        found = _inside(canvas, rect, words, turn, [other for other in pockets if other != rect])
        if found:
            canvas.text(*found, words, turn=turn)
            return
    start = rect.centre
    for x, y in _around(rect, text_width(words)):
        box = text_box(x, y, words)
        if (
            canvas.free(box, 0.6)
            and not any(box.overlaps(other, 0.4) for other in pockets)
            and floor.grown(-0.8).holds(box)
        ):
            near = (min(max(start[0], box.x0), box.x1), min(max(start[1], box.y0 + 0.4), box.y1 - 0.4))
            canvas.leader(start, near)
            canvas.text(x, y, words)
            return


def _inside(canvas: Canvas, rect: Rect, words: str, turn: int, others: Sequence[Rect]) -> Point | None:
    """A place for words wholly in a pocket, clear of other texts and, if it can be, of its item's other pocket."""
    for strict in (True, False):
        for share in (0.5, 0.62, 0.38, 0.74, 0.26, 0.85, 0.15):
            for side in (0.5, 0.7, 0.3):
                fx, fy = (share, side) if turn == 0 else (side, share)
                x, y = rect.x0 + fx * rect.width, rect.y0 + fy * rect.height
                box = text_box(x, y, words, turn=turn)
                if not rect.grown(-0.3).holds(box) or not canvas.free(box):
                    continue
                if not strict or not any(box.overlaps(other) for other in others):
                    return x, y
    return None


def _around(rect: Rect, width: float) -> list[Point]:
    """Places about a rectangle for a text of this width, nearest first."""
    cx, cy = rect.centre
    places: list[Point] = []
    for step in range(14):
        gap = TEXT * (0.9 + 0.8 * step)
        for slide in (0.0, 0.5, -0.5, 1.0, -1.0):
            places += [(cx + slide * width, rect.y0 - gap), (cx + slide * width, rect.y1 + gap)]
            places += [(rect.x1 + gap + width / 2, cy + slide * 8), (rect.x0 - gap - width / 2, cy + slide * 8)]
    return places


def _this_side_up(canvas: Canvas, sheet: Sheet, pockets: Sequence[Rect], floor: Rect) -> None:
    """What to write on the foam: id, arrow, this side up; in the sheet where it is free, else above it."""
    words = f"{sheet.id} · this side up"
    width = text_width(words, bold=True) + 5.0
    for row in range(1, 40):
        for right in (True, False):
            x0 = floor.x1 - 2.5 - width if right else floor.x0 + 4.0
            y = floor.y0 + 3.6 + (row - 1) * 2.5
            box = Rect(x0, y - 2.0, x0 + width, y + 2.0)
            clear = canvas.free(box, 0.8) and not any(box.overlaps(pocket, 0.8) for pocket in pockets)
            if clear and floor.grown(-1.0).holds(box):
                _arrow(canvas, x0 + 1.6, y)
                canvas.text(x0 + 4.4, y, words, anchor="start", bold=True)
                return
    y = canvas.extent.y0 - 4.0
    _arrow(canvas, floor.x0 + 1.6, y)
    canvas.text(floor.x0 + 4.4, y, words, anchor="start", bold=True)


def _arrow(canvas: Canvas, x: float, y: float) -> None:
    canvas.polygon([(x, y - 1.8), (x + 1.5, y + 0.3), (x - 1.5, y + 0.3)], THIN, fill="#14120f")
    stem: list[Segment] = [((x, y + 0.3), (x, y + 1.8))]
    canvas.lines(stem, WIDE)

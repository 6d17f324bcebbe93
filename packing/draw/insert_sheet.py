"""The working drawing of one insert sheet: its pockets, dimensioned for knife and straightedge."""

from collections.abc import Iterable, Iterator, Sequence

from packing.draw import dimension
from packing.draw.callouts import ring_beside
from packing.draw.canvas import (
    CLEARANCE,
    RING,
    TEXT,
    THIN,
    WIDE,
    Anchor,
    Canvas,
    Drawing,
    ring_width,
    text_box,
    text_width,
)
from packing.draw.corner_cuts import cut_corners
from packing.draw.pocket_dimensions import mark_pockets, overall
from packing.draw.pocket_shapes import dimensioned_edges, grouped, pocket_lines
from packing.draw.scale import Paper, View, between_text, fitted, length_text
from packing.draw.shapes import Point, Rect, Segment
from packing.draw.solids import by_letter, cut_alike, cut_together, rect_of
from packing.measure import BadInput
from packing.plan import InsertPlan, Plan, PocketPlan, SheetPlan
from packing.plan.kinds import Grip, Part

_LETTERED = (Part.HEAD, Part.BLOCK, Part.HANDLE, Part.NOTCH, Part.PLATE)
"""Parts in whose pocket a letter stands: the first of these that a sheet has."""
_SIDES = (0.5, 0.7, 0.3, 0.8, 0.2, 0.87, 0.13)
"""Places along a pocket’s side that are tried for its figures, the middle first, then nearer to the ends by turns."""

_SHARES = tuple((share, side) for share in (0.5, 0.62, 0.38, 0.74, 0.26, 0.85, 0.15) for side in _SIDES)
"""Places in a pocket that are tried for its size: along its words, then across them."""


def alike(insert: InsertPlan) -> list[list[str]]:
    """Gather the sheets that are cut alike.

    Parameters
    ----------
    insert
        Of a plan.

    Returns
    -------
    list of list of str
        Ids of the sheets where size, thickness, layer and pockets agree, from the bottom up: one drawing for each.
    """
    groups: dict[object, list[str]] = {}
    for sheet in insert.sheets:
        groups.setdefault(cut_alike(sheet), []).append(sheet.id)
    return list(groups.values())


def together(insert: InsertPlan) -> list[list[str]]:
    """Gather the sheets that one drawing shows: those with the same cuts, whatever their thickness.

    Parameters
    ----------
    insert
        Of a plan.

    Returns
    -------
    list of list of str
        Ids from the bottom up.
    """
    groups: dict[object, list[str]] = {}
    for sheet in insert.sheets:
        groups.setdefault(cut_together(sheet), []).append(sheet.id)
    return list(groups.values())


def id_runs(ids: Iterable[str]) -> str:
    """Write ids of one letter and a number in a few words.

    Parameters
    ----------
    ids
        Such as S1, S4, S5, S6.

    Returns
    -------
    str
        Three and more that follow each other stand as a run: S1, S4–S6.
    """
    runs: list[list[str]] = []
    for one in ids:
        if runs and one[:1] == runs[-1][-1][:1] and int(one[1:]) == int(runs[-1][-1][1:]) + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join("–".join((each[0], each[-1])) if len(each) > 2 else ", ".join(each) for each in runs)


def sheet_drawing(
    plan: Plan,
    sheet_id: str,
    *,
    unit: str = "mm",
    paper: Paper = (250.0, 160.0),
    scale: float | None = None,
    ground: str | None = None,
    caption: bool = True,
    listed: bool = True,
) -> Drawing:
    """One sheet of the insert, to be marked out and cut.

    Parameters
    ----------
    plan
        What to draw.
    sheet_id
        Such as "S2".
    unit, paper, scale, ground, caption
        See `plan_view`.
    listed
        Whether sizes of pockets that have no room in the drawing are listed under it.

    Returns
    -------
    Drawing
        At `scale`. All running dimensions from the lower left corner, that of every cut on the nearer side; each
        pocket's length by width in it or beside it. Corners are square and the figures are those of the cut lines: the
        knife's own width is not allowed for.

    Raises
    ------
    BadInput
        Where the insert has no such sheet.
    """
    stack = plan.insert.sheets
    sheet = next((one for one in stack if one.id == sheet_id), None)
    if sheet is None:
        raise BadInput("sheet_id", f"must be one of {', '.join(one.id for one in stack)}, not {sheet_id!r}.")
    name = _name([one for one in stack if cut_together(one) == cut_together(sheet)], unit)
    words = name if caption else ""
    canvas, chosen = fitted(
        lambda view: _draw(sheet, view, words, listed, plan.insert.grip_um),
        sheet.size_um,
        paper,
        unit=unit,
        scale=scale,
    )
    return canvas.finish(f"Order {plan.order}: sheet {sheet_id}", _words(sheet, unit), chosen, ground)


def _name(sheets: Sequence[SheetPlan], unit: str) -> str:
    """Name the sheets of a drawing, and their thickness."""
    if len({sheet.thickness_um for sheet in sheets}) > 1:
        each = ", ".join(f"{sheet.id} {length_text(sheet.thickness_um, unit)}" for sheet in sheets)
        return f"{each} thick · alike: cut together"
    ids = id_runs(sheet.id for sheet in sheets)
    return f"{ids} · {length_text(sheets[0].thickness_um, unit)} thick · cut {len(sheets)}"


def _words(sheet: SheetPlan, unit: str) -> str:
    pockets = [
        f"{pocket.letter} {pocket.part} from {_pair(*pocket.min_um, unit, 'and')}, {' by '.join(_sides(pocket, unit))}"
        for pocket in sheet.pockets
    ]
    size = _pair(*sheet.size_um, unit, "by")
    return (
        f"{size} {unit}, {length_text(sheet.thickness_um, unit)} thick. " + ("; ".join(pockets) or "No pockets") + "."
    )


def _pair(first: float, second: float, unit: str, word: str) -> str:
    return f"{length_text(first, unit)} {word} {length_text(second, unit)}"


def _draw(sheet: SheetPlan, view: View, caption: str, under: bool, grip_um: int) -> Canvas:
    canvas = Canvas()
    floor = view.rect(Rect(0, 0, *sheet.size_um))
    canvas.polygon(floor.corners, WIDE)
    corners = cut_corners(canvas, floor, view.rect(Rect(0, 0, grip_um, grip_um))) if sheet.grip is Grip.CORNERS else []
    groups = grouped(sheet.pockets)
    pockets = [view.rect(rect_of(pocket)) for pocket in sheet.pockets]
    for own in groups.values():
        canvas.lines(pocket_lines(own, view), WIDE)
    _letters(canvas, sheet, floor, view)
    notches = {_size_words(pocket, view) for pocket in sheet.pockets if pocket.part == Part.NOTCH}
    sized = [pocket for pocket in sheet.pockets if pocket.part != Part.NOTCH or len(notches) > 1]
    # Large pockets first: they hold their figures, and the figures of small ones take the free foam that is left.
    sized.sort(key=lambda pocket: -_area(pocket))
    beside = [pocket for pocket in sized if not _size_in(canvas, pocket, pockets, view)]
    listed = [pocket for pocket in beside if not _size_beside(canvas, pocket, pockets, floor, view)]
    written = _this_side_up(canvas, sheet, [*pockets, *corners], floor)
    holes = [*pockets, *(label.grown(0.3) for label in canvas.labels)]
    mark_pockets(
        canvas, [dimensioned_edges(own) for own in groups.values()], view, floor=floor, outer=floor, holes=holes
    )
    overall(canvas, floor, floor, sheet.size_um, view)
    if not written:
        _write_up(canvas, sheet, floor.x0 + 1.6, canvas.extent.y0 - 4.0)
    dimension.datum(canvas, floor.x0, floor.y1)
    y = canvas.extent.y1 + 5.0
    if caption:
        y = dimension.strip(canvas, caption, view, x0=floor.x0, x1=floor.x1)
    if under:
        notes = [f"finger notches {notches.pop()}"] if len(notches) == 1 else []
        _notes(canvas, notes + _listed(listed, view), floor, y)
    return canvas


def _listed(pockets: Sequence[PocketPlan], view: View) -> list[str]:
    """Describe each pocket under the drawing; notches of one size together."""
    notches: dict[str, list[str]] = {}
    notes = []
    for pocket in pockets:
        size = _size_words(pocket, view)
        if pocket.part == Part.NOTCH:
            notches.setdefault(size, []).append(pocket.letter)
        else:
            notes.append(f"{pocket.letter} {pocket.part} {size}")
    return [*notes, *(f"{', '.join(sorted(letters))} notch {size}" for size, letters in notches.items())]


def _notes(canvas: Canvas, notes: Sequence[str], floor: Rect, y: float) -> None:
    """Sizes that have no place in the drawing, in rows under it."""
    row = ""
    for note in [*notes, ""]:
        longer = f"{row} · {note}" if row and note else row or note
        if row and (not note or text_width(longer) > max(canvas.extent.x1 - floor.x0, 80.0)):
            canvas.text(floor.x0, y, row, anchor=Anchor.START)
            y += 1.4 * TEXT
            longer = note
        row = longer


def _size_words(pocket: PocketPlan, view: View) -> str:
    across, up = _sides(pocket, view.unit)
    return f"{across} × {up}" if _lies(pocket) else f"{up} × {across}"


def _sides(pocket: PocketPlan, unit: str) -> tuple[str, str]:
    """Across and up, as the figures of its edges differ."""
    (x0, y0), (x1, y1) = pocket.min_um, pocket.max_um
    return between_text(x0, x1, unit), between_text(y0, y1, unit)


def _area(pocket: PocketPlan) -> int:
    (x0, y0), (x1, y1) = pocket.min_um, pocket.max_um
    return (x1 - x0) * (y1 - y0)


def _lies(pocket: PocketPlan) -> bool:
    """Tell whether a pocket is at least as long along the sheet as across it."""
    (x0, y0), (x1, y1) = pocket.min_um, pocket.max_um
    return x1 - x0 >= y1 - y0


def _letters(canvas: Canvas, sheet: SheetPlan, floor: Rect, view: View) -> None:
    """A ring in one pocket of each item, the head's or the block's where the sheet has it, with room for its size."""
    every = [view.rect(rect_of(pocket)) for pocket in sheet.pockets]
    for letter in by_letter(sheet.pockets):
        own = [pocket for pocket in sheet.pockets if pocket.letter == letter]
        own.sort(key=lambda pocket: _LETTERED.index(pocket.part))
        rect = view.rect(rect_of(own[0]))
        places = _ring_places(rect, ring_width(letter) / 2)
        others = [place for pocket in own for place in _along(view.rect(rect_of(pocket)))]
        free = [place for place in places + others if canvas.free(_ring_box(place, letter))]
        if not free:
            ring_beside(canvas, letter, [rect], [], floor)
            continue
        with_tolerance_room = (
            place
            for place in free
            if place in places and _size_place(canvas, own[0], every, view, _ring_box(place, letter))
        )
        canvas.ring(*next(with_tolerance_room, free[0]), letter)


def _ring_places(rect: Rect, half: float) -> list[Point]:
    """The middle of a rectangle, then places near the ends of its longer side, then near the other two sides."""
    (cx, cy), gap = rect.centre, 0.9
    ends = [(cx, rect.y0 + RING + gap), (cx, rect.y1 - RING - gap)]
    sides = [(rect.x0 + half + gap, cy), (rect.x1 - half - gap, cy)]
    return [(cx, cy), *(ends + sides if rect.height >= rect.width else sides + ends)]


def _along(rect: Rect) -> list[Point]:
    """Places along the longer middle line of a rectangle, from its middle outwards."""
    cx, cy = rect.centre
    offs = (0.0, 0.15, -0.15, 0.3, -0.3, 0.4, -0.4)
    if rect.width >= rect.height:
        return [(cx + off * rect.width, cy) for off in offs]
    return [(cx, cy + off * rect.height) for off in offs]


def _ring_box(place: Point, letter: str) -> Rect:
    half = ring_width(letter) / 2
    return Rect(place[0] - half, place[1] - RING, place[0] + half, place[1] + RING)


def _size_in(canvas: Canvas, pocket: PocketPlan, pockets: Sequence[Rect], view: View) -> bool:
    """Write a pocket's length by width in it, along its longer side if it can be; False where there is no room."""
    found = _size_place(canvas, pocket, pockets, view)
    if found is None:
        return False
    place, turn = found
    canvas.text(*place, _size_words(pocket, view), turn=turn)
    return True


def _size_place(
    canvas: Canvas, pocket: PocketPlan, pockets: Sequence[Rect], view: View, ring: Rect | None = None
) -> tuple[Point, int] | None:
    """The place where a pocket's size has room in it, also beside a ring to come, and its turn."""
    rect, words = view.rect(rect_of(pocket)), _size_words(pocket, view)
    for turn in (0, -90) if rect.width >= rect.height else (-90, 0):
        found = _inside(canvas, rect, words, turn, pockets, ring)
        if found:
            return found, turn
    return None


def _size_beside(canvas: Canvas, pocket: PocketPlan, pockets: Sequence[Rect], floor: Rect, view: View) -> bool:
    """Write a pocket's size near it on free foam with a leader; False where there is no room."""
    rect, words = view.rect(rect_of(pocket)), _size_words(pocket, view)
    inside, room = rect.grown(-min(1.2, rect.width / 3, rect.height / 3)), floor.grown(-0.8)
    cx, cy = rect.centre
    at_home = text_box(0.0, 0.0, words)
    for x, y in _around(rect, text_width(words)):
        box = at_home.moved(x, y)
        if room.holds(box) and canvas.free(box, 0.6) and not any(box.overlaps(other, 0.4) for other in pockets):
            near = (min(max(cx, box.x0), box.x1), min(max(cy, box.y0 + 0.4), box.y1 - 0.4))
            start = (min(max(near[0], inside.x0), inside.x1), min(max(near[1], inside.y0), inside.y1))
            canvas.leader(start, near)
            canvas.text(x, y, words)
            return True
    return False


def _inside(
    canvas: Canvas, rect: Rect, words: str, turn: int, pockets: Sequence[Rect], ring: Rect | None
) -> Point | None:
    """A place for words wholly in a pocket, clear of other texts and, if it can be, of its item's other pocket."""
    at_home, room = text_box(0.0, 0.0, words, turn=turn), rect.grown(-0.3)
    if at_home.width > room.width or at_home.height > room.height:
        return None
    others = [other for other in pockets if other.overlaps(rect) and other != rect]
    clear: Point | None = None
    for along, across in _SHARES:
        fx, fy = (along, across) if turn == 0 else (across, along)
        x, y = rect.x0 + fx * rect.width, rect.y0 + fy * rect.height
        box = at_home.moved(x, y)
        if room.holds(box) and canvas.free(box) and not (ring and box.overlaps(ring, CLEARANCE)):
            if not any(box.overlaps(other) for other in others):
                return x, y
            clear = clear or (x, y)
    return clear


def _around(rect: Rect, width: float) -> Iterator[Point]:
    """Places about a rectangle for a text of this width, nearest first."""
    cx, cy = rect.centre
    for step in range(5):
        gap = TEXT * (0.9 + 0.8 * step)
        for slide in (0.0, 0.5, -0.5, 1.0, -1.0):
            yield cx + slide * width, rect.y0 - gap
            yield cx + slide * width, rect.y1 + gap
            yield rect.x1 + gap + width / 2, cy + slide * 8
            yield rect.x0 - gap - width / 2, cy + slide * 8


def _this_side_up(canvas: Canvas, sheet: SheetPlan, pockets: Sequence[Rect], floor: Rect) -> bool:
    """Write on the foam: id, arrow, this side up; in the sheet if it has room, else not at all."""
    width = text_width(_up_words(sheet), bold=True) + 5.0
    across = max(1, int((floor.width - width - 5.0) / 6.0))
    for row in range(int(floor.height / 2.5)):
        y = floor.y0 + 3.6 + row * 2.5
        for column in range(across + 1):
            x0 = floor.x1 - 2.5 - width - column * (floor.width - width - 5.0) / across
            box = Rect(x0, y - 2.0, x0 + width, y + 2.0)
            clear = canvas.free(box, 0.8) and not any(box.overlaps(pocket, 0.8) for pocket in pockets)
            if clear and floor.grown(-1.0).holds(box):
                _write_up(canvas, sheet, x0 + 1.6, y)
                return True
    return False


def _up_words(sheet: SheetPlan) -> str:
    return f"{sheet.id} · this side up"


def _write_up(canvas: Canvas, sheet: SheetPlan, x: float, y: float) -> None:
    _arrow(canvas, x, y)
    canvas.text(x + 2.8, y, _up_words(sheet), anchor=Anchor.START, bold=True)


def _arrow(canvas: Canvas, x: float, y: float) -> None:
    canvas.polygon([(x, y - 1.8), (x + 1.5, y + 0.3), (x - 1.5, y + 0.3)], THIN, fill="#14120f")
    stem: list[Segment] = [((x, y + 0.3), (x, y + 1.8))]
    canvas.lines(stem, WIDE)

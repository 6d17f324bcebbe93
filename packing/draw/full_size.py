"""Sheets of an insert in full size: on pages to be stuck together, or each on one large page.

They are glued or pinned on the foam and cut through. Rods ask for less paper and no sticking; these ask for no rule.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packing.draw.canvas import FINE, LABEL, RING, THIN, WIDE, Anchor, Canvas, Drawing, ring_width
from packing.draw.cut_file import sheet_loops
from packing.draw.insert_sheet import id_runs, together
from packing.draw.rods import FRAME, check_bars
from packing.draw.scale import Paper, length_text
from packing.draw.shapes import Point, Rect, Segment, span_over
from packing.draw.solids import by_letter
from packing.plan import Plan, SheetPlan

OVERLAP = 12.0
"""Millimetres by which pages lie over each other, for glue or tape."""
FOOT = 17.0
"""Millimetres under the part of a sheet: its name, and the bars that the print is checked by."""
MAP = (26.0, 9.0)
"""Millimetres that the map of the pages takes at most."""
CROSS = 4.0
"""Half the length of the arms of a cross that two pages have in common, mm."""
LEAST_FOR_RING = 2 * RING + 1.0
"""Millimetres of a pocket that must be on a page for its letter to stand in it."""


@dataclass(frozen=True, slots=True)
class FullSizePage:
    """A page with a part of a sheet of the insert, or with all of it, in full size.

    Parameters
    ----------
    ids
        The sheets that are cut by it.
    name
        Such as "S3–S5, row 1, page 2", rows counted from the bottom; without row and page where one page shows all.
    drawing
        At full size.
    """

    ids: tuple[str, ...]
    name: str
    drawing: Drawing


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The drawing of sheets that are cut alike, in mm as printed, y upwards."""

    ids: tuple[str, ...]
    words: str
    size: Point
    edge: tuple[Point, ...]
    loops: tuple[tuple[Point, ...], ...]
    rings: tuple[tuple[str, Rect], ...]


@dataclass(frozen=True, slots=True)
class _Grid:
    """The pages that a sheet is shared out over: how many across and up, and what one page shows of it."""

    across: int
    up: int
    page: Point

    def window(self, column: int, row: int, size: Point) -> Rect:
        """The part of the sheet on a page."""
        x, y = column * (self.page[0] - OVERLAP), row * (self.page[1] - OVERLAP)
        return Rect(x, y, min(size[0], x + self.page[0]), min(size[1], y + self.page[1]))

    def own(self, column: int, row: int, size: Point) -> Rect:
        """The part that is on no page to the left or below."""
        window = self.window(column, row, size)
        return Rect(window.x0 + (OVERLAP if column else 0), window.y0 + (OVERLAP if row else 0), window.x1, window.y1)


def full_size_pages(
    plan: Plan, *, paper: Paper, unit: str = "mm", stretch: float = 1.0, ground: str | None = None
) -> list[FullSizePage]:
    """The sheets with pockets in full size, each on as many pages as it takes, to be stuck together.

    Parameters
    ----------
    plan
        In layers; a plan without has no pockets and no pages.
    paper
        Room of a page in millimetres.
    unit
        Of the thickness of the sheets, "mm" or "in".
    stretch, ground
        See `packing.draw.rods.rod_pages`.

    Returns
    -------
    list of FullSizePage
        Sheets that are cut alike share theirs. Pages lie `OVERLAP` over each other, the dashed line of one on the edge
        of the other, and have crosses in common. A page on which nothing is to be cut is left out; the map on each page
        shows which there are.
    """
    room = (paper[0] - FRAME, paper[1] - FRAME - FOOT)
    found = []
    for sheet in _sheets(plan, unit, stretch):
        across, up = (
            1 + max(0, -int(-(side - most) // (most - OVERLAP))) for side, most in zip(sheet.size, room, strict=True)
        )
        grid = _Grid(across, up, room)
        places = [(column, row) for row in range(up) for column in range(across)]
        kept = _together([place for place in places if any(_inside(sheet.loops, grid.own(*place, sheet.size)))])
        found += [_tile(sheet, grid, place, kept, stretch, ground) for place in kept]
    return found


def _together(places: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """The same pages where each can be stuck to another; else all pages in rows and columns between them as well."""
    columns, rows = ({place[axis] for place in places} for axis in (0, 1))
    joined, new = set(), set(places[:1])
    while new:
        joined |= new
        new = {
            (column, row)
            for column, row in places
            if (column, row) not in joined and any(abs(column - x) + abs(row - y) == 1 for x, y in new)
        }
    if len(joined) == len(places):
        return list(places)
    return [
        (column, row) for row in range(min(rows), max(rows) + 1) for column in range(min(columns), max(columns) + 1)
    ]


def whole_sheets(
    plan: Plan, *, unit: str = "mm", stretch: float = 1.0, ground: str | None = None
) -> list[FullSizePage]:
    """The sheets with pockets in full size, each on one page as large as it is.

    Parameters
    ----------
    plan, unit, stretch, ground
        See `full_size_pages`.

    Returns
    -------
    list of FullSizePage
        One for all sheets that are cut alike, with the bars of 100 mm and 4 in under it.
    """
    found = []
    for sheet in _sheets(plan, unit, stretch):
        canvas = Canvas()
        window = Rect(0.0, 0.0, *sheet.size)
        _part(canvas, sheet, window)
        canvas.text(0.0, sheet.size[1] + 5.0, f"{id_runs(sheet.ids)} · {sheet.words}", size=LABEL, anchor=Anchor.START)
        check_bars(canvas, sheet.size[1] + 12.0, stretch)
        found.append(FullSizePage(sheet.ids, id_runs(sheet.ids), _finished(canvas, sheet, ground)))
    return found


def _sheets(plan: Plan, unit: str, stretch: float) -> Iterator[_Sheet]:
    stack = {sheet.id: sheet for sheet in plan.insert.sheets}
    for ids in together(plan.insert):
        sheets = [stack[one] for one in ids]
        if sheets[0].pockets:
            yield _sheet(sheets, plan, unit, stretch)


def _sheet(sheets: Sequence[SheetPlan], plan: Plan, unit: str, stretch: float) -> _Sheet:
    first, at = sheets[0], stretch / 1000
    edge, loops = sheet_loops(first, plan.sheet_size_um or first.size_um)
    rings = [
        (letter, Rect(rect.x0 * at, rect.y0 * at, rect.x1 * at, rect.y1 * at))
        for letter, rects in by_letter(first.pockets).items()
        for rect in rects
    ]
    thick = sorted({sheet.thickness_um for sheet in sheets})
    each = ", ".join(f"{length_text(um, unit)} {unit}" for um in thick)
    words = f"order {plan.order} · {each} thick · cut {len(sheets)} · this side up"
    return _Sheet(
        tuple(sheet.id for sheet in sheets),
        words,
        (edge[2][0] * stretch, edge[2][1] * stretch),
        _stretched(edge, stretch),
        tuple(_stretched(loop, stretch) for loop in loops),
        tuple(rings),
    )


def _stretched(points: Sequence[Point], stretch: float) -> tuple[Point, ...]:
    return tuple((x * stretch, y * stretch) for x, y in points)


def _inside(loops: Sequence[Sequence[Point]], window: Rect) -> Iterator[Segment]:
    """The parts of closed figures inside a rectangle."""
    # A cut that runs along the very edge of a page counts as on it.
    room = window.grown(1e-3)
    for loop in loops:
        for start, end in zip(loop, [*loop[1:], loop[0]], strict=True):
            step = (end[0] - start[0], end[1] - start[1])
            span = span_over(start, step, room)
            if span and (low := max(0.0, span[0])) < (high := min(1.0, span[1])):
                yield (
                    (start[0] + low * step[0], start[1] + low * step[1]),
                    (start[0] + high * step[0], start[1] + high * step[1]),
                )


def _part(canvas: Canvas, sheet: _Sheet, window: Rect) -> None:
    """The part of a sheet in a window: its edge, its cuts, the letters of its pockets."""

    def at(point: Point) -> Point:
        return point[0] - window.x0, window.y1 - point[1]

    canvas.lines([(at(start), at(end)) for start, end in _inside([sheet.edge], window)], THIN, dash="4 1")
    canvas.lines([(at(start), at(end)) for start, end in _inside(sheet.loops, window)], WIDE)
    done: set[str] = set()
    for letter, rect in sheet.rings:
        seen = Rect(max(rect.x0, window.x0), max(rect.y0, window.y0), min(rect.x1, window.x1), min(rect.y1, window.y1))
        wide = max(LEAST_FOR_RING, ring_width(letter) + 1.0)
        if letter not in done and seen.width >= wide and seen.height >= LEAST_FOR_RING:
            done.add(letter)
            canvas.ring(*at(seen.centre), letter)


def _tile(
    sheet: _Sheet,
    grid: _Grid,
    place: tuple[int, int],
    kept: Sequence[tuple[int, int]],
    stretch: float,
    ground: str | None,
) -> FullSizePage:
    column, row = place
    window = grid.window(column, row, sheet.size)
    canvas = Canvas()
    _part(canvas, sheet, window)
    frame = Rect(0.0, 0.0, window.width, window.height)
    canvas.polygon(frame.corners, FINE)
    joins_x = [OVERLAP] if column else []
    joins_y = [window.height - OVERLAP] if row else []
    canvas.lines([((x, 0.0), (x, window.height)) for x in joins_x], FINE, dash="1 1")
    canvas.lines([((0.0, y), (window.width, y)) for y in joins_y], FINE, dash="1 1")
    for x, y in _crosses(grid, place, window):
        canvas.lines([((x - CROSS, y), (x + CROSS, y)), ((x, y - CROSS), (x, y + CROSS))], FINE)
    name = id_runs(sheet.ids)
    if grid.across * grid.up > 1:
        name += f", row {row + 1}, page {column + 1}"
        _map(canvas, grid, place, kept, (grid.page[0] - MAP[0], grid.page[1] + FOOT - 2.0 - MAP[1]))
    canvas.text(0.0, grid.page[1] + 3.0, f"{name} · {sheet.words}", size=LABEL, anchor=Anchor.START)
    check_bars(canvas, grid.page[1] + 8.5, stretch)
    return FullSizePage(sheet.ids, name, _finished(canvas, sheet, ground))


def _crosses(grid: _Grid, place: tuple[int, int], window: Rect) -> list[Point]:
    """The crosses a page has in common with its neighbours, in the middle of what lies over each other."""
    column, row = place
    half = OVERLAP / 2
    xs = [half] * (column > 0) + [window.width - half] * (column < grid.across - 1)
    ys = [window.height - half] * (row > 0) + [half] * (row < grid.up - 1)
    # Where there is no neighbour that way, a quarter from the ends: two crosses hold a page straight.
    ends_x, ends_y = ([side * share for share in (0.25, 0.75)] for side in (window.width, window.height))
    return [(x, y) for x in xs for y in (ys or ends_y)] + ([] if xs else [(x, y) for y in ys for x in ends_x])


def _map(canvas: Canvas, grid: _Grid, place: tuple[int, int], kept: Sequence[tuple[int, int]], corner: Point) -> None:
    """All pages of a sheet as small fields, this one filled, those left out crossed."""
    wide, high = min(8.0, MAP[0] / grid.across), min(4.5, MAP[1] / grid.up)
    left, foot = corner[0] + MAP[0] - wide * grid.across, corner[1] + MAP[1]
    for row in range(grid.up):
        for column in range(grid.across):
            x, y = left + column * wide, foot - (row + 1) * high
            field = Rect(x, y, x + wide, y + high)
            here = (column, row) == place
            canvas.polygon(field.corners, FINE, fill="#d9d4c7" if here else "none")
            if (column, row) not in kept:
                a, b, c, d = field.corners
                canvas.lines([(a, c), (b, d)], FINE)


def _finished(canvas: Canvas, sheet: _Sheet, ground: str | None) -> Drawing:
    return canvas.finish(f"Full size: {id_runs(sheet.ids)}", "Edges of every pocket in full size", 1.0, ground)

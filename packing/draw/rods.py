"""Paper rods: strips in full size, laid along a sheet's sides to mark its pockets without measuring.

A rod is the workshop's old answer to reading a rule over and over (common practice, no source): every edge stands on it
as a tick, and what is marked from one rod comes out alike on every sheet.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.draw.canvas import FINE, LABEL, THIN, WHITE, WIDE, Anchor, Canvas, Drawing, text_width
from packing.draw.insert_sheet import id_runs
from packing.draw.labels import Labels
from packing.draw.pocket_shapes import figure_of
from packing.draw.scale import Paper
from packing.draw.shapes import Rect
from packing.plan import Plan, PocketPlan
from packing.plan.kinds import Axis, Part

JOIN_UM = 15_000
"""Overlap, for glue, of the pieces of a rod that is longer than the paper."""
TICK = 0.35
"""Line width of a tick: between outline and thin line, so that it is found at once."""
LANE, FIRST_LANE, TITLE = 4.6, 6.0, 5.2
"""Millimetres between the bars of two pockets, below the lowest bar, and over the highest."""
GAP = 4.0
"""Millimetres between two strips on a page: room for scissors."""
BARS = 9.0
"""Millimetres at the foot of a page for the bars that the print is checked by."""
FRAME = 3.0
"""Millimetres of a page that a picture's own margin and the width of its lines take."""

_NAMES = {Part.HEAD: "head", Part.HANDLE: "handle", Part.BLOCK: "block", Part.NOTCH: "finger room", Part.PLATE: "plate"}
_ALONG = {Axis.X: "along the length, from the left end", Axis.Y: "along the width, from the lower end"}


@dataclass(frozen=True, slots=True)
class RodMark:
    """The edges of a pocket on a rod, and the corners of its outline.

    Parameters
    ----------
    letter, part
        Whose pocket it is.
    low_um, high_um
        Its edges from the rod's beginning, in micrometres.
    ticks_um
        Every corner of it, the edges among them.
    sheets
        Ids of the sheets it is cut in.
    """

    letter: str
    part: Part
    low_um: int
    high_um: int
    ticks_um: tuple[int, ...]
    sheets: tuple[str, ...]

    @property
    def words(self) -> str:
        """Such as "A head · S3–S5"."""
        return f"{self.letter} {_NAMES[self.part]} · {id_runs(self.sheets)}"


@dataclass(frozen=True, slots=True)
class Rod:
    """A strip as long as one side of the sheets, with the edges of every pocket of one layer.

    Parameters
    ----------
    layer
        Index of the layer.
    axis
        Along the sheets' length or their width.
    length_um
        Of that side.
    marks
        By where they begin.
    """

    layer: int
    axis: Axis
    length_um: int
    marks: tuple[RodMark, ...]


@dataclass(frozen=True, slots=True)
class _Strip:
    """One piece of a rod, as much as a page takes: from where to where, which of how many, a lane for each mark."""

    rod: Rod
    low_um: int
    high_um: int
    number: int
    of: int
    lanes: tuple[tuple[int, RodMark], ...]

    def own(self, mark: RodMark) -> list[int]:
        """The edges of a pocket that are ticked here: where two pieces lie over each other, the upper one has them."""
        end_um = self.high_um if self.number == self.of else self.high_um - JOIN_UM
        return [um for um in mark.ticks_um if self.low_um <= um < end_um or um == end_um == self.high_um]

    @property
    def height(self) -> float:
        """Millimetres on paper."""
        return TITLE + LANE * (1 + max((lane for lane, _ in self.lanes), default=0)) + FIRST_LANE


def rods(plan: Plan) -> tuple[Rod, ...]:
    """The rods that the sheets of an insert are marked by: two for each layer with pockets.

    Parameters
    ----------
    plan
        In layers; a plan without has no pockets and no rods.

    Returns
    -------
    tuple of Rod
        Layers from the bottom up, each along the sheets' length, then along their width.
    """
    found: dict[int, dict[PocketPlan, list[str]]] = {}
    for sheet in plan.insert.sheets:
        for pocket in sheet.pockets:
            if sheet.layer is not None:
                found.setdefault(sheet.layer, {}).setdefault(pocket, []).append(sheet.id)
    made = []
    for layer, pockets in sorted(found.items()):
        for side, axis in enumerate((Axis.X, Axis.Y)):
            marks = [
                RodMark(
                    pocket.letter,
                    pocket.part,
                    pocket.min_um[side],
                    pocket.max_um[side],
                    tuple(sorted({corner[side] for corner in figure_of(pocket)})),
                    tuple(ids),
                )
                for pocket, ids in pockets.items()
            ]
            marks.sort(key=lambda mark: (mark.low_um, mark.high_um, mark.letter))
            made.append(Rod(layer, axis, plan.interior_um[side], tuple(marks)))
    return tuple(made)


def rod_pages(plan: Plan, *, paper: Paper, stretch: float = 1.0, ground: str | None = None) -> list[Drawing]:
    """All rods of a plan in full size, page by page, to cut out.

    Parameters
    ----------
    plan
        See `rods`.
    paper
        Room of a page in millimetres.
    stretch
        What lengths are multiplied by, so that a printer that is out prints them true: 100 over what its bar of 100 mm
        measures.
    ground
        Colour under the drawing; None for none.

    Returns
    -------
    list of Drawing
        At full size; a rod longer than the page is in pieces that lie `JOIN_UM` over each other. Every page has bars of
        100 mm and 4 in.
    """
    width, height = paper[0] - FRAME, paper[1] - FRAME - BARS
    pages: list[list[_Strip]] = []
    left = 0.0
    for strip in (strip for rod in rods(plan) for strip in _cut(rod, width, stretch)):
        if not pages or strip.height > left:
            pages.append([])
            left = height
        pages[-1].append(strip)
        left -= strip.height + GAP
    return [_page(page, index, len(pages), len(plan.layers), stretch, ground) for index, page in enumerate(pages)]


def _cut(rod: Rod, width: float, stretch: float) -> list[_Strip]:
    """A rod in as few pieces as the width of the paper takes, each as long as can be."""
    most_um = int(width * 1000 / stretch)
    step = most_um - JOIN_UM
    count = 1 + max(0, -(-(rod.length_um - most_um) // step))
    strips = []
    for number in range(count):
        low, high = number * step, min(rod.length_um, number * step + most_um)
        marks = [mark for mark in rod.marks if mark.low_um <= high and mark.high_um >= low]
        strips.append(_Strip(rod, low, high, number + 1, count, _lanes(marks, low, high, stretch)))
    # A last piece on which nothing is marked need not be printed and glued on.
    while strips and not any(strips[-1].own(mark) for mark in rod.marks):
        strips.pop()
    return [replace(strip, of=len(strips)) for strip in strips]


def _lanes(marks: Sequence[RodMark], low_um: int, high_um: int, stretch: float) -> tuple[tuple[int, RodMark], ...]:
    """The lowest lane for each mark in which neither its bar nor its words meet another's."""
    taken: list[Labels] = []
    placed = []
    for mark in marks:
        bar = _bar(mark, low_um, high_um, stretch)
        words = _words_at(mark, low_um, high_um, stretch)
        rect = Rect(min(bar[0], words), 0.0, max(bar[1], words + text_width(mark.words, LABEL)), 1.0).grown(0.8)
        lane = next((index for index, labels in enumerate(taken) if not labels.meet(rect)), len(taken))
        if lane == len(taken):
            taken.append(Labels())
        taken[lane].append(rect)
        placed.append((lane, mark))
    return tuple(placed)


def _bar(mark: RodMark, low_um: int, high_um: int, stretch: float) -> tuple[float, float]:
    """The bar of a pocket on a piece of a rod, in millimetres from the piece's beginning."""
    return (
        (max(mark.low_um, low_um) - low_um) / 1000 * stretch,
        (min(mark.high_um, high_um) - low_um) / 1000 * stretch,
    )


def _words_at(mark: RodMark, low_um: int, high_um: int, stretch: float) -> float:
    """The beginning of a pocket's words: inside its bar if they fit, else so that they stay on the piece."""
    begin, _ = _bar(mark, low_um, high_um, stretch)
    end = (high_um - low_um) / 1000 * stretch
    first = 1.0 if low_um == 0 else 1.0 + JOIN_UM / 1000 * stretch
    return max(first, min(begin + 1.0, end - 1.0 - text_width(mark.words, LABEL)))


def _page(strips: Sequence[_Strip], index: int, pages: int, layers: int, stretch: float, ground: str | None) -> Drawing:
    canvas = Canvas()
    y = 0.0
    for strip in strips:
        _strip(canvas, strip, y, layers, stretch)
        y += strip.height + GAP
    check_bars(canvas, y + 2.0, stretch)
    title = f"Rods to mark the sheets by, page {index + 1} of {pages}"
    return canvas.finish(title, "Strips in full size with the edges of every pocket", 1.0, ground)


def _strip(canvas: Canvas, strip: _Strip, top: float, layers: int, stretch: float) -> None:
    """A piece of a rod: its words, a bar for each pocket, ticks down to the edge that is laid on the foam."""
    length, edge = (strip.high_um - strip.low_um) / 1000 * stretch, top + strip.height
    canvas.polygon([(0, top), (length, top), (length, edge), (0, edge)], FINE, dash="2 1")
    canvas.lines([((0, edge), (length, edge))], WIDE)
    layer = "" if layers == 1 else f"Layer {strip.rod.layer + 1} from the bottom, "
    piece = "" if strip.of == 1 else f"; piece {strip.number} of {strip.of}"
    words = f"{layer}{_ALONG[strip.rod.axis]}{piece}"
    join = JOIN_UM / 1000 * stretch
    at = 2.0 if strip.number == 1 else 2.0 + join
    canvas.text(at, top + 2.8, words[:1].upper() + words[1:], size=LABEL, anchor=Anchor.START, bold=True)
    heights = [(mark, edge - FIRST_LANE - LANE * lane) for lane, mark in strip.lanes]
    for mark, y in heights:
        _edges(canvas, mark, strip, y, edge, stretch)
    for mark, y in heights:
        _words(canvas, mark, strip, y, stretch)
    joins = [place for place, there in ((join, strip.number > 1), (length - join, strip.number < strip.of)) if there]
    for place in joins:
        canvas.lines([((place, top), (place, edge))], FINE, dash="1 1")


def _edges(canvas: Canvas, mark: RodMark, strip: _Strip, y: float, edge: float, stretch: float) -> None:
    """The bar of a pocket, and its ticks down to the edge; those between its edges are shorter."""
    low, high = _bar(mark, strip.low_um, strip.high_um, stretch)
    canvas.lines([((low, y + 1.9), (high, y + 1.9))], THIN)
    within = [(um - strip.low_um) / 1000 * stretch for um in strip.own(mark)]
    canvas.lines([((place, edge - 4.0), (place, edge)) for place in within], TICK)
    tops = [y - 1.7 if um in (mark.low_um, mark.high_um) else y + 1.9 for um in strip.own(mark)]
    canvas.lines([((place, top), (place, edge - 4.0)) for place, top in zip(within, tops, strict=True)], FINE)


def _words(canvas: Canvas, mark: RodMark, strip: _Strip, y: float, stretch: float) -> None:
    """Write a pocket's name over whatever lines cross it."""
    at = _words_at(mark, strip.low_um, strip.high_um, stretch)
    width = text_width(mark.words, LABEL)
    canvas.polygon(
        [(at - 0.4, y - 1.6), (at + width, y - 1.6), (at + width, y + 1.6), (at - 0.4, y + 1.6)], 0, fill=WHITE
    )
    canvas.text(at, y, mark.words, size=LABEL, anchor=Anchor.START)


def check_bars(canvas: Canvas, y: float, stretch: float) -> None:
    """Bars of 100 mm and 4 in, one after the other, stretched as all the rest."""
    x = 0.0
    for length, words in ((100.0, "100 mm"), (101.6, "4 in")):
        end = x + length * stretch
        canvas.lines([((x, y + 2.5), (end, y + 2.5))], WIDE)
        canvas.lines([((place, y + 0.5), (place, y + 4.5)) for place in (x, end)], TICK)
        canvas.text((x + end) / 2, y, words)
        x = end + 12.0

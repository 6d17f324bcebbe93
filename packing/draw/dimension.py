"""Dimension lines with ticks, and running dimensions from one corner."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import ceil

from packing.draw.canvas import BLUE, FINE, INK, LABEL, TEXT, THIN, Anchor, Canvas, text_box, text_width
from packing.draw.scale import View
from packing.draw.shapes import Point, Rect, Segment, outside, spread
from packing.units import LengthUnit, show_length

PITCH = TEXT * 1.16
"""From line to line of text."""
LANE = 6.2
"""From one chain of dimensions to the next: a figure, its line and air between."""
CLEAR = 2.6
"""Distance of figures from the ends of a top or right-hand side, where the extension lines of the whole run."""
_TICK = 0.9
"""Half the length of the stroke that ends a dimension."""
_ROWS = 8
"""Rows above a chain of dimensions, and columns beside one, in which figures without room in their line may stand."""


def across(canvas: Canvas, xs: tuple[float, float], y: float, words: str, *, foot: float, before: bool = False) -> None:
    """A dimension along x: line, ticks, the figure above it, extension lines from height `foot`.

    A figure too wide for its line stands after it, or `before` it; above it, with a leader, where others stand there.
    """
    x0, x1 = xs
    _ticks(canvas, (x0, y), (x1, y))
    canvas.lines(_extensions_x(xs, foot, y), FINE)
    # With three quarters of a millimetre of air at each end: a figure that touches its ticks is misread.
    if text_width(words) + 1.5 <= x1 - x0:
        canvas.text((x0 + x1) / 2, y - 0.72 * TEXT, words)
        return
    anchor = Anchor.END if before else Anchor.START
    beside, middle = (x0 - 1.8 if before else x1 + 1.8), (x0 + x1) / 2
    if canvas.free(text_box(beside, y, words, anchor=anchor)):
        canvas.text(beside, y, words, anchor=anchor)
        return
    rows = (y - 1.4 * TEXT - row * 1.2 * TEXT for row in range(_ROWS))
    above = next((at for at in rows if canvas.free(text_box(middle, at, words))), y - 1.4 * TEXT - _ROWS * TEXT)
    canvas.lines([((middle, y), (middle, above + 0.6 * TEXT))], FINE)
    canvas.text(middle, above, words)


def upright(canvas: Canvas, ys: tuple[float, float], x: float, words: str, *, foot: float) -> None:
    """A dimension along y (least first), read from the right; a figure too wide for its line stands beside it."""
    y0, y1 = ys
    _ticks(canvas, (x, y0), (x, y1))
    canvas.lines(_extensions_y(ys, foot, x), FINE)
    if text_width(words) + 1.5 <= y1 - y0:
        canvas.text(x - 0.72 * TEXT, (y0 + y1) / 2, words, turn=-90)
        return
    middle = (y0 + y1) / 2
    columns = (x + 2.2 + column * 2.4 * TEXT for column in range(_ROWS))
    at = next((one for one in columns if canvas.free(text_box(one, middle, words, anchor=Anchor.START), 0.0)), x + 2.2)
    if at > x + 2.2:
        canvas.lines([((x, middle), (at - 0.4, middle))], FINE)
    canvas.text(at, middle, words, anchor=Anchor.START)


def _ticks(canvas: Canvas, start: tuple[float, float], end: tuple[float, float]) -> None:
    canvas.lines([(start, end)], THIN)
    canvas.lines([((x - _TICK, y + _TICK), (x + _TICK, y - _TICK)) for x, y in (start, end)], 0.35)


def _extensions_x(xs: Sequence[float], foot: float, y: float) -> list[Segment]:
    # Extension lines begin a little off the edge, so that they are not taken for one, and end a little beyond the line.
    way = 1.0 if y > foot else -1.0
    return [((x, foot + way * 0.8), (x, y + way * 1.2)) for x in xs]


def _extensions_y(ys: Sequence[float], foot: float, x: float) -> list[Segment]:
    way = 1.0 if x > foot else -1.0
    return [((foot + way * 0.8, y), (x + way * 1.2, y)) for y in ys]


class Edge(StrEnum):
    """A side of a drawing on paper."""

    BOTTOM = "bottom"
    TOP = "top"
    LEFT = "left"
    RIGHT = "right"


LYING = (Edge.BOTTOM, Edge.TOP)
"""Sides along which figures stand in a row along x."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One running dimension.

    Parameters
    ----------
    value_um
        What the figure says, in micrometres of the thing.
    at
        Its place along the side, in paper mm.
    reach
        How far into the drawing its extension line goes, in paper mm.
    """

    value_um: float
    at: float
    reach: float


def merged(marks: Sequence[Mark], side: Edge, view: View) -> list[Mark]:
    """Marks in order along the side, those of one figure made one that reaches farthest."""
    found: dict[str, Mark] = {}
    for mark in marks:
        # By what is printed: two places of one figure would look like a mistake.
        key = view.figure(mark.value_um)
        other = found.get(key)
        deeper = other is None or (
            mark.reach < other.reach if side in (Edge.BOTTOM, Edge.RIGHT) else mark.reach > other.reach
        )
        if deeper:
            found[key] = mark
    return sorted(found.values(), key=lambda mark: mark.at)


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a drawing on paper.

    Parameters
    ----------
    name
        Which.
    edge
        The outermost line there; figures stand beyond it.
    low, high
        Where along the side figures may stand.
    """

    name: Edge
    edge: float
    low: float
    high: float

    @property
    def lying(self) -> bool:
        """True where figures stand in a row along x."""
        return self.name in LYING

    @property
    def way(self) -> float:
        """Outwards: 1 where coordinates grow that way, else -1."""
        return 1.0 if self.name in (Edge.BOTTOM, Edge.RIGHT) else -1.0


def side_of(outer: Rect, name: Edge) -> Side:
    """A side of a rectangle on paper."""
    edge = {Edge.BOTTOM: outer.y1, Edge.TOP: outer.y0, Edge.LEFT: outer.x0, Edge.RIGHT: outer.x1}[name]
    low, high = (outer.x0, outer.x1) if name in LYING else (outer.y0, outer.y1)
    return Side(name, edge, low, high)


def running(canvas: Canvas, side: Side, marks: Sequence[Mark], view: View, *, holes: Sequence[Rect] = ()) -> float:
    """Running dimensions along one side of a drawing, in up to three rows by turns where one is too short.

    Parameters
    ----------
    marks
        In any order; one figure for each value.
    holes
        Rectangles on paper that extension lines do not cross.

    Returns
    -------
    float
        How far beyond the edge the figures reach, in mm.
    """
    kept = merged(marks, side.name, view)
    if not kept:
        return 0.0
    words = [view.figure(mark.value_um) for mark in kept]
    # Figures read away from the side, so a row is as deep as the widest of them.
    row = max(text_width(text) for text in words) + 1.4
    inset = CLEAR if side.name in (Edge.TOP, Edge.RIGHT) and side.high - side.low > 4 * CLEAR else 0.0
    low, high = side.low + inset, side.high - inset
    rows = min(3, max(1, ceil((len(kept) - 1) * PITCH / (high - low))))
    places = _in_bounds(kept, (low, high), PITCH / rows, lying=side.lying)
    turned: Callable[[float, float], Point] = (lambda at, off: (at, off)) if side.lying else (lambda at, off: (off, at))
    into: list[Segment] = []
    out: list[Segment] = []
    outward = side.name in (Edge.TOP, Edge.RIGHT)
    for index, (mark, place, text) in enumerate(zip(kept, places, words, strict=True)):
        more = row * (index % rows)
        # Straight at the edge, bent to where the figure has room, straight again: marks that lie close stay apart.
        near, bend, end, start = (side.edge + side.way * off for off in (0.6, 3.2, 4.2 + more, 4.9 + more))
        into += outside((turned(mark.at, mark.reach), turned(mark.at, side.edge)), holes)
        out += pairwise((turned(mark.at, near), turned(place, bend), turned(place, end)))
        canvas.text(
            *turned(place, start), text, anchor=Anchor.START if outward else Anchor.END, turn=-90 if side.lying else 0
        )
    canvas.lines(into, FINE, colour=BLUE)
    canvas.lines(out, FINE)
    return 4.9 + row * rows


def _in_bounds(marks: Sequence[Mark], bounds: tuple[float, float], pitch: float, *, lying: bool) -> list[float]:
    """Places for figures along a side; what has no room stands beyond its upper end, or both ends of an upright one."""
    low, high = bounds
    excess = (len(marks) - 1) * pitch - (high - low)
    if excess > 0 and not lying:
        low, high = low - excess / 2, high + excess / 2
    return spread([mark.at for mark in marks], pitch, low, high)


def datum(canvas: Canvas, x: float, y: float) -> None:
    """The corner all running dimensions are taken from: a ringed cross of marking-out blue."""
    canvas.circle(x, y, 1.5, 0.35, colour=BLUE)
    canvas.lines([((x - 2.6, y), (x + 2.6, y)), ((x, y - 2.6), (x, y + 2.6))], 0.35, colour=BLUE)


def strip(canvas: Canvas, words: str, view: View, *, x0: float, x1: float) -> float:
    """Draw the view's name, scale and unit, and a bar of a round length, under the drawing from x0 to x1.

    The bar shows whether a printer has shrunk the page.

    Returns
    -------
    float
        The height on paper of the next line under it.
    """
    y = canvas.extent.y1 + 5.0
    canvas.text(x0, y, f"{words} · {view.words}", size=LABEL, anchor=Anchor.START)
    # Round on the reader's own rule: in millimetres, or in whole inches.
    steps = (10, 20, 50, 100, 200, 500) if view.unit == LengthUnit.MM else (25.4, 50.8, 101.6, 203.2, 304.8)
    whole = max((step for step in steps if step / view.scale <= 42), default=steps[0])
    figure = show_length(whole, view.unit)
    bar, room = whole / view.scale, whole / view.scale + 1.5 + text_width(figure, LABEL)
    start = max(x1, canvas.extent.x1) - room
    # No room beside the words: the bar stands under them.
    if start < canvas.labels.last.x1 + 8.0:
        start, y = x0, y + LABEL + 2.4
    canvas.polygon(Rect(start, y - 0.6, start + bar, y + 0.6).corners, THIN)
    canvas.polygon(Rect(start, y - 0.6, start + bar / 2, y + 0.6).corners, THIN, fill=INK)
    canvas.text(start + room, y, figure, size=LABEL, anchor=Anchor.END)
    return y + LABEL + 3.0

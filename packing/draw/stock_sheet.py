"""A sheet of stock with the parts that are cut from it, the cuts in their order, and what is kept."""

from packing.draw.canvas import BLUE, FINE, LABEL, THIN, WIDE, Canvas, Drawing, text_box, text_width
from packing.draw.dimension import across, upright
from packing.draw.hatch import hatched
from packing.draw.scale import View
from packing.draw.shapes import Rect
from packing.stock import Axis, LaidSheet
from packing.stock import Rect as Laid

GAP = 5.0
"""From the sheet to its dimensions."""
AIR = 1.2
"""Between a part's edge and what is written in it."""
STUB = 4.5
"""Room for the numbers of cuts between the sheet and its dimensions."""
ROWS, BESIDE = 8, 1.9
"""Places that are tried for a cut's number, and how far it stands beside its line."""


def stock_sheet_drawing(
    sheet: LaidSheet, *, labels: tuple[str, ...] = (), scale: float, unit: str, ground: str | None = None
) -> Drawing:
    """Draw a sheet of stock, its parts, its cuts by number and its offcuts.

    Parameters
    ----------
    sheet
        As laid out.
    labels
        What is written on each offcut that is kept, in their order.
    scale
        5 for 1 : 5.
    unit
        Of the figures, "mm" or "in".
    ground
        Colour of the paper; None for none.

    Returns
    -------
    Drawing
        The length runs from left to right. Cuts are numbered in the order they are done, each a line right across
        what is then in hand.
    """
    canvas, view = Canvas(), View(scale, unit)
    length, width = sheet.stock.size_um
    whole = view.rect(Rect(0, 0, length, width))
    for rest, label in zip(sheet.offcuts, labels, strict=False):
        _offcut(canvas, view, rest, label)
    for one in sheet.parts:
        canvas.polygon(view.rect(_rect(one.rect)).corners, THIN)
        _named(canvas, view, one.rect, one.part.id)
    canvas.polygon(whole.corners, WIDE)
    _cuts(canvas, view, sheet)
    across(canvas, (whole.x0, whole.x1), whole.y1 + GAP + STUB, view.figure(length), foot=whole.y1)
    upright(canvas, (whole.y0, whole.y1), whole.x1 + GAP + STUB, view.figure(width), foot=whole.x1)
    told = f"Sheet {view.figure(length)} × {view.figure(width)} {unit} with {len(sheet.parts)} parts"
    return canvas.finish(told, "Parts, cuts in their order, and offcuts to keep", scale, ground)


def _rect(laid: Laid) -> Rect:
    return Rect(*laid)


def _named(canvas: Canvas, view: View, laid: Laid, name: str) -> None:
    """A part's name in its middle, its size under it where there is room."""
    box = view.rect(_rect(laid))
    x, y = box.centre
    size = f"{view.figure(laid[2] - laid[0])} × {view.figure(laid[3] - laid[1])}"
    turn = -90 if box.width < box.height and text_width(size, LABEL) + 2 * AIR > box.width else 0
    room = box.height if turn else box.width
    deep = box.width if turn else box.height
    if text_width(size, LABEL) + 2 * AIR <= room and deep >= 3.2 * LABEL:
        step = 0.75 * LABEL
        dx, dy = (step, 0.0) if turn else (0.0, step)
        canvas.text(x - dx, y - dy, name, size=LABEL, bold=True, turn=turn)
        canvas.text(x + dx, y + dy, size, size=LABEL, turn=turn)
    else:
        canvas.text(x, y, name, size=LABEL, bold=True, turn=turn)


def _offcut(canvas: Canvas, view: View, laid: Laid, label: str) -> None:
    """The rests that are kept: wide hatching, its label and size."""
    box = view.rect(_rect(laid))
    words = f"{label}: {view.figure(laid[2] - laid[0])} × {view.figure(laid[3] - laid[1])}"
    x, y = box.centre
    turn = -90 if text_width(words, LABEL) + 2 * AIR > box.width and box.height > box.width else 0
    taken = text_box(x, y, words, size=LABEL, turn=turn, bold=True).grown(AIR)
    canvas.lines(hatched(box.corners, 45, 4.0, [taken]), FINE)
    canvas.text(x, y, words, size=LABEL, bold=True, turn=turn)


def _cuts(canvas: Canvas, view: View, sheet: LaidSheet) -> None:
    """Each cut as a blue line over the sheet; numbers of cuts that reach the edge stand outside it."""
    length, width = sheet.stock.size_um
    for number, cut in enumerate(sheet.cuts, start=1):
        up = cut.axis is Axis.ACROSS
        ends = (
            ((cut.at_um, cut.from_um), (cut.at_um, cut.to_um))
            if up
            else ((cut.from_um, cut.at_um), (cut.to_um, cut.at_um))
        )
        start, end = (view.point(point) for point in ends)
        canvas.lines([(start, end)], THIN, colour=BLUE, dash="2 1")
        reaches = cut.to_um >= (width if up else length)
        _number(canvas, end, number, up=up, outside=reaches)


def _number(canvas: Canvas, at: tuple[float, float], number: int, *, up: bool, outside: bool) -> None:
    """A cut's number beyond its end at the sheet's edge, else beside the line at its end within."""
    words = str(number)
    for step in range(ROWS):
        away = 1.8 + 2.6 * step
        if outside:
            x, y = (at[0], at[1] - away) if up else (at[0] + away, at[1])
        else:
            x, y = (at[0] + BESIDE, at[1] + away) if up else (at[0] - away, at[1] - BESIDE)
        if canvas.free(text_box(x, y, words, size=LABEL, bold=True), 0.2):
            break
    canvas.text(x, y, words, size=LABEL, bold=True, colour=BLUE)

"""Names and sizes in panels, and the meaning of lines, on working drawings of blanks."""

from collections.abc import Sequence

from packing.draw.canvas import FINE, TEXT, THIN, WIDE, Anchor, Canvas, text_width
from packing.draw.hatch import hatched
from packing.draw.scale import View
from packing.draw.shapes import Point, Rect
from packing.draw.solids import rect_of
from packing.plan import AreaPlan

CREASE = "2.4 1.2"


def panel_names(canvas: Canvas, panels: Sequence[AreaPlan], view: View) -> None:
    """Each panel's name in its middle, with its size where there is room; the name in two lines, or a short one."""
    for panel in panels:
        rect, (low, high) = view.rect(rect_of(panel)), (panel.min_um, panel.max_um)
        name, size = panel.name, f"{view.between(low[0], high[0])} × {view.between(low[1], high[1])}"
        parts = tuple(name.split(maxsplit=1))
        for words in ((name, size), (name,), parts, parts[:1]):
            turn = next((turn for turn in (0, -90) if _fits(rect, words, turn)), None)
            if turn is not None:
                _stacked(canvas, rect, words, turn, bold=len(words) if words == parts else 1)
                break


def _fits(rect: Rect, words: Sequence[str], turn: int) -> bool:
    long, short = (rect.width, rect.height) if turn == 0 else (rect.height, rect.width)
    return max(text_width(word, bold=True) for word in words) + 2.4 <= long and len(words) * 1.3 * TEXT <= short


def _stacked(canvas: Canvas, rect: Rect, words: Sequence[str], turn: int, *, bold: int) -> None:
    """Words in one or two lines, the first so many of them bold."""
    (cx, cy), step = rect.centre, 0.68 * TEXT * (len(words) - 1)
    for index, word in enumerate(words):
        off = step * (2 * index - 1) if len(words) > 1 else 0.0
        x, y = (cx, cy + off) if turn == 0 else (cx + off, cy)
        canvas.text(x, y, word, turn=turn, bold=index < bold)


def line_legend(canvas: Canvas, at: Point, view: View, *, glued: bool, slot_um: int | None = None) -> None:
    """Explain the lines of a blank; the width of slots stands here in any case, it may have no room at a slot."""
    x, y = at
    for words, width, dash in (("cut", WIDE, ""), ("crease", 0.35, CREASE)):
        canvas.lines([((x, y), (x + 10.0, y))], width, dash=dash)
        canvas.text(x + 12.0, y, words, anchor=Anchor.START)
        x = canvas.labels.last.x1 + 6.0
    swatches = [("glued", -45, 1.6)] if glued else []
    swatches += [(f"slot, {view.figure(slot_um)} wide, cut away", 45, 0.7)] if slot_um is not None else []
    for words, slant, pitch in swatches:
        swatch = Rect(x, y - 1.7, x + 7.5, y + 1.7)
        canvas.lines(hatched(swatch.corners, slant, pitch), FINE)
        canvas.polygon(swatch.corners, THIN)
        canvas.text(x + 9.0, y, words, anchor=Anchor.START)
        x = canvas.labels.last.x1 + 6.0

"""Paper to draw on: an SVG in millimetres of paper, with the place of every text remembered."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from math import cos, radians, sin
from xml.sax.saxutils import escape

from packing.draw.labels import Labels
from packing.draw.shapes import Point, Rect, Segment, around

INK = "#14120f"
BLUE = "#1f4e8c"
WHITE = "#ffffff"
# Line widths: one group of ISO 128, 0.5 mm for outlines and 0.25 mm for the rest, and 0.13 mm, the finest width of that
# series, for hatching (from memory).
WIDE, THIN, FINE = 0.5, 0.25, 0.13
# Figures are of 12 points, read at arm's length over a bench; names in keys and captions of 9 (1 point is 0.3528 mm).
TEXT, LABEL = 4.24, 3.2
FONT = "DejaVu Sans Condensed, DejaVu Sans, Liberation Sans, Arial, Helvetica, sans-serif"
RING = 2.45
"""Radius of the ring round a letter, in millimetres on paper."""
CLEARANCE = 0.3
"""Least distance of texts and rings from each other."""

_ILLEGAL = re.compile("[\x00-\x1f\ud800-\udfff\ufffe\uffff]")
_WIDTHS = {
    0.25: "ijl", 0.27: "IJ", 0.29: " ,.·’", 0.30: ":;\\|", 0.32: "-f", 0.35: "()[]t", 0.37: "!r", 0.41: "/\"'",
    0.45: "*_`–",
    0.49: "cksz?“”", 0.52: "FL", 0.55: "PTYaeovxy", 0.57: "$0123456789ESbdghnpqu{}", 0.62: "ABCKRVXZ", 0.68: "DHNU",
    0.71: "&GOQ", 0.75: "#+<=>^~×↑w", 0.78: "M", 0.9: "%@Wm—",
}  # fmt: skip
_WIDTH = {letter: width for width, letters in _WIDTHS.items() for letter in letters}


class Anchor(StrEnum):
    """The point of a text that stands at its place; each value is SVG's word."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@lru_cache(maxsize=4096)
def text_width(text: str, size: float = TEXT, *, bold: bool = False) -> float:
    """Width of a text in mm, from the widths of DejaVu Sans Condensed (Arial runs about as wide)."""
    # Scripts from U+2E80 on are as wide as they are high; an unknown letter of another alphabet is taken as a wide one.
    width = sum(_WIDTH.get(letter, 0.7 if letter < "\u2e80" else 1.0) for letter in text) * size
    return width * 1.12 if bold else width


def lines_of(words: str, width: float, size: float = TEXT) -> list[str]:
    """Words in lines of at most this width in mm, broken at spaces; a word that is longer has a line of its own."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def clean(text: object) -> str:
    """A text as XML may hold it: control signs dropped, `&`, `<` and `>` written out."""
    return escape(_ILLEGAL.sub("", str(text)), {'"': "&quot;"})


def number(value: float) -> str:
    """A coordinate to a hundredth of a millimetre."""
    # Zero added: a small negative would print as -0, and two equal drawings would differ.
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished picture.

    Parameters
    ----------
    svg
        The picture as SVG text; no ids, scripts, styles or fonts inside, so that several may stand in one page.
    width_mm, height_mm
        Its size on paper.
    scale
        2.5 where 1 mm on paper is 2.5 mm of the thing; None for a picture that is not to scale.
    title
        What it shows, in one line.
    crowded
        Whether texts stand on each other in it: a larger scale has room for them.
    """

    svg: str
    width_mm: float
    height_mm: float
    scale: float | None
    title: str
    crowded: bool = False


@dataclass(slots=True)
class Canvas:
    """Marks in paper millimetres, y downwards; its extent grows with what is drawn.

    Texts and rings come to lie over all lines.
    """

    marks: list[str] = field(default_factory=list)
    leaders: list[str] = field(default_factory=list)
    over: list[str] = field(default_factory=list)
    labels: Labels = field(default_factory=Labels)
    low: Point = (1e9, 1e9)
    high: Point = (-1e9, -1e9)

    @property
    def extent(self) -> Rect:
        """The rectangle around everything drawn."""
        return Rect(self.low[0], self.low[1], self.high[0], self.high[1])

    def reach(self, points: Iterable[Point], margin: float = 0.0) -> None:
        """Make sure that the points, and a margin around them, are on the paper."""
        xs, ys = zip(*points, strict=True)
        (x0, y0), (x1, y1) = self.low, self.high
        self.low = min(x0, min(xs) - margin), min(y0, min(ys) - margin)
        self.high = max(x1, max(xs) + margin), max(y1, max(ys) + margin)

    def lines(
        self, segments: Iterable[Segment], width: float = THIN, *, colour: str = INK, dash: str = "", over: bool = False
    ) -> None:
        """Draw straight lines in one stroke; `over` all others, under rings and texts."""
        kept = list(segments)
        if not kept:
            return
        path = "".join(f"M{number(ax)} {number(ay)}L{number(bx)} {number(by)}" for (ax, ay), (bx, by) in kept)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        mark = f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{width}" stroke-linecap="round"{dashes}/>'
        (self.leaders if over else self.marks).append(mark)
        self.reach((point for segment in kept for point in segment), width / 2)

    def dots(self, points: Iterable[Point], width: float) -> None:
        """Draw round dots in one stroke."""
        path = "".join(f"M{number(x)} {number(y)}h.01" for x, y in points)
        if path:
            self.marks.append(
                f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="{width}" stroke-linecap="round"/>'
            )

    def polygon(
        self, points: Sequence[Point], width: float = THIN, *, fill: str = "none", colour: str = INK, dash: str = ""
    ) -> None:
        """Draw a closed figure; width 0 for no outline."""
        if len(points) < 3:
            return
        path = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + "Z"
        stroke = f'stroke="{colour}" stroke-width="{width}" stroke-linejoin="round"' if width else 'stroke="none"'
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.marks.append(f'<path d="{path}" fill="{fill}" {stroke}{dashes}/>')
        self.reach(points, width / 2)

    def leader(self, start: Point, end: Point) -> None:
        """A fine blue line over everything from a dot on a thing to what is said of it."""
        self.lines([(start, end)], FINE, colour=BLUE, over=True)
        self.leaders.append(f'<circle cx="{number(start[0])}" cy="{number(start[1])}" r="0.5" fill="{BLUE}"/>')
        self.reach([start], 0.5)

    def circle(
        self, x: float, y: float, radius: float, width: float = THIN, *, fill: str = "none", colour: str = INK
    ) -> None:
        """Draw a circle."""
        self.marks.append(
            f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" fill="{fill}" stroke="{colour}" '
            f'stroke-width="{width}"/>'
        )
        self.reach([(x, y)], radius + width / 2)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = TEXT,
        anchor: Anchor = Anchor.MIDDLE,
        turn: int = 0,
        colour: str = INK,
        bold: bool = False,
    ) -> None:
        """Write one line.

        Parameters
        ----------
        x, y
            The anchor, at half the height of the capitals.
        anchor
            Which point of the text stands there.
        turn
            Degrees clockwise; -90 reads from the bottom up.
        """
        box = text_box(x, y, words, size=size, anchor=anchor, turn=turn, bold=bold)
        self.labels.append(box)
        self.reach([(box.x0, box.y0), (box.x1, box.y1)])
        self._write(x, y, words, size=size, anchor=anchor, turn=turn, colour=colour, bold=bold)

    def _write(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float,
        anchor: Anchor = Anchor.MIDDLE,
        turn: int = 0,
        colour: str = INK,
        bold: bool = False,
    ) -> None:
        # Half the capitals' height of DejaVu Sans, 0.729 of the size: SVG places a text by its base line.
        base = y + 0.3645 * size
        turned = f' transform="rotate({turn} {number(x)} {number(y)})"' if turn else ""
        weight = ' font-weight="bold"' if bold else ""
        self.over.append(
            f'<text x="{number(x)}" y="{number(base)}" font-family="{FONT}" font-size="{number(size)}"{weight} '
            f'text-anchor="{anchor}" fill="{colour}"{turned}>{clean(words)}</text>'
        )

    def ring(self, x: float, y: float, letter: str, *, fill: str = WHITE) -> None:
        """Draw a letter in a ring (a capsule for two letters and more)."""
        half = ring_width(letter) / 2
        # Filled and over everything else: no line may cross the letter.
        rect = Rect(x - half, y - RING, x + half, y + RING)
        self.over.append(
            f'<rect {_placed(rect)} rx="{RING}" ry="{RING}" fill="{fill}" stroke="{BLUE}" stroke-width="0.35"/>'
        )
        self._write(x, y, letter, size=3.4, bold=True)
        self.labels.append(rect.grown(0.2))
        self.reach(rect.corners, 0.2)

    def free(self, rect: Rect, gap: float = CLEARANCE) -> bool:
        """Tell whether no text or ring stands there yet."""
        return not self.labels.meet(rect, gap)

    @property
    def crowded(self) -> bool:
        """True where texts or rings stand on each other."""
        return self.labels.crowded

    def finish(self, title: str, description: str, scale: float | None, ground: str | None) -> Drawing:
        """Close the picture with a margin of 1 mm."""
        box = self.extent.grown(1.0)
        paper = ""
        if ground is not None:
            paper = f'<rect {_placed(box)} fill="{clean(ground)}"/>'
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(box.width)}mm" height="{number(box.height)}mm" '
            f'viewBox="{number(box.x0)} {number(box.y0)} {number(box.width)} {number(box.height)}" role="img" '
            f'aria-label="{clean(title)}"><title>{clean(title)}</title><desc>{clean(description)}</desc>{paper}'
            f"{''.join(self.marks + self.leaders + self.over)}</svg>"
        )
        return Drawing(svg, round(box.width, 2), round(box.height, 2), scale, title, self.crowded)


def _placed(rect: Rect) -> str:
    return f'x="{number(rect.x0)}" y="{number(rect.y0)}" width="{number(rect.width)}" height="{number(rect.height)}"'


def ring_width(letter: str) -> float:
    """Width of a letter's ring in mm."""
    return max(2 * RING, text_width(letter, 3.4, bold=True) + 2.4)


def text_box(
    x: float,
    y: float,
    words: str,
    *,
    size: float = TEXT,
    anchor: Anchor = Anchor.MIDDLE,
    turn: int = 0,
    bold: bool = False,
) -> Rect:
    """The rectangle a text takes, a turned one's by its extreme points; see `Canvas.text`."""
    width = text_width(words, size, bold=bold)
    left = -{Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[anchor]
    box = Rect(left, -0.5 * size, left + width, 0.5 * size)
    if turn == 0:
        return Rect(x + box.x0, y + box.y0, x + box.x1, y + box.y1)
    sine, cosine = sin(radians(turn)), cos(radians(turn))
    return around((x + px * cosine - py * sine, y + px * sine + py * cosine) for px, py in box.corners)

"""Pictures on paper: the largest usual scale that fits, our own typeface, and a bar to check the printer by."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from shop.models import LengthUnit, PaperSize

# The usual reductions: ISO 5455 has 1, 2, 5, 10, 20 and 50 (from memory), those between are common at the bench.
SCALES = {
    LengthUnit.MM.value: (1, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100),
    LengthUnit.INCH.value: (1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32, 48, 96),
}
# Width and height in mm that dimensions, names and caption take around a drawing at the least.
LEAST_DIMENSIONS = (24.0, 24.0)
FONTS = "Barlow, Sofia Sans, sans-serif"
BAR_MM = {LengthUnit.MM.value: 100.0, LengthUnit.INCH.value: 101.6}
"""A printer's scaling is found by a ruler on a bar of a round length: 100 mm, or 4 in."""
_FAMILY = re.compile(r' font-family="[^"]*"')

# What is left inside the frame, in mm, width then height: paper less margins, frame and padding of papers.css.
ROOM = {
    PaperSize.A4.value: ((173.5, 244.9), (262.4, 159.9)),
    PaperSize.LETTER.value: ((179.3, 227.3), (244.8, 165.8)),
}


class Picture(Protocol):
    """A picture as the drawing side hands it over."""

    @property
    def svg(self) -> str: ...
    @property
    def width_mm(self) -> float: ...
    @property
    def height_mm(self) -> float: ...
    @property
    def scale(self) -> float | None: ...
    @property
    def title(self) -> str: ...
    @property
    def crowded(self) -> bool: ...


@dataclass(frozen=True, slots=True)
class Placed:
    """A picture ready for a page: its SVG, the name it is printed under, its scale in words, what it shows."""

    svg: str
    name: str
    scale: str
    title: str

    @property
    def image(self) -> SafeString:
        """The element that shows it."""
        return format_html('<img class="drawing" src="drawings/{}" alt="{}">', self.name, self.title)


@dataclass(frozen=True, slots=True)
class Room:
    """The room for a drawing on its page, in mm."""

    width: float
    height: float

    def takes(self, picture: Picture) -> bool:
        """Tell whether the picture fits, its texts clear of each other."""
        return self.excess(picture) <= 1 and not picture.crowded

    def excess(self, picture: Picture) -> float:
        """The factor by which the picture is too large, on the side that is most so; 1 and less where it fits."""
        return max(picture.width_mm / self.width, picture.height_mm / self.height)


def page_room(page_size: str, *, wide: bool) -> Room:
    """The room inside the frame of a page."""
    return Room(*ROOM[page_size][1 if wide else 0])


def largest(make: Callable[[float], Picture], thing_um: tuple[int, int], room: Room, unit: str) -> Picture:
    """The picture at the largest usual scale that fits the room.

    Parameters
    ----------
    make
        Draws at a scale; 5 is 1 to 5.
    thing_um
        Width and height in micrometres of what is drawn, without its dimensions: a scale too large for that is not
        tried.
    room
        What the picture may take.
    unit
        "mm" or "in": which scales are usual.

    Notes
    -----
    Where none fits, the one that is least too large is returned: figures keep their size, so that a smaller scale may
    need more room.
    """
    width, height = room.width - LEAST_DIMENSIONS[0], room.height - LEAST_DIMENSIONS[1]
    likely = [
        scale for scale in SCALES[unit] if thing_um[0] / 1000 / scale <= width and thing_um[1] / 1000 / scale <= height
    ]
    tried: list[Picture] = []
    for scale in likely or SCALES[unit][-1:]:
        picture = make(scale)
        if room.takes(picture):
            return picture
        # Figures keep their size: a smaller scale may need more room than the one before, and one yet smaller less.
        tried.append(picture)
    return min(tried, key=room.excess)


def scale_words(scale: float | None) -> str:
    """A scale as the title block has it."""
    if scale is None:
        return _("not to scale")
    return f"{1 / scale:g} : 1" if scale < 1 else f"1 : {scale:g}"


def placed(picture: Picture) -> Placed:
    """A picture with the papers' own typeface, still true to size."""
    svg = _FAMILY.sub("", picture.svg).replace("<svg ", f'<svg font-family="{FONTS}" ', 1)
    # 600 is the boldest that the papers' own fonts have.
    svg = svg.replace('font-weight="bold"', 'font-weight="600"')
    # Named by what it shows: the same plan makes the same HTML, and so the same bytes of PDF.
    name = hashlib.sha256(svg.encode()).hexdigest()[:16] + ".svg"
    return Placed(svg, name, scale_words(picture.scale), picture.title)


def check_bar(unit: str) -> SafeString:
    """A bar of 100 mm, or of 4 inches, drawn true: printers that fit pages to paper are found out."""
    length = BAR_MM[unit]
    parts = 10 if unit == LengthUnit.MM.value else 16
    step, width = length / parts, length + 60
    ticks = "".join(f"M{1 + i * step:.3f} {1.2 if i % 4 and parts == 16 else 0.4}V3" for i in range(parts + 1))
    words = _("Check: 100 mm.") if parts == 10 else _("Check: 4 in.")
    return format_html(
        '<svg class="check-bar" xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="4mm" viewBox="0 0 {w} 4" '
        'font-family="{fonts}"><path d="M1 3H{end}" stroke="#14120f" stroke-width="0.5"/>'
        '<path d="{ticks}" fill="none" stroke="#14120f" stroke-width="0.18"/>'
        '<text x="{at}" y="3" font-size="3.2" fill="#14120f">{words} {print}</text></svg>',
        w=width,
        fonts=FONTS,
        end=f"{1 + length:.3f}",
        ticks=ticks,
        at=f"{length + 3:.1f}",
        words=words,
        print=_("If not, print at 100 %."),
    )

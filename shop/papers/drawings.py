"""Pictures on paper: the largest usual scale that fits, our own typeface, and a bar to check the printer by."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from shop.models import LengthUnit, PaperSize

# The usual reductions: ISO 5455 has 1, 2, 5, 10, 20 and 50 (from memory), those between are common at the bench.
SCALES = {
    LengthUnit.MM.value: (1, 2, 2.5, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100),
    LengthUnit.INCH.value: (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 96),
}
FONTS = "Barlow, Sofia Sans, sans-serif"
BAR_MM = {LengthUnit.MM.value: 100.0, LengthUnit.INCH.value: 101.6}
_FAMILY = re.compile(r' font-family="[^"]*"')

# What is left inside the frame, in mm, width then height: paper less margins, frame and padding of papers.css.
ROOM = {
    PaperSize.A4.value: ((173.5, 246.9), (262.4, 161.9)),
    PaperSize.LETTER.value: ((179.3, 229.3), (244.8, 167.8)),
}


class Picture(Protocol):
    """What the drawing side hands over."""

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


@dataclass(frozen=True, slots=True)
class Placed:
    """A picture ready for a page: its SVG, its scale in words, its size in mm."""

    svg: SafeString
    scale: str
    title: str
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Room:
    """What a drawing may take on its page, in mm."""

    width: float
    height: float

    def takes(self, picture: Picture) -> bool:
        """Whether the picture fits."""
        return picture.width_mm <= self.width and picture.height_mm <= self.height


def page_room(page_size: str, *, wide: bool) -> Room:
    """The room inside the frame of a page."""
    return Room(*ROOM[page_size][1 if wide else 0])


def largest(make: Callable[[float], Picture], room: Room, unit: str) -> Picture:
    """The picture at the largest usual scale that fits the room.

    Parameters
    ----------
    make
        Draws at a scale; 5 is 1 to 5.
    room
        What it may take.
    unit
        "mm" or "in": which scales are usual.

    Notes
    -----
    At the smallest scale the picture is returned even where it is still too large.
    """
    picture = make(SCALES[unit][0])
    for scale in SCALES[unit]:
        picture = make(scale)
        if room.takes(picture):
            break
    return picture


def together(makes: Sequence[Callable[[float], Picture]], room: Room, gap: float, unit: str) -> list[Picture]:
    """Several pictures one under another at one scale, the largest usual one at which all fit, `gap` mm after each."""
    pictures: list[Picture] = []
    for scale in SCALES[unit]:
        pictures = [make(scale) for make in makes]
        height = sum(picture.height_mm + gap for picture in pictures)
        if height <= room.height and max(picture.width_mm for picture in pictures) <= room.width:
            break
    return pictures


def scale_words(scale: float | None) -> str:
    """A scale as the title block has it."""
    return _("not to scale") if scale is None else f"1 : {scale:g}"


def placed(picture: Picture) -> Placed:
    """A picture with the papers' own typeface, still true to size."""
    svg = _FAMILY.sub("", picture.svg).replace("<svg ", f'<svg font-family="{FONTS}" ', 1)
    svg = svg.replace('font-weight="bold"', 'font-weight="600"')
    # The drawing side writes out every sign of a name that means something in XML.
    return Placed(
        mark_safe(svg),
        scale_words(picture.scale),
        picture.title,
        picture.width_mm,
        picture.height_mm,
    )


def check_bar(unit: str) -> SafeString:
    """A bar of 100 mm, or of 4 inches, drawn true: printers that fit pages to paper are found out."""
    length = BAR_MM[unit]
    parts = 10 if unit == LengthUnit.MM.value else 16
    step, width = length / parts, length + 60
    ticks = "".join(f"M{1 + i * step:.3f} {1.2 if i % 4 and parts == 16 else 0.4}V3" for i in range(parts + 1))
    words = _("Check: this bar is 100 mm.") if parts == 10 else _("Check: this bar is 4 in.")
    return format_html(
        '<svg class="check-bar" xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="4mm" viewBox="0 0 {w} 4" '
        'font-family="{fonts}"><path d="M1 3H{end}" stroke="#14120f" stroke-width="0.5"/>'
        '<path d="{ticks}" fill="none" stroke="#14120f" stroke-width="0.18"/>'
        '<text x="{at}" y="3" font-size="2.8" fill="#14120f">{words} {print}</text></svg>',
        w=width,
        fonts=FONTS,
        end=f"{1 + length:.3f}",
        ticks=ticks,
        at=f"{length + 3:.1f}",
        words=words,
        print=_("If not, print at 100 %."),
    )

"""Contrast of what is printed and drawn, computed by the definition of relative luminance."""

import re
from pathlib import Path
from typing import Any

import pytest

from packing.draw.cut_file import cut_sheets
from packing.draw.cut_file_svg import svg_of
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing.drawn_zoo import every_picture, in_box, planned

STYLES = Path(__file__).parent.parent.parent / "shop/static/shop/papers.css"
TEXT, GRAPHIC = 4.5, 3.0
PAPER = "#ffffff"


def luminance(colour: Any) -> Any:
    """Of an sRGB colour: 0.2126 R + 0.7152 G + 0.0722 B, each made linear."""
    figures = colour.lstrip("#")
    figures = "".join(2 * one for one in figures) if len(figures) == 3 else figures
    parts = [int(figures[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Any, other: Any) -> Any:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@against(src.CONTRAST)
def test_black_on_white_is_21_to_1_and_777_on_white_just_fails_for_text() -> None:
    """The guideline's own limits: 21 : 1, and #777777 at 4.48 : 1 where #767676 has 4.54."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@against(src.CONTRAST)
def test_every_colour_of_text_on_papers_stands_out_from_the_page() -> None:
    colours = set(re.findall(r"(?<![-\w])color: *(#[0-9a-fA-F]{3,6})", STYLES.read_text(encoding="utf-8")))
    assert colours
    assert {colour for colour in colours if contrast(colour, PAPER) < TEXT} == set()


TEXTS = re.compile(r'<text[^>]*?fill="(#[0-9a-fA-F]{3,6})"')
STROKES = re.compile(r'stroke="(#[0-9a-fA-F]{3,6})"')
FILLS = re.compile(r'<(?!text)[^>]*?fill="(#[0-9a-fA-F]{3,6})"')


@pytest.fixture(scope="module")
def pictures() -> Any:
    """Every picture of a plan of four pieces, as SVG text."""
    return {name: drawing.svg for name, drawing in every_picture(planned(4)).items()}


@against(src.CONTRAST)
def test_every_text_of_a_drawing_stands_out_from_the_page_and_from_any_pale_figure(pictures: Any) -> None:
    """Text may lie on a figure that is filled: 4.5 : 1 against white and against every pale fill of the picture."""
    for name, svg in pictures.items():
        grounds = {PAPER, *(fill for fill in FILLS.findall(svg) if luminance(fill) > 0.5)}
        low = {(text, ground) for text in TEXTS.findall(svg) for ground in grounds if contrast(text, ground) < TEXT}
        assert low == set(), name


@against(src.CONTRAST)
def test_every_line_of_a_drawing_stands_out_from_the_page(pictures: Any) -> None:
    seen = set()
    for name, svg in pictures.items():
        strokes = set(STROKES.findall(svg))
        seen |= strokes
        assert {stroke for stroke in strokes if contrast(stroke, PAPER) < GRAPHIC} <= {PAPER, "#fff"}, name
    assert len(seen) >= 2


@pytest.mark.parametrize("code", ["0201", "0300", "ply"])
@against(src.CONTRAST)
def test_every_line_of_a_cut_file_stands_out_from_the_screen(code: Any) -> None:
    for sheet in cut_sheets(in_box(code)):
        strokes = set(STROKES.findall(svg_of(sheet)))
        assert strokes
        assert {stroke for stroke in strokes if contrast(stroke, PAPER) < GRAPHIC} == set()

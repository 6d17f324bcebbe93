"""Scales: chosen, asked for, and held to."""

from typing import Any

import pytest

from packing.draw import SCALES, blank_drawing, isometric, plan_view, sheet_drawing, side_section
from packing.draw.canvas import Canvas
from packing.draw.scale import View, fitted
from tests.helpers import present
from tests.packing.drawn_zoo import planned, sample
from tests.packing.svg_reader import figures, words

WIDE = 0.5


def extent(drawing: Any) -> Any:
    """Width and height of the largest figure in heavy lines."""
    sizes = []
    for corners in figures(drawing, WIDE):
        xs, ys = zip(*corners, strict=True)
        sizes.append((max(xs) - min(xs), max(ys) - min(ys)))
    return max(sizes)


@pytest.mark.parametrize("scale", [1, 2.5, 5, 7])
def test_a_sheet_measures_its_size_by_the_scale(scale: Any) -> None:
    across, up = extent(sheet_drawing(sample(), "S2", scale=scale, caption=False))
    assert across == pytest.approx(508 / scale, abs=0.02)
    assert up == pytest.approx(223 / scale, abs=0.02)


@pytest.mark.parametrize("scale", [2, 10])
def test_the_plan_view_measures_the_inside_by_the_scale(scale: Any) -> None:
    across, up = extent(plan_view(sample(), 1, scale=scale, caption=False))
    assert across == pytest.approx(508 / scale, abs=0.02)
    assert up == pytest.approx(223 / scale, abs=0.02)


def test_the_section_measures_the_inside_by_the_scale() -> None:
    across, up = extent(side_section(sample(), scale=5, caption=False))
    assert across == pytest.approx(508 / 5, abs=0.02)
    assert up == pytest.approx(172 / 5, abs=0.02)


def test_the_blank_measures_its_size_by_the_scale() -> None:
    size = present(sample().box.blank).size_um
    across, up = extent(blank_drawing(sample(), scale=10, caption=False))
    assert across == pytest.approx(size[0] / 10_000, abs=0.02)
    assert up == pytest.approx(size[1] / 10_000, abs=0.02)


@pytest.mark.parametrize("paper", [(260, 160), (180, 130), (100, 100)])
def test_the_largest_standard_scale_that_fits_is_taken(paper: Any) -> None:
    drawing = sheet_drawing(sample(), "S2", paper=paper)
    assert drawing.width_mm <= paper[0]
    assert drawing.height_mm <= paper[1]
    larger = SCALES[SCALES.index(drawing.scale) - 1]
    closer = sheet_drawing(sample(), "S2", scale=larger)
    assert closer.width_mm > paper[0] or closer.height_mm > paper[1]


def test_a_paper_too_small_for_every_scale_still_gives_a_drawing() -> None:
    drawing = plan_view(planned(6), 0, paper=(20, 20))
    assert drawing.scale in SCALES
    assert drawing.width_mm > 20


def test_no_smaller_scale_is_tried_once_figures_decide_how_large_a_drawing_is() -> None:
    times_too_large, tried = {5.0: 1.09, 10.0: 1.04, 20.0: 1.06, 50.0: 0.96}, []

    def draw(view: View) -> Canvas:
        tried.append(view.scale)
        canvas = Canvas()
        canvas.reach([(0, 0), (times_too_large[view.scale] * 180 - 2, 1)])
        return canvas

    _canvas, scale = fitted(draw, (611_000, 416_000), (180, 130), unit="mm", scale=None)
    assert scale == 5.0 and tried == [5.0, 10.0, 20.0]


def test_the_scale_stands_on_the_drawing_and_in_words() -> None:
    drawing = plan_view(sample(), 0, scale=2.5)
    assert drawing.scale == 2.5
    assert "Bottom layer, seen from above · 1 : 2.5 · mm" in words(drawing)


def test_the_open_box_is_not_to_scale_and_fills_its_room() -> None:
    drawing = isometric(sample(), paper=(150, 150))
    assert drawing.scale is None
    assert max(drawing.width_mm / 150, drawing.height_mm / 150) > 0.9
    assert drawing.width_mm <= 150
    assert drawing.height_mm <= 150


@pytest.mark.parametrize(("unit", "bar"), [("mm", "200 mm"), ("in", "8 in")])
def test_a_bar_of_a_round_length_checks_the_print(unit: Any, bar: Any) -> None:
    assert bar in words(plan_view(sample(), 0, scale=5, unit=unit))


def test_without_a_caption_no_scale_stands_on_the_drawing() -> None:
    assert not any("1 : " in text for text in words(plan_view(sample(), 0, scale=5, caption=False)))

"""Outlines in an order file: read, written and refused, each with its reason; outlines from a few measures."""

import json
from decimal import Decimal
from typing import Any

import pytest

from packing.measure import (
    BadInput,
    Form,
    Outline,
    ShapeMeasure,
    Tool,
    item_content,
    read_item,
    shaped_outline,
)
from tests.packing.outlined import axe, hammer

S = ShapeMeasure
HEAD = [[0, 0], [36, 0], [36, 80], [22, 135], [14, 135], [0, 80]]
HANDLE = [[36, 48], [366, 44], [366, 76], [36, 72]]
PLAIN = {key: value for key, value in hammer().items() if key != "outline"}


def read(outline: Any) -> Tool:
    tool = read_item(PLAIN | {"outline": outline})
    assert isinstance(tool, Tool)
    return tool


def refused(outline: Any) -> str:
    with pytest.raises(BadInput) as caught:
        read(outline)
    assert caught.value.field.startswith("item.outline")
    return str(caught.value)


@pytest.mark.parametrize("outline", [{"head": HEAD}, {"handle": HANDLE}, {"head": HEAD[::-1], "handle": HANDLE}])
def test_an_outline_is_read_and_written_and_read_again(outline: Any) -> None:
    tool = read(outline)
    assert tool.outline is not None
    assert read_item(json.loads(json.dumps(item_content(tool)))) == tool


def test_a_last_point_that_is_the_first_again_is_left_out() -> None:
    assert read({"head": [*HEAD, HEAD[0]]}) == read({"head": HEAD})


def test_without_an_outline_nothing_is_written() -> None:
    tool = read_item(PLAIN)
    assert "outline" not in item_content(tool)


@pytest.mark.parametrize(
    ("outline", "said"),
    [
        ([[0, 0], [36, 0], [36, 80]], "object with named fields"),
        ({}, "has neither"),
        ({"blade": HEAD}, "blade"),
        ({"head": "round"}, "at least three"),
        ({"head": [[0, 0], [36, 0]]}, "at least three"),
        ({"head": [[0, 0], [36, 0], [2]]}, "[2]: must be a point"),
        ({"head": [[0, 0], [36, "x"], [2, 3]]}, "must be a number"),
        ({"head": [[0, 0], [36, 0.001], [2, 3]]}, "multiple of 0.01 mm"),
        ({"head": [[0, 0], [36, 0], [36, 0], [0, 0]]}, "crosses itself"),
        ({"head": [[0, 0], [36, 135], [36, 0], [0, 135]]}, "points 0 and 2 meet"),
        ({"head": [[0, 0], [36.5, 0], [36, 135], [0, 135]]}, "36.5 mm, outside the measured head"),
        ({"handle": [[36, 48], [400, 44], [366, 76], [36, 72]]}, "400 mm, outside the measured handle"),
        ({"head": [[x / 25.4, y / 25.4] for x, y in HEAD]}, "multiple of 0.01"),
        ({"head": [[round(x / 25.4, 2), round(y / 25.4, 2)] for x, y in HEAD]}, "1.42 mm along the handle"),
        ({"head": [[y, x] for x, y in HEAD]}, "outside the measured head"),
        ({"handle": [[50, 48], [366, 44], [366, 76], [50, 72]]}, "begins at 50 mm"),
        ({"head": [[0, 0], [36, 0], [36, 20], [18, 25], [18, 135], [0, 135]]}, "36 mm from the crown"),
        ({"head": [[i % 2 * 36, i / 4] for i in range(500)]}, "at most 400 points, not 500"),
    ],
)
def test_a_wrong_outline_is_refused_with_its_reason(outline: Any, said: str) -> None:
    assert said in refused(outline)


@pytest.mark.parametrize("content", [hammer(), axe()])
def test_measures_of_a_pattern_give_an_outline_in_the_rectangles(content: dict[str, Any]) -> None:
    tool = read_item(content)
    assert isinstance(tool, Tool)
    assert tool.outline is not None
    assert tool.outline.head is not None
    assert tool.outline.handle is not None
    assert max(len(tool.outline.head), len(tool.outline.handle)) <= 12


def test_a_peen_is_as_thick_as_told_and_tapers_from_where_it_is_told() -> None:
    tool = read_item(hammer())
    assert isinstance(tool, Tool)
    assert tool.outline is not None
    assert tool.outline.head is not None
    # 25 % of 36 mm at the end, from 60 % of 135 mm on.
    assert sorted(x for x, y in tool.outline.head if y == 135_000) == [13_500, 22_500]
    assert {y for _, y in tool.outline.head} == {0, 81_000, 135_000}


def test_a_pattern_scales_to_each_piece() -> None:
    small, large = (read_item(hammer(head_height=height, head_width=height)) for height in (36, 48))
    assert isinstance(small, Tool)
    assert isinstance(large, Tool)
    assert small.outline is not None
    assert large.outline is not None
    edges = [sorted(x for x, y in tool.outline.head or () if y == 135_000) for tool in (small, large) if tool.outline]
    assert [high - low for low, high in edges] == [9_000, 12_000]


def test_without_measures_the_rectangle_stands() -> None:
    tool = read_item(PLAIN)
    assert isinstance(tool, Tool)
    assert shaped_outline(tool, {}) is None
    only_handle = shaped_outline(tool, {S.NECK: Decimal(80)})
    assert isinstance(only_handle, Outline)
    assert only_handle.head is None


@pytest.mark.parametrize(
    ("form", "shape", "said"),
    [
        (Form.MALLET, {S.PEEN: 30}, "not a measure of this form"),
        (Form.HAMMER, {S.PEEN: 0}, "above 0 and at most 100, not 0 %"),
        (Form.HAMMER, {S.PEEN: 101}, "not 101 %"),
        (Form.AXE, {S.EYE_HEIGHT: 70, S.BEARD: 31}, "101 %"),
        (
            Form.HAMMER,
            dict.fromkeys(
                (S.PEEN, S.TAPER, S.NECK, S.BELLY, S.REACH_FAR),
                50,
            ),
            "at most 4 measures, not 5",
        ),
    ],
)
def test_a_wrong_measure_of_a_pattern_is_refused(form: Form, shape: dict[ShapeMeasure, int], said: str) -> None:
    weights = {"weight_g": 300, "head_weight_g": 150}
    tool = read_item(PLAIN | weights | {"form": form.value})
    assert isinstance(tool, Tool)
    with pytest.raises(BadInput, match=said):
        shaped_outline(tool, {one: Decimal(value) for one, value in shape.items()})

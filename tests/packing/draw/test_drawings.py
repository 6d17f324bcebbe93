"""What holds for every picture of every plan."""

import re
from collections.abc import Callable
from functools import partial
from itertools import combinations
from typing import Any

import pytest
from msgspec.structs import replace

from packing.draw import isometric, plan_view, sheet_drawing, side_section, small_box
from packing.measure import BadInput
from packing.plan import Plan
from tests.helpers import present
from tests.packing.drawn_zoo import boxed, every_picture, planned, sample
from tests.packing.svg_reader import points, rings, root_of, texts, view_box

PLANS: dict[str, Callable[[], Plan]] = {
    "sample": sample,
    "boxes": boxed,
    "one": partial(planned, 1),
    "six": partial(planned, 6),
    "fourteen": partial(planned, 14, 2),
    "twenty-four": partial(planned, 24, 3),
}


@pytest.fixture(params=[(name, unit) for name in PLANS for unit in ("mm", "in")], ids=" ".join)
def pictures(request: pytest.FixtureRequest) -> Any:
    name, unit = request.param
    return every_picture(PLANS[name](), unit)


def test_nothing_is_drawn_outside_the_paper(pictures: Any) -> None:
    for name, drawing in pictures.items():
        left, top, right, bottom = view_box(drawing)
        for x, y in points(drawing):
            assert left <= x <= right, name
            assert top <= y <= bottom, name


def test_texts_stay_on_the_paper_and_off_each_other(pictures: Any) -> None:
    for name, drawing in pictures.items():
        left, top, right, bottom = view_box(drawing)
        written = texts(drawing)
        for text in written:
            assert left < text.x - text.half_width, (name, text.words)
            assert text.x + text.half_width < right, (name, text.words)
            assert top < text.y - text.half_height, (name, text.words)
            assert text.y + text.half_height < bottom, (name, text.words)
        clashes = [(a.words, b.words) for a, b in combinations(written, 2) if a.overlaps(b, 0.1)]
        assert not clashes, name


def test_capitals_stand_at_least_2_2_mm_high(pictures: Any) -> None:
    # Capitals of the typefaces used stand 0.70 to 0.73 of the size.
    for drawing in pictures.values():
        assert all(text.size * 0.70 >= 2.2 for text in texts(drawing))


def test_the_size_of_the_paper_is_stated_in_true_millimetres(pictures: Any) -> None:
    for drawing in pictures.values():
        left, top, right, bottom = view_box(drawing)
        attributes = root_of(drawing).attrib
        assert attributes["width"] == f"{right - left:.2f}".rstrip("0").rstrip(".") + "mm"
        assert drawing.width_mm == pytest.approx(right - left, abs=0.011)
        assert drawing.height_mm == pytest.approx(bottom - top, abs=0.011)


def test_a_drawing_holds_no_ids_styles_scripts_or_patterns(pictures: Any) -> None:
    for drawing in pictures.values():
        tags = {node.tag.split("}")[1] for node in root_of(drawing).iter()}
        assert tags <= {"svg", "title", "desc", "path", "text", "rect", "circle"}
        assert not re.search(r'\b(id|style|class|href|on\w+)="', drawing.svg)


@pytest.mark.parametrize("name", PLANS)
def test_each_letter_stands_once_in_the_open_box_and_in_the_sections(name: Any) -> None:
    plan = PLANS[name]()
    letters = sorted(item.letter for item in plan.items)
    assert rings(isometric(plan)) == letters
    assert rings(side_section(plan)) == letters
    assert rings(side_section(plan, across=True)) == letters


@pytest.mark.parametrize("name", PLANS)
def test_each_letter_stands_once_in_its_own_layer(name: Any) -> None:
    plan = PLANS[name]()
    for layer in range(len(plan.layers)):
        letters = sorted(item.letter for item in plan.items_of(layer))
        assert rings(plan_view(plan, layer)) == letters


def test_the_picture_says_what_it_shows_to_those_who_hear_it() -> None:
    root = root_of(plan_view(sample(), 0))
    title, description = root[0], root[1]
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"] == title.text == "Order A-21: bottom layer, seen from above"
    assert "A is CH125-007; B is CH100-012; E is wax tin." in present(description.text)


def test_a_typed_name_cannot_break_out_of_the_picture() -> None:
    plan = sample()
    first = replace(plan.items[0], id="<b> & 'c'")
    plan = replace(plan, order='</title><script>"&\x07', items=(first, *plan.items[1:]))
    for drawing in every_picture(plan).values():
        assert "<script" not in drawing.svg
        assert present(root_of(drawing)[0].text).startswith('Order </title><script>"&:')


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert every_picture(sample()) == every_picture(sample())


def test_the_ground_is_drawn_only_where_it_is_asked_for() -> None:
    plain, warm = small_box(sample()), small_box(sample(), ground="#f6f1e4")
    assert 'fill="#f6f1e4"' not in plain.svg
    assert warm.svg.count('fill="#f6f1e4"') == 1
    assert (warm.width_mm, warm.height_mm) == (plain.width_mm, plain.height_mm)


@pytest.mark.parametrize("layer", [-1, 2, None])
def test_a_layer_that_the_plan_has_not_is_refused(layer: Any) -> None:
    with pytest.raises(BadInput, match="must be 0 to 1"):
        plan_view(sample(), layer)


def test_a_sheet_that_the_plan_has_not_is_refused() -> None:
    with pytest.raises(BadInput, match=r"must be one of S1, S2.*not 'S99'"):
        sheet_drawing(sample(), "S99")

"""Figures of a drawing's chains add up to its whole as printed, and are those of the cut list, in mm and in inches."""

import random
import re
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packing.boxes import BoxDesign, all_styles, make_box
from packing.draw import blank_drawing, piece_drawing, sheet_drawing
from packing.draw.cut_file import CutLayer, cut_sheets
from packing.draw.cut_file_svg import svg_of
from packing.plan import render
from packing.plan.kinds import GrooveKind
from packing.units import show_between, show_length
from tests.packing.box_specs import box_spec, random_interior
from tests.packing.drawn_zoo import in_box, planned
from tests.packing.svg_reader import words

UNITS = ("mm", "in")
PLACES = st.lists(st.integers(0, 200_000).map(lambda hundredths: hundredths * 10), min_size=2, max_size=12)


def value(text: Any) -> Any:
    """A printed figure such as 75 7/8 or 214.8 as a number."""
    return sum(Fraction(part) for part in text.split())


def bare(text: Any, unit: Any) -> Any:
    return text.removesuffix(f" {unit}")


def between(low_um: Any, high_um: Any, unit: Any) -> Any:
    return bare(show_between(low_um / 1000, high_um / 1000, unit), unit)


def alone(um: Any, unit: Any) -> Any:
    return bare(show_length(um / 1000, unit), unit)


def boxes(code: Any, count: Any = 6) -> Iterator[Any]:
    """Boxes of one style for random insides in hundredths of a millimetre, as far as stock allows."""
    chance = random.Random(code)
    for _ in range(count):
        length, width, height = random_interior(chance)
        inside = (length + 10 * chance.randrange(10), width, height + 50 * chance.randrange(2))
        if isinstance(make_box(code, box_spec(inside)), BoxDesign):
            yield in_box(code, inside)


@pytest.mark.parametrize("unit", UNITS)
@given(places=PLACES)
def test_the_parts_of_a_chain_add_up_to_its_whole_as_printed(unit: Any, places: Any) -> None:
    chain = sorted(places)
    parts = sum(value(between(low, high, unit)) for low, high in pairwise(chain))
    assert parts == value(between(chain[0], chain[-1], unit))


@pytest.mark.parametrize("unit", UNITS)
def test_a_length_from_the_datum_is_printed_as_it_is_alone(unit: Any) -> None:
    assert show_between(0, 214.75, unit) == show_length(214.75, unit)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("code", ["0201", "0203", "wrap"])
def test_creases_and_rims_of_a_blank_are_as_far_apart_as_their_running_figures(code: Any, unit: Any) -> None:
    for plan in boxes(code):
        blank, drawn = plan.box.blank, words(blank_drawing(plan, unit=unit, scale=3))
        for axis in (0, 1):
            folds = {fold.start_um[axis] for fold in blank.creases if fold.start_um[axis] == fold.end_um[axis]}
            rims = {end[1] for panel in blank.panels for end in (panel.min_um, panel.max_um) if axis == 1}
            chain = sorted({0, blank.size_um[axis], *folds, *rims})
            parts = [between(low, high, unit) for low, high in pairwise(chain)]
            whole = alone(chain[-1], unit)
            assert {*parts, whole} <= set(drawn)
            assert sum(map(value, parts)) == value(whole)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("code", [style.code for style in all_styles() if style.code != "carton"])
def test_the_sides_of_every_piece_are_on_its_drawing_as_on_the_cut_list(code: Any, unit: Any) -> None:
    for plan in boxes(code, 2):
        for part in plan.box.parts:
            drawn = words(piece_drawing(plan, part.id, unit=unit))
            assert {alone(side, unit) for side in part.size_um} <= set(drawn)


@pytest.mark.parametrize("unit", UNITS)
def test_a_pocket_is_as_large_as_the_figures_of_its_edges_say(unit: Any) -> None:
    plan = planned(6)
    for sheet in plan.insert.sheets:
        written = " · ".join(words(sheet_drawing(plan, sheet.id, unit=unit)))
        for pocket in sheet.pockets:
            sides = [between(*ends, unit) for ends in zip(pocket.min_um, pocket.max_um, strict=True)]
            assert " × ".join(sides) in written or " × ".join(reversed(sides)) in written


@pytest.mark.parametrize("code", ["0201", "0300", "sliding", "wrap"])
def test_the_lettering_of_a_cut_file_rounds_as_the_drawing_does(code: Any) -> None:
    for plan in boxes(code, 2):
        for sheet in cut_sheets(plan):
            lettering = svg_of(sheet).partition(f'<g id="{CutLayer.LETTERING}"')[2]
            assert not re.search(r">[^<]*\d\.\d\d", lettering)


def piece(plan: Any, what: Any) -> Any:
    return next(one for one in plan.box.pieces if render(one.what) == what)


def test_a_step_along_an_edge_is_told_by_its_width_alone() -> None:
    plan = next(boxes("sliding"))
    lid = piece(plan, "lid")
    drawn = words(piece_drawing(plan, lid.id))
    figures = [text for text in drawn if re.fullmatch(r"[\d.]+", text)]
    whole = [alone(side, "mm") for side in lid.size_um]
    (pull,) = (groove for groove in lid.grooves if groove.name is GrooveKind.FINGER_PULL)
    near = [alone(side, "mm") for side in pull.min_um]
    assert sorted(figures) == sorted(["0", "0", *whole, *whole, *near])


def test_a_groove_is_dimensioned_to_its_nearer_side_and_by_its_width() -> None:
    plan = next(boxes("sliding"))
    side = piece(plan, "side")
    drawn = words(piece_drawing(plan, side.id, unit="in"))
    assert alone(side.grooves[0].min_um[1], "in") in drawn
    assert any("groove 1/4 wide, 1/4 deep" in text for text in drawn)

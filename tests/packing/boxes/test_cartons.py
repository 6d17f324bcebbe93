"""The stock carton: the smallest that takes the insert, cut down where it is too high, and what fills it."""

from typing import Any

import pytest

from packing.boxes.carton_plan import carton_plan
from packing.boxes.cartons import CartonChoice, NoCarton, choose_carton
from packing.materials import C_FLUTE, EXAMPLE_CARTONS, PE_FOAM, Carton
from tests.helpers import instance
from tests.packing.box_specs import box_spec, designed


def carton(length: Any, width: Any, height: Any, name: str = "carton") -> Any:
    return Carton(name, (length * 1000, width * 1000, height * 1000), C_FLUTE)


def chosen(interior_mm: Any, *cartons: Any) -> Any:
    return choose_carton(tuple(v * 1000 for v in interior_mm), cartons, PE_FOAM)


def test_the_smallest_carton_that_takes_the_insert_is_chosen() -> None:
    answer = chosen(
        (390, 190, 140), carton(600, 400, 150, "big"), carton(400, 200, 150, "small"), carton(380, 400, 150)
    )
    assert answer.carton.name == "small"


def test_a_carton_that_is_small_after_cutting_down_beats_a_lower_wide_one() -> None:
    answer = chosen((390, 190, 80), carton(400, 300, 80, "low"), carton(400, 200, 300, "high"))
    assert (answer.carton.name, answer.inner_um) == ("high", (400_000, 200_000, 82_000))


def test_up_to_20_mm_too_high_is_left_as_bought_and_more_is_cut_down() -> None:
    assert chosen((390, 190, 130), carton(400, 200, 150)).cut_down_um == 0
    assert chosen((390, 190, 129), carton(400, 200, 150)).cut_down_um == 19_000


def test_a_carton_cut_down_weighs_what_a_lower_carton_weighs() -> None:
    answer = chosen((390, 190, 98), carton(400, 200, 150))
    assert answer.inner_um == (400_000, 200_000, 100_000)
    assert answer.outer_um == (408_000, 208_000, 116_000)
    lowered = designed("carton", box_spec((390_000, 190_000, 98_000), cartons=(carton(400, 200, 150),)))
    assert lowered.weight_mg == designed("0201", box_spec((400_000, 200_000, 100_000))).weight_mg


def test_an_exact_fit_needs_no_fill() -> None:
    answer = chosen((400, 200, 150), carton(400, 200, 150))
    assert (answer.fill_mg, [str(one) for one in answer.fill]) == (0, ["The insert fills it."])


def test_the_rest_is_filled_with_foam_and_weighed() -> None:
    answer = chosen((300, 200, 100), carton(402, 302, 110))
    assert (answer.sheet_um, answer.top_sheet_um) == ((400_000, 300_000), 10_000)
    volume_l = (4 * 3 - 3 * 2) * 1.0 + 4 * 3 * 0.1
    assert answer.fill_mg == pytest.approx(volume_l * 27_000, abs=1)


def test_an_insert_listed_width_first_still_fits() -> None:
    assert isinstance(chosen((190, 390, 140), carton(400, 200, 150)), CartonChoice)


def test_a_carton_listed_width_first_takes_the_insert_turned() -> None:
    answer = chosen((390, 190, 140), carton(200, 400, 150))
    assert (answer.turned, answer.inner_um) == (True, (400_000, 200_000, 150_000))


def test_an_insert_is_never_laid_on_its_side() -> None:
    assert isinstance(chosen((390, 140, 190), carton(400, 200, 150)), NoCarton)


def test_where_none_fits_the_nearest_is_named_with_what_it_lacks() -> None:
    answer = chosen((412, 190, 160), carton(400, 200, 150, "N"), carton(300, 200, 150, "far"))
    assert isinstance(answer, NoCarton)
    assert str(answer.reason) == (
        "No stock carton takes an insert of 412 × 190 × 160 mm; the nearest, N, is 12 mm too short and 10 mm too low."
    )


def test_an_empty_shelf_is_said_to_be_empty() -> None:
    assert str(chosen((100, 100, 100)).reason) == "There are no stock cartons to choose from."


def test_among_equals_the_carton_that_was_smaller_as_bought_is_taken() -> None:
    answer = chosen((390, 190, 98), carton(400, 200, 200, "a"), carton(400, 200, 150, "b"))
    assert answer.carton.name == "b"


def test_the_second_answer_says_what_is_cut_down_and_filled() -> None:
    choice = instance(CartonChoice, choose_carton((488_000, 188_000, 123_000), EXAMPLE_CARTONS, PE_FOAM))
    notes = (*choice.fill, *choice.notes)
    plan = carton_plan(choice, weight_mg=321_000, gross_mg=4_321_090, notes=notes)
    assert plan.bought_inner_um == (500_000, 200_000, 150_000)
    assert plan.cut_down_um == 25_000
    assert plan.fill == 0.902
    assert str(plan.notes[0]).startswith("Cut every sheet 498 × 198 mm instead of 488 × 188 mm")
    assert (plan.weight_mg, plan.gross_mg) == (321_000, 4_321_100)

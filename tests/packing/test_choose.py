"""Choosing among different boxes for one order."""

from fractions import Fraction

import pytest

from packing.check import check_plan
from packing.choose import AIMS, Materials, candidate, plan, preference
from packing.measure import BadInput, read_order

HAMMER = {
    "kind": "tool", "head_length": 105, "head_height": 42, "head_width": 42, "eye_offset": 52.5,
    "handle_length": 250, "handle_width": 33, "handle_thickness": 23, "weight_g": 1368,
}  # fmt: skip
ORDER = read_order({"id": "T-2", "items": [{"id": f"h{n}", "mark": "face_left", **HAMMER} for n in range(4)]})


def by_weight_of_air(outer_um: tuple[int, int, int], gross_mg: int) -> Fraction:
    """Volumetric kilograms at 5000 cm³/kg, whole kilograms up."""
    volume = Fraction(outer_um[0] * outer_um[1] * outer_um[2], 10**12)
    return Fraction(-(-volume // 5))


@pytest.mark.parametrize("aim", AIMS)
def test_every_aim_gives_a_plan_that_the_checker_passes(aim: str) -> None:
    answer = plan(ORDER, effort=20_000, aim=aim, price=by_weight_of_air)
    assert check_plan(ORDER, answer.content) == []


@pytest.mark.parametrize("aim", ["price", "work", "flat"])
def test_no_other_candidate_is_better_by_its_aim(aim: str) -> None:
    answer = plan(ORDER, effort=20_000, aim=aim, price=by_weight_of_air)
    chosen = preference(candidate(ORDER, answer.nesting, Materials()), ORDER, aim, by_weight_of_air)
    assert answer.others
    assert all(preference(other, ORDER, aim, by_weight_of_air) >= chosen for other in answer.others)


def test_the_flattest_box_is_no_higher_than_the_smallest() -> None:
    least, flat = plan(ORDER, effort=20_000), plan(ORDER, effort=20_000, aim="flat")
    assert min(flat.content["box"]["outer_mm"]) <= min(least.content["box"]["outer_mm"])
    assert least.nesting.volume_um3 <= flat.nesting.volume_um3


def test_an_unknown_aim_and_a_price_without_a_carrier_are_refused() -> None:
    with pytest.raises(BadInput, match="aim: must be one of volume, price, work, flat, not 'beauty'"):
        plan(ORDER, aim="beauty")
    with pytest.raises(BadInput, match="price: is missing"):
        plan(ORDER, aim="price")


def test_the_content_copies_what_was_searched() -> None:
    answer = plan(ORDER, effort=5000, seed=4)
    assert answer.content["seed"] == 4
    assert answer.content["steps"] == answer.nesting.steps > 0
    assert [item["letter"] for item in answer.content["items"]] == ["A", "B", "C", "D"]

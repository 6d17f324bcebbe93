from typing import Any

from packing.measure import Order, read_order
from packing.nest.bounds import lower_bound
from packing.nest.infeasibility import refutation
from packing.nest.problem import Problem, problem_of

HAMMER = {
    "id": "H",
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}
TIN = {"id": "W", "kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120, "upright": True}


def order(*items: dict[str, Any], **rules: Any) -> Order:
    return read_order({"id": "A", "items": list(items), "rules": rules})


def problem(*items: dict[str, Any], **rules: Any) -> Problem:
    return problem_of(order(*items, **rules))


def test_the_bound_of_one_item_is_its_best_box() -> None:
    assert lower_bound(problem(TIN)) == (70 + 3 + 50) ** 2 * (25 + 36 + 25) * 10**9


def test_the_bound_of_two_hammers_is_more_than_that_of_one() -> None:
    assert lower_bound(problem(HAMMER, {**HAMMER, "id": "I"})) > lower_bound(problem(HAMMER))


def test_the_bound_of_equal_tins_without_gaps_is_their_own_volume() -> None:
    gaps = {"clearance": 0, "web": 0, "wall": 0, "base_pad": 0, "layer_pad": 0, "top_pad": 0, "sheets": [30]}
    tins = [{**TIN, "id": str(k)} for k in range(4)]
    assert lower_bound(problem(*tins, **gaps)) == 4 * 70 * 70 * 30 * 10**9


def test_an_order_without_a_largest_interior_is_not_refuted() -> None:
    assert refutation(problem(HAMMER)) is None


def test_a_hammer_longer_than_the_largest_interior_is_named_with_what_is_missing() -> None:
    found = refutation(problem(TIN, HAMMER, max_interior=[300, 200, 500]))
    assert found is not None
    assert (found.limit, found.item, found.by_um) == ("max_interior length", "H", 45_000)
    assert "H needs at least 345 mm" in str(found.message)


def test_a_hammer_that_fits_turned_is_not_refuted() -> None:
    assert refutation(problem(HAMMER, max_interior=[200, 400, 200])) is None


def test_two_hammers_that_need_two_layers_are_refuted_by_their_height() -> None:
    found = refutation(problem(HAMMER, {**HAMMER, "id": "I"}, max_interior=[346, 98, 200]))
    assert found is not None
    assert (found.limit, found.by_um) == ("max_interior height", 25_000 + 108_000 + 12_000 + 108_000 + 25_000 - 200_000)

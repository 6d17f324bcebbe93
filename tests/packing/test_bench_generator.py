"""Orders that benchmarks make from a seed: the same on any machine, readable, no two alike."""

import json

import pytest

from packing.measure import read_order
from tests.bench import invented
from tests.bench.generator import KINDS, generated, is_fresh


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("items", [1, 2, 8, 24])
def test_an_order_of_every_kind_and_size_is_read(kind: str, items: int) -> None:
    order = read_order(generated(kind, items, 3))
    assert len(order.items) == items


def test_a_number_always_makes_the_same_order_and_another_number_another() -> None:
    first, again, other = (json.dumps(generated("mixed", 5, number)) for number in (2, 2, 4))
    assert first == again != other


def test_a_known_order_comes_out_on_every_machine() -> None:
    first = generated("like hammers", 4, 0)["items"][0]
    assert (first["head_length"], first["eye_offset"], first["handle_length"]) == (84.0, 38.0, 249.5)


def test_half_of_all_orders_are_fresh() -> None:
    assert [is_fresh(number) for number in range(4)] == [False, True, False, True]


def test_pieces_of_one_pattern_differ_in_nothing_but_their_number() -> None:
    items = generated("one pattern", 6, 0)["items"]
    assert len({json.dumps({**item, "id": ""}) for item in items}) == 1


def test_every_order_that_is_measured_has_a_best_known_volume() -> None:
    names = {generated(kind, items, number)["id"] for kind, items in invented.SIZES for number in invented.NUMBERS}
    assert names == set(invented.best_known())


def test_tuned_and_fresh_orders_are_averaged_apart() -> None:
    nested = [invented.Nested("a", False, 1.0), invented.Nested("b", True, 1.1), invented.Nested("c", True, 1.3)]
    lines = invented.report(nested).splitlines()
    assert lines[-2:] == [
        "tuned: 1.000 of the best known on average, 1.000 at worst.",
        "fresh: 1.200 of the best known on average, 1.300 at worst.",
    ]

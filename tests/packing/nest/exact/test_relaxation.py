from dataclasses import replace

import pytest

from packing.measure import Block, Order, Rules, Tool
from packing.nest.exact.relaxation import common_shape, relaxed_order
from tests.helpers import present
from tests.packing.nest.brute_force import least_volume, tiny_order

HAMMER = Tool("H", 120_000, 40_000, 42_000, 55_000, 300_000, 34_000, 24_000, 1)


def test_two_like_hammers_have_the_least_of_each_measure_in_common() -> None:
    other = replace(HAMMER, head_height_um=38_000, handle_length_um=310_000)
    assert common_shape(HAMMER, other) == replace(HAMMER, head_height_um=38_000)


def test_heads_are_laid_over_one_another_at_the_handle_with_the_shorter_ends_on_one_side() -> None:
    other = replace(HAMMER, head_length_um=110_000, eye_offset_um=70_000)
    shape = common_shape(HAMMER, other)
    assert isinstance(shape, Tool)
    assert (shape.eye_offset_um, shape.head_length_um) == (40_000, 105_000)


def test_a_block_that_may_be_laid_down_takes_an_upright_one_with_it() -> None:
    shape = common_shape(Block("a", 70, 30, 50, 1, upright=True), Block("b", 40, 60, 20, 1))
    assert shape == Block("a", 20, 40, 60, 1, upright=False)


def test_a_hammer_and_a_block_have_nothing_in_common() -> None:
    assert common_shape(HAMMER, Block("a", 70, 30, 50, 1)) is None


def test_an_order_is_simplified_no_more_than_it_must_be() -> None:
    near = replace(HAMMER, id="I", head_length_um=121_000)
    far = replace(HAMMER, id="J", head_length_um=200_000, eye_offset_um=90_000)
    order = present(relaxed_order(Order("A", (HAMMER, far, near), Rules()), 18))
    assert [item.id for item in order.items] == ["H", "J", "I"]
    assert order.items[0] == replace(order.items[2], id="H")
    assert order.items[1] == far


@pytest.mark.parametrize("seed", range(24))
def test_the_easier_order_never_needs_a_larger_interior(seed: int) -> None:
    order = tiny_order(seed)
    relaxed, real = least_volume(relaxed_order(order, 1)), least_volume(order)
    assert relaxed is not None
    assert real is not None
    assert relaxed <= real

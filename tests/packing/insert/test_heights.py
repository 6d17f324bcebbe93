"""Heights of layers: what foam gives is saved, and what saves work may be spent."""

from dataclasses import replace
from decimal import Decimal

import pytest

from packing.check import check_plan
from packing.insert import insert_work, make_insert, with_less_work
from packing.materials import PE_FOAM, Rates
from packing.measure import Order
from packing.nest import nest
from packing.planning import plan_parcel
from tests.packing.insert_zoo import HAMMER, TIN, order_of

GIVING = {"bite": 1.5, "thin": [3, 6], "layer_spare": 6}


def layer_um(order: Order) -> int:
    """The height of the one layer of an order's least box."""
    (layer,) = nest(order, effort=300).layers
    return layer.height_um


@pytest.mark.parametrize(
    ("height", "bite", "layer"), [(25, 0, 25), (26.5, 0, 36), (26.5, 1.5, 25), (26.51, 1.5, 36), (38.4, 1.5, 37)]
)
def test_a_layer_is_lower_than_what_lies_in_it_by_no_more_than_foam_gives(
    height: float, bite: float, layer: int
) -> None:
    order = order_of({**TIN, "height": height, "upright": True}, bite=bite or None)
    assert layer_um(order) == layer * 1000
    assert check_plan(order, plan_parcel(order, effort=300).content) == []


@pytest.mark.parametrize("pad", ["top_pad", "layer_pad"])
def test_without_a_pad_above_nothing_stands_proud_of_its_layer(pad: str) -> None:
    assert layer_um(order_of({**TIN, "height": 26.5, "upright": True}, bite=1.5, **{pad: 0})) == 36_000


def spared(worth: int, **rules: object) -> tuple[Order, list[int], list[int]]:
    """A hammer whose layer is 48 mm high, four sheets of 12: its heights before and after looking for less work."""
    order = order_of({**HAMMER, "head_height": 42, "head_width": 42, "may_stand": False}, **{**GIVING, **rules})
    nesting = nest(order, effort=300)
    eased = with_less_work(order, nesting, PE_FOAM, worth=Decimal(worth)) or nesting
    return order, [layer.height_um for layer in nesting.layers], [layer.height_um for layer in eased.layers]


def test_a_layer_grows_where_that_is_less_work() -> None:
    order, before, after = spared(0)
    assert before == [48_000]
    assert after[0] in (49_000, 50_000)
    nesting = nest(order, effort=300)
    eased = with_less_work(order, nesting, PE_FOAM, worth=Decimal(0))
    assert eased is not None
    less, more = (Rates().timed(insert_work(make_insert(order, one, PE_FOAM))) for one in (eased, nesting))
    assert less.minutes < more.minutes
    assert eased.interior_um[2] - nesting.interior_um[2] == after[0] - before[0]


@pytest.mark.parametrize("rules", [{"layer_spare": 0}, {"max_interior": [1000, 1000, 98]}])
def test_no_layer_grows_beyond_what_the_rules_allow(rules: dict[str, object]) -> None:
    _, before, after = spared(0, **rules)
    assert after == before


def test_no_layer_grows_where_the_room_is_worth_more_than_the_work() -> None:
    _, before, after = spared(1000)
    assert after == before


def test_the_plan_takes_the_height_that_is_less_work_and_the_checker_agrees() -> None:
    hammer = {**HAMMER, "head_height": 42, "head_width": 42, "may_stand": False}
    order = order_of(*({**hammer, "id": f"hammer {number}"} for number in range(4)), **GIVING, base_pad=50)
    plan = plan_parcel(order, effort=300)
    stiff = plan_parcel(replace(order, rules=replace(order.rules, layer_spare_um=0)), effort=300)
    assert plan.nesting.interior_um[2] > stiff.nesting.interior_um[2]
    assert check_plan(order, plan.content) == []

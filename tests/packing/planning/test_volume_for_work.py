"""Volume for work: where an order trades them, a larger box is taken that saves minutes enough, else the least."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from packing.insert import insert_work, make_insert
from packing.materials import PE_FOAM, Rates
from packing.measure import Order
from packing.nest import Nesting, nest
from packing.planning import plan_parcel
from packing.planning.objective import MINUTES_PER_PERCENT
from tests.bench.inserts import invented_orders

EFFORT = 3000


def orders() -> list[Order]:
    """Invented orders with thin stock, their layers up to 6 mm higher than needed."""
    return [
        replace(order, rules=replace(order.rules, bite_um=1_500, thin_um=thin, layer_spare_um=6_000))
        for order, thin in invented_orders(8, seed=3)
    ]


def minutes(order: Order, nesting: Nesting) -> Fraction:
    return Fraction(Rates().timed(insert_work(make_insert(order, nesting, PE_FOAM))).minutes)


def test_no_other_nesting_of_the_search_is_better_by_volume_and_work_together() -> None:
    grown = 0
    for order in orders():
        taken = plan_parcel(order, effort=EFFORT).nesting
        least = nest(order, effort=EFFORT, pareto_front=True)
        worth = [one.volume_um3 * (1 + minutes(order, one) / (100 * MINUTES_PER_PERCENT)) for one in (taken, least)]
        # Heights of layers are chosen one by one, by a straight line instead of the product.
        assert worth[0] <= worth[1] * Fraction(1005, 1000)
        assert taken.volume_um3 <= Fraction(112, 100) * least.volume_um3
        grown += taken.volume_um3 > least.volume_um3
    assert grown


@pytest.mark.parametrize("off", [{"layer_spare_um": 0}, {"thin_um": None}])
def test_where_an_order_does_not_trade_them_the_least_volume_of_the_search_is_taken(off: Any) -> None:
    for order in orders()[:4]:
        plain = replace(order, rules=replace(order.rules, **off))
        alone = plan_parcel(plain, effort=EFFORT)
        several = plan_parcel(plain, effort=EFFORT, several=True)
        assert alone.nesting.interior_um == several.nesting.interior_um
        assert all(one.nesting.volume_um3 >= alone.nesting.volume_um3 for one in several.others)

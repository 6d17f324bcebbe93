"""What a box is chosen for: the least bill under the rule that the shop named, or the least volume."""

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from math import prod
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db.models import ProtectedError

from packing.carry import bill, read_service
from packing.planning import billing_by
from shop import adapter
from shop.adapter.objective import pricing_row, service_in
from shop.demo.load import load
from shop.models import Order, OrderLine, Piece, RateRule, Shop
from shop.services import allocation, jobs, planning
from shop.services.shops import open_shop
from tests.helpers import present
from tests.shop.planned import only_plan

A_DAY = dt.date(2026, 3, 7)
HALF_METRE = (500_000, 500_000, 500_000)


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def rule(forge: Shop) -> Any:
    """A carrier of our own: dimensional weight by 5000 cm³ to the kilogram, no surcharge, up to 30 kg."""
    return RateRule.objects.create(
        shop=forge,
        carrier="Ox cart",
        service="market day",
        valid_from=dt.date(2020, 1, 1),
        system="cm/kg",
        divisor=Decimal(5000),
        side_rounding="up",
        max_weight=Decimal(30),
        as_of=dt.date(2020, 1, 1),
    )


@pytest.fixture
def priced(line: OrderLine, piece: Piece, rule: Any) -> Any:
    """Order 17 of a shop that chooses boxes by the ox cart's bill."""
    Shop.objects.update(priced_by=rule)
    allocation.allocate(line.order, [(line, piece)])
    return Order.objects.get()


def again(order: Any) -> Any:
    """The order as the next request reads it, its shop too."""
    return Order.objects.get(pk=order.pk)


def test_a_shop_that_names_no_carrier_chooses_the_least_volume(line: OrderLine, piece: Piece) -> None:
    allocation.allocate(line.order, [(line, piece)])
    plan = only_plan(planning.plan_now(line.order, 0.2))
    assert plan.content["chosen"]["aim"] == "volume"
    others = [adapter.plan_of(offer).interior_um for offer in plan.choices]
    assert prod(adapter.plan_of(plan).interior_um) == min(prod(size) for size in others)


def test_the_plan_says_which_rule_it_was_chosen_by_and_the_bill(priced: Any) -> None:
    chosen = present(adapter.plan_of(only_plan(planning.plan_now(priced, 0.2))).chosen)
    assert (chosen.objective, chosen.carrier) == (adapter.kinds.Objective.PRICE, "Ox cart")
    assert (chosen.service, chosen.as_of, chosen.weight_unit) == ("market day", dt.date(2020, 1, 1), "kg")
    assert chosen.over == ()


def test_the_recorded_bill_is_the_one_that_the_order_page_shows(priced: Any, rule: Any) -> None:
    plan = only_plan(planning.plan_now(priced, 0.2))
    (shown,) = adapter.bills(adapter.plan_of(plan), [rule], A_DAY)
    assert present(adapter.plan_of(plan).chosen).billed == present(shown.bill).billed


def test_a_bill_is_the_billed_weight_exactly(priced: Any) -> None:
    billing = billing_by(present(service_in(adapter.stock_of(priced.shop))))
    assert billing(HALF_METRE, 1_000_000, "corrugated").amount == Fraction(25)


def test_naming_a_carrier_or_changing_its_figures_asks_for_a_new_plan(priced: Any) -> None:
    planning.plan_now(priced, 0.2)
    assert adapter.is_current(again(priced))
    RateRule.objects.update(divisor=Decimal(6000))
    assert not adapter.is_current(again(priced))
    Shop.objects.update(priced_by=None)
    assert not adapter.is_current(again(priced))


def test_noting_where_a_rule_was_read_asks_for_no_new_plan(priced: Any) -> None:
    planning.plan_now(priced, 0.2)
    RateRule.objects.update(source="the town crier", sureness="primary", note="Ask him again.")
    assert adapter.is_current(again(priced))


def test_a_shop_without_a_carrier_keeps_the_hash_it_had_before_there_was_a_choice(forge: Shop) -> None:
    assert set(adapter.kept(adapter.stock_of(forge))) == {"foam", "board", "making"}


@pytest.mark.parametrize(("prices", "aim"), [({}, "volume"), ({"hour_price": 30, "billed_price": 2}, "price")])
def test_a_shop_that_prices_weight_and_work_needs_no_carrier_to_choose_by_price(
    line: OrderLine, piece: Piece, prices: Any, aim: Any
) -> None:
    Shop.objects.update(**prices)
    allocation.allocate(line.order, [(line, piece)])
    plan = only_plan(planning.plan_now(again(line.order), 0.2))
    assert plan.content["chosen"]["aim"] == aim
    assert adapter.is_current(again(line.order))


def test_the_row_in_force_takes_the_place_of_one_that_is_over(priced: Any, rule: Any) -> None:
    RateRule.objects.update(valid_to=A_DAY)
    values = {name: getattr(rule, name) for name in adapter.RATE_COLUMNS}
    later = RateRule.objects.create(shop=rule.shop, **{**values, "valid_from": A_DAY + dt.timedelta(days=1)})
    shop = again(priced).shop
    assert adapter.pricing_rule(shop, A_DAY) == rule
    assert adapter.pricing_rule(shop, A_DAY + dt.timedelta(days=1)) == later


def test_a_service_with_no_row_in_force_is_priced_by_the_row_that_was_named(priced: Any, rule: Any) -> None:
    RateRule.objects.update(valid_to=dt.date(2021, 1, 1))
    assert adapter.pricing_rule(again(priced).shop, A_DAY) == rule


def test_a_rule_that_cannot_be_used_is_refused_by_name_and_the_order_stays(priced: Any) -> None:
    RateRule.objects.update(side_rounding="askew")
    with pytest.raises(adapter.BadInput, match="priced_by: cannot be used: side_rounding"):
        planning.plan_now(again(priced), 0.2)
    assert Order.objects.get().state == "draft"


def test_a_rule_of_another_shop_prices_nothing(forge: Shop, other_forge: Any, rule: Any) -> None:
    other_forge.priced_by = rule
    with pytest.raises(ValidationError, match="a rule of its own"):
        other_forge.full_clean()


def test_a_rule_that_boxes_are_chosen_by_is_not_deleted(priced: Any, rule: Any) -> None:
    with pytest.raises(ProtectedError):
        rule.delete()


def test_every_rule_that_a_shop_opens_with_can_price_its_boxes(db: Any) -> None:
    shop = open_shop("New forge")
    for row in RateRule.objects.filter(shop=shop):
        shop.priced_by = row
        priced = read_service(present(pricing_row(shop)))
        assert bill(HALF_METRE, 1_000_000, priced).billed > 0


def test_the_invented_forge_chooses_by_the_row_in_force(db: Any) -> None:
    rule = present(load().priced_by)
    assert (rule.carrier, rule.service) == ("UPS", "Ground, United States")
    assert rule.valid_to is None

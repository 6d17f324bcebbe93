"""Billing a planned box under the shop's dated rules."""

import datetime as dt
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from shop import adapter
from shop.models import RateRule, Shop
from shop.services.shops import open_shop, today

A_PLAN = adapter.read_plan(json.loads((Path(__file__).parents[2] / "data" / "plan-before-versions.json").read_text()))
AXE_SIDES = (927_100, 209_550, 158_750)
AXE_BOX = replace(
    A_PLAN,
    box=replace(A_PLAN.box, outer_um=AXE_SIDES, most_um=AXE_SIDES),
    weight=replace(A_PLAN.weight, gross_mg=2_267_960),
)


@pytest.fixture
def by_inch(forge: Shop) -> Any:
    return RateRule.objects.create(
        shop=forge,
        carrier="Carrier",
        service="Ground",
        valid_from="2025-08-18",
        system="in/lb",
        divisor=Decimal(139),
        side_rounding="up",
        as_of="2026-11-01",
    )


def billed(plan: Any, day: Any, **options: Any) -> Any:
    return adapter.bills(plan, RateRule.objects.all(), dt.date.fromisoformat(day), **options)


def test_a_box_is_billed_for_its_rounded_sides(by_inch: Any) -> None:
    by_inch.refresh_from_db()
    [answer] = billed(AXE_BOX, "2026-11-25")
    assert (answer.bill.sides, answer.bill.dimensional, answer.bill.billed) == ((37, 9, 7), 17, 17)
    assert (answer.rule, answer.fault) == (by_inch.pk, "")


def test_the_year_of_the_rule_and_the_advice_to_check_stand_beside_it(by_inch: Any) -> None:
    assert str(billed(AXE_BOX, "2026-11-25")[0].bill.published) == "Published as of 2026-11-01: check before quoting."


def test_a_rule_not_yet_in_force_bills_nothing(by_inch: Any) -> None:
    assert billed(AXE_BOX, "2025-08-17") == []


def test_the_weigh_in_comes_before_the_predicted_weight(by_inch: Any) -> None:
    assert billed(AXE_BOX, "2026-11-25", weighed_g=Decimal("9000"))[0].bill.billed == 20


def test_the_stock_carton_is_billed_for_its_own_size(by_inch: Any) -> None:
    assert A_PLAN.carton is not None
    carton = replace(A_PLAN.carton, outer_um=(304_800, 304_800, 304_800), gross_mg=2_000_000)
    plan = replace(AXE_BOX, carton=carton)
    assert billed(plan, "2026-11-25", carton=True)[0].bill.sides == (12, 12, 12)
    assert billed(replace(plan, carton=None), "2026-11-25", carton=True) == []


def test_a_rule_that_someone_broke_is_shown_with_its_fault(by_inch: Any) -> None:
    RateRule.objects.update(triggers=[{"name": "x", "measure": "smell"}])
    [answer] = billed(AXE_BOX, "2026-11-25")
    assert "triggers[0].measure: must be one of longest" in answer.fault


def test_a_new_shop_starts_with_the_published_rules_each_with_how_sure_it_is(db: Any) -> None:
    shop = open_shop("Smithy")
    rules = RateRule.objects.filter(shop=shop)
    assert rules.count() == len(adapter.published_rules())
    assert not rules.filter(source="").exists()
    assert all(answer.fault == "" for answer in billed(AXE_BOX, "2026-11-25"))


def test_today_is_the_shops_day(forge: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: dt.datetime(2026, 7, 11, 23, 30, tzinfo=dt.UTC))
    forge.timezone = "Europe/Stockholm"
    assert today(forge) == dt.date(2026, 7, 12)
    forge.timezone = "America/Chicago"
    assert today(forge) == dt.date(2026, 7, 11)

"""Billing a planned box under the shop's dated rules."""

import datetime as dt
from decimal import Decimal

import pytest

from shop import adapter
from shop.models import RateRule
from shop.services.shops import open_shop, today

AXE_BOX = {"box": {"outer_mm": [927.1, 209.55, 158.75]}, "weight": {"gross_g": 2267.96}, "carton": None}


@pytest.fixture
def by_inch(forge):
    return RateRule.objects.create(
        shop=forge,
        carrier="Carrier",
        service="Ground",
        valid_from="2025-08-18",
        system="in/lb",
        divisor=139,
        side_rounding="up",
        as_of="2026-11-01",
    )


def billed(content, day, **options):
    return adapter.bills(content, RateRule.objects.all(), dt.date.fromisoformat(day), **options)


def test_a_box_is_billed_for_its_rounded_sides(by_inch):
    by_inch.refresh_from_db()
    [answer] = billed(AXE_BOX, "2026-11-25")
    assert (answer["sides"], answer["dimensional"], answer["billed"]) == ([37, 9, 7], 17, 17)
    assert (answer["rule"], answer["fault"]) == (by_inch.pk, "")


def test_the_year_of_the_rule_and_the_advice_to_check_stand_beside_it(by_inch):
    assert billed(AXE_BOX, "2026-11-25")[0]["published"] == "Published as of 2026-11-01: check before quoting."


def test_a_rule_not_yet_in_force_bills_nothing(by_inch):
    assert billed(AXE_BOX, "2025-08-17") == []


def test_the_weigh_in_comes_before_the_predicted_weight(by_inch):
    assert billed(AXE_BOX, "2026-11-25", weighed_g=Decimal("9000"))[0]["billed"] == 20


def test_the_stock_carton_is_billed_for_its_own_size(by_inch):
    content = {**AXE_BOX, "carton": {"outer_mm": [304.8, 304.8, 304.8], "gross_g": 2000}}
    assert billed(content, "2026-11-25", carton=True)[0]["sides"] == [12, 12, 12]


def test_a_rule_that_someone_broke_is_shown_with_its_fault(by_inch):
    RateRule.objects.update(triggers=[{"name": "x", "measure": "smell"}])
    [answer] = billed(AXE_BOX, "2026-11-25")
    assert "triggers[0].measure: must be one of longest" in answer["fault"]


def test_a_new_shop_starts_with_the_published_rules_each_with_how_sure_it_is(db):
    shop = open_shop("Smithy")
    rules = RateRule.objects.filter(shop=shop)
    assert rules.count() == len(adapter.published_rules())
    assert not rules.filter(source="").exists()
    assert all(answer["fault"] == "" for answer in billed(AXE_BOX, "2026-11-25"))


def test_today_is_the_shops_day(forge, monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: dt.datetime(2026, 7, 11, 23, 30, tzinfo=dt.UTC))
    forge.timezone = "Europe/Stockholm"
    assert today(forge) == dt.date(2026, 7, 12)
    forge.timezone = "America/Chicago"
    assert today(forge) == dt.date(2026, 7, 11)

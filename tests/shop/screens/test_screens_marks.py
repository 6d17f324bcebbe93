"""An order's page shows beside each value that decides where it was read, of which year, how sure; least sure first."""

import datetime as dt
import re
from typing import Any

import pytest
from django.test import Client
from msgspec.structs import replace

from packing.plan import Message, ReasonPlan, SurchargePlan
from shop import adapter
from shop.formatting import Units, Wording
from shop.marks import marks_of
from shop.models import BoardRow, Customer, Order, RateRule, Shop
from shop.presenters.plan import PlanPresenter
from tests.shop.planned import only_plan
from tests.shop.screens.conftest import plan_for
from tests.shop.screens.test_screens_box import page_of


@pytest.fixture
def rules(forge: Shop, customer: Customer) -> None:
    """The published rules, for a shop and a customer where most of the services go."""
    Shop.objects.update(country="US")
    Customer.objects.update(country="US")
    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)


def section(page: Any, name: Any) -> Any:
    return page[page.index(f'id="{name}"') :].partition("</section>")[0]


def test_each_bill_says_where_its_rule_was_read_and_how_sure_that_is(
    at_the_bench: Client, planned: Any, rules: Any
) -> None:
    RateRule.objects.filter(service="Ground, United States", carrier="UPS", valid_to=None).update(
        sureness="memory", note="One copy prints otherwise."
    )
    weights = section(page_of(at_the_bench), "weights")
    rule = RateRule.objects.get(service="Ground, United States", carrier="UPS", valid_to=None)
    assert rule.source in weights
    assert "from memory: " in weights
    assert "One copy prints otherwise." in weights


def test_a_limit_passed_is_dated_by_its_own_year(at_the_bench: Client, planned: Any, rules: Any) -> None:
    RateRule.objects.filter(carrier="UPS", valid_to=None).update(
        triggers=[
            {
                "name": "additional handling", "measure": "longest", "above": "1", "consequence": "Charged.",
                "source": "an old list", "sureness": "secondary", "as_of": "2019-03-04",
            }
        ]
    )  # fmt: skip
    weights = section(page_of(at_the_bench), "weights")
    assert "read on another page: an old list (2019)" in weights
    assert "an old list (2026)" not in weights


def test_the_reasons_of_a_surcharge_come_the_least_sure_first() -> None:
    reasons = [ReasonPlan(Message("a"), "x", None, level) for level in ("primary", "memory", "secondary")]
    marks = marks_of(SurchargePlan("n", Message("s"), tuple(reasons)), str)
    assert [mark.sureness for mark in marks] == ["memory", "secondary", "primary"]
    assert {mark.year for mark in marks} == {"undated"}


def test_the_rules_of_the_box_stand_on_the_order_with_source_and_sureness(at_the_bench: Client, planned: Any) -> None:
    box = section(page_of(at_the_bench), "box")
    facts = PlanPresenter(only_plan(planned), Wording(Units()), dt.date(2026, 1, 1)).plan.box.facts
    assert facts
    for fact in facts:
        assert fact.source.partition(";")[0].replace("'", "&#x27;") in box


def test_a_box_chosen_by_its_bill_says_how_good_it_is_in_that_and_not_in_volume(
    at_the_bench: Client, ready: Order, rules: Any
) -> None:
    Shop.objects.update(priced_by=RateRule.objects.get(carrier="UPS", service="Ground, United States", valid_to=None))
    plan = plan_for(Order.objects.get())
    box = section(page_of(at_the_bench), "box")
    assert "least billed weight" in box
    assert (
        f"{plan.content['chosen']['billed']} lb by UPS, Ground, United States: no box for these pieces is billed" in box
    )
    assert "above the smallest possible" not in box


@pytest.mark.parametrize(
    ("proven", "gap", "said"),
    [
        (True, 0.0, "proven: none is smaller"),
        (False, 0.25, "at most 25 % above the smallest possible: none has less than"),
        (False, 0.0004, "at most 1 % above the smallest possible: none has less than"),
        (False, None, "how near the smallest possible is not known"),
    ],
)
def test_a_box_chosen_for_its_size_says_how_near_the_smallest_it_is(
    planned: Any, proven: Any, gap: Any, said: Any
) -> None:
    shown = PlanPresenter(only_plan(planned), Wording(Units()), dt.date(2026, 1, 1))
    changed = replace(shown.plan, proven=proven, gap=gap)
    shown.__dict__["plan"] = changed
    assert shown.aim.what == "smallest interior"
    assert shown.aim.how_good.startswith(said)


def test_the_settings_say_how_sure_the_rows_of_stock_are(at_the_bench: Client, forge: Shop) -> None:
    row: dict[str, Any] = {"flute": "C", "grade": "32 ECT", "caliper_mm": 4, "grammage_g_m2": 533}
    BoardRow.objects.create(shop=forge, name="our board", **row)
    BoardRow.objects.create(shop=forge, name="their board", source="a mill's sheet", sureness="primary", **row)
    page = at_the_bench.get("/settings/").content.decode()
    cell = r"{}</th>.*?data-head=\"How sure\">(.*?)</td>"
    told = {name: re.search(cell.format(name), page) for name in ("our board", "their board")}
    assert {name: found and found[1] for name, found in told.items()} == {
        "our board": "not said", "their board": "read in the original",
    }  # fmt: skip

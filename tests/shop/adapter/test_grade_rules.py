"""Rules for board grades as rows of a shop: what it starts with, what they decide, how they are edited and refused."""

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from packing.strength import Tables
from shop import adapter
from shop.adapter.grade_rules import grade_tables_of
from shop.models import GradeRule, Order, OrderLine, Piece, Shop, User, WoodRow
from shop.services import allocation, jobs, planning
from shop.services.shops import open_shop
from tests.shop.planned import only_plan

LINE = {
    "kind": "dense board",
    "weight_lb": "70",
    "burst_psi": "275",
    "source": "a handbook",
    "year": "1999",
    "sureness": "secondary",
}


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def ruled(forge: Shop) -> Any:
    """Our forge with the published lines."""
    for row in adapter.stock_to_start_with()[GradeRule]:
        GradeRule.objects.create(shop=forge, **row)
    return forge


@pytest.fixture
def ready(line: OrderLine, piece: Piece, ruled: Any) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return Order.objects.get()


@pytest.fixture
def desk(client: Client, owner: User, ruled: Any) -> Any:
    client.force_login(owner)
    return client


def add(desk: Any, shop: Any, **changes: Any) -> Any:
    return desk.post(reverse("admin:shop_graderule_add"), {**LINE, "shop": shop.pk, **changes})


def test_a_new_shop_starts_with_the_published_lines(db: Any) -> None:
    assert grade_tables_of(open_shop("New forge")) == Tables()


def test_a_shop_without_lines_goes_by_the_published_ones(forge: Shop) -> None:
    assert grade_tables_of(forge) == Tables()


def test_the_lines_of_another_shop_are_not_ours(ruled: Any, other_forge: Any) -> None:
    GradeRule.objects.filter(kind="days").update(shop=other_forge, factor=Decimal("0.1"))
    assert grade_tables_of(ruled).days == Tables().days
    assert {float(line.factor) for line in grade_tables_of(other_forge).days} == {0.1}


def test_an_edited_line_decides_which_board_a_box_is_made_of(ready: Order) -> None:
    usual = only_plan(planning.plan_now(ready, 0.2)).content["box"]["board"]["grade"]
    GradeRule.objects.filter(kind="dense board").update(burst_psi=275, source="my own test")
    stronger = only_plan(planning.plan_now(ready, 0.2)).content["box"]
    assert (usual, stronger["board"]["grade"]) == ("200 psi burst", "275 psi burst")
    checks = [check for tried in stronger["grade"]["tried"] for check in tried["checks"]]
    assert "my own test" in {check["source"] for check in checks}


def test_lines_that_cannot_be_used_stop_a_plan_in_a_sentence(ready: Order) -> None:
    GradeRule.objects.filter(kind="days").update(factor=Decimal(2))
    with pytest.raises(adapter.BadInput, match="rules for board grades: cannot be used: factor: must be above 0"):
        planning.plan_now(ready, 0.2)
    assert Order.objects.get().state == "draft"


def test_a_line_is_added_at_the_owners_desk(desk: Any, ruled: Any) -> None:
    GradeRule.objects.filter(kind="dense board").delete()
    assert add(desk, ruled).status_code == 302
    assert [line.source.name for line in grade_tables_of(ruled).dense] == ["a handbook"]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"burst_psi": ""}, "burst_psi: must be a whole number greater than zero"),
        ({"factor": "0.5"}, "factor: must be empty in a line of “dense board”, not 0.5"),
        ({}, "rules for board grades: cannot be used: dense board: must not have two lines for 70"),
        ({"kind": "high density", "burst_psi": "", "limit_lb_ft2": "60"}, "high density: must have one line, not 2"),
    ],
)
def test_a_bad_line_is_refused_at_the_owners_desk_in_a_sentence(
    desk: Any, ruled: Any, changes: Any, sentence: Any
) -> None:
    kept = GradeRule.objects.count()
    assert sentence in add(desk, ruled, **changes).content.decode()
    assert GradeRule.objects.count() == kept


def test_the_settings_show_each_line_with_source_year_and_sureness(desk: Any) -> None:
    page = desk.get(reverse("settings")).content.decode()
    for text in (
        "easy load to 40 lb, difficult load to 20 lb, length and girth to 100 in",
        "single wall to 65 lb and 75 in of length, width and depth together",
        "200 psi with 84 lb facings, or ECT 32 lb/in",
        "at most 60 lb on a square foot of the smallest side",
        "up to 70 % relative humidity",
        "80 % of the strength is left",
        "USPS Publication 2, section 6-3, as read in 2026; edition of the 2000s",
        "read on another page",
        reverse("admin:shop_graderule_changelist"),
    ):
        assert text in page


def test_the_list_of_lines_opens_at_the_owners_desk(desk: Any) -> None:
    page = desk.get(reverse("admin:shop_graderule_changelist"))
    assert page.status_code == 200
    assert str(GradeRule.objects.get(kind="high density")) == "high density, smallest side: above 15 lb"


def test_the_settings_list_rules_in_the_order_they_are_applied_single_wall_first(desk: Any) -> None:
    shown = desk.get(reverse("settings")).context["grade_rules"]
    kinds = list(dict.fromkeys(row.kind for row in shown))
    assert kinds == ["postal", "dense board", "high density", "freight", "days", "humidity"]
    assert list(dict.fromkeys(row.wall for row in shown if row.wall)) == ["single", "double"]


def test_the_settings_show_how_far_off_wood_may_be_and_how_it_is_cut(client: Client, owner: User, db: Any) -> None:
    shop = owner.memberships.get().shop
    WoodRow.objects.create(
        shop=shop,
        name="oak",
        nominal="1×4",
        thickness_mm=Decimal(19),
        width_mm=Decimal(89),
        length_mm=Decimal(2000),
        density_kg_m3=700,
    )
    client.force_login(owner)
    page = client.get(reverse("settings")).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert "19 ± 0.5 mm × 89 × 2000 mm" in page
    assert '<td role="cell" data-head="Cut by">saw</td>' in page

"""A plan is out of date once a row its box was made from has changed, says which, and minds no other row."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from msgspec import structs

from shop import adapter
from shop.adapter.orders import hash_of
from shop.models import (
    AllowanceRow,
    Block,
    BoardRow,
    BoxPlan,
    Carton,
    FastenerRow,
    GradeRule,
    LabourTime,
    Order,
    OrderLine,
    Piece,
    Product,
    RateRule,
    Shop,
    User,
    WoodRow,
)
from shop.services import allocation, jobs, planning
from shop.services.errors import CannotPlan
from tests.helpers import present
from tests.shop.conftest import make_piece
from tests.shop.planned import keep, only_parcel, only_plan, store_one

USUAL, OTHER = "42-26C-42 single wall", "69-26C-69 single wall"


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def stocked(stocked: Shop) -> Any:
    """Two cartons, and blanks that take so long to cut that a carton is offered for its little work."""
    LabourTime.objects.update_or_create(shop=stocked, what="blank", defaults={"minutes": Decimal(9)})
    size = {"length": Decimal(450), "width": Decimal(300), "height": Decimal(200)}
    Carton.objects.create(shop=stocked, name="big", **size, board=USUAL, count=5)
    Carton.objects.create(shop=stocked, name="huge", **{**size, "length": Decimal(900)}, board=USUAL, count=5)
    return stocked


@pytest.fixture
def planned(line: OrderLine, piece: Piece, stocked: Shop) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    planning.plan_now(line.order, 0.2)
    return Order.objects.get()


def styles(order: Any) -> Any:
    """The style of each offer."""
    return [adapter.plan_of(offer).box.style for offer in only_plan(order).choices]


def take(order: Any, style: Any) -> Any:
    """Make the offer of a style the order's box."""
    index = styles(order).index(style)
    return planning.take_offer(only_parcel(order), only_plan(order), index)


def test_the_rows_a_box_was_made_from_are_kept_with_its_plan(planned: Any) -> None:
    kept = only_plan(planned).snapshot
    assert set(kept["board"]) == {USUAL}
    assert set(kept["second carton"]) == {"big"}
    assert kept["grade"]["board"] == USUAL
    assert adapter.is_current(planned)
    assert adapter.changes_since(planned) == []


@pytest.mark.parametrize(
    ("kind", "which", "change", "sentence"),
    [
        (BoardRow, {"name": USUAL}, {"caliper_mm": Decimal("4.2")}, "has changed: caliper 4.2 mm, was 4 mm"),
        (BoardRow, {"name": USUAL}, {"sheet_across_mm": 2000, "sheet_along_mm": 900}, "sheet 2000 × 900 mm, was any"),
        (BoardRow, {"name": USUAL}, {"cut_by": "knife, laser"}, "cut by knife, laser, was knife"),
        (BoardRow, {"name": USUAL}, {"in_stock": False}, f"Board “{USUAL}” is not in stock any more."),
        (AllowanceRow, {"flute": "C"}, {"panel_mm": Decimal(5)}, "allowance from score to score 5 mm, was 4 mm"),
        (
            Carton,
            {"name": "big"},
            {"height": Decimal(210)},
            "Stock carton “big” has changed: inner size 450 × 300 × 210",
        ),
        (GradeRule, {"kind": "dense board"}, {"burst_psi": 175}, "The rule “board for dense contents” has changed: of"),
    ],
)
def test_a_row_the_box_was_made_from_makes_its_plan_one_of_what_was(
    planned: Any, kind: Any, which: Any, change: Any, sentence: Any
) -> None:
    kind.objects.filter(**which).update(**change)
    assert not adapter.is_current(planned)
    assert any(sentence in change for change in adapter.changes_since(planned))
    with pytest.raises(CannotPlan, match="has changed since its box was planned"):
        planning.current_plan(only_parcel(planned))


@pytest.mark.parametrize(
    ("kind", "which", "change"),
    [
        (BoardRow, {"name": OTHER}, {"caliper_mm": Decimal("4.2")}),
        (BoardRow, {"name": USUAL}, {"price_m2": Decimal(3), "source": "weighed"}),
        (AllowanceRow, {"flute": "B"}, {"panel_mm": Decimal(5)}),
        (Carton, {"name": "huge"}, {"height": Decimal(210)}),
        (Carton, {"name": "big"}, {"count": 0}),
        (WoodRow, {}, {"width_mm": Decimal(90)}),
        (FastenerRow, {}, {"length_mm": Decimal(90)}),
        (GradeRule, {"kind": "freight", "wall": "double"}, {"ect_lb_in": 90}),
        (GradeRule, {"kind": "days", "up_to": 180}, {"factor": Decimal("0.4")}),
    ],
)
def test_rows_the_box_was_not_made_from_leave_its_plan_as_it_is(
    planned: Any, kind: Any, which: Any, change: Any
) -> None:
    assert kind.objects.filter(**which).update(**change)
    assert adapter.is_current(planned)
    assert planning.current_plan(only_parcel(planned)) == only_plan(planned)


def test_a_wooden_box_goes_by_its_wood_and_screws_and_not_by_boards(planned: Any) -> None:
    BoardRow.objects.update(burst_psi=0, facings_lb=0, ect_lb_in=1)
    order = Order.objects.get()
    planning.plan_now(order, 0.2)
    style = take(order, "ply" if "ply" in styles(order) else "sliding")
    used = next(iter(style.snapshot["wood"]))
    assert adapter.is_current(order)
    WoodRow.objects.filter(name=used).update(thickness_mm=Decimal("9.6"))
    assert any(f"Wood “{used}” has changed: thickness 9.6 mm" in one for one in adapter.changes_since(order))


def test_a_carton_that_is_the_box_itself_must_be_in_stock(planned: Any) -> None:
    take(planned, "carton")
    Carton.objects.filter(name="big").update(count=0)
    order = Order.objects.get()
    assert adapter.changes_since(order) == ["Stock carton “big” is not in stock any more."]
    assert not adapter.is_current(order)


def test_an_offer_whose_rows_have_changed_is_not_taken(planned: Any) -> None:
    Carton.objects.filter(name="big").update(width=Decimal(320))
    plan = only_plan(planned)
    index = styles(planned).index("carton")
    with pytest.raises(CannotPlan, match="Stock carton “big” has changed"):
        planning.take_offer(only_parcel(planned), plan, index)
    assert only_plan(Order.objects.get()) == plan


def test_a_row_that_changed_during_the_search_keeps_no_plan(planned: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    search = adapter.plan_with_offers

    def slow(*args: Any, **options: Any) -> Any:
        found = search(*args, **options)
        BoardRow.objects.filter(name=USUAL).update(caliper_mm=Decimal("4.2"))
        return found

    monkeypatch.setattr(adapter, "plan_with_offers", slow)
    with pytest.raises(CannotPlan, match=r"changed while its box was planned.*caliper 4\.2 mm"):
        planning.plan_now(planned, 0.2)


def test_stock_that_cannot_be_used_makes_plans_ones_of_what_was_and_says_so(planned: Any) -> None:
    BoardRow.objects.update(in_stock=False)
    assert not adapter.is_current(planned)
    assert adapter.changes_since(planned) == ["boards: must have at least one row that is in stock; there is none."]


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda: Piece.objects.update(weight_g=1400), "CH125-007 has other measures or another weight."),
        (lambda: Shop.objects.update(foam_fit_mm=1), "The foam has changed."),
        (lambda: Shop.objects.update(board=OTHER), "Another board is chosen in the settings."),
        (lambda: Shop.objects.update(country="NO"), "The parcel now crosses a border, or no longer does."),
    ],
)
def test_what_else_has_changed_is_said_too(planned: Any, change: Any, sentence: Any) -> None:
    change()
    assert sentence in adapter.changes_since(Order.objects.get())


def test_a_changed_planning_rule_is_named(planned: Any, forge: Shop) -> None:
    Shop.objects.update(plan_rules={**forge.plan_rules, "top_pad": 37})
    assert adapter.changes_since(Order.objects.get()) == ["The planning rule “top pad” has changed."]


def test_pieces_come_and_gone_are_named(planned: Any, wax: Block) -> None:
    planned.lines.create(block=wax, quantity=1)
    assert adapter.changes_since(planned) == ["wax has been added to the order."]


def now() -> Any:
    return Order.objects.get()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"feet": True}, "Feet under wooden boxes are chosen now, or no longer."),
        ({"rope_handles": True}, "Rope handles on wooden boxes are chosen now, or no longer."),
        ({"billed_price": 3}, "What billed weight is worth has changed."),
        ({"billed_price_unit": "lb"}, "What billed weight is worth has changed."),
        ({"hour_price": 31}, "The price of an hour of work has changed."),
        ({"fastener_price": 1}, "The price of a screw or nail has changed."),
        ({"foam_price_m3": 301}, "The price of foam has changed."),
        ({"currency": "SEK"}, "The currency has changed."),
        (
            {"billed_price": None},
            "Boxes are ranked by money now, or no longer: it takes the worth of billed weight and of an hour.",
        ),
    ],
)
def test_a_setting_by_which_boxes_are_made_or_taken_is_named(planned: Any, change: Any, sentence: Any) -> None:
    Shop.objects.update(hour_price=30, billed_price=2, billed_price_unit="kg", foam_price_m3=300)
    planning.plan_now(now(), 0.2)
    assert adapter.changes_since(now()) == []
    Shop.objects.update(**change)
    assert adapter.changes_since(now()) == [sentence]


@pytest.mark.parametrize("change", [{"hour_price": 30}, {"billed_price": 2}, {"foam_price_m3": 300}])
def test_a_price_that_ranks_no_boxes_dates_no_plan(planned: Any, change: Any) -> None:
    Shop.objects.update(**change)
    assert adapter.is_current(now())


def test_the_price_of_what_the_box_is_made_of_dates_it_where_boxes_are_ranked_by_money(planned: Any) -> None:
    Shop.objects.update(hour_price=30, billed_price=2)
    planning.plan_now(now(), 0.2)
    used = present(adapter.plan_of(only_plan(now())).box.board).name
    BoardRow.objects.exclude(name=used).update(price_m2=Decimal(1))
    assert adapter.changes_since(now()) == []
    BoardRow.objects.filter(name=used).update(price_m2=Decimal(9))
    assert adapter.changes_since(now()) == [f"The price of {used} has changed."]


def test_a_time_of_work_is_named(planned: Any) -> None:
    LabourTime.objects.filter(what="blank").update(minutes=Decimal(2))
    assert adapter.changes_since(now()) == ["The time of work “blank” has changed."]


def test_a_plan_of_before_settings_were_kept_is_dated_by_no_new_version(planned: Any) -> None:
    file = adapter.order_file(planned)
    older = structs.replace(file.stock, making=None)
    file = replace(file, stock=older, input_hash=hash_of(file.order, older))
    BoxPlan.objects.create(
        order=planned,
        content=only_plan(planned).content,
        order_content=file.content,
        rules={**adapter.rules_content(file.order.rules), **adapter.kept(older)},
        item_sources=adapter.kept(file.item_sources),
        input_hash=file.input_hash,
    )
    keep(Order.objects.get(), BoxPlan.objects.latest("pk"))
    assert "making" not in only_plan(now()).rules
    Shop.objects.update(feet=True, hour_price=30, billed_price=2)
    assert adapter.changes_since(now()) == []
    Shop.objects.update(foam_fit_mm=1)
    assert adapter.changes_since(now()) == ["The foam has changed."]


def test_the_orders_page_says_what_has_changed(client: Client, owner: User, planned: Any) -> None:
    client.force_login(owner)
    BoardRow.objects.filter(name=USUAL).update(caliper_mm=Decimal("4.2"))
    page = client.get("/orders/17/").content.decode()
    assert "planned, out of date" in page
    assert "caliper 4.2 mm, was 4 mm" in page


def test_a_plan_of_before_rows_were_kept_stays_as_it_is(planned: Any) -> None:
    file = adapter.order_file(planned)
    store_one(planned, file, adapter.plan_of(only_plan(planned)))
    BoardRow.objects.update(caliper_mm=Decimal("4.2"))
    assert adapter.is_current(planned)


def test_a_changed_carriers_rule_is_named(planned: Any, forge: Shop) -> None:
    rule = RateRule.objects.create(shop=forge, carrier="Post", service="road", valid_from="2020-01-01", system="cm/kg")
    Shop.objects.update(priced_by=rule)
    order = Order.objects.get()
    planning.plan_now(order, 0.2)
    assert adapter.is_current(order)
    RateRule.objects.update(divisor=Decimal(5000))
    order = Order.objects.get()
    assert not adapter.is_current(order)
    assert adapter.changes_since(order) == ["The carrier’s rule that boxes are chosen by has changed."]


def test_many_orders_are_judged_by_their_rows_in_the_same_queries(
    planned: Any, product: Product, django_assert_num_queries: Any
) -> None:
    orders, snapshot = [planned], adapter.snapshot_of(only_plan(planned))
    for number in (30, 31):
        order = Order.objects.create(customer=planned.customer, number=number)
        line = order.lines.create(product=product)
        allocation.allocate(order, [(line, make_piece(product, number))])
        store_one(order, adapter.order_file(order), adapter.plan_of(only_plan(planned)), snapshot=snapshot)
        orders.append(Order.objects.get(pk=order.pk))
    with CaptureQueriesContext(connection) as alone:
        assert adapter.changes_among([Order.objects.get(pk=planned.pk)]) == {planned.pk: []}
    with django_assert_num_queries(len(alone) - 1):
        assert adapter.changes_among(orders) == {order.pk: [] for order in orders}

"""An order's row says whether its plan is out of date and why, from the moment something it was made from changes."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from shop import adapter
from shop.models import (
    AllowanceRow,
    Block,
    BoardRow,
    Customer,
    LabourTime,
    Order,
    OrderLine,
    Piece,
    RateRule,
    Shop,
    User,
)
from shop.presenters.order_status import order_statuses
from shop.services import allocation, dispatch, jobs, orders, outdated, pieces, planning
from shop.services.errors import CannotDispatch, CannotPlan
from tests.shop.conftest import make_piece
from tests.shop.planned import act, only_parcel

pytestmark = pytest.mark.both_databases
USUAL = "42-26C-42 single wall"


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def planned(line: OrderLine, piece: Piece, stocked: Shop, wax: Block) -> Any:
    """Order 17 with one hammer and a tin of wax, planned with its offers and judged."""
    OrderLine.objects.create(order=line.order, block=wax)
    allocation.allocate(line.order, [(line, piece)])
    planning.plan_now(line.order, 0.2)
    return judged()


def judged() -> Any:
    """The order as its row stands once what is marked was judged."""
    outdated.judge_marked(list(Order.objects.all()))
    return Order.objects.get(number=17)


def change(model: Any, which: Any, **values: Any) -> None:
    """Store other values of one row, as a form does."""
    row = model.objects.filter(**which).get()
    for name, value in values.items():
        setattr(row, name, value)
    row.save()


def release(order: Any) -> None:
    allocation.release_all(order)


def new_number(order: Any) -> None:
    pieces.correct_number(Piece.objects.get(), 9, "misread")


@pytest.mark.parametrize(
    ("act", "why"),
    [
        (lambda order: change(Piece, {}, weight_g=Decimal(1400)), "CH125-007 has other measures"),
        (lambda order: OrderLine.objects.create(order=order, block=order.lines.get(product=None).block), "wax 2 has"),
        (lambda order: order.lines.get(product=None).delete(), "wax is no longer in the order."),
        (lambda order: orders.take_off(order.lines.get(product=None)), "wax is no longer in the order."),
        (lambda order: change(Customer, {"pk": order.customer_id}, country="NO"), "The parcel now crosses a border"),
        (lambda order: change(Shop, {}, foam_fit_mm=Decimal(1)), "The foam has changed."),
        (lambda order: change(BoardRow, {"name": USUAL}, caliper_mm=Decimal("4.2")), "caliper 4.2 mm, was 4 mm"),
        (lambda order: change(AllowanceRow, {"flute": "C"}, panel_mm=Decimal(5)), "score to score 5 mm, was 4 mm"),
        (lambda order: change(Shop, {}, rope_handles=True), "Rope handles on wooden boxes are chosen"),
        (lambda order: change(LabourTime, {"what": "blank"}, minutes=Decimal(8)), "The time of work “blank” has"),
        (release, "wants 1 piece and has 0"),
        (new_number, "CH125-009 has been added to the order."),
    ],
)
def test_what_a_plan_was_made_from_dates_it_as_it_is_stored(planned: Any, act: Any, why: Any) -> None:
    assert (planned.plan_outdated, planned.plan_judged_on is None) == (False, False)
    act(planned)
    assert Order.objects.get().plan_judged_on is None
    order = judged()
    assert order.plan_outdated
    assert why in order.plan_outdated_why
    assert order.plan_outdated_why == " ".join(adapter.changes_since(order))
    assert list(Order.objects.filter(plan_outdated=True)) == [order]


def test_what_is_put_back_as_it_was_makes_the_plan_current_again(planned: Any) -> None:
    change(Piece, {}, weight_g=Decimal(1400))
    assert judged().plan_outdated
    change(Piece, {}, weight_g=Decimal(1440))
    order = judged()
    assert (order.plan_outdated, order.plan_outdated_why) == (False, "")


def test_a_new_plan_is_current(planned: Any) -> None:
    change(Piece, {}, weight_g=Decimal(1400))
    assert judged().plan_outdated
    planning.plan_now(Order.objects.get(), 0.2)
    order = Order.objects.get()
    assert (order.plan_outdated, order.plan_outdated_why, order.plan_judged_on is None) == (False, "", False)


@pytest.mark.parametrize(
    "act",
    [
        lambda order: make_piece(Piece.objects.get().product, 31),
        lambda order: Customer.objects.create(shop=order.shop, name="Other", country="SE"),
    ],
)
def test_a_row_that_no_plan_of_the_order_is_made_from_marks_nothing(planned: Any, act: Any) -> None:
    act(planned)
    assert Order.objects.get().plan_judged_on == planned.plan_judged_on


def test_a_change_that_comes_while_the_plan_is_judged_is_not_lost(
    planned: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    change(Piece, {}, weight_g=Decimal(1400))
    compare = adapter.changes_among

    def meanwhile(asked: Any) -> Any:
        found = compare(asked)
        change(Piece, {}, weight_g=Decimal(1440))
        return found

    monkeypatch.setattr(adapter, "changes_among", meanwhile)
    judged()
    assert Order.objects.get().plan_judged_on is None
    monkeypatch.setattr(adapter, "changes_among", compare)
    assert not judged().plan_outdated


def test_a_list_of_orders_that_nothing_has_touched_compares_nothing(
    planned: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(adapter, "changes_among", lambda asked: pytest.fail("compared") if asked else {})
    assert [row.fits for row in order_statuses([Order.objects.get()])] == [True]


def test_another_day_is_another_judgement_for_carriers_rules_have_days(planned: Any, forge: Shop) -> None:
    RateRule.objects.create(shop=forge, carrier="Post", service="road", valid_from="2020-01-01", system="cm/kg")
    change(Shop, {}, priced_by=RateRule.objects.get())
    planning.plan_now(Order.objects.get(), 0.2)
    RateRule.objects.update(divisor=Decimal(5000))
    assert not judged().plan_outdated
    Order.objects.update(plan_judged_on=dt.date(2020, 1, 1))
    assert "The carrier’s rule that boxes are chosen by has changed." in judged().plan_outdated_why


def test_what_changes_while_a_box_is_closed_is_seen_once_it_is_open_again(planned: Any) -> None:
    act(dispatch.pack, planned)
    change(Shop, {}, foam_fit_mm=Decimal(1))
    assert Order.objects.get().plan_judged_on is not None
    act(dispatch.unpack, planned)
    assert judged().plan_outdated


def test_papers_and_packing_ask_for_themselves_whatever_the_row_says(planned: Any) -> None:
    Piece.objects.update(weight_g=Decimal(1400))
    assert not judged().plan_outdated
    with pytest.raises(CannotPlan, match="has changed since its box was planned"):
        planning.current_plan(only_parcel(Order.objects.get()))
    with pytest.raises(CannotDispatch, match="plan it again"):
        dispatch.pack(only_parcel(Order.objects.get()))


def test_the_orders_own_page_judges_its_plan_anew(client: Client, owner: User, planned: Any) -> None:
    Piece.objects.update(weight_g=Decimal(1400))
    client.force_login(owner)
    assert "planned, out of date" in client.get("/orders/17/").content.decode()
    assert Order.objects.get().plan_outdated


def test_orders_without_a_plan_are_not_judged(line: OrderLine) -> None:
    outdated.judge(list(Order.objects.all()))
    assert Order.objects.get().plan_judged_on is None

"""A heavy order leaves in several parcels: planned, packed, weighed and sent each by itself."""

from decimal import Decimal
from typing import Any

import pytest

from shop import adapter
from shop.models import Order, OrderLine, Piece, Product, ProductSet, Shop
from shop.papers.context import context_from_plan
from shop.services import allocation, dispatch, jobs, measurements, planning, returns
from shop.services.errors import CannotDispatch, CannotPlan, MeasuresRefused
from tests.shop.conftest import make_piece

pytestmark = pytest.mark.both_databases


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def heavy(line: OrderLine, product: Product, forge: Shop) -> Order:
    """Four hammers of 1440 g, of which the shop sends at most 3.6 kg in a parcel; planned."""
    OrderLine.objects.filter(pk=line.pk).update(quantity=4)
    line.refresh_from_db()
    allocation.allocate(line.order, [(line, make_piece(product, number)) for number in (7, 8, 9, 10)])
    forge.plan_rules["max_gross_g"] = 3600
    forge.save()
    order = Order.objects.get()
    planning.plan_now(order, 0.2)
    return Order.objects.get()


def items(order: Order) -> list[set[str]]:
    return [set(parcel.plan.item_sources) for parcel in order.parcels.all()]


def test_what_is_too_heavy_for_one_parcel_is_planned_in_as_few_as_can_be(heavy: Order) -> None:
    first, second = heavy.parcels.all()
    assert set.union(*items(heavy)) == {f"CH125-0{number:02}" for number in (7, 8, 9, 10)}
    assert [len(inside) for inside in items(heavy)] == [2, 2]
    assert all(parcel.plan.content["weight"]["gross_g"] <= 3600 for parcel in (first, second))
    assert [(parcel.plan.parcel_number, parcel.plan.parcel_count) for parcel in (first, second)] == [(1, 2), (2, 2)]
    assert context_from_plan(second.plan).parcel_name == "17/2"
    assert heavy.state == "planned" and adapter.is_current(heavy)


def test_parcels_share_the_time_that_was_asked_for(heavy: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[float] = []
    plan = adapter.plan_with_offers

    def noted(*given: Any, seconds: float, **more: Any) -> adapter.Planned:
        asked.append(seconds)
        return plan(*given, seconds=0.2, **more)

    monkeypatch.setattr(adapter, "plan_with_offers", noted)
    planning.plan_now(heavy, 20)
    assert len(asked) == 2
    assert 9 < asked[0] <= 10 < asked[1] <= 20


def test_the_orders_state_follows_from_its_parcels(heavy: Order) -> None:
    first, second = heavy.parcels.all()
    states = []
    for parcel in (first, second):
        dispatch.pack(parcel)
        states.append(Order.objects.get().state)
        dispatch.weigh_in(parcel, Decimal(3300))
    dispatch.send(second)
    states.append(Order.objects.get().state)
    sent = Piece.objects.filter(state="sent")
    assert {piece.label for piece in sent} == set(second.plan.item_sources)
    dispatch.send(first)
    states.append(Order.objects.get().state)
    assert states == ["packing", "packed", "packed", "sent"]
    dispatch.take_back(second, "still on the bench")
    assert Order.objects.get().state == "packed"


def test_a_parcel_is_not_sent_on_the_weigh_in_of_another(heavy: Order) -> None:
    first, second = heavy.parcels.all()
    dispatch.pack(first)
    dispatch.weigh_in(first, Decimal(3300))
    dispatch.pack(second)
    with pytest.raises(CannotDispatch, match="Weigh the closed box of parcel 2 of order 17 first"):
        dispatch.send(second)


def test_once_a_box_is_closed_the_order_stays_and_the_open_box_is_planned_again(heavy: Order) -> None:
    first, second = heavy.parcels.all()
    dispatch.pack(first)
    inside = [Piece.objects.get(number=int(parcel.plan.item_sources.popitem()[0][-3:])) for parcel in (first, second)]
    with pytest.raises(MeasuresRefused, match="is packed for order 17"):
        measurements.refuse_gone(inside[0])
    measurements.refuse_gone(inside[1])
    Piece.objects.filter(pk=inside[1].pk).update(handle_length=Decimal(260))
    order = Order.objects.get()
    assert not adapter.is_current(order)
    before = order.plan_keys
    planning.plan_now(order, 0.2)
    after = Order.objects.get()
    assert (after.state, after.consignment_id, after.plan_keys[0]) == ("packing", heavy.consignment_id, before[0])
    assert after.plan_keys[1] != before[1] and adapter.is_current(after)


def test_a_piece_that_comes_back_for_good_does_not_hold_up_the_other_parcels(heavy: Order) -> None:
    first, second = heavy.parcels.all()
    dispatch.pack(first)
    dispatch.weigh_in(first, Decimal(3300))
    dispatch.send(first)
    back = Piece.objects.filter(state="sent").first()
    assert back is not None and back.label in first.plan.item_sources
    returns.take_return(back, "too heavy for her")
    order = Order.objects.get()
    assert order.state == "packing" and adapter.changes_since(order) == []
    planning.plan_now(order, 0.2)
    second.refresh_from_db()
    assert second.plan.parcel_number == 2
    dispatch.pack(second)
    assert Order.objects.get().state == "packed"


def test_a_piece_that_changed_dates_the_order_and_names_it(heavy: Order) -> None:
    Piece.objects.filter(number=9).update(handle_length=Decimal(260))
    assert adapter.changes_since(heavy) == ["CH125-009 has other measures or another weight."]


def test_a_set_stays_in_one_parcel(
    order: Order, pair: ProductSet, product: Product, other_product: Product, forge: Shop
) -> None:
    lines = [OrderLine.objects.create(order=order, product_set=pair) for _time in range(2)]
    for number, line in enumerate(lines, 1):
        pieces = [make_piece(product, number), make_piece(other_product, number, weight_g=Decimal(1000))]
        allocation.allocate(order, [(line, piece) for piece in pieces])
    forge.plan_rules["max_gross_g"] = 3600
    forge.save()
    planning.plan_now(Order.objects.get(), 0.2)
    assert items(Order.objects.get()) == [{"CH125-001", "SP080-001"}, {"CH125-002", "SP080-002"}]


def test_of_several_pieces_one_that_is_too_heavy_alone_is_refused(heavy: Order, forge: Shop) -> None:
    forge.plan_rules["max_gross_g"] = 1500
    forge.save()
    before = heavy.plan_keys
    with pytest.raises(CannotPlan, match="more than the 1500\u00a0g that the shop's settings allow"):
        planning.plan_now(Order.objects.get(), 0.2)
    assert Order.objects.get().plan_keys == before

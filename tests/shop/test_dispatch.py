"""Packed, weighed in, sent or cancelled."""

from decimal import Decimal

import pytest

from shop import allocation, dispatch, door
from shop.dispatch import CannotDispatch
from shop.models import BoxPlan, Order, Parcel


def weigh(order):
    parcel = Parcel.objects.create(order=order, plan=order.current_plan)
    dispatch.weigh_in(parcel, Decimal("1912"))


@pytest.fixture
def planned(line, piece):
    order = line.order
    allocation.allocate(order, [(line, piece)])
    file = door.order_file(order)
    plan = BoxPlan.objects.create(
        order=order, content={}, order_content=file.content, rules={}, code_version="0", input_hash=file.input_hash
    )
    order.current_plan, order.state = plan, "planned"
    order.save()
    return order


def test_a_planned_order_is_packed_and_sent_with_its_pieces(planned, piece):
    dispatch.pack(planned)
    weigh(planned)
    dispatch.send(planned)
    piece.refresh_from_db()
    assert (planned.state, piece.state) == ("sent", "sent")


def test_an_order_whose_piece_was_measured_again_is_not_packed_with_the_old_plan(planned, piece):
    piece.refresh_from_db()
    piece.head_length = Decimal("110")
    piece.save()
    with pytest.raises(CannotDispatch, match="Order 17 has no box plan of what it holds now"):
        dispatch.pack(planned)


def test_an_order_without_a_plan_is_not_packed(order):
    with pytest.raises(CannotDispatch, match="plan it again"):
        dispatch.pack(order)


def test_an_order_that_is_not_packed_is_not_sent(planned):
    with pytest.raises(CannotDispatch, match="Order 17 is planned and cannot be marked sent"):
        dispatch.send(planned)


def test_a_packed_order_can_be_opened_again(planned):
    dispatch.pack(planned)
    dispatch.unpack(planned)
    assert planned.state == "planned"


def test_an_order_that_was_planned_anew_is_not_packed_by_the_earlier_plan(planned):
    earlier = planned.current_plan
    planned.current_plan = BoxPlan.objects.create(
        order=planned, content={}, order_content={}, rules={}, code_version="0", input_hash=earlier.input_hash
    )
    planned.save()
    with pytest.raises(CannotDispatch, match="plan it again"):
        dispatch.pack(planned, earlier)


def test_a_box_that_was_not_weighed_is_not_sent(planned, piece):
    dispatch.pack(planned)
    with pytest.raises(CannotDispatch, match="Weigh the closed box of order 17 first"):
        dispatch.send(planned)
    piece.refresh_from_db()
    assert piece.state == "allocated"


def test_a_box_that_was_opened_is_weighed_again(planned):
    dispatch.pack(planned)
    weigh(planned)
    dispatch.unpack(planned)
    dispatch.pack(planned)
    with pytest.raises(CannotDispatch, match="Weigh the closed box"):
        dispatch.send(planned)


def test_the_pieces_of_a_cancelled_order_are_back_on_the_rack(planned, piece):
    dispatch.cancel(planned, "paid twice")
    piece.refresh_from_db()
    assert (planned.state, piece.state) == ("cancelled", "rack")


def test_an_order_packed_by_someone_else_meanwhile_is_not_cancelled(planned, piece):
    stale = Order.objects.get()
    dispatch.pack(planned)
    with pytest.raises(CannotDispatch, match="Order 17 is packed and cannot be marked cancelled"):
        dispatch.cancel(stale)
    piece.refresh_from_db()
    assert piece.state == "allocated"


def test_a_sent_order_is_not_cancelled(planned):
    dispatch.pack(planned)
    weigh(planned)
    dispatch.send(planned)
    with pytest.raises(CannotDispatch, match="Order 17 is sent and cannot be marked cancelled"):
        dispatch.cancel(planned)


def test_the_weigh_in_is_kept_with_who_and_when(planned, packer):
    parcel = Parcel.objects.create(order=planned, plan=planned.current_plan)
    dispatch.weigh_in(parcel, Decimal("1912"), packer)
    parcel.refresh_from_db()
    assert (parcel.weighed_g, parcel.weighed_by) == (Decimal("1912"), packer)
    assert parcel.weighed_at is not None


def test_a_weigh_in_of_nothing_is_refused(planned):
    parcel = Parcel.objects.create(order=planned, plan=planned.current_plan)
    with pytest.raises(CannotDispatch, match="above zero, not 0 g"):
        dispatch.weigh_in(parcel, Decimal("0"))

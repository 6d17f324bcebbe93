"""Packed, weighed in, sent or cancelled."""

from decimal import Decimal
from typing import Any

import pytest

from shop import adapter
from shop.models import BoxPlan, Order, OrderLine, Piece, User
from shop.services import allocation, dispatch, pieces
from shop.services.errors import CannotDispatch
from tests.helpers import present
from tests.shop.planned import act, keep, only_parcel, only_plan

pytestmark = pytest.mark.both_databases


def weigh(order: Any) -> None:
    parcel = only_parcel(order)
    dispatch.weigh_in(parcel, Decimal("1912"))


@pytest.fixture
def planned(line: OrderLine, piece: Piece) -> Any:
    order = line.order
    allocation.allocate(order, [(line, piece)])
    file = adapter.order_file(order)
    plan = BoxPlan.objects.create(
        order=order,
        content={},
        order_content=file.content,
        rules={},
        item_sources=adapter.kept(file.item_sources),
        code_version="0",
        input_hash=file.input_hash,
    )
    keep(order, plan)
    return order


def test_a_planned_order_is_packed_and_sent_with_its_pieces(planned: Any, piece: Piece) -> None:
    act(dispatch.pack, planned)
    weigh(planned)
    act(dispatch.send, planned)
    piece.refresh_from_db()
    assert (planned.state, piece.state) == ("sent", "sent")


def test_an_order_whose_piece_was_measured_again_is_not_packed_with_the_old_plan(planned: Any, piece: Piece) -> None:
    piece.refresh_from_db()
    piece.head_length = Decimal("110")
    piece.save()
    with pytest.raises(CannotDispatch, match="Order 17 has no box plan of what it holds now"):
        act(dispatch.pack, planned)


def test_an_order_without_a_plan_has_no_parcel_to_pack(order: Order) -> None:
    assert not order.parcels.exists()


def test_an_order_that_is_not_packed_is_not_sent(planned: Any) -> None:
    with pytest.raises(CannotDispatch, match="Order 17 is planned and cannot be marked sent"):
        act(dispatch.send, planned)


def test_a_packed_order_can_be_opened_again(planned: Any) -> None:
    act(dispatch.pack, planned)
    act(dispatch.unpack, planned)
    assert planned.state == "planned"


def test_an_order_that_was_planned_anew_is_not_packed_by_the_earlier_plan(planned: Any) -> None:
    earlier = only_plan(planned)
    newer = BoxPlan.objects.create(
        order=planned, content={}, order_content={}, rules={}, code_version="0", input_hash=earlier.input_hash
    )
    keep(planned, newer)
    with pytest.raises(CannotDispatch, match="plan it again"):
        act(dispatch.pack, planned, earlier)


def test_a_box_that_was_not_weighed_is_not_sent(planned: Any, piece: Piece) -> None:
    act(dispatch.pack, planned)
    with pytest.raises(CannotDispatch, match="Weigh the closed box of order 17 first"):
        act(dispatch.send, planned)
    piece.refresh_from_db()
    assert piece.state == "allocated"


def test_a_box_that_was_opened_is_weighed_again(planned: Any) -> None:
    act(dispatch.pack, planned)
    weigh(planned)
    act(dispatch.unpack, planned)
    act(dispatch.pack, planned)
    with pytest.raises(CannotDispatch, match="Weigh the closed box"):
        act(dispatch.send, planned)


def test_the_pieces_of_a_cancelled_order_are_back_on_the_rack(planned: Any, piece: Piece) -> None:
    dispatch.cancel(planned, "paid twice")
    piece.refresh_from_db()
    assert (planned.state, piece.state) == ("cancelled", "rack")


def test_an_order_packed_by_someone_else_meanwhile_is_not_cancelled(planned: Any, piece: Piece) -> None:
    stale = Order.objects.get()
    act(dispatch.pack, planned)
    with pytest.raises(CannotDispatch, match="Order 17 is packed and cannot be marked cancelled"):
        dispatch.cancel(stale)
    piece.refresh_from_db()
    assert piece.state == "allocated"


@pytest.fixture
def sent(planned: Any, packer: User) -> Any:
    act(dispatch.pack, planned)
    weigh(planned)
    act(dispatch.send, planned, by=packer)
    return planned


def test_who_sent_an_order_and_each_piece_is_on_record(sent: Any, piece: Piece, packer: User) -> None:
    written = [(entry.piece, entry.kind, entry.by) for entry in sent.events.all()]
    assert written == [(None, "sent", packer), (piece, "sent", packer)]


def test_a_sent_taken_back_leaves_the_order_packed_as_weighed_and_its_pieces_held(sent: Any, piece: Piece) -> None:
    act(dispatch.take_back, sent, "tapped by mistake")
    piece.refresh_from_db()
    assert (sent.state, piece.state, sent.parcels.get().weighed_g) == ("packed", "allocated", Decimal("1912"))
    assert piece.allocations.live().get().line.order == sent


def test_a_sent_taken_back_is_on_record_with_its_reason(sent: Any, piece: Piece, owner: User) -> None:
    act(dispatch.take_back, sent, " tapped by mistake ", by=owner)
    for entry in (sent.events.filter(piece=None).last(), present(piece.events.last())):
        assert (entry.kind, entry.why, entry.by) == ("taken back", "tapped by mistake", owner)


def test_a_sent_taken_back_can_be_sent_once_more(sent: Any, piece: Piece) -> None:
    act(dispatch.take_back, sent, "tapped by mistake")
    act(dispatch.send, sent)
    piece.refresh_from_db()
    assert (sent.state, piece.state) == ("sent", "sent")


def test_a_sent_is_not_taken_back_without_a_reason(sent: Any) -> None:
    with pytest.raises(CannotDispatch, match="Give the reason why"):
        act(dispatch.take_back, sent, "  ")
    assert sent.state == "sent"


def test_only_what_is_sent_is_taken_back(planned: Any) -> None:
    with pytest.raises(CannotDispatch, match="Order 17 is planned and cannot be marked packed"):
        act(dispatch.take_back, planned, "tapped by mistake")


def test_an_order_of_which_a_piece_came_back_for_repair_did_arrive(sent: Any, piece: Piece) -> None:
    piece.refresh_from_db()
    pieces.take_in_for_repair(piece, "handle cracked")
    pieces.give_back(piece)
    with pytest.raises(CannotDispatch, match="Order 17 did arrive: CH125-007 has come back from it for repair"):
        act(dispatch.take_back, sent, "tapped by mistake")


def test_a_sent_order_is_not_cancelled(sent: Any) -> None:
    with pytest.raises(CannotDispatch, match="Order 17 is sent and cannot be marked cancelled"):
        dispatch.cancel(sent)


def test_the_weigh_in_is_kept_with_who_and_when(planned: Any, packer: User) -> None:
    act(dispatch.pack, planned)
    parcel = only_parcel(planned)
    dispatch.weigh_in(parcel, Decimal("1912"), packer)
    parcel.refresh_from_db()
    assert (parcel.weighed_g, parcel.weighed_by) == (Decimal("1912"), packer)
    assert parcel.weighed_at is not None


def test_a_box_that_is_still_open_is_not_weighed_in(planned: Any) -> None:
    with pytest.raises(CannotDispatch, match="Order 17 is planned by now: nothing is recorded"):
        dispatch.weigh_in(only_parcel(planned), Decimal("1912"))


def test_a_weigh_in_of_nothing_is_refused(planned: Any) -> None:
    parcel = only_parcel(planned)
    with pytest.raises(CannotDispatch, match="above zero, not 0 g"):
        dispatch.weigh_in(parcel, Decimal("0"))

"""Allocation: the right number goes to the right order, and to no other."""

from typing import Any

import pytest
from django.db import IntegrityError, transaction

from shop.models import Allocation, Customer, Order, OrderLine, Piece, Product, Shop, User
from shop.services import allocation
from shop.services.errors import CannotAllocate
from tests.shop.conftest import make_piece

pytestmark = pytest.mark.both_databases


@pytest.fixture
def matched(order: Order, pair: Any) -> Any:
    return OrderLine.objects.create(order=order, product_set=pair, matched=True)


@pytest.fixture
def other_order(forge: Shop) -> Any:
    customer = Customer.objects.create(shop=forge, name="B. Turner", country="SE")
    return Order.objects.create(customer=customer, number=18)


def numbers(proposal: Any) -> Any:
    return [(slot.product.code, slot.piece and slot.piece.number) for slot in proposal.slots]


def test_the_lowest_number_on_the_rack_is_proposed(line: OrderLine, product: Product) -> None:
    for number in (9, 4, 7):
        make_piece(product, number)
    assert numbers(allocation.propose(line.order)) == [("CH125", 4)]


def test_a_matched_set_gets_the_lowest_number_every_product_has(
    matched: Any, product: Product, other_product: Any
) -> None:
    for number in (1, 3, 5):
        make_piece(product, number)
    for number in (2, 3, 5):
        make_piece(other_product, number)
    assert numbers(allocation.propose(matched.order)) == [("CH125", 3), ("SP080", 3)]


def test_a_single_piece_leaves_the_numbers_of_matched_sets_whole_as_long_as_it_can(
    line: OrderLine, pair: Any, product: Product, other_product: Any
) -> None:
    for number in (3, 5, 8):
        make_piece(product, number)
    for number in (3, 5):
        make_piece(other_product, number)
    proposal = allocation.propose(line.order)
    assert numbers(proposal) == [("CH125", 8)]
    assert proposal.notes == []


def test_the_number_of_the_last_matched_set_is_proposed_last_and_said(
    line: OrderLine, pair: Any, product: Product, other_product: Any
) -> None:
    OrderLine.objects.filter(pk=line.pk).update(quantity=2)
    for number in (3, 5):
        make_piece(product, number)
        make_piece(other_product, number)
    proposal = allocation.propose(line.order)
    assert numbers(proposal) == [("CH125", 3), ("CH125", 5)]
    assert proposal.notes == [
        "CH125-005 breaks the last matched set of “Pair”: no other number is left in all of its products."
    ]


def test_a_matched_line_of_the_same_order_is_not_a_set_that_is_broken(
    line: OrderLine, matched: Any, product: Product, other_product: Any
) -> None:
    make_piece(product, 3)
    make_piece(other_product, 3)
    make_piece(product, 5)
    assert allocation.propose(line.order).notes == []


def test_two_matched_sets_get_a_number_each(order: Order, pair: Any, product: Product, other_product: Any) -> None:
    OrderLine.objects.create(order=order, product_set=pair, matched=True, quantity=2)
    for number in (3, 5):
        make_piece(product, number)
        make_piece(other_product, number)
    assert numbers(allocation.propose(order)) == [("CH125", 3), ("SP080", 3), ("CH125", 5), ("SP080", 5)]


def test_a_matched_line_is_served_before_the_rest(
    line: OrderLine, matched: Any, product: Product, other_product: Any
) -> None:
    make_piece(product, 3)
    make_piece(other_product, 3)
    make_piece(product, 8)
    assert numbers(allocation.propose(line.order)) == [("CH125", 3), ("SP080", 3), ("CH125", 8)]


def test_a_matched_set_begun_with_a_number_goes_on_with_it(matched: Any, product: Product, other_product: Any) -> None:
    for number in (3, 5):
        make_piece(product, number)
        make_piece(other_product, number)
    allocation.allocate(matched.order, [(matched, Piece.objects.get(product=product, number=5))])
    assert numbers(allocation.propose(matched.order)) == [("SP080", 5)]


def test_no_common_number_is_said_and_nothing_else_is_proposed(
    matched: Any, product: Product, other_product: Any
) -> None:
    make_piece(product, 1)
    make_piece(other_product, 2)
    proposal = allocation.propose(matched.order)
    assert proposal.choices == []
    assert proposal.notes == [
        "“Pair”: no number is on the rack, measured, in all of its products, so none can be matched."
    ]


def test_a_piece_is_proposed_to_one_place_only(order: Order, line: OrderLine, product: Product, piece: Piece) -> None:
    OrderLine.objects.create(order=order, product=product)
    proposal = allocation.propose(order)
    assert numbers(proposal) == [("CH125", 7), ("CH125", None)]
    assert proposal.notes == ["CH125 CH125: 1 missing on the rack, or not measured yet."]


@pytest.mark.parametrize("values", [{"state": "kept back", "reason": "own use"}, {"state": "sent"}, {"weight_g": None}])
def test_a_piece_off_the_rack_or_not_measured_is_not_proposed(line: OrderLine, product: Product, values: Any) -> None:
    make_piece(product, 1, **values)
    assert numbers(allocation.propose(line.order)) == [("CH125", None)]


def test_an_allocated_piece_is_off_the_rack_and_remembered(line: OrderLine, piece: Piece, packer: User) -> None:
    allocation.allocate(line.order, [(line, piece)], packer)
    piece.refresh_from_db()
    assert piece.state == "allocated"
    assert Allocation.objects.get().made_by == packer


def test_a_piece_taken_meanwhile_is_refused_in_a_plain_sentence(
    line: OrderLine, piece: Piece, other_order: Any
) -> None:
    other_line = OrderLine.objects.create(order=other_order, product=piece.product)
    stale = Piece.objects.get(pk=piece.pk)
    allocation.allocate(other_order, [(other_line, piece)])
    with pytest.raises(CannotAllocate, match=r"^CH125-007 has been taken meanwhile: it is held for order 18\.$"):
        allocation.allocate(line.order, [(line, stale)])


def test_all_or_none_are_allocated(line: OrderLine, product: Product, piece: Piece) -> None:
    line.quantity = 2
    line.save()
    gone = make_piece(product, 8, state="scrapped", reason="cracked")
    with pytest.raises(CannotAllocate, match="CH125-008 is not on the rack: it is scrapped"):
        allocation.allocate(line.order, [(line, piece), (line, gone)])
    piece.refresh_from_db()
    assert piece.state == "rack"
    assert not Allocation.objects.exists()


def test_the_database_itself_refuses_a_second_live_allocation(line: OrderLine, piece: Piece, other_order: Any) -> None:
    Allocation.objects.create(piece=piece, line=line)
    other_line = OrderLine.objects.create(order=other_order, product=piece.product)
    with pytest.raises(IntegrityError), transaction.atomic():
        Allocation.objects.create(piece=piece, line=other_line)


def test_a_piece_of_another_product_is_refused(line: OrderLine, other_product: Any) -> None:
    with pytest.raises(CannotAllocate, match="SP080-001 is SP080 SP080; “CH125 CH125” of order 17 wants CH125 CH125"):
        allocation.allocate(line.order, [(line, make_piece(other_product, 1))])


def test_one_piece_too_many_is_refused(line: OrderLine, product: Product, piece: Piece) -> None:
    allocation.allocate(line.order, [(line, piece)])
    with pytest.raises(CannotAllocate, match="CH125-008 is one too many"):
        allocation.allocate(line.order, [(line, make_piece(product, 8))])


def test_a_number_that_does_not_match_is_refused(matched: Any, product: Product, other_product: Any) -> None:
    allocation.allocate(matched.order, [(matched, make_piece(product, 3))])
    with pytest.raises(CannotAllocate, match="SP080-004 does not match: “Pair” is of one number, which is 3"):
        allocation.allocate(matched.order, [(matched, make_piece(other_product, 4))])


def test_a_line_of_another_order_is_refused(line: OrderLine, piece: Piece, other_order: Any) -> None:
    with pytest.raises(CannotAllocate, match="is not a line of order 18"):
        allocation.allocate(other_order, [(line, piece)])


@pytest.mark.parametrize("state", ["packed", "sent", "cancelled"])
def test_the_pieces_of_a_closed_order_stay_as_they_are(
    line: OrderLine, piece: Piece, product: Product, state: Any
) -> None:
    held = allocation.allocate(line.order, [(line, piece)])[0]
    Order.objects.update(state=state)
    with pytest.raises(CannotAllocate, match=f"Order 17 is {state}"):
        allocation.allocate(line.order, [(line, make_piece(product, 8))])
    with pytest.raises(CannotAllocate, match=f"Order 17 is {state}"):
        allocation.release(held)


def test_a_released_piece_is_back_on_the_rack_and_its_history_stays(line: OrderLine, piece: Piece) -> None:
    held = allocation.allocate(line.order, [(line, piece)])[0]
    allocation.release(held, "customer changed her mind")
    piece.refresh_from_db()
    held.refresh_from_db()
    assert piece.state == "rack"
    assert held.released_why == "customer changed her mind"


def test_a_released_piece_can_be_allocated_again(line: OrderLine, piece: Piece) -> None:
    allocation.release(allocation.allocate(line.order, [(line, piece)])[0])
    allocation.allocate(line.order, [(line, piece)])
    assert Allocation.objects.count() == 2
    assert Allocation.objects.live().count() == 1


def test_a_second_release_is_refused(line: OrderLine, piece: Piece) -> None:
    held = allocation.allocate(line.order, [(line, piece)])[0]
    allocation.release(held)
    with pytest.raises(CannotAllocate, match="CH125-007 has been put back already"):
        allocation.release(held)


def test_a_set_wants_one_piece_of_each_product_each_time(order: Order, pair: Any) -> None:
    line = OrderLine.objects.create(order=order, product_set=pair, quantity=2)
    assert sorted(product.code for product in allocation.wanted_products(line)) == ["CH125", "CH125", "SP080", "SP080"]

"""Pieces leave the rack with a reason, and come back for repair."""

from typing import Any

import pytest

from shop import adapter
from shop.models import Order, OrderLine, Piece, Product, User
from shop.services import allocation, audit, pieces
from shop.services.errors import CannotMove
from tests.shop.conftest import make_piece
from tests.shop.planned import close_by_hand

pytestmark = pytest.mark.both_databases


def test_a_scrapped_piece_keeps_its_number_and_its_reason(piece: Piece) -> None:
    pieces.retire(piece, "scrapped", "cracked in the quench")
    piece.refresh_from_db()
    assert (piece.number, piece.state, piece.reason) == (7, "scrapped", "cracked in the quench")


def test_a_piece_is_not_retired_without_a_reason(piece: Piece) -> None:
    with pytest.raises(CannotMove, match="Give the reason why CH125-007 is kept back"):
        pieces.retire(piece, "kept back", "  ")


def test_a_piece_is_not_retired_into_an_order(piece: Piece) -> None:
    with pytest.raises(CannotMove, match="not “sent”"):
        pieces.retire(piece, "sent", "gone")


@pytest.mark.parametrize(("state", "said"), [("allocated", "held for an order"), ("sent", "sent")])
def test_a_piece_of_an_order_is_not_retired(product: Product, state: Any, said: Any) -> None:
    with pytest.raises(CannotMove, match=f"CH125-002 is {said} and cannot be marked scrapped"):
        pieces.retire(make_piece(product, 2, state=state), "scrapped", "cracked")


def test_a_piece_kept_back_comes_back_to_the_rack_without_the_reason(product: Product) -> None:
    piece = make_piece(product, 2, state="kept back", reason="for the fair")
    pieces.bring_back(piece)
    assert (piece.state, piece.reason) == ("rack", "")


def test_a_sent_piece_is_not_brought_back(product: Product) -> None:
    with pytest.raises(CannotMove, match="CH125-002 is sent"):
        pieces.bring_back(make_piece(product, 2, state="sent"))


@pytest.fixture
def sent(line: OrderLine, piece: Piece) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    Piece.objects.update(state="sent")
    piece.refresh_from_db()
    return piece


def test_a_piece_in_for_repair_stays_its_holders(sent: Any, order: Order) -> None:
    pieces.take_in_for_repair(sent, "handle cracked")
    assert (sent.state, sent.reason) == ("repair", "handle cracked")
    assert sent.allocations.live().get().line.order == order


def test_a_repair_is_on_record_with_who_and_why(sent: Any, order: Order, packer: User) -> None:
    pieces.take_in_for_repair(sent, "handle cracked", by=packer)
    pieces.give_back(sent, "new handle", by=packer)
    written = [(entry.order, entry.kind, entry.why, entry.by) for entry in sent.events.all()]
    assert written == [(order, "repair", "handle cracked", packer), (order, "repaired", "new handle", packer)]
    assert (sent.state, sent.reason) == ("sent", "")


def test_a_repair_without_a_reason_is_refused(sent: Any) -> None:
    with pytest.raises(CannotMove, match="Say what CH125-007 has come back for"):
        pieces.take_in_for_repair(sent, " ")


def test_only_a_sent_piece_comes_back_for_repair(piece: Piece) -> None:
    with pytest.raises(CannotMove, match="CH125-007 is on the rack and cannot be marked in for repair"):
        pieces.take_in_for_repair(piece, "handle cracked")


def test_only_a_piece_in_for_repair_goes_back_to_its_holder(sent: Any) -> None:
    with pytest.raises(CannotMove, match="CH125-007 is sent and cannot be marked sent"):
        pieces.give_back(sent)


def test_a_piece_that_nobody_holds_does_not_come_back(product: Product) -> None:
    piece = make_piece(product, 8, state="sent")
    with pytest.raises(CannotMove, match="CH125-008 is held for no order"):
        pieces.take_in_for_repair(piece, "handle cracked")
    piece.refresh_from_db()
    assert piece.state == "sent"


@pytest.mark.parametrize("state", ["scrapped", "kept back"])
def test_a_piece_in_for_repair_is_not_retired(sent: Any, state: Any) -> None:
    pieces.take_in_for_repair(sent, "handle cracked")
    with pytest.raises(CannotMove, match="is in for repair"):
        pieces.retire(sent, state, "ours now")


def test_a_mistyped_number_is_corrected_with_the_reason_on_record(piece: Piece) -> None:
    pieces.correct_number(piece, 17, "typed 7, stamped 17")
    piece.refresh_from_db()
    assert piece.number == 17
    note = audit.of_piece(piece)[0]
    assert (note.what, note.why) == ("number corrected from 7 to 17", "typed 7, stamped 17")


def test_a_number_is_not_corrected_without_a_reason(piece: Piece) -> None:
    with pytest.raises(CannotMove, match="Say why the number of CH125-007 is corrected"):
        pieces.correct_number(piece, 17, " ")


def test_a_number_that_another_piece_bears_is_refused(piece: Piece, product: Product) -> None:
    make_piece(product, 17, state="scrapped", reason="cracked")
    with pytest.raises(CannotMove, match="CH125-017 is already on record: it is scrapped"):
        pieces.correct_number(piece, 17, "mistyped")


def test_the_number_of_a_sent_piece_stays(product: Product) -> None:
    piece = make_piece(product, 2, state="sent")
    with pytest.raises(CannotMove, match="CH125-002 is sent: its papers went with this number"):
        pieces.correct_number(piece, 17, "mistyped")


def test_the_number_of_a_piece_in_a_closed_box_stays(piece: Piece, order: Order, line: OrderLine) -> None:
    allocation.allocate(order, [(line, piece)])
    close_by_hand(order)
    with pytest.raises(CannotMove, match="CH125-007 is packed for order 17: open the box again first"):
        pieces.correct_number(piece, 17, "mistyped")
    piece.refresh_from_db()
    assert piece.number == 7


def test_a_corrected_number_dates_the_plan_of_its_order(piece: Piece, order: Order, line: OrderLine) -> None:
    allocation.allocate(order, [(line, piece)])
    before = adapter.order_file(order).input_hash
    pieces.correct_number(piece, 17, "mistyped")
    assert adapter.order_file(order).input_hash != before

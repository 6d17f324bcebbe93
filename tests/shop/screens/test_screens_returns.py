"""Pieces that come back for good: nobody's, inspected again, their number kept."""

from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.models import Allocation, OrderEvent, Piece
from shop.services import dispatch, pieces, returns
from shop.services.errors import CannotDispatch, CannotMove
from tests.shop.planned import act


@pytest.fixture
def sent(planned: Any) -> Any:
    act(dispatch.pack, planned)
    act(dispatch.weigh_in, planned, 2000)
    act(dispatch.send, planned)
    return planned


def test_a_piece_that_comes_back_keeps_its_number_and_is_nobodys(sent: Any, piece: Piece) -> None:
    piece.refresh_from_db()
    returns.take_return(piece, "the customer wanted another handle")
    piece.refresh_from_db()
    assert (piece.state, piece.number) == ("kept back", 7)
    assert "the customer wanted another handle" in piece.reason
    assert not Allocation.objects.live().filter(piece=piece).exists()
    assert Allocation.objects.get(piece=piece).released_why == "the customer wanted another handle"
    assert OrderEvent.objects.get(kind="returned").piece == piece


def test_it_goes_on_the_rack_once_it_was_measured_again(sent: Any, piece: Piece) -> None:
    piece.refresh_from_db()
    returns.take_return(piece, "not needed")
    with pytest.raises(CannotMove, match="measure it again first"):
        pieces.bring_back(piece)
    Piece.objects.filter(pk=piece.pk).update(measured_at=timezone.now(), weighed_at=timezone.now())
    piece.refresh_from_db()
    pieces.bring_back(piece)
    assert piece.state == "rack"


def test_what_is_not_out_and_what_has_no_reason_is_refused(planned: Any, piece: Piece) -> None:
    piece.refresh_from_db()
    with pytest.raises(CannotMove, match="nobody can have sent it back"):
        returns.take_return(piece, "not needed")
    with pytest.raises(CannotMove, match="stays on record"):
        returns.take_return(piece, " ")
    assert Allocation.objects.live().filter(piece=piece).exists()


def test_a_parcel_of_which_a_piece_came_back_did_arrive(sent: Any, piece: Piece) -> None:
    piece.refresh_from_db()
    returns.take_return(piece, "not needed")
    with pytest.raises(CannotDispatch, match="has come back from it"):
        act(dispatch.take_back, sent, "a slip")


def test_it_is_taken_back_on_its_page(sent: Any, piece: Piece, log_in: Any) -> None:
    packer = log_in("packer")
    address = reverse("take-return", args=[piece.pk])
    assert packer.post(address, {"return-why": ""}).status_code == 400
    page = packer.post(address, {"return-why": "too heavy for her"}, follow=True).content.decode()
    assert "is back and nobody’s" in page
    assert "too heavy for her" in page
    assert log_in("bookkeeper").post(address, {"return-why": "x"}).status_code == 403


def test_a_refused_return_opens_its_own_form(sent: Any, piece: Piece, log_in: Any) -> None:
    page = log_in("packer").post(reverse("take-return", args=[piece.pk]), {"return-why": ""}).content.decode()
    repair, back = page.split("It has come back for repair")[1].split("It has come back for good")
    assert repair.rstrip().removesuffix("<summary>").rstrip().endswith("<details open>")
    assert "Give the reason" in back and "Give the reason" not in repair
    assert page.count('id="id_why"') == page.count('id="id_return-why"') == 1

"""Measuring a piece: everything typed is read once, judged and recorded exactly."""

from decimal import Decimal
from typing import Any

import pytest

from shop.models import OrderLine, Piece, Product
from shop.services import allocation
from shop.services.errors import MeasuresRefused, MeasuresUnusual
from shop.services.measurements import read_measures, record
from tests.shop.conftest import make_piece
from tests.shop.planned import close_by_hand

INCHES = {
    "head_length": "4 1/8",
    "head_height": "1 5/8",
    "head_width": "1 5/8",
    "eye_offset": "2 1/16",
    "handle_length": "9 7/8",
    "handle_width": "1 5/16",
    "handle_thickness": "7/8",
    "weight_g": "3 lb",
}


def read(product: Any, changes: Any = (), **units: Any) -> Any:
    return read_measures({**INCHES, **dict(changes)}, product, **{"length_unit": "in", "weight_unit": "lb", **units})


def test_inches_are_stored_exactly_with_what_was_typed(product: Product) -> None:
    piece = record(Piece(product=product, number=3), read(product))
    piece.refresh_from_db()
    assert piece.head_length == Decimal("104.775")
    assert piece.weight_g == Decimal("1360.77711")
    assert (piece.measured_in, piece.weighed_in, piece.typed["head_length"]) == ("in", "lb", "4 1/8")


def test_a_sixty_fourth_of_an_inch_comes_back_exactly(product: Product) -> None:
    piece = record(Piece(product=product, number=3), read(product, {"head_width": "1 39/64"}))
    piece.refresh_from_db()
    assert piece.head_width == Decimal("40.878125")


def test_ounces_come_back_exactly(product: Product) -> None:
    piece = record(Piece(product=product, number=3), read(product, {"weight_g": "3 lb 1 oz"}))
    piece.refresh_from_db()
    assert piece.weight_g == Decimal("1389.126633125")


def test_a_text_may_name_its_own_unit(product: Product) -> None:
    assert read(product, {"handle_length": "250 mm"}).values["handle_length"] == 250


def test_the_eye_offset_and_the_head_weight_may_be_left_out(product: Product) -> None:
    measures = read(product, {"eye_offset": "", "head_weight_g": None})
    assert measures.values["eye_offset"] is None
    assert "eye_offset" not in measures.typed


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("head_length", "", "Head length: The length is missing"),
        ("weight_g", None, "Weight: The weight is missing"),
        ("head_height", "-3", "Head height: A length cannot be negative: “-3”"),
        ("handle_width", "1 1/0", "divides by zero"),
        ("handle_length", "9 furlong", "Handle length: “furlong” is not a unit of length"),
        ("weight_g", "heavy", "Weight: “heavy” is not a weight"),
        ("head_width", "0", "Head width: must be greater than zero, not 0 in"),
        ("head_width", "nan", "is not a length"),
        ("head_width", True, "Head width: must be a number or a text"),
        ("head_width", ["1"], "Head width: must be a number or a text"),
        ("handle_length", "12 m", "Handle length: must be at most 118 1/8 in, not 472 7/16 in"),
        ("eye_offset", "4 1/8", "Eye offset: 4 1/8 in lies outside the head"),
        ("handle_width", "5", "Handle width: 5 in is wider than the head is long"),
        ("head_weight_g", "4 lb", "Head weight: 4 lb 0 oz is more than the whole tool"),
        ("weight_g", "4 lb 8 oz", "at most 1 is possible"),
    ],
)
def test_a_measure_that_cannot_be_is_refused_by_field_rule_and_value(
    product: Product, field: Any, typed: Any, sentence: Any
) -> None:
    with pytest.raises(MeasuresRefused) as refused:
        read(product, {field: typed})
    assert sentence in refused.value.fields[field]


def test_every_unreadable_field_is_named_at_once(product: Product) -> None:
    with pytest.raises(MeasuresRefused) as refused:
        read(product, {"head_length": "", "weight_g": "x"})
    assert set(refused.value.fields) == {"head_length", "weight_g"}


def test_an_unlikely_weight_must_be_confirmed_and_nothing_is_stored(product: Product) -> None:
    with pytest.raises(MeasuresUnusual, match="usual for the form"):
        record(Piece(product=product, number=3), read(product, {"weight_g": "1 lb 4 oz"}))
    assert not Piece.objects.exists()


def test_a_confirmed_unlikely_weight_is_stored_as_confirmed(product: Product) -> None:
    piece = record(Piece(product=product, number=3), read(product, {"weight_g": "1 lb 4 oz"}), confirmed=True)
    assert piece.confirmed


def test_a_usual_piece_is_not_marked_as_confirmed(product: Product) -> None:
    assert not record(Piece(product=product, number=3), read(product), confirmed=True).confirmed


def test_remeasuring_keeps_the_number_and_the_guard(piece: Piece) -> None:
    piece.edge_guard_on = True
    again = record(piece, read(piece.product))
    assert (again.number, again.edge_guard_on) == (7, True)


def test_a_piece_in_a_closed_box_is_not_measured_again(piece: Piece, line: OrderLine) -> None:
    allocation.allocate(line.order, [(line, piece)])
    close_by_hand(line.order)
    with pytest.raises(MeasuresRefused, match="CH125-007 is packed for order 17: open the box again first"):
        record(piece, read(piece.product))


@pytest.mark.parametrize(("state", "told"), [("sent", "sent"), ("repair", "in for repair")])
def test_a_sent_piece_is_not_measured_again(piece: Piece, state: Any, told: Any) -> None:
    piece.state = state
    piece.save()
    with pytest.raises(MeasuresRefused, match=f"CH125-007 is {told}: its measures stay as they are"):
        record(piece, read(piece.product))


def test_a_tool_with_an_edge_is_not_recorded_without_its_guard(product: Product) -> None:
    product.pattern.sharp = "far"
    with pytest.raises(MeasuresRefused, match="edge guard on"):
        record(Piece(product=product, number=3), read(product))


@pytest.fixture
def brothers(product: Product) -> Any:
    return [make_piece(product, number, handle_length=Decimal(250 + number)) for number in (1, 2, 4)]


def test_a_handle_far_longer_than_its_brothers_is_asked_about(product: Product, brothers: Any) -> None:
    measures = read(product, {"handle_length": "36"})
    assert measures.warnings == ["Handle length 36 in: the 3 others of CH125 have about 9 15/16 in."]
    with pytest.raises(MeasuresUnusual, match="the 3 others of CH125"):
        record(Piece(product=product, number=3), measures)


def test_pieces_within_the_scatter_of_the_hand_are_not_asked_about(product: Product, brothers: Any) -> None:
    assert read(product, {"handle_length": "10 3/8", "weight_g": "3 lb 4 oz"}).warnings == []


def test_a_piece_measured_again_is_not_held_against_itself(product: Product) -> None:
    piece = make_piece(product, 3, handle_length=Decimal(914))
    measures = read_measures(
        {**INCHES, "handle_length": "250 mm"}, product, length_unit="in", weight_unit="lb", piece=piece
    )
    assert measures.warnings == []


def test_the_first_piece_is_held_against_its_products_head_weight(product: Product) -> None:
    sizes = {"head_length": "8", "head_height": "4", "head_width": "4"}
    warnings = read(product, {**sizes, "weight_g": "27 lb"}).warnings
    assert warnings == ["Weight 27 lb 0 oz: CH125 is made with heads of 2 lb 3.3 oz."]


def test_a_fraction_that_no_rule_has_is_asked_about(product: Product) -> None:
    assert read(product, {"head_length": "4 1/7"}).warnings == ["“4 1/7” has a fraction that is on no rule (1/7)."]


def test_ounces_that_make_a_pound_are_refused(product: Product) -> None:
    with pytest.raises(MeasuresRefused, match="oz beside lb are less than 16"):
        read(product, {"weight_g": "2 lb 17 oz"})

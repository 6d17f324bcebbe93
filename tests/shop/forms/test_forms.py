"""Forms: read once, refused in sentences."""

from decimal import Decimal
from typing import Any

import pytest

from shop.forms import FirstOwnerForm, MeasureForm, NewPieceForm, ShopForm, units_of
from shop.models import Piece, Product, Shop, User
from tests.shop.conftest import HAMMER_MM

TYPED = {
    **{name: str(value) for name, value in HAMMER_MM.items()},
    "weight_g": "1440",
    "length_unit": "mm",
    "weight_unit": "g",
    "mark": "none",
}
MM = ("mm", "g")


@pytest.fixture
def bound(forge: Shop, product: Product) -> Any:
    def make(**changes: Any) -> Any:
        return NewPieceForm({**TYPED, "product": product.pk, "number": "12", **changes}, shop=forge, units=MM)

    return make


def test_a_measured_piece_is_entered_with_its_number_as_stamped(bound: Any) -> None:
    form = bound(handle_length="250,5")
    assert form.is_valid(), form.errors
    piece = form.save()
    assert (piece.label, piece.handle_length) == ("CH125-012", Decimal("250.5"))


def test_a_number_given_already_is_refused_with_the_piece_that_has_it(bound: Any, piece: Piece) -> None:
    form = bound(number="7")
    assert form.errors["number"] == [
        "CH125-007 is already on record: it is on the rack. A number is never given twice."
    ]


def test_a_number_comes_back_even_from_a_scrapped_piece_to_be_refused(bound: Any, piece: Piece) -> None:
    Piece.objects.update(state="scrapped", reason="cracked")
    assert "it is scrapped" in bound(number="7").errors["number"][0]


def test_number_zero_is_refused(bound: Any) -> None:
    assert "number" in bound(number="0").errors


def test_a_product_of_another_shop_is_not_offered(bound: Any, other_forge: Any, product: Product) -> None:
    Product.objects.update(shop=other_forge)
    assert "product" in bound().errors


def test_an_impossible_measure_is_an_error_at_its_field(bound: Any) -> None:
    assert "wider than the head is long" in bound(handle_width="120").errors["handle_width"][0]


def test_an_unlikely_weight_waits_for_its_confirmation(bound: Any) -> None:
    assert "usual for the form" in bound(weight_g="700").errors["confirmed"][0]
    form = bound(weight_g="700", confirmed="on")
    assert form.is_valid(), form.errors
    assert form.save().confirmed


def test_a_piece_typed_in_inches_comes_back_as_typed(product: Product) -> None:
    piece = Piece(product=product, number=1, typed={"head_length": "4 1/8"}, measured_in="in")
    form = MeasureForm(piece=piece, units=MM)
    assert form["head_length"].initial == "4 1/8"
    assert form["length_unit"].initial == "in"


def test_a_piece_without_typed_texts_comes_back_with_its_unit(piece: Piece) -> None:
    form = MeasureForm(piece=piece, units=("in", "lb"))
    assert form["head_length"].initial == "105 mm"
    assert form["weight_g"].initial == "1440 g"


def shop_data(forge: Any, **rules: Any) -> Any:
    form = ShopForm(instance=forge)
    return {**{name: form[name].value() for name in form.fields}, "plan_rules": rules["plan_rules"]}


@pytest.mark.parametrize(
    ("rules", "sentence"),
    [
        ("[1]", "must be an object with named rules"),
        ('{"webb": 3}', "plan_rules.webb: is not known here"),
        ('{"by_head": []}', "plan_rules.by_head: must be a list of at least one band"),
        ('{"by_head": [{"web": 20}]}', "must have to_g, any of web, wall, base_pad and nothing else"),
        ('{"by_head": [{"to_g": null, "webb": 20}]}', "must have to_g, any of web, wall, base_pad and nothing else"),
        ('{"by_head": [{"to_g": 900, "web": 20, "wall": 20, "base_pad": 20}]}', "must be null in the last band"),
        ('{"by_head": [{"to_g": null, "web": -1, "wall": 20, "base_pad": 20}]}', "rules.web: must be zero or more"),
        (
            '{"clearance": 0.001, "by_head": [{"to_g": null, "web": 1, "wall": 20, "base_pad": 20}]}',
            "must be a multiple of 0.01 mm",
        ),
    ],
)
def test_planning_rules_that_could_not_be_planned_by_are_refused(forge: Shop, rules: Any, sentence: Any) -> None:
    form = ShopForm(shop_data(forge, plan_rules=rules), instance=forge)
    assert sentence in form.errors["plan_rules"][0]


def test_the_rules_a_new_shop_starts_with_are_good(forge: Shop) -> None:
    form = ShopForm(shop_data(forge, plan_rules=ShopForm(instance=forge)["plan_rules"].value()), instance=forge)
    assert form.is_valid(), form.errors


def test_a_persons_own_units_come_before_the_shops(forge: Shop, packer: User) -> None:
    assert units_of(packer, forge) == ("mm", "g")
    packer.length_unit = "in"
    assert units_of(packer, forge) == ("in", "g")


def test_two_passwords_that_differ_are_refused(db: Any) -> None:
    data = {"username": "smith", "password": "anvil-and-tongs", "password_again": "anvil-and-tong"}
    assert FirstOwnerForm(data, shop_exists=True).errors["password_again"] == ["The two passwords differ."]


def test_a_weak_first_password_is_refused(db: Any) -> None:
    data = {"username": "smith", "password": "password", "password_again": "password"}
    assert "password" in FirstOwnerForm(data, shop_exists=True).errors

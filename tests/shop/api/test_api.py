"""The API: the same permissions, one error shape, every measure judged at the edge."""

from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError
from jsonschema import Draft202012Validator
from rest_framework.test import APIClient

from shop.models import Allocation, BoxPlan, Customer, Job, Order, OrderLine, Pattern, Piece, Product, User
from shop.services import allocation, planning
from tests.shop.conftest import HAMMER_MM, make_piece
from tests.shop.planned import keep

ADDRESSES = ["/api/pieces/", "/api/orders/", "/api/orders/17/", "/api/pieces/{piece}/", "/api/jobs/{job}/"]
MEASURES = {**{name: str(value) for name, value in HAMMER_MM.items()}, "weight_g": "1440"}
HASH = "a" * 64


def client_of(user: Any) -> Any:
    client = APIClient()
    client.force_login(user)
    return client


@pytest.fixture
def as_owner(owner: User) -> Any:
    return client_of(owner)


@pytest.fixture
def as_packer(packer: User) -> Any:
    return client_of(packer)


@pytest.fixture
def allocated(line: OrderLine, piece: Piece) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return line.order


def assert_error(response: Any, status: Any, code: Any, field: Any = None, sentence: str = "") -> None:
    """The one error shape, with the sentence where it belongs."""
    assert response.status_code == status, response.content
    assert set(response.json()) == {"error"}
    error = response.json()["error"]
    assert set(error) == {"code", "message", "fields"}
    assert error["code"] == code
    assert error["message"]
    assert sentence in (error["fields"][field] if field is not None else error["message"])


def new_piece(**changes: Any) -> Any:
    return {"product": "CH125", "number": 12, **MEASURES, **changes}


def filled(address: Any, piece: Any, order: Any) -> Any:
    job = Job.objects.create(order=order, kind="plan")
    return address.format(piece=piece.pk, job=job.pk)


@pytest.mark.parametrize("address", ADDRESSES)
def test_nobody_in_particular_is_shown_nothing(address: Any, piece: Piece, order: Order) -> None:
    assert_error(APIClient().get(filled(address, piece, order)), 403, "not_authenticated")


@pytest.mark.parametrize("address", ADDRESSES[2:])
def test_a_stranger_gets_404_for_what_belongs_to_another_shop(
    address: Any, stranger: User, piece: Piece, order: Order
) -> None:
    assert_error(client_of(stranger).get(filled(address, piece, order)), 404, "not_found", sentence="in your shop")


@pytest.mark.parametrize("address", ADDRESSES[:2])
def test_a_stranger_sees_an_empty_list(address: Any, stranger: User, piece: Piece, order: Order) -> None:
    assert client_of(stranger).get(address).json()["results"] == []


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize("role", ["owner", "packer", "bookkeeper"])
def test_members_may_look(request: pytest.FixtureRequest, address: Any, role: Any, piece: Piece, order: Order) -> None:
    client = client_of(request.getfixturevalue(role))
    assert client.get(filled(address, piece, order)).status_code == 200


def test_an_address_that_is_not_there_has_the_error_shape(as_owner: Any) -> None:
    assert_error(as_owner.get("/api/nothing/here"), 404, "not_found")


def test_a_method_that_is_not_offered_has_the_error_shape(as_owner: Any, piece: Piece) -> None:
    assert_error(as_owner.delete(f"/api/pieces/{piece.pk}/"), 405, "method_not_allowed")


def test_a_body_that_is_not_json_has_the_error_shape(as_owner: Any, product: Product) -> None:
    response = as_owner.post("/api/pieces/", "{", content_type="application/json")
    assert_error(response, 400, "parse_error")


def test_a_body_that_is_a_list_is_refused(as_owner: Any, product: Product) -> None:
    assert_error(as_owner.post("/api/pieces/", [1], format="json"), 400, "invalid", "", "must be an object")


def test_a_body_without_the_forms_token_is_refused(packer: User, product: Product) -> None:
    client = APIClient(enforce_csrf_checks=True)
    client.login(username="packer", password="anvil-and-tongs")
    assert_error(client.post("/api/pieces/", new_piece(), format="json"), 403, "permission_denied", sentence="CSRF")


def test_who_comes_second_with_a_number_is_told_so(
    as_packer: Any, product: Product, monkeypatch: pytest.MonkeyPatch
) -> None:
    def quicker(piece: Any, *args: Any, **options: Any) -> None:
        make_piece(product, piece.number)
        piece.validate_constraints()

    monkeypatch.setattr("shop.api.views.record", quicker)
    response = as_packer.post("/api/pieces/", new_piece(), format="json")
    assert_error(response, 400, "invalid", sentence="A number is never given twice in a product")


def test_who_comes_second_at_the_same_instant_is_told_so(
    as_packer: Any, product: Product, monkeypatch: pytest.MonkeyPatch
) -> None:
    def quicker(*args: Any, **options: Any) -> None:
        raise IntegrityError("UNIQUE constraint failed")

    monkeypatch.setattr("shop.api.views.record", quicker)
    assert_error(as_packer.post("/api/pieces/", new_piece(), format="json"), 409, "conflict", sentence="quicker")


def test_a_piece_is_added_with_its_measures_exact(as_packer: Any, product: Product) -> None:
    response = as_packer.post("/api/pieces/", new_piece(handle_length="9 7/8 in"), format="json")
    assert response.status_code == 201, response.content
    assert response.json()["handle_length"] == "250.825"
    assert Piece.objects.get().handle_length == Decimal("250.825")


def test_json_numbers_are_measures_too(as_packer: Any, product: Product) -> None:
    response = as_packer.post("/api/pieces/", new_piece(head_length=105.5), format="json")
    assert response.json()["head_length"] == "105.5"


def test_bare_numbers_are_in_the_units_asked_for(as_packer: Any, product: Product) -> None:
    inches = {name: value / Decimal("25.4") for name, value in HAMMER_MM.items()}
    body = new_piece(**{name: f"{value:.4f}" for name, value in inches.items()}, length_unit="in")
    assert as_packer.post("/api/pieces/", body, content_type="application/json").json()["length_unit"] == "in"
    assert abs(Piece.objects.get().head_length - 105) < Decimal("0.01")


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("head_length", None, "Head length: The length is missing"),
        ("head_length", "-1", "cannot be negative: “-1”"),
        ("head_length", True, "not True"),
        ("head_length", {"mm": 3}, "must be a number or a text"),
        ("head_length", "9" * 30, "more than any length can be"),
        ("weight_g", "1" * 41, "at most 40 characters"),
        ("head_length", "3 cubits", "“cubits” is not a unit of length"),
        ("handle_width", 120, "120 mm is wider than the head is long (105 mm)"),
        ("weight_g", "20 kg", "at most 1 is possible"),
        ("number", 0, "at least 1"),
        ("number", "seven", "Must be a whole number"),
        ("product", "XX1", "There is no product XX1 in your shop"),
        ("mark", "up", "not one of those that can be chosen"),
        ("lenght", 4, "lenght is not known here"),
    ],
)
def test_a_bad_value_is_refused_by_field_rule_and_value_and_nothing_changes(
    as_packer: Any, product: Product, field: Any, value: Any, sentence: Any
) -> None:
    response = as_packer.post("/api/pieces/", new_piece(**{field: value}), format="json")
    assert_error(response, 400, "invalid", field, sentence)
    assert not Piece.objects.exists()


def test_not_a_number_is_refused(as_packer: Any, product: Product) -> None:
    body = '{"product": "CH125", "number": 12, "head_length": NaN}'
    assert_error(as_packer.post("/api/pieces/", body, content_type="application/json"), 400, "parse_error")


def test_an_unlikely_piece_must_be_confirmed(as_packer: Any, product: Product) -> None:
    response = as_packer.post("/api/pieces/", new_piece(weight_g=700), format="json")
    assert_error(response, 400, "unusual", "confirmed", "usual for the form “hammer”")
    again = as_packer.post("/api/pieces/", new_piece(weight_g=700, confirmed=True), format="json")
    assert again.status_code == 201


def test_a_number_given_already_is_refused(as_packer: Any, piece: Piece) -> None:
    response = as_packer.post("/api/pieces/", new_piece(number=7), format="json")
    assert_error(response, 400, "invalid", "number", "CH125-007 is already on record: it is on the rack")


def test_a_piece_is_measured_again(as_packer: Any, piece: Piece) -> None:
    response = as_packer.put(f"/api/pieces/{piece.pk}/", {**MEASURES, "handle_length": 251}, format="json")
    assert response.json()["handle_length"] == "251"


def test_a_bookkeeper_does_not_measure(bookkeeper: User, piece: Piece) -> None:
    client = client_of(bookkeeper)
    assert_error(client.put(f"/api/pieces/{piece.pk}/", MEASURES, format="json"), 403, "not_allowed")
    assert_error(client.post("/api/pieces/", new_piece(), format="json"), 403, "not_allowed")


def test_a_stranger_cannot_measure_anothers_piece(stranger: User, piece: Piece) -> None:
    assert_error(client_of(stranger).put(f"/api/pieces/{piece.pk}/", MEASURES, format="json"), 404, "not_found")


def test_pieces_are_listed_by_state_and_product(as_packer: Any, piece: Piece, other_product: Any) -> None:
    make_piece(other_product, 1)
    make_piece(piece.product, 8, state="sent")
    found = as_packer.get("/api/pieces/?state=rack&product=CH125").json()["results"]
    assert [row["label"] for row in found] == ["CH125-007"]


def test_a_state_that_is_none_is_refused(as_packer: Any) -> None:
    assert_error(as_packer.get("/api/pieces/?state=lost"), 400, "invalid", "state", "not “lost”")


def test_long_lists_come_in_pages(as_packer: Any, product: Product) -> None:
    for number in range(1, 4):
        make_piece(product, number)
    first = as_packer.get("/api/pieces/?page_size=2").json()
    assert (first["count"], len(first["results"])) == (3, 2)
    assert "page=2" in first["next"]
    assert_error(as_packer.get("/api/pieces/?page=9"), 404, "not_found")


def test_prices_are_shown_to_the_owner_and_not_to_the_packer(owner: User, packer: User, line: OrderLine) -> None:
    assert client_of(owner).get("/api/orders/17/").json()["lines"][0]["unit_price"] == "145"
    assert "unit_price" not in client_of(packer).get("/api/orders/17/").json()["lines"][0]


def test_an_order_shows_its_live_pieces_only(as_packer: Any, allocated: Any) -> None:
    assert as_packer.get("/api/orders/17/").json()["lines"][0]["pieces"] == ["CH125-007"]
    allocation.release(Allocation.objects.get())
    assert as_packer.get("/api/orders/17/").json()["lines"][0]["pieces"] == []


def test_a_list_of_orders_costs_the_same_queries_however_long(
    as_owner: Any, allocated: Any, customer: Customer, product: Product, django_assert_num_queries: Any
) -> None:
    from shop.models import Order, OrderLine

    for number in (18, 19, 20):
        OrderLine.objects.create(order=Order.objects.create(customer=customer, number=number), product=product)
    with django_assert_num_queries(10):
        assert as_owner.get("/api/orders/").json()["count"] == 4


def test_a_plan_is_asked_for_and_answered_with_its_job(as_packer: Any, allocated: Any) -> None:
    response = as_packer.post("/api/orders/17/plan/", {"seconds": 3}, format="json")
    assert response.status_code == 202
    assert response.json()["state"] == "waiting"
    assert Job.objects.get().payload["seconds"] == 3


@pytest.mark.parametrize("seconds", [0, 121, "long"])
def test_a_search_time_out_of_bounds_is_refused(as_packer: Any, allocated: Any, seconds: Any) -> None:
    response = as_packer.post("/api/orders/17/plan/", {"seconds": seconds}, format="json")
    assert_error(response, 400, "invalid", "seconds")
    assert not Job.objects.exists()


def test_an_order_without_its_pieces_is_not_planned(as_packer: Any, line: OrderLine) -> None:
    response = as_packer.post("/api/orders/17/plan/", {}, format="json")
    assert_error(response, 409, "conflict", sentence="“CH125 CH125” wants 1 piece and has 0")
    assert not Job.objects.exists()


def test_a_bookkeeper_does_not_plan(bookkeeper: User, allocated: Any) -> None:
    assert_error(client_of(bookkeeper).post("/api/orders/17/plan/", {}, format="json"), 403, "not_allowed")


def test_a_stranger_cannot_plan_anothers_order(stranger: User, allocated: Any) -> None:
    assert_error(client_of(stranger).post("/api/orders/17/plan/", {}, format="json"), 404, "not_found")


def test_an_order_without_a_plan_has_none_to_show(as_packer: Any, order: Order) -> None:
    assert_error(as_packer.get("/api/orders/17/plan/"), 404, "not_found", sentence="no box plan yet")


def test_the_plans_content_is_shown_with_what_it_was_made_from(as_packer: Any, order: Order) -> None:
    plan = BoxPlan.objects.create(
        order=order, content={"status": "planned"}, order_content={}, rules={}, code_version="0", input_hash=HASH
    )
    keep(order, plan)
    shown = as_packer.get("/api/orders/17/plan/").json()
    assert shown["content"] == {"status": "planned"}
    assert shown["input_hash"] == HASH
    assert shown["current"] is False


def test_the_schema_of_a_plans_file_is_there_for_members_and_a_plan_keeps_it(as_packer: Any, allocated: Any) -> None:
    planning.plan_now(allocated, 0.2)
    assert_error(APIClient().get("/api/plan-schema/"), 403, "not_authenticated")
    schema = as_packer.get("/api/plan-schema/").json()
    content = as_packer.get("/api/orders/17/plan/").json()["content"]
    assert content["box"]
    assert list(Draft202012Validator(schema).iter_errors(content)) == []


def test_an_unknown_field_of_a_plan_asked_for_is_named(as_owner: Any, order: Order) -> None:
    answer = as_owner.post("/api/orders/17/plan/", {"secnds": 3}, format="json")
    assert answer.json()["error"]["fields"] == {"secnds": "secnds is not known here."}


def test_a_message_names_the_fields_it_is_about(as_owner: Any) -> None:
    answer = as_owner.post("/api/pieces/", {}, format="json")
    message = answer.json()["error"]["message"]
    assert message == "product: Fill this in. number: Fill this in."


def test_an_axe_without_its_guard_is_refused_as_on_the_screen(as_owner: Any, piece: Piece) -> None:
    Pattern.objects.update(sharp="far")
    answer = as_owner.put(f"/api/pieces/{piece.pk}/", MEASURES, format="json")
    assert list(answer.json()["error"]["fields"]) == ["edge_guard_on"]

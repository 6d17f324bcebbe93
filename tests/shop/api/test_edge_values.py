"""Values at the edge of what JSON, addresses and forms carry: each is answered in words, none is a fault of ours."""

import json
from typing import Any

import pytest
from django.test import Client
from rest_framework.test import APIClient

from shop.models import Job, Order, OrderLine, Piece, Product, User
from tests.shop.api.test_api import MEASURES, assert_error

pytestmark = pytest.mark.both_databases

DEEP = "[" * 100_000
EDGES = {
    "NUL": '"a\\u0000b"',
    "lone surrogate": '"\\ud800"',
    "surrogates the wrong way round": '"\\udc00\\ud800"',
    "huge whole number": "9" * 40,
    "whole number of 5000 figures": "9" * 5000,
    "huge negative": "-" + "9" * 40,
    "beyond 64 bits": str(2**63),
    "beyond 32 bits": str(2**31),
    "huge exponent": "1e999999999",
    "exponent beyond all bounds": "1e" + "9" * 40,
    "not a number": "NaN",
    "infinity": "Infinity",
    "true": "true",
    "nothing": "null",
    "list": '[1, ["a"]]',
    "object": '{"a": {"b": 1}}',
    "deep": "[" * 5_000 + "]" * 5_000,
    "very long": json.dumps("x" * 200_000),
    "empty": '""',
    "other figures": '"١٢"',
    "line ends": '"1\\n2"',
}
FIELDS = [
    "product",
    "number",
    "mark",
    "length_unit",
    "weight_unit",
    "edge_guard_on",
    "confirmed",
    "head_length",
    "weight_g",
]


@pytest.fixture
def client(owner: User) -> Any:
    client = APIClient(raise_request_exception=False)
    client.force_login(owner)
    return client


def sent(client: Any, method: Any, address: Any, body: Any) -> Any:
    return getattr(client, method)(address, body, content_type="application/json")


def body_with(field: Any, edge: Any) -> Any:
    known = {"product": "CH125", "number": 12, **MEASURES}
    rest = ", ".join(f"{json.dumps(name)}: {json.dumps(value)}" for name, value in known.items() if name != field)
    return f"{{{rest}, {json.dumps(field)}: {EDGES[edge]}}}"


def assert_answered(answer: Any) -> None:
    """Done, or refused in the one error shape; never a fault of ours."""
    assert answer.status_code < 500, answer.content[:300]
    if answer.status_code >= 400:
        assert_error(answer, answer.status_code, answer.json()["error"]["code"])


@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("field", FIELDS)
def test_no_value_of_a_new_piece_is_a_fault_of_ours(client: Client, product: Product, field: Any, edge: Any) -> None:
    assert_answered(sent(client, "post", "/api/pieces/", body_with(field, edge)))


@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("field", ["head_length", "mark", "weight_g"])
def test_no_value_of_a_measured_piece_is_a_fault_of_ours(client: Client, piece: Piece, field: Any, edge: Any) -> None:
    body = body_with(field, edge).replace('"product": "CH125", "number": 12, ', "")
    assert_answered(sent(client, "put", f"/api/pieces/{piece.pk}/", body))


@pytest.mark.parametrize("edge", EDGES)
def test_no_time_for_a_search_is_a_fault_of_ours(client: Client, line: OrderLine, edge: Any) -> None:
    assert_answered(sent(client, "post", "/api/orders/17/plan/", f'{{"seconds": {EDGES[edge]}}}'))


@pytest.mark.parametrize("body", [*EDGES.values(), DEEP, "{" * 50_000, '{"a":' * 50_000, "\xff\xfe", "", "{"])
@pytest.mark.parametrize("address", ["/api/pieces/", "/api/orders/17/plan/"])
def test_no_body_is_a_fault_of_ours(client: Client, line: OrderLine, address: Any, body: Any) -> None:
    assert_answered(sent(client, "post", address, body.encode("latin-1", "ignore")))


@pytest.mark.parametrize("edge", EDGES)
def test_no_name_of_a_field_is_a_fault_of_ours(client: Client, product: Product, edge: Any) -> None:
    name = EDGES[edge] if EDGES[edge].startswith('"') else json.dumps(EDGES[edge])
    assert_answered(sent(client, "post", "/api/pieces/", f"{{{name}: 1}}"))


@pytest.mark.parametrize("value", ["%00", "%ED%A0%80", "9" * 40, "-1", "1e9", "%D9%A1", "x" * 20_000])
@pytest.mark.parametrize("name", ["state", "product", "page", "page_size"])
@pytest.mark.parametrize("address", ["/api/pieces/", "/api/orders/"])
def test_no_question_is_a_fault_of_ours(client: Client, piece: Piece, address: Any, name: Any, value: Any) -> None:
    assert_answered(client.get(f"{address}?{name}={value}"))


@pytest.mark.parametrize("number", [2**31, 2**63, "9" * 40, "9" * 5000])
@pytest.mark.parametrize("address", ["/api/orders/{}/", "/api/orders/{}/plan/", "/api/jobs/{}/", "/api/pieces/{}/"])
def test_no_number_in_an_address_is_a_fault_of_ours(client: Client, order: Order, address: Any, number: Any) -> None:
    assert_answered(client.get(address.format(number)))


def test_a_fault_of_ours_has_the_one_error_shape_too(
    client: Client, order: Order, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr("shop.api.views.job_out", lambda job: 1 // 0)
    job = Job.objects.create(order=order, kind="plan")
    assert_error(client.get(f"/api/jobs/{job.pk}/"), 500, "fault", sentence="log says more")
    assert "ZeroDivisionError" in caplog.text

"""Every field of every form, with values at the edge of what a field carries: answered in words, never by a fault."""

from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import urlencode

import pytest
from django.contrib import admin
from django.db import transaction
from django.test import Client
from django.urls import reverse

from shop.models import MOST_ADDRESS, MOST_NOTES, Customer, Order, Piece, Product, Shop, User
from tests.shop.screens.page_forms import forms_of

pytestmark = pytest.mark.both_databases

EDGES = {
    "NUL": "a\0b",
    "lone surrogate": "a\ud800b",
    "escaped NUL": '[{"name": "a\\u0000b"}]',
    "escaped surrogate": '{"web": "a\\ud800b", "\\udc00": 1}',
    "deep": "[" * 50_000,
    "no number": "NaN",
    "5000 figures": "9" * 5000,
    "40 figures": "9" * 40,
    "beyond 32 bits": str(2**31),
    "beyond 64 bits": str(2**63),
    "exponent": "1e999999999",
    "other figures": "١٢",
    "long": "x" * 100_000,
}
PAGES = ["order", "new-order", "new-piece", "piece", "customer", "new-customer", "steel"]
PAGES += ["settings", "own-units", "own-password", "login"]
ALONE = ["NUL", "lone surrogate", "escaped NUL", "40 figures", "beyond 32 bits", "long"]
"""What a field might let through to the database: sent in each field alone, with the others sound."""
DESKS = [model._meta.model_name for model in admin.site._registry]
"""The owner's desk: one for each kind of row."""


@pytest.fixture
def client(owner: User) -> Any:
    client = Client(raise_request_exception=False)
    client.force_login(owner)
    return client


def tried(values: Any) -> Any:
    """What is sent for one form and what it is called: every edge in all fields at once, some in each field alone."""
    fields = [name for name in values if name != "csrfmiddlewaretoken"]
    for edge, value in EDGES.items() if fields else ():
        yield f"all with {edge}", {**values, **dict.fromkeys(fields, value)}
    for name in fields:
        for edge in ALONE:
            yield f"{name} with {edge}", {**values, name: EDGES[edge]}


def faults(client: Any, address: str) -> Any:
    """Send the forms of a page with values at the edge; what broke, and how many were sent."""
    found, sent = [], 0
    for action, values in forms_of(client, address):
        for what, asked in tried(values) if action != reverse("logout") else ():
            # A form that is taken changes the page for the next one, or logs out, unless what it did is undone.
            kept = client.cookies.output()
            with transaction.atomic():
                body = urlencode(asked, errors="surrogatepass")
                answer = client.post(action, body, content_type="application/x-www-form-urlencoded")
                transaction.set_rollback(True)
            client.cookies = SimpleCookie(kept.replace("Set-Cookie: ", ""))
            sent += 1
            if answer.status_code >= 500:
                found.append(f"{action} {what}: {answer.status_code}")
    return found, sent


@pytest.fixture
def rows(stocked: Any, planned: Any, paper: Any, pair: Any, wax: Any) -> Any:
    """At least one row of most kinds."""
    return {model: model._default_manager.first() for model in admin.site._registry}


@pytest.mark.slow
@pytest.mark.parametrize("page", PAGES)
def test_no_value_of_a_field_is_a_fault_of_ours(
    client: Client, planned: Any, piece: Piece, customer: Customer, page: Any
) -> None:
    keys = {"order": [17], "piece": [piece.pk], "customer": [customer.pk]}.get(page, [])
    if page == "login":
        client.logout()
    found, sent = faults(client, reverse(page, args=keys))
    assert not found and (sent or page == "steel")


@pytest.mark.slow
@pytest.mark.parametrize("step", ["packed", "sent"])
def test_no_value_of_a_field_of_a_closed_order_is_a_fault_of_ours(
    client: Client, planned: Any, step: Any, request: pytest.FixtureRequest
) -> None:
    order = request.getfixturevalue("packed")
    if step == "sent":
        Order.objects.filter(pk=order.pk).update(state="sent")
    found, sent = faults(client, reverse("order", args=[17]))
    assert not found and sent


@pytest.mark.slow
@pytest.mark.parametrize("desk", DESKS)
def test_no_value_of_a_field_of_the_owners_desk_is_a_fault_of_ours(client: Client, rows: Any, desk: Any) -> None:
    row = next(row for model, row in rows.items() if model._meta.model_name == desk)
    way = "add" if row is None else "change"
    address = reverse(f"admin:shop_{desk}_{way}", args=[row.pk] if row else [])
    if client.get(address).status_code == 403:  # made elsewhere, and there is none here to look at
        return
    found, sent = faults(client, address)
    assert not found and (sent or way == "change")  # what is only looked at has no fields


@pytest.mark.parametrize("number", [2**31, 2**63, "9" * 40, "9" * 5000])
@pytest.mark.parametrize(
    "address", ["/orders/{}/", "/rack/{}/", "/customers/{}/", "/papers/{}/", "/orders/{}/progress/"]
)
def test_no_number_in_an_address_is_a_fault_of_ours(client: Client, planned: Any, address: Any, number: Any) -> None:
    assert client.get(address.format(number)).status_code == 404


@pytest.mark.parametrize(
    "query",
    [
        "page=%00",
        "page=" + "9" * 5000,
        "product=%00",
        "product=" + "9" * 5000,
        "number=" + "9" * 5000,
        "which=%00",
        "of=%00",
        "state=%00",
    ],
)
@pytest.mark.parametrize("address", ["/", "/rack/", "/customers/", "/settings/trail/", "/orders/new/", "/rack/new/"])
def test_no_question_is_a_fault_of_ours(client: Client, planned: Any, address: Any, query: Any) -> None:
    assert client.get(f"{address}?{query}").status_code < 500


@pytest.mark.parametrize(
    "address",
    [
        "shop/piece/?state__exact=%00",
        "shop/piece/?q=%00",
        "shop/auditentry/?act=%00",
        "shop/auditentry/?kind__exact=a%00b",
        "shop/customer/?%00=1",
        "autocomplete/?term=%00&app_label=shop&model_name=piece&field_name=product",
    ],
)
def test_no_question_at_the_owners_desk_is_a_fault_of_ours(client: Client, piece: Piece, address: Any) -> None:
    answer = client.get(reverse("admin:index") + address)
    assert answer.status_code == 400 and "asks for a NUL" in answer.content.decode()


@pytest.mark.parametrize("letters", ["utf-16", "latin-1", "utf-7"])
@pytest.mark.parametrize("address", ["login", "new-customer", "settings"])
def test_a_form_in_other_letters_is_refused_in_words(owner: User, address: Any, letters: Any) -> None:
    client = Client(enforce_csrf_checks=True, raise_request_exception=False)
    client.force_login(owner)
    kind = f"application/x-www-form-urlencoded; charset={letters}"
    answer = client.post(reverse(address), b"name=a", content_type=kind)
    assert answer.status_code == 400 and f"UTF-8, not as {letters}" in answer.content.decode()


def test_notes_and_addresses_have_lengths(client: Client, customer: Customer, product: Product) -> None:
    order = {"customer": customer.pk, "notes": "x" * (MOST_NOTES + 1), "lines-TOTAL_FORMS": 0, "lines-INITIAL_FORMS": 0}
    assert f"at most {MOST_NOTES} characters" in client.post(reverse("new-order"), order).content.decode()
    assert not Order.objects.exists()
    address = reverse("customer", args=[customer.pk])
    kept = {"name": "A. Carpenter", "country": "SE", "length_unit": "mm", "weight_unit": "g"}
    long = client.post(address, {**kept, "address": "x" * (MOST_ADDRESS + 1)})
    many = client.post(address, {**kept, "address": "a\n" * 9})
    assert f"at most {MOST_ADDRESS} characters" in long.content.decode()
    assert "at most 8 lines, not 9" in many.content.decode()
    assert Customer.objects.get(pk=customer.pk).address == customer.address


@pytest.mark.parametrize(("name", "key", "field"), [("weigh-empty", 17, "empty-weighed"), ("weigh-in", 17, "weighed")])
def test_a_scale_that_reads_more_than_any_weight_is_answered_in_words(
    client: Client, planned: Any, name: Any, key: Any, field: Any
) -> None:
    values = {field: "9" * 40, field.replace("weighed", "weight_unit"): "g"}
    assert client.post(reverse(name, args=[key, 1]), values).status_code in (302, 400)


def test_a_thickness_beyond_any_length_is_refused_in_words(client: Client, forge: Shop) -> None:
    page = client.post(reverse("settings"), {"sheets": "9" * 40})
    assert page.status_code == 400 and "is more than any length can be" in page.content.decode()


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_price_beyond_any_price_is_refused_in_words(client: Client, forge: Shop, unit: str) -> None:
    Shop.objects.filter(pk=forge.pk).update(length_unit=unit)
    page = client.post(reverse("settings"), {"foam_price_m3": "9" * 40})
    assert page.status_code == 400 and "is more than any price can be" in page.content.decode()


@pytest.mark.parametrize("typed", ["9" * 5000, "١٢", "a\0b", ""])
def test_a_product_that_is_none_is_answered_in_words(client: Client, piece: Piece, typed: Any) -> None:
    assert client.post(reverse("new-piece"), {"product": typed}).status_code == 400
    assert client.get(reverse("new-piece"), {"product": typed}).status_code == (400 if "\0" in typed else 200)

"""Every field of every form, with values at the edge of what a field carries: answered in words, never by a fault."""

from html.parser import HTMLParser
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import MOST_ADDRESS, MOST_NOTES, Customer, Order, Piece, Product, Shop, User

pytestmark = pytest.mark.both_databases

EDGES = {
    "NUL": "a\0b",
    "5000 figures": "9" * 5000,
    "40 figures": "9" * 40,
    "beyond 32 bits": str(2**31),
    "negative": "-1",
    "exponent": "1e999999999",
    "other figures": "١٢",
    "long": "x" * 3000,
    "lines": "a\n" * 200,
}
PAGES = [
    "order",
    "new-order",
    "new-piece",
    "piece",
    "customer",
    "new-customer",
    "settings",
    "own-units",
    "own-password",
]


class Forms(HTMLParser):
    """The forms of a page that send something: address, and the values that a browser would send."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[Any] = []
        self._select = self._area = None
        self._inside = False

    def handle_starttag(self, tag: Any, attrs: Any) -> None:
        attrs = dict(attrs)
        if tag == "form":
            self._inside = attrs.get("method", "").lower() == "post"
            if self._inside:
                self.found.append((attrs.get("action", ""), {}))
        if not self._inside:
            return
        values = self.found[-1][1]
        if tag in ("input", "button") and attrs.get("name") and attrs.get("type") not in ("checkbox", "radio"):
            values.setdefault(attrs["name"], attrs.get("value", ""))
        elif tag == "select":
            self._select = attrs["name"]
            values[self._select] = ""
        elif tag == "textarea":
            values[attrs["name"]] = ""
        elif tag == "option" and "selected" in attrs:
            values[self._select] = attrs.get("value", "")

    def handle_endtag(self, tag: Any) -> None:
        if tag == "form":
            self._inside = False


@pytest.fixture
def client(owner: User) -> Any:
    client = Client(raise_request_exception=False)
    client.force_login(owner)
    return client


def forms_of(client: Any, address: Any) -> Any:
    page = client.get(address)
    assert page.status_code == 200
    parser = Forms()
    parser.feed(page.content.decode())
    return [(action or address, values) for action, values in parser.found]


@pytest.mark.slow
@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("page", PAGES)
def test_no_value_of_a_field_is_a_fault_of_ours(
    client: Client, planned: Any, piece: Piece, customer: Customer, page: Any, edge: Any
) -> None:
    keys = {"order": [17], "piece": [piece.pk], "customer": [customer.pk]}.get(page, [])
    forms = [one for one in forms_of(client, reverse(page, args=keys)) if reverse("logout") not in one[0]]
    assert any(values for _action, values in forms)
    for action, values in forms:
        for name in values:
            if name != "csrfmiddlewaretoken":
                answer = client.post(action, {**values, name: EDGES[edge]})
                assert answer.status_code < 500, f"{action} {name}: {answer.status_code}"


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
    assert client.post(reverse(name, args=[key]), values).status_code in (302, 400)


def test_a_thickness_beyond_any_length_is_refused_in_words(client: Client, forge: Shop) -> None:
    page = client.post(reverse("settings"), {"sheets": "9" * 40})
    assert page.status_code == 400 and "is more than any length can be" in page.content.decode()


@pytest.mark.parametrize("typed", ["9" * 5000, "١٢", "a\0b", ""])
def test_a_product_that_is_none_is_answered_in_words(client: Client, piece: Piece, typed: Any) -> None:
    assert client.post(reverse("new-piece"), {"product": typed}).status_code == 400
    assert client.get(reverse("new-piece"), {"product": typed}).status_code == 200

"""Customers on screens of their own: listed, entered, changed; bad input named by field."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Customer, Order, Shop
from shop.presenters.order_status import order_statuses
from shop.services import dispatch
from tests.shop.planned import act

TYPED = {
    "name": "B. Mason",
    "country": "NO",
    "address": "3 Wedge Lane\nTown",
    "email": "b@example.org",
    "phone": "",
    "length_unit": "in",
    "weight_unit": "lb",
}


def enter(client: Any, **changes: Any) -> Any:
    return client.post(reverse("new-customer"), {**TYPED, **changes})


def change(client: Any, customer: Any, **changes: Any) -> Any:
    return client.post(reverse("customer", args=[customer.pk]), {**TYPED, **changes})


def test_a_customer_is_entered_with_address_and_units(at_the_bench: Client, forge: Shop) -> None:
    answer = enter(at_the_bench)
    made = Customer.objects.get()
    assert answer.url == reverse("customer", args=[made.pk])
    assert (made.name, made.country, made.shop, made.length_unit) == ("B. Mason", "NO", forge, "in")
    assert made.address_lines == ["3 Wedge Lane", "Town"]


def test_a_new_customer_begins_with_the_shops_units(at_the_bench: Client, forge: Shop) -> None:
    forge.weight_unit = "lb"
    forge.save()
    assert '<option value="lb" selected>' in at_the_bench.get(reverse("new-customer")).content.decode()


def test_a_customers_name_address_and_units_are_changed(at_the_bench: Client, customer: Customer) -> None:
    change(at_the_bench, customer, name="A. Joiner", country="SE")
    customer.refresh_from_db()
    assert (customer.name, customer.address_lines[0], customer.weight_unit) == ("A. Joiner", "3 Wedge Lane", "lb")


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("name", "", "Name is needed."),
        ("country", "", "Country is needed."),
        ("country", "XX", "“XX” is not a country of the list: choose one by its name"),
        ("email", "b at home", "This is not an e-mail address"),
        ("length_unit", "ell", "“ell” is not in the list"),
        ("phone", "1" * 41, "at most 40 characters"),
    ],
)
def test_bad_input_is_named_at_its_field_and_changes_nothing(
    at_the_bench: Client, customer: Customer, field: Any, typed: Any, sentence: Any
) -> None:
    answer = change(at_the_bench, customer, **{field: typed})
    assert answer.status_code == 400
    page = answer.content.decode()
    told = page[page.index(f'id="id_{field}_error"') :]
    assert sentence in told[: told.index("</p>")]
    customer.refresh_from_db()
    assert customer.name == "A. Carpenter"


def test_the_page_of_a_refused_change_is_still_of_the_customer_on_record(
    at_the_bench: Client, customer: Customer
) -> None:
    page = change(at_the_bench, customer, name="A. Joiner", country="").content.decode()
    assert "<h1>A. Carpenter</h1>" in page
    assert 'value="A. Joiner"' in page


def test_a_customer_is_not_entered_twice(at_the_bench: Client, customer: Customer) -> None:
    answer = enter(at_the_bench, name="a. carpenter", country="SE", address="1 Plane Street, Town".replace(", ", "\n"))
    assert "a. carpenter is a customer already, in the same place" in answer.content.decode()
    assert Customer.objects.count() == 1


def test_a_namesake_elsewhere_is_another_customer(at_the_bench: Client, customer: Customer) -> None:
    enter(at_the_bench, name="A. Carpenter", country="SE")
    assert Customer.objects.count() == 2


def test_an_unchanged_customer_is_stored_again(at_the_bench: Client, customer: Customer) -> None:
    own = {"name": customer.name, "address": customer.address, "country": "SE"}
    assert change(at_the_bench, customer, **own).status_code == 302


def test_a_customer_who_moves_abroad_dates_the_plan_of_an_open_order(
    at_the_bench: Client, planned: Any, customer: Customer
) -> None:
    change(at_the_bench, customer, country="NO")
    assert not order_statuses([Order.objects.get()])[0].fits


def test_the_list_is_searched_by_name(at_the_bench: Client, forge: Shop, customer: Customer) -> None:
    Customer.objects.create(shop=forge, name="B. Mason", country="SE")
    page = at_the_bench.get("/customers/?name=mas").content.decode()
    assert "B. Mason" in page
    assert "A. Carpenter" not in page
    assert "No customer has that name." in at_the_bench.get("/customers/?name=zz").content.decode()


def test_the_list_counts_orders_in_the_same_queries_however_long(
    at_the_bench: Client, order: Order, forge: Shop, django_assert_num_queries: Any
) -> None:
    for number in range(30):
        named = Customer.objects.create(shop=forge, name=f"C{number}", country="SE")
        Order.objects.create(customer=named, number=100 + number)
    with django_assert_num_queries(6):
        assert at_the_bench.get("/customers/").status_code == 200


def test_a_customer_shows_orders_and_the_numbers_sent(log_in: Any, packed: Order, customer: Customer) -> None:
    address = reverse("customer", args=[customer.pk])
    assert "CH125-007" not in log_in("packer").get(address).content.decode()
    packed.parcels.update(weighed_g=2000)
    act(dispatch.send, packed)
    page = log_in("packer").get(address).content.decode()
    for told in ("CH125-007", 'href="/orders/17/"', "1 Plane Street"):
        assert told in page


def test_an_order_for_a_customer_is_begun_from_the_customers_page(at_the_bench: Client, customer: Customer) -> None:
    address = f"/orders/new/?customer={customer.pk}"
    assert address in at_the_bench.get(reverse("customer", args=[customer.pk])).content.decode()
    assert f'<option value="{customer.pk}" selected>' in at_the_bench.get(address).content.decode()

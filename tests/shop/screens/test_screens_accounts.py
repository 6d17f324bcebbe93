"""What orders come to: by day and customer, sums by currency, as CSV."""

import csv
import datetime as dt
import io
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.models import Customer, Order, OrderLine, OrderState, Product, Shop


@pytest.fixture
def priced(customer: Customer, product: Product, forge: Shop) -> list[Order]:
    """Three orders: 80 EUR twice with 12.50 USD beside it, one without a price, and a cancelled one."""
    forge.timezone = "Europe/Stockholm"
    forge.save()
    made = []
    # 23:30 UTC on the 9th is the 10th in Stockholm.
    for number, day in enumerate(("2026-03-09 23:30", "2026-03-20 00:00", "2026-04-01 00:00"), 31):
        at = dt.datetime.fromisoformat(f"{day}+00:00")
        made.append(Order.objects.create(customer=customer, number=number, placed_at=at))
    OrderLine.objects.create(order=made[0], product=product, quantity=2, unit_price=Decimal(80), currency="EUR")
    OrderLine.objects.create(order=made[0], product=product, unit_price=Decimal("12.50"), currency="USD")
    OrderLine.objects.create(order=made[1], product=product)
    OrderLine.objects.create(order=made[2], product=product, unit_price=Decimal(999), currency="EUR")
    Order.objects.filter(pk=made[2].pk).update(state=OrderState.CANCELLED)
    return made


def page_of(client: Client, **asked: str) -> str:
    return " ".join(client.get(reverse("accounts"), asked).content.decode().split())


def lines_of(client: Client, **asked: str) -> list[list[str]]:
    answer = client.get(reverse("accounts-file"), asked)
    assert answer["Content-Type"].startswith("text/csv")
    return list(csv.reader(io.StringIO(answer.content.decode())))


def test_sums_are_by_currency_without_cancelled_orders(at_the_bench: Client, priced: list[Order]) -> None:
    page = page_of(at_the_bench)
    assert "160.00 EUR, 12.50 USD" in page
    assert "3 orders; the sum leaves out cancelled ones." in page
    assert "The file has their amounts too" in page


def test_days_are_the_shops_own(at_the_bench: Client, priced: list[Order]) -> None:
    assert "2026-03-10" in page_of(at_the_bench, first="2026-03-10", last="2026-03-10")
    assert "No order was taken" in page_of(at_the_bench, first="2026-03-09", last="2026-03-09")


def test_a_customer_is_found_by_part_of_a_name(at_the_bench: Client, priced: list[Order]) -> None:
    assert "3 orders" in page_of(at_the_bench, customer="carp")
    assert "No order was taken" in page_of(at_the_bench, customer="mason")


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"first": "2026-13-01"}, "2026-13-01"),
        ({"first": "2026-03-20", "last": "2026-03-01"}, "2026-03-01 is before 2026-03-20."),
        ({"last": "9999-12-31"}, "Days are of the years 1900 to 2200, not 9999-12-31."),
        ({"first": "0001-01-01"}, "Days are of the years 1900 to 2200, not 0001-01-01."),
    ],
)
def test_days_that_are_none_are_told(at_the_bench: Client, forge: Shop, asked: dict[str, str], sentence: str) -> None:
    for name in ("accounts", "accounts-file"):
        answer = at_the_bench.get(reverse(name), asked)
        assert answer.status_code == 400
        assert sentence in answer.content.decode()


def test_the_file_has_a_line_for_each_order_and_currency(at_the_bench: Client, priced: list[Order]) -> None:
    heads, *rows = lines_of(at_the_bench)
    assert heads == ["Order", "Customer", "Country", "Placed", "State", "Amount", "Currency"]
    assert [(row[0], *row[5:]) for row in rows] == [
        ("33", "999.00", "EUR"), ("32", "", ""), ("31", "160.00", "EUR"), ("31", "12.50", "USD"),
    ]  # fmt: skip


def test_the_file_is_as_rfc_4180_has_it(at_the_bench: Client, priced: list[Order], customer: Customer) -> None:
    # RFC 4180, section 2, rules 1, 5 to 7: lines end in CRLF; commas, quotes and breaks stand in quotes, quotes twice.
    Customer.objects.filter(pk=customer.pk).update(name='Mason, "B."\nTown')
    text = at_the_bench.get(reverse("accounts-file")).content.decode()
    assert text.endswith("\r\n")
    assert '33,"Mason, ""B.""\nTown",' in text
    assert lines_of(at_the_bench)[1][1] == 'Mason, "B."\nTown'


def test_no_name_is_taken_for_a_formula(at_the_bench: Client, priced: list[Order], customer: Customer) -> None:
    Customer.objects.filter(pk=customer.pk).update(name="=1+1")
    assert lines_of(at_the_bench)[1][1] == "'=1+1"


def test_a_long_list_takes_no_more_queries(
    at_the_bench: Client, priced: list[Order], customer: Customer, product: Product
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            page_of(at_the_bench)
        return len(caught)

    few = queries()
    for number in range(40, 60):
        order: Any = Order.objects.create(customer=customer, number=number)
        OrderLine.objects.create(order=order, product=product, unit_price=Decimal(1), currency="EUR")
    assert queries() == few

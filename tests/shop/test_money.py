"""Money keeps its currency and is rounded once, at the end."""

from decimal import Decimal
from typing import Any

import pytest

from shop.models import Block, Order, OrderLine, Product
from shop.money import Money, TwoCurrencies, order_totals, totals


@pytest.mark.parametrize(
    ("amount", "currency", "shown"),
    [
        ("0.125", "EUR", "0.12 EUR"),
        ("0.135", "EUR", "0.14 EUR"),
        ("2.5", "JPY", "2 JPY"),
        ("3.5", "JPY", "4 JPY"),
        ("1.0005", "KWD", "1.000 KWD"),
        ("145", "USD", "145.00 USD"),
    ],
)
def test_an_amount_is_rounded_half_even_to_its_currencys_unit(amount: Any, currency: Any, shown: Any) -> None:
    assert str(Money(Decimal(amount), currency)) == shown


def test_a_sum_is_rounded_at_the_end_and_not_before() -> None:
    assert totals([Money(Decimal("0.005"), "EUR")] * 3) == [Money(Decimal("0.02"), "EUR")]


def test_two_currencies_are_never_added() -> None:
    with pytest.raises(TwoCurrencies, match="EUR and USD"):
        Money(Decimal(1), "EUR") + Money(Decimal(1), "USD")


def test_an_order_comes_to_one_sum_for_each_currency(
    line: OrderLine, order: Order, product: Product, wax: Block
) -> None:
    OrderLine.objects.create(order=order, block=wax, quantity=3, unit_price=Decimal("4.5"), currency="USD")
    OrderLine.objects.create(order=order, product=product)
    assert [str(total) for total in order_totals(order)] == ["145.00 EUR", "13.50 USD"]

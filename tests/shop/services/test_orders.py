"""An order takes the next number of its shop."""

from typing import Any

import pytest

from shop.models import Customer, Order
from shop.services.orders import open_order


def test_the_first_order_of_a_shop_is_number_one(customer: Customer) -> None:
    assert open_order(customer).number == 1


def test_an_order_takes_the_number_after_the_highest(order: Order, customer: Customer) -> None:
    assert open_order(customer, notes="for Saturday").number == 18


def test_each_shop_counts_for_itself(order: Order, other_forge: Any) -> None:
    customer = Customer.objects.create(shop=other_forge, name="C. Wright", country="NO")
    assert open_order(customer).number == 1


def test_a_number_taken_by_someone_else_meanwhile_is_passed_over(
    order: Order, customer: Customer, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = iter([16, 16, 17])
    monkeypatch.setattr("shop.services.orders.highest_number", lambda shop: next(answers))
    assert open_order(customer).number == 18

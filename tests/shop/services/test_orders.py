"""An order takes the next number of its shop."""

from shop.models import Customer
from shop.services.orders import open_order


def test_the_first_order_of_a_shop_is_number_one(customer):
    assert open_order(customer).number == 1


def test_an_order_takes_the_number_after_the_highest(order, customer):
    assert open_order(customer, notes="for Saturday").number == 18


def test_each_shop_counts_for_itself(order, other_forge):
    customer = Customer.objects.create(shop=other_forge, name="C. Wright", country="NO")
    assert open_order(customer).number == 1


def test_a_number_taken_by_someone_else_meanwhile_is_passed_over(order, customer, monkeypatch):
    answers = iter([16, 16, 17])
    monkeypatch.setattr("shop.services.orders.highest_number", lambda shop: next(answers))
    assert open_order(customer).number == 18

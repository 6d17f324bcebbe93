"""Opening an order: it takes the next number of its shop."""

from __future__ import annotations

from django.db import IntegrityError, transaction
from django.db.models import Max

from shop.models import Customer, Order, Shop

TRIES = 5


def open_order(customer: Customer, *, notes: str = "") -> Order:
    """Open an order for a customer under the shop's next number.

    Two people at once get two numbers: whoever comes second meets the unique constraint and takes the next.
    """
    for _try in range(TRIES - 1):
        try:
            return _open(customer, notes)
        except IntegrityError:
            continue
    return _open(customer, notes)


def highest_number(shop: Shop) -> int:
    """The highest order number of a shop, 0 where there is none."""
    return Order.objects.filter(shop=shop).aggregate(highest=Max("number"))["highest"] or 0


def _open(customer: Customer, notes: str) -> Order:
    with transaction.atomic():
        return Order.objects.create(customer=customer, number=highest_number(customer.shop) + 1, notes=notes)

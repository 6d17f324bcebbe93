"""Opening an order: it takes the next number of its shop. Taking a line off again."""

from __future__ import annotations

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.models import OPEN_STATES, Allocation, Customer, Order, OrderLine, Shop
from shop.services.errors import CannotTakeOff

TRIES = 5


def take_off(line: OrderLine) -> None:
    """Take a line off its open order. One that holds pieces is refused; one that has held some stays as history."""
    with transaction.atomic():
        order = Order.objects.select_for_update().get(pk=line.order_id)
        if order.state not in OPEN_STATES:
            raise CannotTakeOff(
                _("Order %(number)d is %(state)s: its lines stay as they are.")
                % {"number": order.number, "state": order.get_state_display()}
            )
        held = Allocation.objects.live().filter(line=line).select_related("piece__product")
        if held:
            labels = ", ".join(allocation.piece.label for allocation in held)
            raise CannotTakeOff(
                _("“%(line)s” holds %(pieces)s: put back first what it holds.") % {"line": line, "pieces": labels}
            )
        if Allocation.objects.filter(line=line).exists():
            OrderLine.objects.filter(pk=line.pk).update(taken_off_at=timezone.now())
        else:
            line.delete()


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

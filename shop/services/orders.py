"""Opening an order: it takes the next number of its shop. Taking a line off again."""

from __future__ import annotations

from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.models import OPEN_STATES, Allocation, Customer, Order, OrderLine, Shop
from shop.services import outdated
from shop.services.errors import CannotTakeOff
from shop.services.passing import again_after_a_clash

TRIES = 5
"""Two who open orders at once want the same number; the second takes the next one."""


def take_off(line: OrderLine) -> None:
    """Take a line off its open order. One that holds pieces is refused; one that has held some stays as history."""
    with transaction.atomic():
        _hold_open(line.order_id)
        held = Allocation.objects.live().filter(line=line).select_related("piece__product")
        if held:
            labels = ", ".join(allocation.piece.label for allocation in held)
            raise CannotTakeOff(
                _("“%(line)s” holds %(pieces)s: put back first what it holds.") % {"line": line, "pieces": labels}
            )
        if Allocation.objects.filter(line=line).exists():
            OrderLine.objects.filter(pk=line.pk).update(taken_off_at=timezone.now())
            outdated.mark(Q(pk=line.order_id))
        else:
            line.delete()


def add_line(order: Order, **values: Any) -> OrderLine:
    """Add a line to an open order; CannotTakeOff where it was packed, sent or cancelled meanwhile."""
    with transaction.atomic():
        _hold_open(order.pk)
        return OrderLine.objects.create(order=order, **values)


def _hold_open(order_id: int) -> None:
    # Held until the line is written: whoever closes a box of the order at the same moment waits.
    order = Order.objects.select_for_update().get(pk=order_id)
    if order.state not in OPEN_STATES:
        raise CannotTakeOff(
            _("Order %(number)d is %(state)s: its lines stay as they are.")
            % {"number": order.number, "state": order.get_state_display()}
        )


@again_after_a_clash
def open_order(customer: Customer, *, notes: str = "") -> Order:
    """Open an order for a customer under the shop's next number.

    Two people at once get two numbers: whoever comes second waits for the first, or meets the unique constraint, and
    takes the next.
    """
    # The last try stands outside, so that its clash is raised instead of passed over.
    for _try in range(TRIES - 1):
        try:
            return _open(customer, notes)
        except IntegrityError:
            continue
    return _open(customer, notes)


def highest_number(shop: Shop) -> int:
    """The highest order number of a shop, 0 where there is none."""
    return Order.objects.filter(shop=shop).order_by("-number").values_list("number", flat=True).first() or 0


def _open(customer: Customer, notes: str) -> Order:
    with transaction.atomic():
        Shop.objects.select_for_update(no_key=True).get(pk=customer.shop_id)  # one at a time takes the next number
        return Order.objects.create(customer=customer, number=highest_number(customer.shop) + 1, notes=notes)

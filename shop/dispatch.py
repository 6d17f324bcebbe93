"""What happens to an order after its box is planned: packed, weighed in, sent; or cancelled."""

from __future__ import annotations

from decimal import Decimal

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from shop import allocation, door
from shop.models import OPEN_STATES, Allocation, BoxPlan, Order, OrderState, Parcel, Piece, PieceState, User


class CannotDispatch(Exception):
    """The order is not at that step; the message is a sentence."""


def pack(order: Order, plan: BoxPlan | None = None) -> None:
    """Mark a planned order packed. Refused when the plan no longer fits what the order holds.

    `plan` is the one it was packed by, if that is known; then another current plan is refused too.
    """
    with transaction.atomic():
        _hold(order)
        if not door.is_current(order) or (plan is not None and order.current_plan_id != plan.pk):
            raise CannotDispatch(
                _("Order %(number)d has no box plan of what it holds now: plan it again.") % {"number": order.number}
            )
        _step(order, (OrderState.PLANNED,), OrderState.PACKED)


def unpack(order: Order) -> None:
    """Open a packed order again. What the closed box weighed does not hold any more."""
    with transaction.atomic():
        _step(order, (OrderState.PACKED,), OrderState.PLANNED)
        order.parcels.update(weighed_g=None, weighed_at=None, weighed_by=None)


def weigh_in(parcel: Parcel, weighed_g: Decimal, by: User | None = None) -> None:
    """Record the scale reading of the closed box, in grams."""
    if not weighed_g > 0:
        raise CannotDispatch(_("A weigh-in is above zero, not %(value)s g.") % {"value": weighed_g})
    parcel.weighed_g, parcel.weighed_at, parcel.weighed_by = weighed_g, timezone.now(), by
    parcel.save(update_fields=["weighed_g", "weighed_at", "weighed_by"])


def send(order: Order) -> None:
    """Mark a packed order and its pieces sent, once its closed box has been weighed."""
    with transaction.atomic():
        _step(order, (OrderState.PACKED,), OrderState.SENT)
        if not order.parcels.filter(plan=order.current_plan_id, weighed_g__isnull=False).exists():
            raise CannotDispatch(_("Weigh the closed box of order %(number)d first.") % {"number": order.number})
        held = Allocation.objects.live().filter(line__order=order).values("piece")
        Piece.objects.filter(pk__in=held, state=PieceState.ALLOCATED).update(state=PieceState.SENT)


def cancel(order: Order, why: str = "") -> None:
    """Cancel an open order; its pieces go back to the rack."""
    with transaction.atomic():
        _hold(order)
        if order.is_open:
            allocation.release_all(order, why)
        _step(order, OPEN_STATES, OrderState.CANCELLED)


def _hold(order: Order) -> None:
    """Read the order's row as it is now, and hold it where the database can."""
    Order.objects.select_for_update().filter(pk=order.pk).first()
    order.refresh_from_db()


def _step(order: Order, sources: tuple[OrderState, ...], target: OrderState) -> None:
    moved = Order.objects.filter(pk=order.pk, state__in=sources).update(state=target)
    order.refresh_from_db(fields=["state"])
    if not moved:
        raise CannotDispatch(
            _("Order %(number)d is %(state)s and cannot be marked %(target)s.")
            % {"number": order.number, "state": order.get_state_display(), "target": target.label}
        )

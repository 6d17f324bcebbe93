"""The way of an order after its box is planned: packed, weighed in, sent, taken back; or cancelled."""

from __future__ import annotations

from decimal import Decimal

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from shop import adapter
from shop.models import (
    OPEN_STATES,
    Allocation,
    BoxPlan,
    Order,
    OrderEvent,
    OrderEventKind,
    OrderState,
    Parcel,
    Piece,
    PieceState,
    User,
)
from shop.services import allocation, audit, outdated
from shop.services.errors import CannotDispatch


def pack(order: Order, plan: BoxPlan | None = None) -> None:
    """Mark a planned order packed. Refused when the plan no longer fits what the order holds.

    `plan` is the one it was packed by, if that is known; then another current plan is refused too.
    """
    with transaction.atomic():
        _hold(order)
        # Compared anew, not read from the order's own note: the papers in the box must be of what is in it.
        if not adapter.is_current(order) or (plan is not None and order.current_plan_id != plan.pk):
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


def withdraw_weigh_in(parcel: Parcel) -> None:
    """Forget what a closed box weighed, where a later reading of it was refused: it does not leave on the older one."""
    if parcel.weighed_g is None:
        return
    audit.record("weigh-in withdrawn", parcel, before={"weighed_g": str(parcel.weighed_g)})
    parcel.weighed_g = parcel.weighed_at = parcel.weighed_by = None
    parcel.save(update_fields=["weighed_g", "weighed_at", "weighed_by"])


def weigh_empty(parcel: Parcel, empty_g: Decimal) -> None:
    """Record what the empty box weighs with its insert, in grams; the closed box is then expected to weigh by that.

    Raises
    ------
    CannotDispatch
        The box is closed or gone: it is not empty any more.
    """
    if parcel.order.state != OrderState.PLANNED:
        raise _cannot(parcel.order, OrderState.PLANNED)
    parcel.empty_g = empty_g
    parcel.save(update_fields=["empty_g"])


def ready_to_send(order: Order) -> None:
    """Raise CannotDispatch unless the order is packed and its closed box weighed."""
    if order.state != OrderState.PACKED:
        raise _cannot(order, OrderState.SENT)
    if not order.parcels.filter(plan=order.current_plan_id, weighed_g__isnull=False).exists():
        raise CannotDispatch(_("Weigh the closed box of order %(number)d first.") % {"number": order.number})


def send(order: Order, by: User | None = None) -> None:
    """Mark a packed order and its pieces sent, once its closed box has been weighed."""
    with transaction.atomic():
        _hold(order)
        ready_to_send(order)
        _step(order, (OrderState.PACKED,), OrderState.SENT)
        held = _held(order)
        held.filter(state=PieceState.ALLOCATED).update(state=PieceState.SENT)
        _note(order, held, OrderEventKind.SENT, by)


def take_back(order: Order, why: str, by: User | None = None) -> None:
    """Make a sent order packed again that was marked by mistake; its pieces stay held for it, the reason on record.

    Raises
    ------
    CannotDispatch
        No reason is given, the order is not sent, or a piece of it has come back for repair and so did arrive.
    """
    why = why.strip()[:200]
    if not why:
        raise CannotDispatch(_("Give the reason why “sent” is taken back: it stays on record."))
    with transaction.atomic():
        _hold(order)
        repaired = order.events.filter(kind=OrderEventKind.REPAIR).select_related("piece__product").first()
        if repaired is not None:
            raise CannotDispatch(
                _("Order %(number)d did arrive: %(piece)s has come back from it for repair.")
                % {"number": order.number, "piece": repaired.piece}
            )
        _step(order, (OrderState.SENT,), OrderState.PACKED)
        held = _held(order)
        held.filter(state=PieceState.SENT).update(state=PieceState.ALLOCATED)
        _note(order, held, OrderEventKind.TAKEN_BACK, by, why)


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


def _held(order: Order) -> QuerySet[Piece]:
    """The pieces that are held for an order."""
    return Piece.objects.filter(pk__in=Allocation.objects.live().filter(line__order=order).values("piece"))


def _note(order: Order, pieces: QuerySet[Piece], kind: OrderEventKind, by: User | None, why: str = "") -> None:
    """Write what happened to an order into the history, its own and that of each piece."""
    OrderEvent.objects.create(order=order, kind=kind, by=by, why=why)
    for piece in pieces:
        OrderEvent.objects.create(order=order, piece=piece, kind=kind, by=by, why=why)


def _step(order: Order, sources: tuple[OrderState, ...], target: OrderState) -> None:
    before = order.state
    # Conditional: of two people who mark the same order one does, and the other is told how it stands.
    moved = Order.objects.filter(pk=order.pk, state__in=sources).update(state=target)
    order.refresh_from_db(fields=["state"])
    if not moved:
        raise _cannot(order, target)
    outdated.mark(Q(pk=order.pk))  # what changed while it was closed marked nothing
    audit.record(f"marked {target.value}", order, before={"state": str(before)}, after={"state": target.value})


def _cannot(order: Order, target: OrderState) -> CannotDispatch:
    return CannotDispatch(
        _("Order %(number)d is %(state)s and cannot be marked %(target)s.")
        % {"number": order.number, "state": order.get_state_display(), "target": target.label}
    )

"""The way of a parcel after its box is planned: packed, weighed in, sent, taken back. Of an order: cancelled."""

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
    ParcelState,
    Piece,
    PieceState,
    User,
    WeighVerdict,
)
from shop.services import allocation, audit, consignments, outdated, weighing
from shop.services.errors import CannotDispatch

UNWEIGHED = {"weighed_g": None, "weighed_at": None, "weighed_by": None}


def pack(parcel: Parcel, plan: BoxPlan | None = None) -> None:
    """Mark a planned parcel packed. Refused when its plan no longer fits what the order holds.

    `plan` is the one it was packed by, if that is known; then another plan of the parcel is refused too.
    """
    with transaction.atomic():
        order = _hold(parcel)
        # Compared anew, not read from the order's own note: the papers in the box must be of what is in it.
        if not adapter.is_current(order) or (plan is not None and parcel.plan_id != plan.pk):
            raise CannotDispatch(
                _("Order %(number)d has no box plan of what it holds now: plan it again.") % {"number": order.number}
            )
        _step(parcel, ParcelState.PLANNED, ParcelState.PACKED)


def unpack(parcel: Parcel) -> None:
    """Open a packed parcel again. What the closed box weighed does not hold any more."""
    with transaction.atomic():
        _hold(parcel)
        _step(parcel, ParcelState.PACKED, ParcelState.PLANNED)
        _change(parcel, ParcelState.PLANNED, **UNWEIGHED)


def weigh_in(parcel: Parcel, weighed_g: Decimal, by: User | None = None) -> None:
    """Record the scale reading of the closed box, in grams. CannotDispatch where it is not closed or gone."""
    if not weighed_g > 0:
        raise CannotDispatch(_("A weigh-in is above zero, not %(value)s g.") % {"value": weighed_g})
    _change(parcel, ParcelState.PACKED, weighed_g=weighed_g, weighed_at=timezone.now(), weighed_by=by)


def withdraw_weigh_in(parcel: Parcel) -> None:
    """Forget what a closed box weighed, where a later reading of it was refused: it does not leave on the older one."""
    if parcel.weighed_g is None:
        return
    audit.record("weigh-in withdrawn", parcel, before={"weighed_g": str(parcel.weighed_g)})
    _change(parcel, ParcelState.PACKED, **UNWEIGHED)


def stop_weigh_in(parcel: Parcel, reading: weighing.Reading, by: User | None = None) -> None:
    """Keep a reading that is off; what was weighed before does not hold any more, and the box is not closed by it."""
    with transaction.atomic():
        withdraw_weigh_in(parcel)
        weighing.keep_reading(parcel, reading, WeighVerdict.STOPPED, by)


def take_weigh_in(parcel: Parcel, reading: weighing.Reading, by: User | None = None) -> None:
    """Take a reading as the parcel's weigh-in: as expected, or all the same, with who said so and why.

    Raises
    ------
    CannotDispatch
        The box is not closed or gone, nothing was weighed, or the reading is off and nobody says why it is taken.
    """
    if reading.told and not reading.why:
        raise CannotDispatch(_("Say why the box is closed all the same: it stays on record."))
    with transaction.atomic():
        weigh_in(parcel, reading.weighed_g, by)
        weighing.keep_reading(parcel, reading, WeighVerdict.DECIDED if reading.told else WeighVerdict.FITS, by)


def weigh_empty(parcel: Parcel, empty_g: Decimal) -> None:
    """Record what the empty box weighs with its insert, in grams; the closed box is then expected to weigh by that.

    Raises
    ------
    CannotDispatch
        The box is closed or gone: it is not empty any more.
    """
    _change(parcel, ParcelState.PLANNED, empty_g=empty_g)


def ready_to_send(parcel: Parcel) -> None:
    """Raise CannotDispatch unless the parcel is packed and its closed box weighed."""
    if parcel.state != ParcelState.PACKED:
        raise _cannot(parcel, ParcelState.SENT)
    if parcel.weighed_g is None:
        raise CannotDispatch(_("Weigh the closed box of %(parcel)s first.") % {"parcel": parcel.called})


def send(parcel: Parcel, by: User | None = None) -> None:
    """Mark a packed parcel and its pieces sent, once its closed box has been weighed."""
    with transaction.atomic():
        _hold(parcel)
        ready_to_send(parcel)
        _step(parcel, ParcelState.PACKED, ParcelState.SENT)
        held = _held(parcel)
        held.filter(state=PieceState.ALLOCATED).update(state=PieceState.SENT)
        _note(parcel, held, OrderEventKind.SENT, by)


def take_back(parcel: Parcel, why: str, by: User | None = None) -> None:
    """Make a sent parcel packed again that was marked by mistake; its pieces stay held, the reason on record.

    Raises
    ------
    CannotDispatch
        No reason is given, the parcel is not sent, or a piece of it has come back for repair and so did arrive.
    """
    why = why.strip()[:200]
    if not why:
        raise CannotDispatch(_("Give the reason why “sent” is taken back: it stays on record."))
    with transaction.atomic():
        order = _hold(parcel)
        held = _held(parcel)
        repairs = order.events.filter(kind=OrderEventKind.REPAIR, piece__in=held)
        repaired = repairs.select_related("piece__product").first()
        if repaired is not None:
            raise CannotDispatch(
                _("%(parcel)s did arrive: %(piece)s has come back from it for repair.")
                % {"parcel": parcel.title, "piece": repaired.piece}
            )
        returned = order.events.filter(kind=OrderEventKind.RETURNED, piece__in=consignments.pieces_in(parcel)).first()
        if returned is not None:
            raise CannotDispatch(
                _("%(parcel)s did arrive: %(piece)s has come back from it.")
                % {"parcel": parcel.title, "piece": returned.piece}
            )
        _step(parcel, ParcelState.SENT, ParcelState.PACKED)
        held.filter(state=PieceState.SENT).update(state=PieceState.ALLOCATED)
        _note(parcel, held, OrderEventKind.TAKEN_BACK, by, why)


def cancel(order: Order, why: str = "") -> None:
    """Cancel an open order; its pieces go back to the rack."""
    with transaction.atomic():
        Order.objects.select_for_update().filter(pk=order.pk).first()
        order.refresh_from_db()
        before = order.state
        if order.is_open:
            allocation.release_all(order, why)
        # Conditional: of two people who mark the same order one does, and the other is told how it stands.
        moved = Order.objects.filter(pk=order.pk, state__in=OPEN_STATES).update(state=OrderState.CANCELLED)
        order.refresh_from_db(fields=["state"])
        if not moved:
            raise CannotDispatch(
                _("Order %(number)d is %(state)s and cannot be marked %(target)s.")
                % {
                    "number": order.number,
                    "state": order.get_state_display(),
                    "target": OrderState.CANCELLED.label,
                }
            )
        _record(order, before)


def _hold(parcel: Parcel) -> Order:
    """Read a parcel and its order as they are now, and hold the order's row where the database can.

    CannotDispatch where the order was planned again and has other parcels now.
    """
    Order.objects.select_for_update().filter(pk=parcel.consignment.order_id).first()
    parcel.refresh_from_db()
    order = parcel.order
    order.refresh_from_db()
    if order.consignment_id != parcel.consignment_id:
        raise CannotDispatch(
            _("Order %(number)d has been planned again: look which parcels it has now.") % {"number": order.number}
        )
    return order


def _held(parcel: Parcel) -> QuerySet[Piece]:
    """The pieces of a parcel that are held for its order."""
    live = Allocation.objects.live().filter(line__order=parcel.consignment.order_id)
    return Piece.objects.filter(pk__in=live.filter(piece__in=consignments.pieces_in(parcel)).values("piece"))


def _note(parcel: Parcel, pieces: QuerySet[Piece], kind: OrderEventKind, by: User | None, why: str = "") -> None:
    """Write what happened to a parcel into the history, its own and that of each piece."""
    about = {"order": parcel.order, "parcel": parcel, "kind": kind, "by": by, "why": why}
    OrderEvent.objects.create(**about)
    for piece in pieces:
        OrderEvent.objects.create(piece=piece, **about)


def _step(parcel: Parcel, source: ParcelState, target: ParcelState) -> None:
    """From one state to the next; the order's state follows."""
    # Conditional: of two people who mark the same parcel one does, and the other is told how it stands.
    moved = Parcel.objects.filter(pk=parcel.pk, state=source).update(state=target)
    parcel.refresh_from_db(fields=["state"])
    if not moved:
        raise _cannot(parcel, target)
    order = parcel.order
    before = order.state
    consignments.follow(order)
    if parcel.plan.parcel_count > 1:
        audit.record(f"marked {target.value}", parcel, before={"state": str(source)}, after={"state": target.value})
    if order.state != before:
        _record(order, before)


def _record(order: Order, before: str) -> None:
    """Write an order's new state into the record of changes, and have its plans judged again."""
    outdated.mark(Q(pk=order.pk))  # what changed while it was closed marked nothing
    audit.record(f"marked {order.state}", order, before={"state": str(before)}, after={"state": str(order.state)})


def _change(parcel: Parcel, state: ParcelState, **values: object) -> None:
    """Set columns of a parcel that is in a state; CannotDispatch where it is in another by now."""
    changed = Parcel.objects.filter(pk=parcel.pk, state=state).update(**values)
    parcel.refresh_from_db(fields=["state", *values])
    if not changed:
        raise CannotDispatch(
            _("%(parcel)s is %(state)s by now: nothing is recorded.")
            % {"parcel": parcel.title, "state": parcel.get_state_display()}
        )


def _cannot(parcel: Parcel, target: ParcelState) -> CannotDispatch:
    return CannotDispatch(
        _("%(parcel)s is %(state)s and cannot be marked %(target)s.")
        % {"parcel": parcel.title, "state": parcel.get_state_display(), "target": target.label}
    )

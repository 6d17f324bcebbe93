"""Keeping what was planned: a consignment with its parcels and their plans; and an order's state, by theirs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.db import transaction
from django.utils.translation import gettext as _

from shop import adapter
from shop.models import (
    OPEN_STATES,
    Allocation,
    BoxPlan,
    Consignment,
    Offer,
    Order,
    OrderState,
    Parcel,
    ParcelState,
    Piece,
    state_from,
)
from shop.services.errors import CannotPlan
from shop.services.shops import today

CLOSED = (ParcelState.PACKED, ParcelState.SENT)


@dataclass(frozen=True)
class Boxed:
    """One parcel planned and checked: what it was planned from, its plan, and what was found with that.

    Parameters
    ----------
    file
        Of its own items.
    plan
        Checked.
    planned
        The boxes offered with it; None for a box that was itself one of those offered.
    snapshot
        The rows its box was made from.
    """

    file: adapter.OrderFile
    plan: adapter.Plan
    planned: adapter.Planned | None = None
    snapshot: adapter.Snapshot = field(default_factory=adapter.Snapshot)


def store(order: Order, boxed: Sequence[Boxed], *, instead_of: tuple[int, ...] | None = None) -> Consignment:
    """Make checked plans the order's consignment, unless the order has changed since they were made.

    Parameters
    ----------
    order
        Open.
    boxed
        One a parcel, in the order of their numbers; all that is in the order between them.
    instead_of
        The keys of the plans that they replace; None asks nothing.

    Raises
    ------
    CannotPlan
        The order or its stock has changed, or has been planned otherwise by now; nothing is stored.
    """
    with transaction.atomic():
        locked = _held_unchanged(order, boxed, instead_of, closed=())
        if not locked.is_open:
            raise changed_meanwhile(order)
        consignment = Consignment.objects.create(order=locked)
        for number, one in enumerate(boxed, 1):
            plan = _keep(locked, one, number, len(boxed))
            Parcel.objects.create(consignment=consignment, plan=plan, number=number)
        Order.objects.filter(pk=order.pk, state__in=OPEN_STATES).update(
            consignment=consignment, state=OrderState.PLANNED, **_judged(locked)
        )
    order.refresh_from_db()
    return consignment


def store_again(
    order: Order, boxed: Mapping[Parcel, Boxed], *, instead_of: tuple[int, ...], chosen_from: BoxPlan | None = None
) -> None:
    """Give parcels that are still open another plan, each with the same items in it; the others stay as they are.

    Parameters
    ----------
    order
        Whose parcels they are.
    boxed
        By the parcel.
    instead_of
        The keys of the plans of all of the order's parcels.
    chosen_from
        The plan among whose boxes it was chosen.

    Raises
    ------
    CannotPlan
        As for `store`; or one of the parcels is closed by now.
    """
    with transaction.atomic():
        others = [one for one in order.parcels.select_related("plan") if one not in boxed]
        locked = _held_unchanged(order, list(boxed.values()), instead_of, closed=others)
        for parcel, one in boxed.items():
            plan = _keep(locked, one, parcel.number, parcel.plan.parcel_count, chosen_from)
            # Conditional: a box that is closed, or planned otherwise, stays as it is. What the other weighed is gone.
            given = Parcel.objects.filter(pk=parcel.pk, plan=parcel.plan_id, state=ParcelState.PLANNED)
            if not given.update(plan=plan, empty_g=None):
                raise planned_since(order)
            parcel.refresh_from_db()
        Order.objects.filter(pk=order.pk).update(**_judged(locked))
    order.refresh_from_db()


def follow(order: Order) -> None:
    """Bring an order's state up to date with its parcels'; its row is held by who calls. A cancelled one stays so."""
    state = state_from(order.parcels.values_list("state", flat=True))
    Order.objects.filter(pk=order.pk).exclude(state=OrderState.CANCELLED).update(state=state)
    order.refresh_from_db(fields=["state"])


def pieces_in(parcel: Parcel) -> set[int]:
    """The keys of the pieces in a parcel."""
    return {source.pk for source in adapter.sources_of(parcel.plan).values() if source.is_piece}


def packed_with(piece: Piece) -> Parcel | None:
    """The closed box that a piece lies in and that is still here; None where it is in none."""
    orders = Allocation.objects.live().filter(piece=piece.pk).values("line__order")
    rows = Parcel.objects.filter(consignment__current_of__in=orders, state=ParcelState.PACKED)
    closed = rows.select_related("plan", "consignment__order").defer("plan__content")
    return next((parcel for parcel in closed if piece.pk in pieces_in(parcel)), None)


def changed_meanwhile(order: Order, changes: Sequence[str] = ()) -> CannotPlan:
    """The refusal of a plan whose order has changed since it was asked for."""
    sentence = _("Order %(number)d changed while its box was planned: plan it again.")
    return CannotPlan(" ".join([sentence % {"number": order.number}, *changes]))


def planned_since(order: Order) -> CannotPlan:
    """The refusal of a box for an order that has been given others."""
    return CannotPlan(
        _("The box of order %(number)d has been planned again meanwhile: choose among the boxes offered now.")
        % {"number": order.number}
    )


def _held_unchanged(
    order: Order, boxed: Sequence[Boxed], instead_of: tuple[int, ...] | None, *, closed: Sequence[Parcel]
) -> Order:
    """The order's row, held; CannotPlan where it or its stock is not what the plans were made from."""
    # Held until the plans are stored: nobody changes the order between the comparison and that. Only the order's own
    # row, so that others in the shop need not wait.
    locked = Order.objects.select_for_update(of=("self",)).select_related("shop").get(pk=order.pk)
    changes: list[str] = []
    for one in boxed:
        changes += adapter.row_changes(locked.shop, one.file.stock, one.snapshot)
    elsewhere = {item for parcel in closed for item in parcel.plan.item_sources}
    files = [one.file for one in boxed]
    if not locked.has_open_box or changes or not adapter.still_so(locked, files, elsewhere):
        raise changed_meanwhile(order, list(dict.fromkeys(changes)))
    if instead_of is not None and locked.plan_keys != instead_of:
        raise planned_since(order)
    return locked


def _keep(order: Order, one: Boxed, number: int, count: int, chosen_from: BoxPlan | None = None) -> BoxPlan:
    """The row of a plan, with the boxes that were offered with it."""
    planned = one.planned
    plan = BoxPlan.objects.create(
        order=order,
        content=adapter.plan_content(one.plan),
        refused_styles=adapter.refused_rows(planned.refused_styles if planned is not None else ()),
        chosen_from=chosen_from,
        order_content=one.file.content,
        rules={**adapter.rules_content(one.file.order.rules), **adapter.kept(one.file.stock)},
        item_sources=adapter.kept(one.file.item_sources),
        parcel_number=number,
        parcel_count=count,
        code_version=adapter.code_version(),
        input_hash=one.file.input_hash,
        snapshot=adapter.kept(one.snapshot),
    )
    for place, offered in enumerate(planned.offers if planned is not None else ()):
        content, rows = adapter.plan_content(offered.plan), adapter.kept(offered.snapshot)
        Offer.of_content(plan, place, content, beside=adapter.kept_sentence(offered.beside), snapshot=rows).save()
    return plan


def _judged(order: Order) -> dict[str, object]:
    """The columns of an order whose plans were held against it just now."""
    return {"plan_outdated": False, "plan_outdated_why": "", "plan_judged_on": today(order.shop)}

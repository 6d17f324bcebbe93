"""Orders of one parcel, as most tests have them: its plan, and a plan put there by hand."""

from collections.abc import Callable
from typing import Any

from shop import adapter
from shop.models import BoxPlan, Consignment, Order, OrderState, Parcel, ParcelState
from shop.services import consignments
from shop.services.consignments import Boxed


def only_parcel(one: Order | Consignment) -> Parcel:
    """The one parcel of an order or a consignment."""
    return one.parcels.get()


def only_plan(one: Order | Consignment) -> BoxPlan:
    """The plan of its one parcel."""
    return only_parcel(one).plan


def act(step: Callable[..., None], order: Order, *args: Any, **named: Any) -> None:
    """Do a step of sending with an order's one parcel; the order is read again after."""
    step(only_parcel(order), *args, **named)
    order.refresh_from_db()


def keep(order: Order, plan: BoxPlan) -> Parcel:
    """Make a plan that was written by hand that of the order's one parcel; the order is planned then."""
    consignment = Consignment.objects.create(order=order)
    Order.objects.filter(pk=order.pk).update(consignment=consignment, state=OrderState.PLANNED)
    order.refresh_from_db()
    return Parcel.objects.create(consignment=consignment, plan=plan)


def close_by_hand(order: Order) -> None:
    """An order of which nothing but what it holds is known, in one closed box."""
    sources = adapter.kept(adapter.order_file(order).item_sources)
    plan = BoxPlan.objects.create(
        order=order, content={}, order_content={}, rules={}, item_sources=sources, input_hash="c" * 64
    )
    keep(order, plan)
    act(_closed, order)


def _closed(parcel: Parcel) -> None:
    Parcel.objects.filter(pk=parcel.pk).update(state=ParcelState.PACKED)
    consignments.follow(parcel.order)


def store_one(
    order: Order,
    file: adapter.OrderFile,
    plan: Any,
    planned: adapter.Planned | None = None,
    snapshot: adapter.Snapshot | None = None,
) -> BoxPlan:
    """Store a plan as that of the order's one parcel, as the worker does."""
    made_from = snapshot or (planned.snapshot if planned is not None else adapter.Snapshot())
    return only_plan(consignments.store(order, [Boxed(file, plan, planned, made_from)]))

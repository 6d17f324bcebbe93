"""Keeps with each order whether its plan is out of date, and why.

Whatever a plan is made from marks the orders it may concern as it is stored, in the same transaction. A marked order is
judged once, by the real comparison, when somebody asks; until the next mark its row says how it stands. Papers and
packing do not go by the row: they ask `adapter.is_current`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import reduce
from operator import or_
from typing import Any

from django.db import models
from django.db.models import Case, F, Q, Value, When, prefetch_related_objects
from django.db.models.signals import post_delete, post_save

from shop import adapter
from shop.models import (
    WITH_OPEN_BOXES,
    Allocation,
    AllowanceRow,
    Block,
    BoardRow,
    Carton,
    Customer,
    FastenerRow,
    GradeRule,
    LabourTime,
    Order,
    OrderLine,
    Pattern,
    Piece,
    Product,
    ProductSet,
    RateRule,
    SetMember,
    Shop,
    WoodRow,
)
from shop.services.shops import today

AT_A_TIME = 100
"""Orders in one statement: SQLite takes no deeper conditions than a thousand."""

CONCERNS: dict[type[models.Model], Callable[[Any], Q]] = {
    Order: lambda order: Q(pk=order.pk),
    OrderLine: lambda line: Q(pk=line.order_id),
    Allocation: lambda allocation: Q(pk=allocation.line.order_id),
    Piece: lambda piece: Q(lines__allocations__piece=piece.pk, lines__allocations__released_at=None),
    Customer: lambda customer: Q(customer=customer.pk),
    Shop: lambda shop: Q(shop=shop.pk),
    **dict.fromkeys(
        (
            AllowanceRow,
            Block,
            BoardRow,
            Carton,
            FastenerRow,
            GradeRule,
            LabourTime,
            Pattern,
            Product,
            ProductSet,
            RateRule,
            WoodRow,
        ),
        lambda row: Q(shop=row.shop_id),
    ),
    SetMember: lambda member: Q(shop=member.product_set.shop_id),
}
"""Of each kind of row that plans are made from, the orders that one of them may concern."""


def watch() -> None:
    """Have orders marked as rows are stored and deleted; called once, when the application starts."""
    for model in CONCERNS:
        uid = f"outdated-{model._meta.label}"
        post_save.connect(_stored, sender=model, dispatch_uid=uid)
        post_delete.connect(_stored, sender=model, dispatch_uid=uid)


def mark(concerned: Q) -> None:
    """Note that something was stored which the plans of these orders may have been made from.

    Signals call it for single rows; an act that changes rows by a conditional update calls it itself.
    """
    judged = Order.objects.filter(concerned, state__in=WITH_OPEN_BOXES, consignment__isnull=False)
    # By key: an order that is found through several of its lines is counted up once.
    # The marks are counted: who judged before this one finds another count, and their answer is not stored.
    Order.objects.filter(pk__in=judged.values("pk").order_by()).update(
        plan_judged_on=None, plan_touched=F("plan_touched") + 1
    )


def judge(orders: Iterable[Order]) -> None:
    """Compare the plans of open boxes with what the orders are now, and store how they stand.

    Parameters
    ----------
    orders
        The fields on their plans are brought up to date in these instances too. The same queries however many orders
        of one shop, a statement for every `AT_A_TIME` of them aside.
    """
    asked = [order for order in orders if order.has_open_box and order.consignment_id is not None]
    changes = adapter.changes_among(asked)
    for order in asked:
        order.plan_outdated_why = " ".join(changes[order.pk])
        order.plan_outdated = bool(changes[order.pk])
        order.plan_judged_on = today(order.shop)
    for start in range(0, len(asked), AT_A_TIME):
        _store(asked[start : start + AT_A_TIME])


def judge_marked(orders: Sequence[Order]) -> None:
    """Judge those of the orders that are marked, or were judged before the shop's today: carriers' rules have days."""
    prefetch_related_objects(list(orders), "shop")
    judge([order for order in orders if order.plan_judged_on != today(order.shop)])


def _store(orders: Sequence[Order]) -> None:
    """Store how orders stand; one that was marked again since it was read stays marked, and is judged once more."""
    as_read = reduce(or_, (Q(pk=order.pk, plan_touched=order.plan_touched) for order in orders))
    whys = [When(pk=order.pk, then=Value(order.plan_outdated_why)) for order in orders]
    days = [When(pk=order.pk, then=Value(order.plan_judged_on)) for order in orders]
    outdated = [order.pk for order in orders if order.plan_outdated]
    Order.objects.filter(as_read).update(
        plan_outdated=Case(When(pk__in=outdated, then=True), default=False),
        plan_outdated_why=Case(*whys, default=Value("")),
        plan_judged_on=Case(*days, default=None, output_field=models.DateField()),
    )


def _stored(sender: type[models.Model], instance: models.Model, raw: bool = False, **kwargs: Any) -> None:
    # Rows of a back-up are stored raw, as they were: that changes no order.
    if not raw:
        mark(CONCERNS[sender](instance))

"""Planning an order: asked for, done, checked and stored; and the papers of the plan."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from shop import door, jobs
from shop.models import OPEN_STATES, BoxPlan, Carton, Job, JobKind, Order, OrderState, Parcel

SECONDS_FEW, SECONDS_MANY, FEW_ITEMS = 2, 10, 6
MOST_SECONDS = 120


class CannotPlan(Exception):
    """No plan was made or kept; the message is a sentence."""


def seconds_for(items: int) -> int:
    """How long the search may take by default: 2 s up to six items, 10 s beyond."""
    return SECONDS_FEW if items <= FEW_ITEMS else SECONDS_MANY


def request_plan(order: Order, seconds: int | None = None) -> Job:
    """Ask for a plan of an open order; door.NotReady, door.BadInput or CannotPlan at once where none can be made."""
    if not order.is_open:
        raise CannotPlan(
            _("Order %(number)d is %(state)s: its box is not planned again.")
            % {"number": order.number, "state": order.get_state_display()}
        )
    file = door.order_file(order)
    payload = {"seconds": seconds or seconds_for(len(file.content["items"]))}
    return jobs.enqueue(shop=order.shop, order=order, kind=JobKind.PLAN, payload=payload)


def request_papers(order: Order, page_size: str = "") -> Job:
    """Ask for the papers of an order's current plan. Refused when the order has changed since."""
    plan = current_plan(order)
    payload = {"plan": plan.pk, "page_size": page_size or order.shop.paper}
    return jobs.enqueue(shop=order.shop, order=order, kind=JobKind.PAPERS, payload=payload)


def current_plan(order: Order) -> BoxPlan:
    """The order's plan, if it was made from what the order is now; CannotPlan otherwise."""
    if order.current_plan is None:
        raise CannotPlan(_("Order %(number)d has no box plan yet.") % {"number": order.number})
    if order.state in OPEN_STATES and not door.is_current(order):
        raise CannotPlan(
            _("Order %(number)d has changed since its box was planned: plan it again.") % {"number": order.number}
        )
    return order.current_plan


def plan_now(
    order: Order, seconds: float, *, progress: door.Report | None = None, stop: door.Stop | None = None
) -> BoxPlan:
    """Plan an order, check the plan and store it.

    Raises CannotPlan where there is no plan, the checker finds a broken rule, or the order changed meanwhile;
    jobs.Stopped when `stop` cut the search short.
    """
    file = door.order_file(order)
    cartons = Carton.objects.filter(shop=order.shop, count__gt=0)
    content = door.plan_order(file.content, file.stock, cartons, seconds=seconds, progress=progress, stop=stop)
    if stop is not None and stop():
        raise jobs.Stopped
    if content["status"] != "planned":
        raise CannotPlan(_too_heavy(order, content) or str(content["message"]))
    problems = door.problems(file.content, content)
    if problems:
        raise CannotPlan(_("The plan breaks rules and was not kept: %(rules)s") % {"rules": " ".join(problems)})
    return store(order, file, content)


def store(order: Order, file: door.OrderFile, content: dict[str, object]) -> BoxPlan:
    """Keep a checked plan and make it the order's current one, unless the order has changed since it was read."""
    with transaction.atomic():
        locked = Order.objects.select_for_update().select_related("shop").get(pk=order.pk)
        if not locked.is_open or _hash_now(locked) != file.input_hash:
            raise CannotPlan(
                _("Order %(number)d changed while its box was planned: plan it again.") % {"number": order.number}
            )
        plan = BoxPlan.objects.create(
            order=locked,
            content=content,
            order_content=file.content,
            rules={**file.content["rules"], **file.stock},
            rows=file.rows,
            code_version=door.code_version(),
            input_hash=file.input_hash,
        )
        Parcel.objects.create(order=locked, plan=plan)
        Order.objects.filter(pk=order.pk, state__in=OPEN_STATES).update(current_plan=plan, state=OrderState.PLANNED)
    order.refresh_from_db()
    return plan


def _hash_now(order: Order) -> str:
    try:
        return door.order_file(order).input_hash
    except (door.NotReady, door.BadInput):
        return ""


def _too_heavy(order: Order, content: Mapping[str, Any]) -> str:
    """What to do about a box heavier than the shop allows, in the shop's units; "" where that is not the fault."""
    if content["limit"] != "max_gross_g":
        return ""
    limit, by = Decimal(str(order.shop.plan_rules["max_gross_g"])), Decimal(str(content["by_g"]))
    shown = {
        name: door.show_weight(grams, order.shop.weight_unit)
        for name, grams in (("gross", limit + by), ("by", by), ("limit", limit))
    }
    return (
        _(
            "The lightest closed box found weighs %(gross)s, %(by)s more than the %(limit)s that the shop's settings "
            "allow: take lines out of this order and send them as another one."
        )
        % shown
    )

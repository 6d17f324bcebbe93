"""Several orders laid on the same sheets of stock: taken in one go, given back in one go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import msgspec
from django.db import IntegrityError
from django.utils.translation import gettext as _

from shop import adapter
from shop.models import BoxPlan, CutTogether, Order, OrderState, Shop, StockTaking, User
from shop.services import audit, planning, stock
from shop.services.errors import CannotTakeStock, DomainError
from shop.services.shops import one_at_a_time

MOST_ORDERS = 24
"""Orders that are laid at once: a page is waited for."""


@dataclass(frozen=True, slots=True)
class Laid:
    """Orders laid on stock.

    Parameters
    ----------
    orders, plans
        Each order's plan by what stands before the ids of its parts.
    sheets
        The stock that they are laid on.
    cuts, labels
        By need; what is written on the offcuts of each sheet.
    """

    orders: tuple[Order, ...]
    plans: Mapping[str, adapter.Plan]
    sheets: tuple[adapter.SheetOnPaper, ...]
    cuts: tuple[adapter.CutFromStock, ...]
    labels: Sequence[Sequence[tuple[str, ...]]]

    @property
    def takes_anything(self) -> bool:
        """True where all parts of which stock is kept have a place on it."""
        return bool(self.cuts) and all(cut.why is None for cut in self.cuts)


def ready_to_cut(shop: Shop) -> list[Order]:
    """The planned orders that have taken nothing from stock, by number; what they need is planned as they are now."""
    orders = Order.objects.filter(shop=shop, state=OrderState.PLANNED).exclude(
        pk__in=StockTaking.objects.filter(shop=shop, given_back_at__isnull=True).values("order")
    )
    return [order for order in orders.select_related("customer", "current_plan").order_by("number") if _fits(order)]


def _fits(order: Order) -> bool:
    try:
        planning.current_plan(order)
    except DomainError:
        return False
    return True


def lay(orders: Sequence[Order]) -> Laid:
    """Lay the parts of orders on the stock there is, offcuts first.

    Parameters
    ----------
    orders
        Planned, of one shop, two or more; one alone is laid as on its own page.

    Returns
    -------
    Laid

    Raises
    ------
    CannotTakeStock
        None are named, or too many.
    CannotPlan
        A plan is out of date.
    """
    if not 0 < len(orders) <= MOST_ORDERS:
        sentence = _("Name at least one order, and at most %(most)d; here are %(count)d.")
        raise CannotTakeStock(sentence % {"most": MOST_ORDERS, "count": len(orders)})
    plans = {f"{order.number} ": adapter.plan_of(planning.current_plan(order)) for order in orders}
    sheets = adapter.sheets_of(orders[0].shop)
    cuts = adapter.cut_plans_from(plans, sheets)
    return Laid(tuple(orders), plans, sheets, cuts, adapter.offcut_labels(_prefix(orders), cuts))


def _prefix(orders: Sequence[Order]) -> str:
    """What stands before the number of an offcut: the first order's, and how many more there are."""
    more = len(orders) - 1
    return f"{orders[0].number}+{more}" if more else str(orders[0].number)


def take_together(orders: Sequence[Order], seen: Sequence[BoxPlan], by: User | None = None) -> CutTogether:
    """Take the sheets that the parts of several orders are laid on out of stock, and put the new offcuts in.

    Parameters
    ----------
    orders
        See `lay`.
    seen
        The plan of each that the person saw.
    by
        Who takes them.

    Returns
    -------
    CutTogether

    Raises
    ------
    CannotTakeStock
        An order is not planned or has taken its stock, a part has no place, or the stock has changed meanwhile;
        nothing changes.
    CannotPlan
        A plan is out of date.
    """
    for order, plan in zip(orders, seen, strict=True):
        stock.refuse_unless_planned(order, plan)
    laid = lay(orders)
    stock.refuse_lacks(orders, laid.cuts)
    shop = orders[0].shop
    try:
        with one_at_a_time(shop):
            for order, plan in zip(orders, seen, strict=True):
                order.refresh_from_db()
                stock.refuse_unless_planned(order, plan)
            stock.refuse_changed(shop, laid.sheets)
            together = CutTogether.objects.create(shop=shop)
            rows = msgspec.to_builtins(laid.sheets)
            takings = [
                StockTaking.objects.create(order=order, plan=plan, rows=rows, taken_by=by, together=together)
                for order, plan in zip(orders, seen, strict=True)
            ]
            stock.move_stock(takings[0], laid.cuts, _prefix(orders))
            audit.record("stock taken", orders[0], after=stock.said_of(takings[0]))
            for order in orders[1:]:
                audit.record("stock taken", order, after={_("cut together with order"): orders[0].number})
    except IntegrityError as both:
        raise CannotTakeStock(_("One of these orders has taken its stock already.")) from both
    return together


def taken_together(shop: Shop) -> list[CutTogether]:
    """What is taken for several orders and not given back, the latest first."""
    open_ones = StockTaking.objects.filter(shop=shop, given_back_at__isnull=True, together__isnull=False)
    return list(CutTogether.objects.filter(pk__in=open_ones.values("together")))

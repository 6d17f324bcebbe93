"""The bookkeeper's view of orders: what each comes to, by day and customer, with sums by currency, also as CSV."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import DecimalField, ExpressionWrapper, F, Q, QuerySet, Sum
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.models import Order, OrderLine, OrderState, Shop
from shop.money import Money, order_totals, totals

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""First signs by which a spreadsheet takes a text for a formula (OWASP, "CSV Injection"; from memory)."""


@dataclass(frozen=True)
class AccountRow:
    """An order with what its priced lines come to, one amount for each currency."""

    order: Order
    placed_on: dt.date
    amounts: Sequence[Money]


def asked_orders(
    orders: QuerySet[Order], shop: Shop, first: dt.date | None = None, last: dt.date | None = None, customer: str = ""
) -> QuerySet[Order]:
    """Narrow orders to those taken on some days and of some customers.

    Parameters
    ----------
    orders
        The shop's orders.
    shop
        Days are of its time zone.
    first, last
        Days included; None for all before or after.
    customer
        Part of a name; empty for all.

    Returns
    -------
    QuerySet of Order
        The latest first, each with its customer and lines read along.
    """
    zone = ZoneInfo(shop.timezone)
    if first is not None:
        orders = orders.filter(placed_at__gte=dt.datetime.combine(first, dt.time(), zone))
    if last is not None:
        orders = orders.filter(placed_at__lt=dt.datetime.combine(last + dt.timedelta(days=1), dt.time(), zone))
    if customer:
        orders = orders.filter(customer__name__icontains=customer)
    return orders.select_related("customer").prefetch_related("lines")


def account_rows(orders: Iterable[Order], shop: Shop) -> Iterator[AccountRow]:
    """Give each order its day in the shop's time zone and its amounts."""
    zone = ZoneInfo(shop.timezone)
    for order in orders:
        yield AccountRow(order, timezone.localtime(order.placed_at, zone).date(), order_totals(order))


def sums(orders: QuerySet[Order]) -> list[Money]:
    """Add up what all of these orders come to but for cancelled ones, one amount for each currency."""
    amount = ExpressionWrapper(F("unit_price") * F("quantity"), DecimalField(max_digits=20, decimal_places=4))
    lines = OrderLine.objects.filter(~Q(order__state=OrderState.CANCELLED), order__in=orders.values("pk"))
    found = (
        lines.filter(unit_price__isnull=False).values_list("currency").annotate(total=Sum(amount)).order_by("currency")
    )
    return totals(Money(total or Decimal(0), currency) for currency, total in found)


def as_csv(rows: Iterable[AccountRow]) -> str:
    """Write orders as CSV (RFC 4180), a line for each order and currency; one without prices has an empty amount."""
    text = io.StringIO()
    out = csv.writer(text)
    out.writerow([_("Order"), _("Customer"), _("Country"), _("Placed"), _("State"), _("Amount"), _("Currency")])
    for row in rows:
        order, customer = row.order, row.order.customer
        about = [order.number, plain(customer.name), customer.country, row.placed_on, order.get_state_display()]
        for amount in row.amounts or (None,):
            out.writerow([*about, *(("", "") if amount is None else (amount.amount, amount.currency))])
    return text.getvalue()


def plain(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(FORMULA) else text

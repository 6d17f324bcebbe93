"""Several orders laid on the same sheets of stock: taken in one go, given back in one go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import msgspec
from django.db import IntegrityError
from django.db.models import Exists, OuterRef
from django.utils.translation import gettext as _

from shop import adapter
from shop.models import WITH_OPEN_BOXES, BoxPlan, CutTogether, Parcel, ParcelState, Shop, StockTaking, User
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
    parcels, plans
        Each parcel's plan by what stands before the ids of its parts.
    sheets
        The stock that they are laid on.
    cuts, labels
        By need; what is written on the offcuts of each sheet.
    """

    parcels: tuple[Parcel, ...]
    plans: Mapping[str, adapter.Plan]
    sheets: tuple[adapter.SheetOnPaper, ...]
    cuts: tuple[adapter.CutFromStock, ...]
    labels: Sequence[Sequence[tuple[str, ...]]]

    @property
    def takes_anything(self) -> bool:
        """True where all parts of which stock is kept have a place on it."""
        return bool(self.cuts) and all(cut.why is None for cut in self.cuts)


def ready_to_cut(shop: Shop) -> list[Parcel]:
    """The planned parcels that have taken nothing from stock, by number; what they need is planned as they are now."""
    taken = StockTaking.objects.filter(
        order=OuterRef("consignment__order"), number=OuterRef("number"), given_back_at__isnull=True
    )
    rows = Parcel.objects.filter(
        shop=shop, state=ParcelState.PLANNED, consignment__current_of__state__in=WITH_OPEN_BOXES
    )
    waiting = rows.exclude(Exists(taken)).select_related("consignment__order__customer", "plan__order")
    return [parcel for parcel in waiting.order_by("consignment__order__number", "number") if _fits(parcel)]


def _fits(parcel: Parcel) -> bool:
    try:
        planning.current_plan(parcel)
    except DomainError:
        return False
    return True


def lay(parcels: Sequence[Parcel]) -> Laid:
    """Lay the parts of parcels on the stock there is, offcuts first.

    Parameters
    ----------
    parcels
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
    if not 0 < len(parcels) <= MOST_ORDERS:
        sentence = _("Name at least one order, and at most %(most)d; here are %(count)d.")
        raise CannotTakeStock(sentence % {"most": MOST_ORDERS, "count": len(parcels)})
    plans = {f"{one.plan.parcel_name} ": adapter.plan_of(planning.current_plan(one)) for one in parcels}
    sheets = adapter.sheets_of(parcels[0].shop)
    cuts = adapter.cut_plans_from(plans, sheets)
    return Laid(tuple(parcels), plans, sheets, cuts, adapter.offcut_labels(_prefix(parcels), cuts))


def _prefix(parcels: Sequence[Parcel]) -> str:
    """The words before the number of an offcut: the first parcel's, and how many more there are."""
    more = len(parcels) - 1
    first = parcels[0].plan.parcel_name
    return f"{first}+{more}" if more else first


def take_together(parcels: Sequence[Parcel], seen: Sequence[BoxPlan], by: User | None = None) -> CutTogether:
    """Take the sheets that the parts of several orders are laid on out of stock, and put the new offcuts in.

    Parameters
    ----------
    parcels
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
        A parcel is not planned or has taken its stock, a part has no place, or the stock has changed meanwhile;
        nothing changes.
    CannotPlan
        A plan is out of date.
    """
    if len(parcels) < 2:
        raise CannotTakeStock(_("Choose two parcels or more: one alone takes its stock on its own page."))
    for parcel, plan in zip(parcels, seen, strict=True):
        stock.refuse_unless_planned(parcel, plan)
    laid = lay(parcels)
    orders = list(dict.fromkeys(parcel.order for parcel in parcels))
    stock.refuse_lacks(orders, laid.cuts)
    shop = parcels[0].shop
    try:
        with one_at_a_time(shop):
            for parcel, plan in zip(parcels, seen, strict=True):
                # Asked once more while nobody else moves stock: laying takes seconds, in which a box may have been
                # closed.
                parcel.refresh_from_db()
                stock.refuse_unless_planned(parcel, plan)
            stock.refuse_changed(shop, laid.sheets)
            together = CutTogether.objects.create(shop=shop)
            rows = msgspec.to_builtins(laid.sheets)
            takings = [
                StockTaking.objects.create(
                    order=parcel.order, plan=plan, number=parcel.number, rows=rows, taken_by=by, together=together
                )
                for parcel, plan in zip(parcels, seen, strict=True)
            ]
            # One sheet serves several orders and cannot be counted down for each: the first one's taking stands for
            # all.
            stock.move_stock(takings[0], laid.cuts, _prefix(parcels))
            audit.record("stock taken", orders[0], after=stock.said_of(takings[0]))
            for order in orders[1:]:
                audit.record("stock taken", order, after={_("cut together with order"): orders[0].number})
    except IntegrityError as both:
        raise CannotTakeStock(_("One of these orders has taken its stock already.")) from both
    return together


def taken_together(shop: Shop) -> list[CutTogether]:
    """List what is taken for several orders and not given back, the latest first."""
    open_ones = StockTaking.objects.filter(shop=shop, given_back_at__isnull=True, together__isnull=False)
    return list(CutTogether.objects.filter(pk__in=open_ones.values("together")))

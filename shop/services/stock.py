"""Taking what a parcel is cut from out of stock, once, and giving it back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from decimal import Decimal

import msgspec
from django.db import IntegrityError, models, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.formatting import Units, Wording
from shop.models import (
    BoxPlan,
    CutTogether,
    Order,
    Parcel,
    ParcelState,
    SheetRow,
    Shop,
    StockMove,
    StockTaking,
    User,
)
from shop.services import audit, planning
from shop.services.errors import CannotTakeStock
from shop.services.shops import one_at_a_time


def taking_of(order: Order, number: int) -> StockTaking | None:
    """The sheets a parcel of an order has taken from stock and not given back; None where that is nothing."""
    return StockTaking.objects.filter(order=order, number=number, given_back_at__isnull=True).first()


def cut_with(plan: BoxPlan) -> tuple[str, ...]:
    """The parcels that a parcel's parts are cut together with, its own among them; else none."""
    taking = taking_of(plan.order, plan.parcel_number)
    return () if taking is None or taking.together is None else taking.together.parcel_names


def stock_for(plan: BoxPlan) -> tuple[adapter.SheetOnPaper, ...]:
    """The stock a parcel is laid on: as it was when it took from it, else as it is; none where others are on it too."""
    taking = taking_of(plan.order, plan.parcel_number)
    if taking is None:
        return adapter.sheets_of(plan.shop)
    if taking.together is not None:
        return ()
    # The paper of what was taken must not change with the shelf, where the new offcuts lie by now.
    return msgspec.convert(tuple(taking.rows), tuple[adapter.SheetOnPaper, ...])


def take(parcel: Parcel, plan: BoxPlan, by: User | None = None) -> StockTaking:
    """Take the sheets and offcuts a parcel's parts are laid on out of stock, and put the new offcuts in.

    Parameters
    ----------
    parcel
        Planned.
    plan
        The plan the person saw: it must still be the parcel's.
    by
        Who takes it.

    Raises
    ------
    CannotTakeStock
        The parcel is not planned, has taken its stock, a part has no place on what there is, or somebody else took of
        the same stock meanwhile; nothing changes.
    CannotPlan
        The plan is out of date.
    """
    # Laid out before anything is held: that takes up to some seconds, and what it was laid on is compared after.
    order = parcel.order
    refuse_unless_planned(parcel, plan)
    sheets = adapter.sheets_of(order.shop)
    cuts = adapter.cut_plan_from(adapter.plan_of(plan), sheets)
    refuse_lacks([order], cuts)
    try:
        with one_at_a_time(order.shop):
            parcel.refresh_from_db()
            refuse_unless_planned(parcel, plan)
            refuse_changed(order.shop, sheets)
            rows = msgspec.to_builtins(sheets)
            taking = StockTaking.objects.create(order=order, plan=plan, number=parcel.number, rows=rows, taken_by=by)
            move_stock(taking, cuts, plan.parcel_name)
            audit.record("stock taken", order, after=said_of(taking))
    except IntegrityError as both:
        raise _taken(parcel) from both
    return taking


def give_back_group(group: CutTogether, by: User | None = None) -> None:
    """Undo what parcels took together. Raises CannotTakeStock where it was given back or an offcut used since."""
    taking = group.takings.filter(given_back_at__isnull=True).first()
    if taking is None:
        raise CannotTakeStock(_("That has been given back already."))
    give_back(taking.order, taking.number, by)


def give_back(order: Order, number: int, by: User | None = None) -> None:
    """Undo what the parcel of that number took, with all that is cut together with it: sheets are whole again.

    Its offcuts are gone; the record stays.

    Raises
    ------
    CannotTakeStock
        It has taken nothing, or an offcut of it has been used since.
    """
    with one_at_a_time(order.shop):
        taking = taking_of(order, number)
        if taking is None:
            raise CannotTakeStock(_("Order %(number)d has taken nothing from stock.") % {"number": order.number})
        # Conditional: of two people who give back the same, one does.
        now = timezone.now()
        given = _with_it(taking).filter(given_back_at__isnull=True)
        moves = list(StockMove.objects.filter(taking__in=given).select_related("sheet", "taking"))
        said = _said(moves)
        if not given.update(given_back_at=now, given_back_by=by):
            raise CannotTakeStock(_("Order %(number)d has taken nothing from stock.") % {"number": order.number})
        for move in moves:
            left = SheetRow.objects.filter(pk=move.sheet_id, count__gte=max(0, move.change))
            if not left.update(count=F("count") - move.change):
                raise CannotTakeStock(
                    _("Offcut %(label)s of order %(number)d has been used since: give that back first.")
                    % {"label": move.sheet.label, "number": order.number}
                )
            # Booked against, not deleted: the record of what was moved has to add up to what is on the shelf.
            StockMove.objects.create(taking=move.taking, sheet=move.sheet, change=-move.change)
        audit.record("stock given back", order, before=said)


def _with_it(taking: StockTaking) -> models.QuerySet[StockTaking]:
    """A taking, with those of parcels that are cut together with its own."""
    if taking.together_id is None:
        return StockTaking.objects.filter(pk=taking.pk)
    return StockTaking.objects.filter(together=taking.together_id)


def refuse_changed(shop: Shop, sheets: tuple[adapter.SheetOnPaper, ...]) -> None:
    """Raise CannotTakeStock where the stock is no longer what was laid on."""
    if adapter.sheets_hash(adapter.sheets_of(shop)) != adapter.sheets_hash(sheets):
        raise CannotTakeStock(_("The stock has changed meanwhile: nothing is taken yet, try again."))


def refuse_unless_planned(parcel: Parcel, plan: BoxPlan) -> None:
    """Raise CannotTakeStock where a parcel is closed, has another plan, or has taken its stock already."""
    order = parcel.order
    if parcel.state != ParcelState.PLANNED or not order.has_open_box:
        state = order.get_state_display() if not order.has_open_box else parcel.get_state_display()
        raise CannotTakeStock(
            _("%(parcel)s is %(state)s: its stock is taken while it is planned.")
            % {"parcel": parcel.title, "state": state}
        )
    if planning.current_plan(parcel) != plan or order.consignment_id != parcel.consignment_id:
        raise CannotTakeStock(
            _("The box of order %(number)d has been planned again meanwhile: look at it first.")
            % {"number": order.number}
        )
    if taking_of(order, parcel.number) is not None:
        raise _taken(parcel)


def _taken(parcel: Parcel) -> CannotTakeStock:
    return CannotTakeStock(_("%(parcel)s has taken its stock already.") % {"parcel": parcel.title})


def refuse_lacks(orders: Sequence[Order], cuts: tuple[adapter.CutFromStock, ...]) -> None:
    """Raise CannotTakeStock where a part has no place, or where there is nothing to take."""
    shop = orders[0].shop
    write = Wording(Units(shop.length_unit, shop.weight_unit))
    lacks = [write.message(cut.why) for cut in cuts if cut.why is not None]
    if lacks:
        raise CannotTakeStock(" ".join([_("Nothing is taken from stock."), *lacks]))
    if not cuts:
        raise CannotTakeStock(
            ngettext(
                "No stock sheet is of a material of order %(numbers)s: there is nothing to take.",
                "No stock sheet is of a material of orders %(numbers)s: there is nothing to take.",
                len(orders),
            )
            % {"numbers": ", ".join(str(order.number) for order in orders)}
        )


def move_stock(taking: StockTaking, cuts: tuple[adapter.CutFromStock, ...], prefix: str) -> None:
    """Count the sheets down and the offcuts in, their labels counted on from a prefix."""
    used = Counter(int(sheet.stock.id) for cut in cuts if cut.layout is not None for sheet in cut.layout.sheets)
    for key, many in used.items():
        # Conditional, so that no row goes below nothing whatever is overlooked above.
        if not SheetRow.objects.filter(pk=key, count__gte=many).update(count=F("count") - many):
            raise CannotTakeStock(_("The stock has changed meanwhile: nothing is taken yet, try again."))
        StockMove.objects.create(taking=taking, sheet_id=key, change=-many)
    labels = adapter.offcut_labels(prefix, cuts)
    for cut, named in zip(cuts, labels, strict=True):
        for sheet, own in zip(() if cut.layout is None else cut.layout.sheets, named, strict=True):
            for rest, label in zip(sheet.offcuts, own, strict=True):
                row = _offcut(taking.shop, int(sheet.stock.id), rest, label)
                StockMove.objects.create(taking=taking, sheet=row, change=1)


def _offcut(shop: Shop, parent: int, rest: tuple[int, int, int, int], label: str) -> SheetRow:
    """A new row for an offcut; one that an earlier taking of the order had, and gave back, gives up its label."""
    SheetRow.objects.filter(shop=shop, label=label, count=0).update(label="")
    row = SheetRow.objects.get(pk=parent)
    # A copy of the row it was cut from: an offcut is of the same stuff and is cut by the same tools.
    row.pk, row._state.adding = None, True
    row.label, row.offcut, row.count, row.price, row.trim_mm = label, True, 1, None, Decimal(0)
    row.length_mm, row.width_mm = (Decimal(rest[at + 2] - rest[at]) / 1000 for at in (0, 1))
    row.save()
    return row


def _said(moves: Iterable[StockMove]) -> dict[str, object]:
    return {str(move.sheet): move.change for move in moves}


def moves_of(taking: StockTaking) -> list[StockMove]:
    """List what a taking moved, with those of orders that are cut together with its own."""
    return list(StockMove.objects.filter(taking__in=_with_it(taking)).select_related("sheet"))


def said_of(taking: StockTaking) -> dict[str, object]:
    """Gather what a taking moved, as the record of changes keeps it."""
    return _said(taking.moves.select_related("sheet"))


def held(order: Order, number: int) -> list[StockMove]:
    """The sheets a parcel has taken and left, for its screen; empty where it took nothing."""
    taking = taking_of(order, number)
    with transaction.atomic():
        return [] if taking is None else moves_of(taking)

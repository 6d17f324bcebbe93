"""The test of a plan against order, settings and stock as they are now, and what has changed since."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import msgspec
from django.db.models import prefetch_related_objects
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from msgspec import structs

from packing.measure import RULES, BadInput, read_order, rules_content
from packing.measure import Order as OrderRead
from packing.planning import Terms
from shop.adapter.made_from import OrderFile, Stock, stock_of_plan
from shop.adapter.making import making_changes
from shop.adapter.objective import figures
from shop.adapter.offers import shop_terms
from shop.adapter.orders import NotReady, file_of, hash_of, holdings_of, stock_of
from shop.adapter.row_changes import changed_prices, changed_rows
from shop.adapter.snapshot import Snapshot, snapshot_of
from shop.models import Allocation, BoxPlan, Order, OrderLine, Parcel, ParcelState, Shop

Holdings = tuple[list[OrderLine], list[Allocation]]
ADDED = gettext_lazy("%(item)s has been added to the order.")


def is_current(order: Order) -> bool:
    """Tell whether the plans of the order's parcels were made from what the order is now.

    Parameters
    ----------
    order
        With plans or without. Of closed boxes nothing is asked any more.

    Returns
    -------
    bool
        False where there is no plan.
    """
    return order.consignment_id is not None and not changes_since(order)


def changes_since(order: Order) -> list[str]:
    """List what has changed since the order's open boxes were planned.

    Parameters
    ----------
    order
        With plans or without.

    Returns
    -------
    list of str
        A sentence each; empty where nothing has changed or there is no plan.
    """
    return changes_among([order]).get(order.pk, [])


def changes_among(orders: Sequence[Order]) -> dict[int, list[str]]:
    """Say of each order that has plans what has changed since those of its open boxes were made.

    Parameters
    ----------
    orders
        Those without a plan are passed over. The same queries however many orders of one shop.

    Returns
    -------
    dict of list of str
        By the order's key, a sentence for each change; empty where the plans are of what the order is now.
    """
    planned = [order for order in orders if order.consignment_id is not None]
    plans = _plans_of(planned)
    prefetch_related_objects(planned, "customer", "shop__priced_by", "shop__priced_abroad_by")
    shops = {order.shop_id: order.shop for order in planned}
    stocks = {key: stock_of(shop) for key, shop in shops.items()}
    keeping = {plan.shop_id for kept in plans.values() for plan in kept.open if snapshot_of(plan)}
    terms = {key: _terms(shops[key], stocks[key]) for key in keeping}
    holdings = holdings_of(planned)
    found: dict[int, list[str]] = {}
    for order in planned:
        kept = plans[order.pk]
        try:
            files = _files_now(order, kept, holdings[order.pk], stocks[order.shop_id])
        except NotReady as missing:
            found[order.pk] = missing.sentences
        except BadInput as fault:
            found[order.pk] = [str(fault)]
        else:
            changes = _left_out(kept, files)
            for plan, file in zip(kept.open, files.open, strict=True):
                changes += _input_changes(plan, file)
                snapshot = snapshot_of(plan)
                changes += _rows_changed(snapshot, terms[order.shop_id], prices=True) if snapshot else []
            found[order.pk] = list(dict.fromkeys(changes))
    return found


@dataclass
class _PlansKept:
    """The plans of one order's parcels: of the boxes still open, and the ids of the items in those that are closed."""

    open: list[BoxPlan] = field(default_factory=list)
    closed: set[str] = field(default_factory=set)


@dataclass(frozen=True)
class _FilesNow:
    """The files that open boxes would be planned from now; where it is asked, the ids of all that is in the order."""

    open: list[OrderFile]
    ids: frozenset[str] = frozenset()


def _plans_of(orders: Sequence[Order]) -> dict[int, _PlansKept]:
    """By the order's key; the content is by far the largest column of a plan, and nothing here reads it."""
    found = {order.pk: _PlansKept() for order in orders}
    rows = Parcel.objects.filter(consignment__current_of__in=list(found)).order_by("number")
    for parcel in rows.select_related("plan").defer("plan__content"):
        kept = found[parcel.plan.order_id]
        if parcel.state == ParcelState.PLANNED:
            kept.open.append(parcel.plan)
        else:
            kept.closed |= parcel.plan.item_sources.keys()
    return found


def _files_now(order: Order, kept: _PlansKept, holdings: Holdings, stock: Stock) -> _FilesNow:
    # One box is of the whole order, whatever that has become.
    if len(kept.open) == 1 and not kept.closed:
        return _FilesNow([file_of(order, *holdings, stock)])
    whole = file_of(order, *holdings, stock)
    parts = [file_of(order, *holdings, stock, only=plan.item_sources.keys()) for plan in kept.open]
    return _FilesNow(parts, frozenset(whole.item_sources))


def _left_out(kept: _PlansKept, now: _FilesNow) -> list[str]:
    """A sentence for each item that is in the order and in none of its several parcels."""
    inside = kept.closed.union(*(plan.item_sources.keys() for plan in kept.open))
    return [ADDED % {"item": name} for name in sorted(now.ids - inside)]


def _input_changes(plan: BoxPlan, file: OrderFile) -> list[str]:
    """Changes of the order, the rules and the stock since the plan was made; the hash alone decides."""
    if file.input_hash == plan.input_hash:
        return []
    try:
        before, stock = read_order(plan.order_content), stock_of_plan(plan)
    except (BadInput, msgspec.ValidationError):
        return [_("The order has changed.")]
    # A plan of before settings were kept is held against all the rest: a new version alone dates no plan.
    if stock.making is None and hash_of(file.order, structs.replace(file.stock, making=None)) == plan.input_hash:
        return []
    # The hash decides: where no part can be named, it is still told that there is a change.
    return _order_changed(before, file.order) + _stock_changed(stock, file.stock) or [_("The order has changed.")]


def row_changes(shop: Shop, stock: Stock, snapshot: Snapshot) -> list[str]:
    """List what has become of the rows that a box was made from.

    Parameters
    ----------
    shop, stock
        Whose rows; `stock` as `order_file` gives it.
    snapshot
        As `Planned` or a stored plan has it; empty for one of before rows were kept.

    Returns
    -------
    list of str
        A sentence each; one alone where the shop's rows cannot be used, empty for an empty snapshot. A box can be made
        whatever its rows cost now, so prices are not compared.
    """
    return _rows_changed(snapshot, _terms(shop, stock)) if snapshot else []


def _terms(shop: Shop, stock: Stock) -> Terms | str:
    """The terms of the shop's boxes, or the sentence why nothing can be made."""
    try:
        return shop_terms(shop, stock)
    except BadInput as fault:
        return str(fault)


def _rows_changed(snapshot: Snapshot, terms: Terms | str, *, prices: bool = False) -> list[str]:
    if isinstance(terms, str):
        return [terms]
    return changed_rows(snapshot, terms) + (changed_prices(snapshot, terms) if prices else [])


def _order_changed(before: OrderRead, now: OrderRead) -> list[str]:
    """The items that came, went or changed, and the rules that changed."""
    were, are = ({item.id: item for item in order.items} for order in (before, now))
    words = {
        str(ADDED): [name for name in are if name not in were],
        _("%(item)s is no longer in the order."): [name for name in were if name not in are],
        _("%(item)s has other measures or another weight."): [
            name for name in are if name in were and are[name] != were[name]
        ],
    }
    sentences = [sentence % {"item": name} for sentence, names in words.items() for name in names]
    kept, rules = rules_content(before.rules), rules_content(now.rules)
    names = [name for name in dict.fromkeys((*kept, *rules)) if kept.get(name) != rules.get(name)]
    return sentences + [
        _("The planning rule “%(name)s” has changed.") % {"name": _(RULES[name].label or name)} for name in names
    ]


def _stock_changed(before: Stock, now: Stock) -> list[str]:
    changed = {
        _("The foam has changed."): before.foam != now.foam,
        _("Another board is chosen in the settings."): before.board != now.board,
        _("The carrier’s rule that boxes are chosen by has changed."): _deciding(before) != _deciding(now),
        _("The parcel now crosses a border, or no longer does."): before.abroad != now.abroad,
    }
    sentences = [sentence for sentence, is_so in changed.items() if is_so]
    return sentences + making_changes(before.making, now.making)


def _deciding(stock: Stock) -> Mapping[str, object] | None:
    """The figures of the carrier's rule that decide a plan."""
    return None if stock.priced_by is None else figures(stock.priced_by)

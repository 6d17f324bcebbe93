"""Whether a plan was made from what order, settings and stock are now, and what has changed where it was not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db.models import prefetch_related_objects
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from packing.measure import BadInput
from packing.planning import Terms
from shop.adapter.objective import figures
from shop.adapter.offers import shop_terms
from shop.adapter.orders import NotReady, OrderFile, file_of, holdings_of, order_file, stock_of
from shop.adapter.snapshot import changed_rows
from shop.models import BoxPlan, Order, Shop

RULE_NAMES = {
    "clearance": gettext_lazy("clearance"),
    "web": gettext_lazy("web"),
    "wall": gettext_lazy("wall"),
    "base_pad": gettext_lazy("base pad"),
    "layer_pad": gettext_lazy("pad between layers"),
    "top_pad": gettext_lazy("top pad"),
    "sheets": gettext_lazy("stock sheets"),
    "layer_spare": gettext_lazy("layer higher than needed"),
    "max_interior": gettext_lazy("largest insert"),
    "max_gross_g": gettext_lazy("heaviest closed box"),
    "sharp_wall": gettext_lazy("wall at a sharp end"),
    "stiff_sheet": gettext_lazy("stiff sheet between layers"),
    "max_layer_g": gettext_lazy("heaviest layer"),
    "bite": gettext_lazy("how far foam gives"),
    "thin": gettext_lazy("thin sheets"),
    "slices": gettext_lazy("slices of waste"),
}
"""The rules of an order file as the settings call them."""


def is_current(order: Order) -> bool:
    """True when the order's current plan was made from what the order is now."""
    return order.pk in current_among([order])


def current_among(orders: Sequence[Order]) -> set[int]:
    """The keys of those orders whose current plan was made from what they are now.

    The same queries however many orders of one shop.
    """
    planned = [order for order in orders if order.current_plan_id is not None]
    rows = BoxPlan.objects.filter(pk__in=[order.current_plan_id for order in planned])
    plans = {
        pk: (input_hash, snapshot) for pk, input_hash, snapshot in rows.values_list("pk", "input_hash", "snapshot")
    }
    prefetch_related_objects(planned, "customer", "shop__priced_by")
    shops = {order.shop_id: order.shop for order in planned}
    stocks = {key: stock_of(shop) for key, shop in shops.items()}
    keeping = {order.shop_id for order in planned if plans[order.current_plan_id or 0][1]}
    terms = {key: _terms(shops[key], stocks[key]) for key in keeping}
    holdings = holdings_of(planned)
    current = set()
    for order in planned:
        try:
            file = file_of(order, *holdings[order.pk], stocks[order.shop_id])
        except (NotReady, BadInput):
            continue
        input_hash, snapshot = plans[order.current_plan_id or 0]
        if file.input_hash == input_hash and not (snapshot and _rows_changed(snapshot, terms[order.shop_id])):
            current.add(order.pk)
    return current


def changes_since(order: Order) -> list[str]:
    """What has changed since the order's current plan was made, a sentence each; empty where nothing has."""
    plan = order.current_plan
    if plan is None:
        return []
    try:
        file = order_file(order)
    except NotReady as missing:
        return missing.sentences
    except BadInput as fault:
        return [str(fault)]
    sentences = _items_changed(plan, file) + _settings_changed(plan, file)
    return sentences + row_changes(order.shop, file.stock, plan.snapshot)


def row_changes(shop: Shop, stock: Mapping[str, Any], snapshot: Mapping[str, Any]) -> list[str]:
    """What has become of the rows that a box was made from, a sentence each.

    Parameters
    ----------
    shop, stock
        Whose rows; `stock` as `order_file` gives it.
    snapshot
        As `Planned` or a stored plan has it; empty for one of before rows were kept.
    """
    return _rows_changed(snapshot, _terms(shop, stock)) if snapshot else []


def _terms(shop: Shop, stock: Mapping[str, Any]) -> Terms | str:
    """What the shop makes boxes of, or the sentence why nothing can be made."""
    try:
        return shop_terms(shop, stock)
    except BadInput as fault:
        return str(fault)


def _rows_changed(snapshot: Mapping[str, Any], terms: Terms | str) -> list[str]:
    return [terms] if isinstance(terms, str) else changed_rows(snapshot, terms)


def _items_changed(plan: BoxPlan, file: OrderFile) -> list[str]:
    before = {item["id"]: item for item in plan.order_content["items"]}
    now = {item["id"]: item for item in file.content["items"]}
    words = {
        _("%(item)s has come into the order."): [name for name in now if name not in before],
        _("%(item)s is no longer in the order."): [name for name in before if name not in now],
        _("%(item)s has other measures or another weight."): [
            name for name in now if name in before and now[name] != before[name]
        ],
    }
    return [sentence % {"item": name} for sentence, names in words.items() for name in names]


def _settings_changed(plan: BoxPlan, file: OrderFile) -> list[str]:
    rules = file.content["rules"]
    kept = plan.order_content["rules"]
    names = [name for name in dict.fromkeys((*kept, *rules)) if kept.get(name) != rules.get(name)]
    sentences = [
        _("The planning rule “%(name)s” has changed.") % {"name": RULE_NAMES.get(name, name)} for name in names
    ]
    words = {
        "foam": _("The foam has changed."),
        "board": _("Another board is chosen in the settings."),
        "priced_by": _("The carrier’s rule that boxes are chosen by has changed."),
        "abroad": _("The parcel now crosses a border, or no longer does."),
    }
    return sentences + [
        sentence for name, sentence in words.items() if _decides(plan.rules, name) != _decides(file.stock, name)
    ]


def _decides(stock: Mapping[str, Any], name: str) -> Any:
    """What of the stock decides a plan."""
    value = stock.get(name)
    return figures(value) if name == "priced_by" and value else value

"""A request to pack: what is to be sent where, whether its pieces are chosen yet or not, as the library's orders.

Where pieces are not chosen the request has two ends, each an order of its own: one of the least that they may measure
and weigh, one of the most. Where all are chosen the two are one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil

from django.utils.translation import gettext as _

from packing.measure import Item, Order, Tool, fill_ratio, read_item, read_rules
from shop.adapter.item_content import block_content, tool_content
from shop.adapter.made_from import Stock
from shop.adapter.objective import on_the_way
from shop.adapter.orders import NotReady, stock_of
from shop.adapter.plan_rules import rules_for
from shop.adapter.spread import Ends, Ground, Measured, exactly, on_the_rack, rack_of, scatter_of, still_to_make
from shop.models import Block, Piece, Product, Shop


@dataclass(frozen=True)
class PackRequest:
    """A request to pack: pieces that are chosen, products of which pieces are not, blocks; and whereto.

    Parameters
    ----------
    shop
        Its rules, its stock and its rack count.
    to
        The country it goes to, two letters.
    pieces
        Chosen ones.
    products, blocks
        One entry for each piece still to be chosen and for each block, repeated where there are several.
    sets
        Of these products those that are to stay in one parcel where there are several.
    """

    shop: Shop
    to: str
    pieces: tuple[Piece, ...] = ()
    products: tuple[Product, ...] = ()
    blocks: tuple[Block, ...] = ()
    sets: tuple[tuple[Product, ...], ...] = ()


@dataclass(frozen=True)
class Wanted:
    """One item of a request: its name, its two ends as the library reads them, and what they rest on."""

    name: str
    least: Item
    most: Item
    ground: Ground


@dataclass(frozen=True)
class PackOrders:
    """A request as the library plans it.

    Parameters
    ----------
    least, most
        The order of either end; the same where all is chosen.
    names
        What each item is called, in the order of the items.
    grounds
        What the items' measures rest on, each ground once, in the order of `Ground`.
    own_scatter
        Whether the scatter of what is still to be made is the shop's own.
    stock
        What the box is built of and chosen by on this way.
    together
        Places of items that are to stay in one parcel where there are several.
    """

    least: Order
    most: Order
    names: tuple[str, ...]
    grounds: tuple[Ground, ...]
    own_scatter: bool
    stock: Stock
    together: tuple[tuple[int, ...], ...] = ()

    @property
    def firm(self) -> bool:
        """True where nothing is left to choose: both ends are the same."""
        return self.least == self.most


def pack_orders(request: PackRequest) -> PackOrders:
    """Turn a request into the orders that the library plans.

    Parameters
    ----------
    request
        With at least one thing to pack.

    Returns
    -------
    PackOrders
        Items stand in an order that does not depend on the one they were asked for in, and are numbered from 1.

    Raises
    ------
    NotReady
        A product has no measures, or a chosen piece has not been measured; its sentences say which.
    BadInput
        A rule of the shop's cannot be used.
    """
    shop = request.shop
    rack, scatter = rack_of(request.products, without=request.pieces), scatter_of(shop)
    wanted, heads, missing = _chosen(request.pieces)
    for product in dict.fromkeys(request.products):
        count = request.products.count(product)
        found = on_the_rack(product, count, rack)
        rest = None if len(found) == count else still_to_make(product, rack, scatter)
        if len(found) < count and rest is None:
            missing.append(_unmeasured(product, count, len(found)))
            continue
        found += [rest] * (count - len(found)) if rest is not None else []
        for ends in found:
            wanted.append(_tool(product.code, product, ends))
            heads.append((ends.least.head_weight_g, ends.most.head_weight_g))
    if missing:
        raise NotReady(missing)
    for block in request.blocks:
        item = read_item(block_content(block.name, block))
        wanted.append(Wanted(block.name, item, item, Ground.CHOSEN))
    # By what they measure and not by name: the same mix asked for otherwise is the same order.
    wanted.sort(key=lambda one: (repr(_nameless(one.least)), repr(_nameless(one.most)), one.name))
    return PackOrders(
        least=_order(shop, [one.least for one in wanted], max((least for least, _most in heads), default=Decimal(0))),
        most=_order(shop, [one.most for one in wanted], max((most for _least, most in heads), default=Decimal(0))),
        names=tuple(one.name for one in wanted),
        grounds=tuple(ground for ground in Ground if any(one.ground is ground for one in wanted)),
        own_scatter=scatter.own,
        stock=on_the_way(stock_of(shop), shop.country, request.to),
        together=_together(request.sets, [one.name for one in wanted]),
    )


def _together(sets: Sequence[Sequence[Product]], names: Sequence[str]) -> tuple[tuple[int, ...], ...]:
    """Places of each set's items: any piece of a product serves in any set, as none is chosen yet."""
    left = list(enumerate(names))
    groups = []
    for products in sets:
        group = []
        for product in products:
            place = next(one for one in left if one[1] == product.code)
            left.remove(place)
            group.append(place[0])
        groups.append(tuple(group))
    return tuple(groups)


def _chosen(pieces: Sequence[Piece]) -> tuple[list[Wanted], list[tuple[Decimal, Decimal]], list[str]]:
    """The chosen pieces as items, the weights of their heads, and a sentence for each that is not measured."""
    wanted, heads, missing = [], [], []
    for piece in pieces:
        if not piece.is_measured:
            missing.append(_("%(piece)s has not been measured and weighed.") % {"piece": piece.label})
            continue
        ends = exactly(piece)
        wanted.append(_tool(piece.label, piece.product, ends))
        heads.append((ends.least.head_weight_g, ends.most.head_weight_g))
    return wanted, heads, missing


def _unmeasured(product: Product, count: int, here: int) -> str:
    sentence = _(
        "%(product)s has no measures: %(here)d of the %(count)d pieces wanted are on the rack, none was ever measured "
        "beside them, and the product has no target measures. Measure a piece, or enter the targets."
    )
    return sentence % {"product": product, "count": count, "here": here}


def _tool(name: str, product: Product, ends: Ends) -> Wanted:
    """One tool at both ends."""
    least, most = (_read(name, product, values) for values in (ends.least, ends.most))
    return Wanted(name, least, most, ends.ground)


def _read(name: str, product: Product, values: Measured) -> Tool:
    """One end of a tool. Its head is widened where it could not hold its steel: the least may be of several pieces."""
    bare = read_item(tool_content(name, product.pattern, {**values.lengths(), "weight_g": Decimal(1)}))
    if not isinstance(bare, Tool):
        raise TypeError(f"{name} is no tool.")
    tool = replace(bare, weight_mg=int(values.weight_g * 1000))
    fill = fill_ratio(tool)
    return tool if fill <= 1 else replace(tool, head_width_um=ceil(tool.head_width_um * fill))


def _order(shop: Shop, items: Sequence[Item], heaviest_g: Decimal) -> Order:
    """The order of one end, its items numbered from 1, under the shop's rules for its heaviest head."""
    numbered = tuple(replace(item, id=str(number)) for number, item in enumerate(items, 1))
    return Order("quote", numbered, read_rules(rules_for(shop, heaviest_g)))


def _nameless(item: Item) -> Item:
    return replace(item, id="")

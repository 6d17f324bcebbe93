"""Rows go out as an order file's content, with the rules and the stock that the shop plans by."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from msgspec import UNSET, structs

from packing.materials import PE_FOAM
from packing.measure import BadInput, PackingError, input_sha256, order_content, read_order
from packing.measure import Order as OrderRead
from shop.adapter.item_content import block_content, piece_measures, tool_content
from shop.adapter.made_from import FoamStock, ItemSource, OrderFile, SourceKind, Stock, kept
from shop.adapter.making import making_of
from shop.adapter.materials import curve_points
from shop.adapter.objective import figures, on_the_way, pricing_row
from shop.adapter.plan_rules import rules_for
from shop.models import Allocation, Block, Order, OrderEvent, OrderEventKind, OrderLine, Shop

USUAL_SNUG_MM = Decimal(PE_FOAM.snug_um) / 1000


class NotReady(PackingError):
    """An order that cannot be planned yet; `sentences` say what is missing."""

    code = "conflict"

    def __init__(self, sentences: Sequence[str]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = list(sentences)


def order_file(order: Order) -> OrderFile:
    """Gather everything that an order is planned from.

    Parameters
    ----------
    order
        With its lines and live allocations stored.

    Returns
    -------
    OrderFile
        What the order, the shop's rules and the stock are now.

    Raises
    ------
    NotReady
        Pieces or measures are missing, or pieces do not suit their lines; its sentences say which.
    BadInput
        A measure, or a rule of the shop's, cannot be used.
    """
    return file_of(order, *holdings_of([order])[order.pk], stock_of(order.shop))


def parcel_files(order: Order, parcels: Sequence[Collection[str]]) -> list[OrderFile]:
    """Gather what each parcel of an order is planned from: its own items, under the rules for its own heaviest head.

    Parameters
    ----------
    order
        With its lines and live allocations stored.
    parcels
        The ids of each one's items, as they are in `order_file`.

    Returns
    -------
    list of OrderFile
        One a parcel. An id that the order does not have is left out.

    Raises
    ------
    NotReady, BadInput
        As `order_file`.
    """
    holdings, stock = holdings_of([order])[order.pk], stock_of(order.shop)
    return [file_of(order, *holdings, stock, only=ids) for ids in parcels]


def still_so(order: Order, files: Sequence[OrderFile], elsewhere: Collection[str]) -> bool:
    """Tell whether parcels would be planned from the very same now, and hold all that is in the order.

    Parameters
    ----------
    order
        As it is stored now.
    files
        What each parcel was planned from.
    elsewhere
        The ids of items in its other parcels.

    Returns
    -------
    bool
        False for an order that cannot be planned any more.
    """
    holdings, stock = holdings_of([order])[order.pk], stock_of(order.shop)
    inside = set(elsewhere).union(*(file.item_sources for file in files))
    try:
        if set(file_of(order, *holdings, stock).item_sources) != inside:
            return False
        now = [file_of(order, *holdings, stock, only=file.item_sources.keys()) for file in files]
    except (NotReady, BadInput):
        return False
    return [file.input_hash for file in now] == [file.input_hash for file in files]


def holdings_of(orders: Sequence[Order]) -> dict[int, tuple[list[OrderLine], list[Allocation]]]:
    """The lines of each order and what is allocated to them, or was when it left; as many queries for any orders."""
    found: dict[int, tuple[list[OrderLine], list[Allocation]]] = {order.pk: ([], []) for order in orders}
    lines = OrderLine.objects.filter(order__in=list(found)).select_related("product", "product_set", "block")
    for line in lines.prefetch_related("product_set__members__product"):
        found[line.order_id][0].append(line)
    # What came back for good from a box that had left was packed in it all the same: nothing of it is missing.
    back = OrderEvent.objects.filter(
        order=OuterRef("line__order"), piece=OuterRef("piece"), kind=OrderEventKind.RETURNED
    )
    kept = Allocation.objects.filter(Q(released_at__isnull=True) | Exists(back), line__order__in=list(found))
    rows = kept.select_related("piece__product__pattern", "line")
    ordered = rows.order_by("line_id", "piece__product__code", "piece__number", "pk")
    latest = {(row.line_id, row.piece_id): row for row in ordered}
    for allocation in latest.values():
        found[allocation.line.order_id][1].append(allocation)
    return found


def file_of(
    order: Order,
    lines: Sequence[OrderLine],
    allocations: Sequence[Allocation],
    stock: Stock,
    *,
    only: Collection[str] | None = None,
) -> OrderFile:
    """As `order_file`, of an order whose holdings and stock are at hand; `only` some items for a parcel."""
    missing = [*_missing_pieces(lines, allocations), *_missing_measures(allocations)]
    if missing:
        raise NotReady(missing)
    items: list[dict[str, object]] = []
    item_sources: dict[str, ItemSource] = {}
    heaviest = Decimal(0)
    for allocation in allocations:
        piece = allocation.piece
        if only is not None and piece.label not in only:
            continue
        items.append(tool_content(piece.label, piece.product.pattern, piece_measures(piece), mark=piece.mark))
        item_sources[piece.label] = _piece_source(allocation)
        heaviest = max(heaviest, piece.head_weight_g or piece.product.head_weight_g)
    for item_id, line, block in _blocks_of(lines, {allocation.piece.label for allocation in allocations}):
        if only is None or item_id in only:
            items.append(block_content(item_id, block))
            item_sources[item_id] = ItemSource(SourceKind.BLOCK, block.pk, block.name, line.pk)
    in_order = on_the_way(stock, order.shop.country, order.customer.country)
    read = read_order({"id": str(order.number), "rules": rules_for(order.shop, heaviest), "items": items})
    return OrderFile(read, order_content(read), item_sources, in_order, hash_of(read, in_order))


def _blocks_of(lines: Sequence[OrderLine], taken: set[str]) -> Iterator[tuple[str, OrderLine, Block]]:
    """Each block with its id in the order, whichever parcel it goes in."""
    for line in lines:
        for _copy in range(line.quantity if line.block is not None else 0):
            if line.block is not None:
                item_id = _free_id(line.block.name, taken)
                taken.add(item_id)
                yield item_id, line, line.block


def stock_of(shop: Shop) -> Stock:
    """Gather what the shop builds of and chooses by: foam, choice of board, rules that price a box, settings.

    Parameters
    ----------
    shop
        Whose settings they are.

    Returns
    -------
    Stock
        As it is kept with a plan.
    """
    foam = FoamStock(
        name=shop.foam_name,
        density_kg_m3=_json_number(shop.foam_density_kg_m3),
        fit_mm=_json_number(shop.foam_fit_mm),
        meant_for_kpa=_pressures(shop),
        snug_mm=UNSET if shop.foam_snug_mm == USUAL_SNUG_MM else _json_number(shop.foam_snug_mm),
        curve=curve_points(shop.foam_curve) or UNSET,
    )
    return Stock(
        foam=foam,
        board=shop.board,
        priced_by=pricing_row(shop),
        priced_abroad_by=pricing_row(shop, abroad=True),
        making=making_of(shop),
    )


def _pressures(shop: Shop) -> tuple[int | float, int | float] | None:
    """The pressure that the shop's foam is meant for, in kilopascals; None where either end is not known."""
    if shop.foam_least_kpa is None or shop.foam_most_kpa is None:
        return None
    return _json_number(shop.foam_least_kpa), _json_number(shop.foam_most_kpa)


def hash_of(order: OrderRead, stock: Stock) -> str:
    """Hash all that decides a plan; of a stock without `making` as plans were hashed before that was kept."""
    # A rule that was only read again, on another day or page, makes no other plan.
    decides = structs.replace(stock, priced_by=None if stock.priced_by is None else figures(stock.priced_by))
    text = input_sha256(order) + json.dumps(kept(decides), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _missing_pieces(lines: Sequence[OrderLine], allocations: Sequence[Allocation]) -> list[str]:
    """Say what stands between the lines and the pieces allocated to them: too few, not wanted, not matching."""
    sentences = [] if lines else [_("The order has no lines.")]
    for line in lines:
        given = [allocation.piece for allocation in allocations if allocation.line_id == line.pk]
        open_places = Counter(product.pk for product in line.products_wanted())
        wanted = open_places.total()
        for piece in given:
            if not open_places[piece.product_id]:
                sentences.append(_("“%(what)s” does not want %(piece)s: put it back.") % {"what": line, "piece": piece})
            open_places[piece.product_id] -= 1
        if len(given) < wanted:
            sentences.append(_too_few(line, wanted, len(given)))
        if line.matched and len({piece.number for piece in given}) > line.quantity:
            numbers = ", ".join(str(number) for number in sorted({piece.number for piece in given}))
            sentences.append(
                _("“%(what)s” is to match and holds the numbers %(numbers)s.") % {"what": line.what, "numbers": numbers}
            )
    return sentences


def _too_few(line: OrderLine, wanted: int, given: int) -> str:
    sentence = ngettext(
        "“%(what)s” wants %(wanted)d piece and has %(given)d.",
        "“%(what)s” wants %(wanted)d pieces and has %(given)d.",
        wanted,
    )
    return sentence % {"what": line.what, "wanted": wanted, "given": given}


def _missing_measures(allocations: Sequence[Allocation]) -> list[str]:
    return [
        _("%(piece)s has not been measured and weighed.") % {"piece": allocation.piece.label}
        for allocation in allocations
        if allocation.released_at is None and not allocation.piece.is_measured
    ]


def _piece_source(allocation: Allocation) -> ItemSource:
    piece = allocation.piece
    return ItemSource(
        kind=SourceKind.PIECE,
        pk=piece.pk,
        line=allocation.line_id,
        name=piece.name,
        code=piece.product.code,
        number=piece.number,
        edge_guard_on=piece.edge_guard_on,
    )


def _free_id(name: str, taken: Collection[str]) -> str:
    wanted, copy = name, 1
    while wanted in taken:
        copy += 1
        wanted = f"{name[:70]} {copy}"
    return wanted


def _json_number(value: Decimal) -> int | float:
    return int(value) if value == value.to_integral_value() else float(value)

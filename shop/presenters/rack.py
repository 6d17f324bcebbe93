"""The rack, page by page: pieces by product and number, who holds each, and where numbers are missing.

A page is found by the piece it begins after, not by how many come before: it takes as long for the last of a hundred
thousand pieces as for the first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from django.db.models import Count, Prefetch, Q, QuerySet

from shop.forms.stamps import read_stamp
from shop.models import Allocation, Piece, PieceState, Product, Shop
from shop.models.base import key_of
from shop.services.numbering import NumberRun, gaps_of, written

A_PAGE = 60
"""Pieces on a page."""


@dataclass(frozen=True)
class Row:
    """A line of the rack: a piece, or the numbers missing before the next one."""

    piece: Piece | None = None
    gap: str = ""

    @property
    def holder(self) -> Allocation | None:
        """The allocation that holds the piece, if any; the piece must come with its live ones."""
        live: list[Allocation] = getattr(self.piece, "live", [])
        return live[0] if live else None


@dataclass(frozen=True)
class Shelf:
    """Pieces of one product, gaps in the numbers shown where they are.

    Parameters
    ----------
    on_rack, missing
        Of the whole product, also where the page shows only some of it.
    """

    product: Product
    rows: list[Row]
    on_rack: int
    missing: str


@dataclass(frozen=True)
class RackQuery:
    """The part of the rack that was asked for, as typed; "" for all.

    Parameters
    ----------
    product, series, pattern
        Keys of rows.
    state
        A `PieceState`.
    number
        A number or a code and a number as stamped; the beginning of a code or part of a product's name.
    after
        The place where the page begins, as `RackPage.following` has it.
    """

    product: str = ""
    series: str = ""
    pattern: str = ""
    state: str = ""
    number: str = ""
    after: str = ""


@dataclass(frozen=True)
class RackPage:
    """A page of the rack.

    Parameters
    ----------
    shelves
        With the pieces of this page.
    total
        Pieces that match on all pages.
    following
        Where the next page begins; "" on the last.
    """

    shelves: list[Shelf]
    total: int
    following: str


@dataclass(frozen=True)
class _Count:
    """Pieces of one product: on the rack, and matching what was asked."""

    on_rack: int = 0
    matching: int = 0


def rack_page(shop: Shop, pieces: QuerySet[Piece], asked: RackQuery) -> RackPage:
    """Find one page of the rack.

    Parameters
    ----------
    shop
        Whose rack it is.
    pieces
        Those the reader may see.
    asked
        What was typed; what is not a choice is passed over.

    Returns
    -------
    RackPage
        By product code and number, in at most seven queries however many pieces there are.
    """
    matching, everything = _matching(asked)
    products = list(_products(shop, asked))
    counts = _counts(pieces, matching)
    code, _, number = asked.after.rpartition("~")
    begins = (code, key_of(number))
    left = [product for product in products if product.code >= code]
    keys = _keys(pieces.filter(matching), left, begins, counts)
    rows = _rows(keys[:A_PAGE])
    more = len(keys) > A_PAGE
    last = rows[-1].product.code if rows and more else None
    shown = [product for product in left if last is None or product.code <= last]
    return RackPage(
        _shelves(shown, rows, counts, begins, everything=everything),
        sum(counts.get(product.pk, _Count()).matching for product in products),
        f"{rows[-1].product.code}~{rows[-1].number}" if more else "",
    )


def _matching(asked: RackQuery) -> tuple[Q, bool]:
    """The conditions on pieces; and whether they are all of a product, so that its gaps can be shown."""
    matching = Q()
    stamp = read_stamp(asked.number)
    if stamp is not None:
        matching &= Q(number=stamp.number)
    if asked.state in PieceState.values:
        matching &= Q(state=asked.state)
    return matching, not matching


def _products(shop: Shop, asked: RackQuery) -> QuerySet[Product]:
    """The products asked for, by code."""
    rows = Product.objects.filter(shop=shop).select_related("series", "pattern").order_by("code")
    for name in ("series", "pattern"):
        if key := key_of(getattr(asked, name)):
            rows = rows.filter(**{name: key})
    if key := key_of(asked.product):
        rows = rows.filter(pk=key)
    stamp, words = read_stamp(asked.number), asked.number.strip()
    if stamp is not None and stamp.code:
        return rows.filter(code=stamp.code)
    return rows.filter(Q(code__istartswith=words) | Q(name__icontains=words)) if words and stamp is None else rows


def _counts(pieces: QuerySet[Piece], matching: Q) -> Mapping[int, _Count]:
    rows = (
        pieces.order_by()
        .values("product_id")
        .annotate(on_rack=Count("pk", filter=Q(state=PieceState.RACK)), matching=Count("pk", filter=matching))
    )
    found = rows.values_list("product_id", "on_rack", "matching")
    return {product: _Count(on_rack, count) for product, on_rack, count in found}


def _keys(
    pieces: QuerySet[Piece], left: Sequence[Product], begins: tuple[str, int], counts: Mapping[int, _Count]
) -> list[int]:
    """Keys of the pieces of a page and one more, in order: of three sorts of product, so that each is an index's walk.

    The rest of the product the page begins in, the products that are on it whole, the beginning of the last.
    """
    keys: list[int] = []
    whole: list[int] = []
    for product in left:
        need = A_PAGE + 1 - len(keys) - sum(counts[key].matching for key in whole)
        if need <= 0:
            break
        count = counts.get(product.pk, _Count()).matching
        begun = product.code == begins[0]
        if not begun and count <= need:
            whole += [product.pk] if count else []
            continue
        keys += pieces.filter(product__in=whole).order_by("product__code", "number").values_list("pk", flat=True)
        whole = []
        own = pieces.filter(product=product, number__gt=begins[1] if begun else 0).order_by("number")
        keys += own.values_list("pk", flat=True)[:need]
    return [*keys, *pieces.filter(product__in=whole).order_by("product__code", "number").values_list("pk", flat=True)]


def _rows(keys: Sequence[int]) -> list[Piece]:
    live = Allocation.objects.live().select_related("line__order__customer")
    found = Piece.objects.filter(pk__in=keys).select_related("product")
    found = found.prefetch_related(Prefetch("allocations", queryset=live, to_attr="live"))
    return list(found.order_by("product__code", "number"))


def _shelves(
    products: Sequence[Product],
    rows: Sequence[Piece],
    counts: Mapping[int, _Count],
    begins: tuple[str, int],
    *,
    everything: bool,
) -> list[Shelf]:
    """Pieces by product; with `everything` the missing numbers stand between them, and empty products are shown too."""
    held = {key: list(group) for key, group in groupby(rows, key=lambda piece: piece.product_id)}
    gaps = gaps_of(held.keys()) if everything else {}
    made = []
    for product in products:
        own = held.get(product.pk, [])
        begun = product.code == begins[0]
        if not own and (begun or not everything):
            continue
        missing = gaps.get(product.pk, [])
        on_rack = counts.get(product.pk, _Count()).on_rack
        before = begins[1] if begun else 0
        made.append(Shelf(product, _with_gaps(own, missing, before), on_rack, written(missing)))
    return made


def _with_gaps(held: Sequence[Piece], missing: Sequence[NumberRun], before: int) -> list[Row]:
    rows: list[Row] = []
    by_end = {gap.high: gap for gap in missing if gap.low > before}
    for piece in held:
        if gap := by_end.get(piece.number - 1):
            rows.append(Row(gap=str(gap)))
        rows.append(Row(piece))
    return rows

"""Lots of steel: what is left, what the pieces of each took, and about how many more heads it would give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, DecimalField, F, Prefetch, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from shop.models import Lot, PieceState, Product, Series

GRAMS_IN_A_KILOGRAM = 1000


@dataclass(frozen=True)
class ProductLine:
    """A product on the page: pieces numbered so far, those on the rack, and heads that the steel left would give."""

    product: Product
    made: int
    on_rack: int
    more: int | None


@dataclass(frozen=True)
class SeriesPart:
    """A series with its products."""

    series: Series
    products: Sequence[ProductLine]

    @property
    def made(self) -> int:
        """Pieces numbered so far."""
        return sum(line.made for line in self.products)


@dataclass(frozen=True)
class LotPart:
    """A lot with its series; `used_g` is what the heads of its pieces weigh, what the fire took left out."""

    lot: Lot
    used_g: Decimal
    series: Sequence[SeriesPart]

    @property
    def left_g(self) -> Decimal:
        """Grams of steel left, an estimate."""
        return self.lot.left_kg * GRAMS_IN_A_KILOGRAM

    @property
    def received_g(self) -> Decimal:
        """Grams of steel received."""
        return self.lot.received_kg * GRAMS_IN_A_KILOGRAM


def lots_of_steel(lots: QuerySet[Lot]) -> list[LotPart]:
    """Gather what the page of steel shows.

    Parameters
    ----------
    lots
        The shop's lots.

    Returns
    -------
    list of LotPart
        Heads that were not weighed before hanging count with their product's nominal weight; how many more heads there
        are in a lot is its steel left divided by the nominal weight, an estimate without loss or offcuts.
    """
    weight = DecimalField(max_digits=18, decimal_places=9)
    products = Product.objects.select_related("pattern").annotate(
        made=Count("pieces"),
        on_rack=Count("pieces", filter=Q(pieces__state=PieceState.RACK)),
        used_g=Sum(
            Coalesce("pieces__head_weight_g", F("head_weight_g")), filter=Q(pieces__isnull=False), output_field=weight
        ),
    )
    series = Series.objects.prefetch_related(Prefetch("products", queryset=products))
    return [_part(lot) for lot in lots.prefetch_related(Prefetch("series", series))]


def _part(lot: Lot) -> LotPart:
    parts = []
    used = Decimal(0)
    for series in lot.series.all():
        lines = []
        for product in series.products.all():
            used += getattr(product, "used_g", None) or Decimal(0)
            more = int(lot.left_kg * GRAMS_IN_A_KILOGRAM / product.head_weight_g) if series.is_open else None
            lines.append(ProductLine(product, getattr(product, "made", 0), getattr(product, "on_rack", 0), more))
        parts.append(SeriesPart(series, lines))
    return LotPart(lot, used, parts)

"""The numbers of a product: gaps where none was ever stamped, worked out by the database."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import F, Window
from django.db.models.functions import Lag

from shop.models import Piece


@dataclass(frozen=True, slots=True)
class NumberRun:
    """Numbers that follow each other, from the lowest to the highest of them."""

    low: int
    high: int

    def __str__(self) -> str:
        if self.low == self.high:
            return str(self.low)
        return f"{self.low}{', ' if self.high == self.low + 1 else '–'}{self.high}"


def gaps_of(products: Collection[int]) -> Mapping[int, list[NumberRun]]:
    """Find the numbers below a product's highest that no piece bears.

    Parameters
    ----------
    products
        Keys of products.

    Returns
    -------
    mapping of int to list of NumberRun
        By product, from the lowest up; a product without a gap has none. The rows of pieces themselves are not loaded:
        there may be tens of thousands.
    """
    found: dict[int, list[NumberRun]] = defaultdict(list)
    if not products:
        return found
    # Numbers begin at 1: with 0 before the first of them, a gap below it is found like any other.
    before = Window(Lag("number", default=0), partition_by="product_id", order_by="number")
    rows = Piece.objects.filter(product__in=products).annotate(before=before).filter(number__gt=F("before") + 1)
    for product, low, high in rows.order_by("product_id", "number").values_list("product_id", "before", "number"):
        found[product].append(NumberRun(low + 1, high - 1))
    return found


def next_number(product: int) -> int:
    """The number after the highest that a piece of a product bears; numbers begin at 1."""
    highest = Piece.objects.filter(product=product).order_by("-number").values_list("number", flat=True).first()
    return (highest or 0) + 1


def stamped_in(product: int, gaps: Iterable[NumberRun]) -> list[NumberRun]:
    """The numbers that pieces of a product bear: all up to the highest, less its gaps."""
    highest = next_number(product) - 1
    runs, low = [], 1
    for gap in gaps:
        if gap.low > low:
            runs.append(NumberRun(low, gap.low - 1))
        low = gap.high + 1
    return [*runs, NumberRun(low, highest)] if highest >= low else runs


def written(runs: Sequence[NumberRun], most: int = 20) -> str:
    """Runs for reading, "3, 5, 8–11"; beyond `most` the rest is left out with an ellipsis."""
    return ", ".join([*map(str, runs[:most]), *(["…"] if len(runs) > most else [])])

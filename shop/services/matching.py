"""Matched sets that can still be put together from the rack: what an order of single pieces had better leave whole."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from shop.models import Piece, PieceState, Product, ProductSet


@dataclass
class MatchedOnTheRack:
    """A set, its products, and the numbers that every one of them has on the rack, measured."""

    name: str
    products: frozenset[int]
    numbers: set[int]


class MatchedSets:
    """The sets that can be matched from the rack now, kept up as pieces are proposed."""

    def __init__(self, sets: list[MatchedOnTheRack]) -> None:
        self._sets = sets

    def rank(self, piece: Piece) -> int:
        """The rank of a piece proposed alone: 0 in no matched set, 1 in one of several numbers, 2 in the last."""
        return max((1 if len(one.numbers) > 1 else 2 for one in self._holding(piece)), default=0)

    def last_of(self, piece: Piece) -> list[str]:
        """The names of the sets of which the piece's number is the last that can be matched."""
        return [one.name for one in self._holding(piece) if len(one.numbers) == 1]

    def take(self, piece: Piece) -> None:
        """Count a piece as gone from the rack."""
        for one in self._holding(piece):
            one.numbers.discard(piece.number)

    def _holding(self, piece: Piece) -> list[MatchedOnTheRack]:
        return [one for one in self._sets if piece.product_id in one.products and piece.number in one.numbers]


def matched_sets(products: Iterable[Product], taken: Iterable[Piece]) -> MatchedSets:
    """The sets that these products are part of, as far as the rack can match them without the pieces taken already."""
    sets = list(ProductSet.objects.filter(members__product__in=list(products)).distinct().prefetch_related("members"))
    members = {one.pk: frozenset(member.product_id for member in one.members.all()) for one in sets}
    numbers: dict[int, set[int]] = defaultdict(set)
    rack = Piece.objects.measured().filter(product__in=set().union(*members.values()), state=PieceState.RACK)
    # Proposed just now and still on the rack as far as the database knows.
    gone = {piece.pk for piece in taken}
    for pk, product, number in rack.order_by().values_list("pk", "product_id", "number"):
        if pk not in gone:
            numbers[product].add(number)
    return MatchedSets(
        [
            MatchedOnTheRack(one.name, members[one.pk], set.intersection(*(numbers[key] for key in members[one.pk])))
            for one in sets
        ]
    )

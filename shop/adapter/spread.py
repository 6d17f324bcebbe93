"""The spread of a piece that is not chosen yet: as the rack has it, or its product's target and the hand's scatter.

A product's measures have two ends. Of pieces on the rack they are the least and the greatest of each measure; of
pieces still to be made, the target (else the median of those made before) less and more twice the standard deviation by
which the shop's own pieces differ from their like. How far they differ in a shop that has measured too few to tell is
common practice, no source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from enum import StrEnum
from statistics import median
from typing import Any

from shop.models import MEASURES, Piece, PieceState, Product, Shop

SPREADS = 2
"""Standard deviations each way: about nineteen pieces of twenty lie within."""
LEAST_DEGREES = 5
"""With fewer degrees of freedom than this the shop's own scatter is a guess: common practice serves."""
NEWEST = 500
"""Pieces measured last that the shop's scatter is taken from: a hand changes over the years."""


class Ground(StrEnum):
    """The ground that the measures of an item rest on."""

    CHOSEN = "chosen"
    RACK = "rack"
    TARGET = "target"
    MADE_BEFORE = "made before"


@dataclass(frozen=True, slots=True)
class Measured:
    """A piece's seven measures in mm, its weight and its head's in grams."""

    head_length: Decimal
    head_height: Decimal
    head_width: Decimal
    eye_offset: Decimal
    handle_length: Decimal
    handle_width: Decimal
    handle_thickness: Decimal
    weight_g: Decimal
    head_weight_g: Decimal

    def lengths(self) -> dict[str, Decimal | None]:
        """The seven measures by name."""
        return {name: getattr(self, name) for name in MEASURES}


FIGURES = tuple(field.name for field in fields(Measured))
USUAL_SCATTER = Measured(
    head_length=Decimal("1.5"),
    head_height=Decimal("0.6"),
    head_width=Decimal("0.6"),
    eye_offset=Decimal("0.9"),
    handle_length=Decimal("2.5"),
    handle_width=Decimal("0.6"),
    handle_thickness=Decimal("0.5"),
    weight_g=Decimal(12),
    head_weight_g=Decimal(10),
)
"""Standard deviations of pieces made by hand to one pattern: common practice, no source."""


@dataclass(frozen=True)
class Ends:
    """The two ends of what one piece may measure, and what they rest on."""

    least: Measured
    most: Measured
    ground: Ground


@dataclass(frozen=True)
class Scatter:
    """The standard deviation of each measure of like pieces: the shop's own, or common practice."""

    of: Measured
    own: bool


@dataclass(frozen=True)
class Rack:
    """Measured pieces of some products, by the product's key: those on the rack, and all that were ever measured."""

    here: Mapping[int, Sequence[Measured]]
    made: Mapping[int, Sequence[Measured]]


def rack_of(products: Iterable[Product], *, without: Iterable[Piece] = ()) -> Rack:
    """Read the measured pieces of some products.

    Parameters
    ----------
    products
        Of one shop.
    without
        Pieces that are chosen already: they are on the rack for nobody else.
    """
    chosen = {piece.pk for piece in without}
    here: dict[int, list[Measured]] = defaultdict(list)
    made: dict[int, list[Measured]] = defaultdict(list)
    rows = Piece.objects.measured().filter(product__in=list(products)).select_related("product")
    for piece in rows:
        measured = _complete(piece, piece.product.head_weight_g)
        made[piece.product_id].append(measured)
        if piece.state == PieceState.RACK and piece.pk not in chosen:
            here[piece.product_id].append(measured)
    return Rack(here, made)


def scatter_of(shop: Shop) -> Scatter:
    """Pool the standard deviations within each product of the pieces that a shop measured last.

    Parameters
    ----------
    shop
        Whose hand it is.

    Returns
    -------
    Scatter
        Common practice where the shop has measured too few to tell.
    """
    like: dict[int, list[Measured]] = defaultdict(list)
    for piece in Piece.objects.measured().filter(shop=shop).select_related("product").order_by("-pk")[:NEWEST]:
        like[piece.product_id].append(_complete(piece, piece.product.head_weight_g))
    degrees = sum(len(pieces) - 1 for pieces in like.values())
    if degrees < LEAST_DEGREES:
        return Scatter(USUAL_SCATTER, own=False)

    def pooled(name: str) -> Decimal:
        squares = Decimal(0)
        for pieces in like.values():
            values: list[Decimal] = [getattr(one, name) for one in pieces]
            middle = sum(values, Decimal(0)) / len(values)
            squares += sum(((value - middle) ** 2 for value in values), Decimal(0))
        return (squares / degrees).sqrt()

    return Scatter(_each(pooled), own=True)


def on_the_rack(product: Product, count: int, rack: Rack) -> list[Ends]:
    """The ends of so many pieces of a product taken from the rack, as many as there are.

    Parameters
    ----------
    product, count
        What is wanted, and how often.
    rack
        As `rack_of` gives it.

    Returns
    -------
    list of Ends
        Of the first, second … piece: the measures in their order from the least, and from the greatest.
    """
    here = rack.here.get(product.pk, [])
    in_order = {name: sorted(getattr(one, name) for one in here) for name in FIGURES}

    def end(place: int) -> Measured:
        return _each(lambda name: in_order.get(name, [])[place])

    return [Ends(end(place), end(-1 - place), Ground.RACK) for place in range(min(count, len(here)))]


def still_to_make(product: Product, rack: Rack, scatter: Scatter) -> Ends | None:
    """The ends of a piece that is still to be made; None where nothing is known of its product's measures.

    Parameters
    ----------
    product
        Its targets count; where one is missing the middle of the pieces made before stands for them.
    rack, scatter
        As `rack_of` and `scatter_of` give them.
    """
    nominal, ground = _target(product), Ground.TARGET
    if nominal is None:
        like = rack.made.get(product.pk, [])
        if not like:
            return None
        nominal, ground = _each(lambda name: median(getattr(one, name) for one in like)), Ground.MADE_BEFORE
    return Ends(_shifted(nominal, scatter.of, -SPREADS), _shifted(nominal, scatter.of, SPREADS), ground)


def exactly(piece: Piece) -> Ends:
    """Both ends of a piece that is chosen and measured: what it is."""
    measured = _complete(piece, piece.product.head_weight_g)
    return Ends(measured, measured, Ground.CHOSEN)


def _each(value: Callable[[str], Any]) -> Measured:
    return Measured(**{name: value(name) for name in FIGURES})


def _complete(piece: Piece, head_weight_g: Decimal) -> Measured:
    """A measured piece with what may be left out filled in: the eye in the middle, the head as it was meant."""

    def figure(name: str) -> Decimal:
        value: Decimal | None = getattr(piece, name)
        return value if value is not None else left_out.get(name, Decimal(0))

    # A light piece of a heavy product: its head is no heavier than the whole.
    head = min(head_weight_g, piece.weight_g or Decimal(0))
    left_out = {"eye_offset": (piece.head_length or Decimal(0)) / 2, "head_weight_g": head}
    return _each(figure)


def _target(product: Product) -> Measured | None:
    """The target measures of a product's pieces; None where they are not all there."""
    meant = Piece(
        product=product,
        weight_g=product.target_weight_g,
        **{name: getattr(product, f"target_{name}_mm") for name in MEASURES},
    )
    return _complete(meant, product.head_weight_g) if meant.is_measured else None


def _shifted(nominal: Measured, scatter: Measured, spreads: int) -> Measured:
    """A piece so many standard deviations off; a scatter as large as a measure leaves a millimetre or a gram of it."""

    def figure(name: str) -> Decimal:
        middle: Decimal = getattr(nominal, name)
        off: Decimal = getattr(scatter, name)
        return max(middle + spreads * off, min(middle, Decimal(1)))

    return _each(figure)

"""Likeness of a piece's measures to those of its product's other pieces and to its head weight: a slip is asked about.

How far pieces made by hand differ is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from statistics import median

from shop import adapter
from shop.adapter import Message
from shop.models import MEASURES, Piece, Product

LENGTHS_WITHIN, WEIGHTS_WITHIN = Decimal("0.2"), Decimal("0.15")
"""Pieces of one product lie within this part of their median."""
LEAST_MM, LEAST_G = Decimal(3), Decimal(30)
"""Less than this is no slip, however small the measure."""
TOOL_LEAST, TOOL_MOST, HANDLE_G = Decimal("0.9"), Decimal("1.6"), Decimal(500)
"""A finished tool weighs so many times its product's head weight, at most a long handle more."""
FRACTION = re.compile(r"(\d+)\s*/\s*(\d+)")
ON_A_RULE = frozenset({2, 4, 8, 16, 32, 64, 10, 100})
"""Marks that a rule has: sixteenths and their like, tenths and hundredths."""


def beside_its_like(
    values: Mapping[str, Decimal | None], product: Product, *, besides: int | None = None
) -> list[Message]:
    """Sentences on measures that are far from the product's other pieces or from its head weight."""
    others = list(Piece.objects.measured().filter(product=product).exclude(pk=besides or 0))
    sentences = []
    for name in (*MEASURES, "weight_g", "head_weight_g"):
        value = values.get(name)
        # By the median: a slip that was kept once would draw the mean after it.
        usual = [one for one in (getattr(other, name) for other in others) if one is not None]
        if value is not None and usual and _is_far(name, value, median(usual)):
            sentences.append(_far(name, value, median(usual), len(usual), product))
    # One question is enough: whoever measures again for one answers the other.
    return sentences or _beside_the_head(values, product)


def odd_fractions(typed: Mapping[str, str]) -> list[Message]:
    """Sentences on fractions that no rule or scale has, such as sevenths."""
    found = [(text, part) for text in typed.values() for part in FRACTION.findall(text)]
    return [
        Message("“{typed}” has a fraction that is on no rule ({part}).", typed=text, part="/".join(part))
        for text, part in found
        if int(part[1]) not in ON_A_RULE
    ]


def _is_far(name: str, value: Decimal, usual: Decimal) -> bool:
    within, least = (WEIGHTS_WITHIN, LEAST_G) if name.endswith("_g") else (LENGTHS_WITHIN, LEAST_MM)
    return abs(value - usual) > max(usual * within, least)


def _far(name: str, value: Decimal, usual: Decimal, count: int, product: Product) -> Message:
    named = {"name": adapter.Term(name), "value": _measure(name, value), "usual": _measure(name, usual)}
    if count == 1:
        return Message("{name} {value}: the other piece of {code} has {usual}.", **named, code=product.code)
    return Message(
        "{name} {value}: the {count} others of {code} have about {usual}.", **named, count=count, code=product.code
    )


def _beside_the_head(values: Mapping[str, Decimal | None], product: Product) -> list[Message]:
    """A tool that weighs less than its product's head, or as much as several; a head far from it."""
    target, weight, head = product.head_weight_g, values.get("weight_g"), values.get("head_weight_g")
    sentences = []
    if head is not None and _is_far("head_weight_g", head, target):
        sentences.append(_made_with("head_weight_g", head, target, product))
    if weight is not None and not target * TOOL_LEAST <= weight <= target * TOOL_MOST + HANDLE_G:
        sentences.append(_made_with("weight_g", weight, target, product))
    return sentences


def _made_with(name: str, value: Decimal, target: Decimal, product: Product) -> Message:
    return Message(
        "{name} {value}: {code} is made with heads of {target}.",
        name=adapter.Term(name),
        value=_measure(name, value),
        code=product.code,
        target=_measure(name, target),
    )


def _measure(name: str, value: Decimal) -> adapter.Length | adapter.Weight:
    thousandths = int(value.quantize(Decimal("0.1")) * 1000)
    return adapter.Weight(thousandths) if name.endswith("_g") else adapter.Length(thousandths)

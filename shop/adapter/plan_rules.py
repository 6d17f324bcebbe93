"""A shop's own planning rules: those of every order, and bands of those that go by the heaviest head."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from packing.measure import RULES, BadInput, Rules, RuleScope, read_rules, rules_content
from shop.models import Shop

EVERY_ORDER = tuple(name for name, rule in RULES.items() if rule.scope is RuleScope.EVERY_ORDER)
BY_HEAD = tuple(name for name, rule in RULES.items() if rule.scope is RuleScope.BY_HEAD)
"""Heavier heads need more foam round them, so these go by the heaviest head of an order."""
BY_HEAD_USUALLY = {name: value for name, value in rules_content(Rules()).items() if name in BY_HEAD}
"""Rules that hold for a band that leaves them out; those that are off then are not here."""
BANDS, UP_TO = "by_head", "to_g"


@dataclass(frozen=True)
class Band:
    """The rules by the heaviest head, up to a head of so many grams, included; None: any heavier one."""

    to_g: Decimal | None
    rules: Mapping[str, object]


def check_plan_rules(value: object) -> None:
    """Check that a value can serve as a shop's planning rules.

    Parameters
    ----------
    value
        The rules of every order by name and, under `by_head`, a list of bands, light to heavy: `to_g` (the heaviest
        head up to which the band holds, included, in grams; None in the last) with the band's rules by name. A rule
        that a band leaves out has its default, so that a new one needs no change of what shops have stored.

    Raises
    ------
    BadInput
        It cannot; it names the field, the rule and the value.
    """
    every_order, bands = _read(value)
    for band in bands:
        read_rules({**every_order, **band.rules})


def rules_for(shop: Shop, heaviest_head_g: Decimal) -> dict[str, object]:
    """Pick the shop's rules for an order by its heaviest head.

    Parameters
    ----------
    shop
        Whose rules they are.
    heaviest_head_g
        In grams; 0 for an order of blocks alone.

    Returns
    -------
    dict
        The rules of every order, and those of the first band that reaches up to the head.

    Raises
    ------
    BadInput
        See `check_plan_rules`.
    """
    check_plan_rules(shop.plan_rules)
    every_order, bands = _read(shop.plan_rules)
    band = next(band for band in bands if band.to_g is None or heaviest_head_g <= band.to_g)
    return {**every_order, **band.rules}


def _read(value: object) -> tuple[dict[str, object], list[Band]]:
    """The rules of every order, and the bands, light to heavy."""
    if not isinstance(value, Mapping):
        raise BadInput("plan_rules", "must be an object with named rules.")
    for key in value:
        if key not in (*EVERY_ORDER, BANDS):
            raise BadInput(f"plan_rules.{key}", f"is not known here; known are {', '.join(EVERY_ORDER)}, {BANDS}.")
    rows = value.get(BANDS)
    if not isinstance(rows, list) or not rows:
        raise BadInput("plan_rules.by_head", "must be a list of at least one band.")
    bands: list[Band] = []
    for index, row in enumerate(rows):
        last = bands[-1].to_g if bands else None
        bands.append(_band(row, f"plan_rules.by_head[{index}]", last or Decimal(0), is_last=index == len(rows) - 1))
    return {name: value[name] for name in EVERY_ORDER if name in value}, bands


def _band(row: object, field: str, above: Decimal, *, is_last: bool) -> Band:
    if not isinstance(row, Mapping) or UP_TO not in row or not set(row) <= {UP_TO, *BY_HEAD}:
        raise BadInput(field, f"must have to_g, any of {', '.join(BY_HEAD)} and nothing else.")
    to_g = row[UP_TO]
    if is_last != (to_g is None):
        raise BadInput(f"{field}.to_g", "must be null in the last band and a weight in grams in the others.")
    # A bool is a number to Python, and no weight.
    if to_g is not None and (
        isinstance(to_g, bool) or not isinstance(to_g, int | float) or not Decimal(str(to_g)) > above
    ):
        raise BadInput(f"{field}.to_g", f"must be a weight in grams above {above}, not {to_g}.")
    return Band(None if to_g is None else Decimal(str(to_g)), {name: row[name] for name in BY_HEAD if name in row})

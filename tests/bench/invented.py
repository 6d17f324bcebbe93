"""Invented orders of 16 to 24 items, tuned and fresh apart: the search beside the best known."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import mean

from packing.measure import read_order
from packing.nest import nest
from packing.nest.warm_cache import build
from tests.bench.generator import generated, is_fresh
from tests.bench.limits import LONG_S, SEED
from tests.bench.tables import table

HERE = Path(__file__).parent
SIZES = (
    ("like hammers", 16),
    ("like hammers", 20),
    ("twins and blocks", 18),
    ("twins and blocks", 24),
    ("thin web", 20),
    ("mixed", 22),
    ("hatchets and hammers", 20),
    ("tools and blocks", 18),
    ("small blocks", 20),
    ("one pattern", 16),
)
"""Kinds and numbers of items that are measured."""
NUMBERS = (0, 1)
"""One order of each to tune on, and a fresh one."""


@dataclass(frozen=True, slots=True)
class Nested:
    """One order: what was found in the time, over the best known."""

    name: str
    fresh: bool
    ratio: float


def best_known() -> dict[str, float]:
    """The least volume known of each order, in mm³."""
    held: dict[str, float] = json.loads((HERE / "invented.json").read_text(encoding="utf-8"))["orders"]
    return held


def rows(*, quick: bool) -> list[Nested]:
    """Nest every order for `LONG_S`; in a quick run the fresh ones of every third kind."""
    build()
    known = best_known()
    found = []
    for kind, items in SIZES[:: 3 if quick else 1]:
        for number in NUMBERS[1:] if quick else NUMBERS:
            content = generated(kind, items, number)
            nesting = nest(read_order(content), seconds=LONG_S, seed=SEED)
            name = str(content["id"])
            found.append(Nested(name, is_fresh(number), nesting.volume_um3 / 1e9 / known[name]))
    return found


def report(nested: Sequence[Nested]) -> str:
    """A table, and the averages of tuned and fresh orders apart."""
    lines = [[one.name, "fresh" if one.fresh else "tuned", f"{one.ratio:.3f}"] for one in nested]
    text = [table(["invented orders", "for", f"{LONG_S:g} s"], lines)]
    for name, fresh in (("tuned", False), ("fresh", True)):
        ratios = [one.ratio for one in nested if one.fresh is fresh]
        if ratios:
            text.append(f"{name}: {mean(ratios):.3f} of the best known on average, {max(ratios):.3f} at worst.")
    return "\n".join(text)

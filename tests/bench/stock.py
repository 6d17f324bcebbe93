"""Laying parts on stock: published problems, and 60 rectangles beside the best of rectpack's heuristics."""

import json
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packing.stock import Cutting, Layout, Part, StockSheet, lay_out
from packing.stock.warm_cache import build
from tests.bench.tables import table

HERE = Path(__file__).parent
MOST_S = 5.0
"""60 rectangles may take so long."""
EQUAL_SHARE = 0.9
"""In so many of the published problems the number is the proven one, else one more."""


@dataclass(frozen=True, slots=True)
class Laid:
    """One problem: what is known of it (proven, or what a rival needed), what was found, its bound and how long."""

    name: str
    family: str
    parts: int
    known: int
    found: int
    bound: int
    seconds: float


def rows(*, quick: bool) -> list[Laid]:
    """Lay every problem; of the rivals every fifth in a quick run."""
    build()
    held = json.loads((HERE / "cutting_stock.json").read_text(encoding="utf-8"))
    found = [_sheets(row, family, row["turns"], row["sheets"]) for family, row in _of(held, "sheets", "perfect")]
    found += [_bars(row) for _, row in _of(held, "bars")]
    for _, row in [*_of(held, "rivals")][:: 5 if quick else 1]:
        found += [_sheets(row, "rival", turns, row[key]) for turns, key in _RIVALS]
    return found


_RIVALS = ((False, "rectpack"), (True, "rectpack_turning"))


def _of(held: dict[str, Any], *families: str) -> Iterator[tuple[str, dict[str, Any]]]:
    for family in families:
        for row in held[family]["rows"]:
            yield family, row


def _sheets(row: dict[str, Any], family: str, turns: bool, known: int) -> Laid:
    cutting = Cutting.EDGE_TO_EDGE if row.get("edge_to_edge", True) else Cutting.FREE
    parts = [Part(str(at), (a, b), turns=turns) for at, (a, b) in enumerate(row["parts"])]
    name = f"{row['name']}, turning" if family == "rival" and turns else row["name"]
    return _timed(name, family, parts, StockSheet("sheet", tuple(row["sheet"])), known, cutting)


def _bars(row: dict[str, Any]) -> Laid:
    lengths = [length for length, many in zip(row["lengths"], row["demands"], strict=True) for _ in range(many)]
    parts = [Part(str(at), (length, 1), turns=False) for at, length in enumerate(lengths)]
    return _timed(row["name"], "bars", parts, StockSheet("bar", (row["bar"], 1)), row["bars"], Cutting.EDGE_TO_EDGE)


def _timed(name: str, family: str, parts: list[Part], stock: StockSheet, known: int, cutting: Cutting) -> Laid:
    begun = time.monotonic()
    found = lay_out(parts, [stock], cutting=cutting)
    seconds = time.monotonic() - begun
    if not isinstance(found, Layout):
        raise RuntimeError(f"{name} was not laid: {found}")
    return Laid(name, family, len(parts), known, found.new, found.new_at_least, seconds)


def report(laid: Sequence[Laid]) -> str:
    """A table, and how often the number is that which is known."""
    lines = [
        [one.name, str(one.parts), str(one.known), str(one.found), str(one.bound), f"{one.seconds:.2f}"] for one in laid
    ]
    proven = [one for one in laid if one.family != "rival"]
    equal = sum(one.found == one.known for one in proven)
    return "\n".join(
        [
            table(["sheets and bars", "parts", "known", "found", "bound", "s"], lines),
            f"As many as proven in {equal} of {len(proven)}; of the others rectpack's best heuristic is known.",
        ]
    )


def failures(laid: Sequence[Laid]) -> list[str]:
    """What misses its figure, a sentence each."""
    missed = [
        f"{one.name}: {one.found} sheets, {one.known} are known, in {one.seconds:.1f} s."
        for one in laid
        if (one.family == "rival" and (one.found > one.known or one.seconds > MOST_S))
        or (one.family == "bars" and one.found != one.known)
        or one.found > one.known + 1
    ]
    proven = [one for one in laid if one.family in ("sheets", "perfect")]
    equal = sum(one.found == one.known for one in proven)
    if equal < EQUAL_SHARE * len(proven):
        missed.append(f"As many sheets as proven in {equal} of {len(proven)} only.")
    return missed

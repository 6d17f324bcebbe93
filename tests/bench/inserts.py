"""Minutes at the bench that inserts take, with thin stock and without: a paragraph of ``make bench``.

The orders are drawn at random from a seed and are invented: one to six tools of the usual proportions, half of the
orders in inch stock. Minutes go by the library's own rows, which are estimates. Each order is planned once; its insert
is then made with slices of waste (no thin stock named) and with thin stock.
"""

import random
import time
from dataclasses import dataclass, replace
from statistics import mean
from typing import Any

from packing.insert import insert_work, make_insert
from packing.materials import PE_FOAM, Rates
from packing.measure import Order, read_order
from packing.nest import nest
from packing.plan.kinds import InsertWork

ORDERS, EFFORT, SEED = 24, 300, 1
FEW_TOOLS, AN_HOUR = 4, 60


@dataclass(frozen=True, slots=True)
class InsertRow:
    """One order: its tools, minutes with slices and with thin stock, slices cut with thin stock, seconds to make it."""

    tools: int
    sliced_minutes: float
    thin_minutes: float
    slices: int
    seconds: float


USUAL_SIZES = (0.65, 1.2)


def invented_tool(rng: random.Random, index: int, sizes: tuple[float, float] = USUAL_SIZES) -> dict[str, Any]:
    """A hammer of 0.3 to 2 kg or an axe where sizes are the usual ones, its measures to 0.1 mm."""
    size = rng.uniform(*sizes)
    axe = rng.random() < 0.25
    head = (165, 100, 29) if axe else (130, 36, 36)
    length, height, width = (round(side * size, 1) for side in head)
    handle = {"handle_length": round(330 * size, 1), "handle_width": round(31 * size, 1)}
    weight = round(length * height * width * 0.00785 * (0.3 if axe else 0.75))
    return {
        "id": f"tool {index}",
        "kind": "tool",
        "form": "axe" if axe else "hammer",
        "sharp": "far" if axe else "none",
        "may_stand": not axe,
        "head_length": length,
        "head_height": height,
        "head_width": width,
        "eye_offset": round(length * (0.2 if axe else 0.49), 1),
        **handle,
        "handle_thickness": round(21.5 * size, 1),
        "head_weight_g": weight,
        "weight_g": weight + 150,
    }


def invented_orders(
    count: int, seed: int, sizes: tuple[float, float] = USUAL_SIZES
) -> list[tuple[Order, tuple[int, ...]]]:
    """Orders with the thin stock that goes with their sheets."""
    rng = random.Random(seed)
    found = []
    for index in range(count):
        inch = index % 2 == 1
        tools = [invented_tool(rng, number, sizes) for number in range(rng.choice((1, 1, 2, 2, 3, 3, 4, 6)))]
        rules: dict[str, Any] = {"web": 40, "wall": 40, "base_pad": 37}
        if inch:
            rules = {"web": 38.1, "wall": 38.1, "base_pad": 38.1, "layer_pad": 12.7, "top_pad": 25.4}
            rules["sheets"] = [12.7, 25.4, 50.8]
        thin: tuple[int, ...] = (3_180, 6_350) if inch else (3_000, 6_000)
        found.append((read_order({"id": f"invented {index}", "items": tools, "rules": rules}), thin))
    return found


def rows(count: int = ORDERS, seed: int = SEED) -> list[InsertRow]:
    """Plan the invented orders and make each insert both ways."""
    found = []
    for order, thin in invented_orders(count, seed):
        nesting = nest(order, effort=EFFORT, seed=seed)
        sliced = make_insert(order, nesting, PE_FOAM)
        begun = time.monotonic()
        rules = replace(order.rules, bite_um=1_500, thin_um=thin)
        insert = make_insert(replace(order, rules=rules), nesting, PE_FOAM)
        seconds = time.monotonic() - begun
        work = dict(insert_work(insert))
        slices = int(work.get(InsertWork.SLICE, 0) + work.get(InsertWork.LONG_SLICE, 0))
        sliced_minutes, minutes = (float(Rates().timed(insert_work(one)).minutes) for one in (sliced, insert))
        found.append(InsertRow(len(order.items), sliced_minutes, minutes, slices, seconds))
    return found


def report(found: list[InsertRow]) -> str:
    """The figures in one paragraph."""
    before, after = mean(row.sliced_minutes for row in found), mean(row.thin_minutes for row in found)
    few = [row for row in found if row.tools <= FEW_TOOLS]
    within = sum(row.thin_minutes <= AN_HOUR for row in few)
    slowest = max(row.seconds for row in found)
    return (
        f"Inserts of {len(found)} invented orders: {before:.1f} minutes with slices, {after:.1f} with thin stock "
        f"({after / before - 1:+.0%}), {sum(row.slices for row in found)} slices; {within} of {len(few)} orders up to "
        f"{FEW_TOOLS} tools within an hour; slowest insert {slowest:.3f} s."
    )

"""Minutes at the bench that inserts take, how fast they are made, whether they hold: a paragraph of ``make bench``.

The orders are drawn at random from a seed and are invented: one to six tools of the usual proportions, half of the
orders in inch stock. Minutes go by the library's own rows, which are estimates. Each order is planned once; its insert
is then made with slices of waste (no thin stock named) and with thin stock. Then an order of traced tools is timed,
contacts included, and the checker goes over many random orders with thin stock.
"""

import random
import time
from dataclasses import dataclass, replace
from statistics import mean
from typing import Any

from packing.check import check_plan
from packing.insert import contacts, insert_work, make_insert
from packing.insert.fitted import fitted_outline
from packing.insert.outline import union, union_of
from packing.materials import PE_FOAM, Rates
from packing.measure import Order, read_order
from packing.nest import nest
from packing.plan.kinds import InsertWork
from packing.planning import plan_parcel
from packing.polygon.largest_rectangle import largest_rectangle
from packing.polygon.union import union_loops
from tests.packing.outlined import hammer, traced

ORDERS, EFFORT, SEED = 24, 300, 1
TRACED_TOOLS, TRACED_POINTS = 24, 60
FEW_TOOLS, AN_HOUR = 4, 60
GROSS_MG = 30_000_000


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


def traced_seconds(seed: int = SEED) -> float:
    """Processor time of the insert of hammers and mallets traced in many points, with its contacts; the least of three.

    What is kept from one insert to the next is thrown away before each.
    """
    rng = random.Random(seed)
    tools = [traced(rng, {**hammer(f"tool {n}"), "outline": None}, TRACED_POINTS) for n in range(TRACED_TOOLS)]
    rules = {"bite": 1.5, "thin": [3, 6]}
    order = read_order({"id": "traced", "items": tools, "rules": rules})
    nesting = nest(order, effort=EFFORT, seed=seed)
    taken = []
    for _ in range(3):
        for kept in (fitted_outline, union, union_of, union_loops, largest_rectangle):
            kept.cache_clear()
        begun = time.process_time()
        contacts(order, nesting, make_insert(order, nesting, PE_FOAM), GROSS_MG)
        taken.append(time.process_time() - begun)
    return min(taken)


def faults(count: int, seed: int = SEED) -> int:
    """Random orders with thin stock of which the checker finds a fault in the plan."""
    found = 0
    for order, thin in invented_orders(count, seed):
        giving = replace(order, rules=replace(order.rules, bite_um=1_500, thin_um=thin))
        found += bool(check_plan(giving, plan_parcel(giving, effort=60).content))
    return found


def survey(*, quick: bool) -> str:
    """Speed and faults in a paragraph."""
    count = 100 if quick else 1_000
    return (
        f"The insert of {TRACED_TOOLS} tools traced in {TRACED_POINTS} points each takes {traced_seconds():.2f} s of "
        f"processor time with its contacts. The checker finds a fault in {faults(count)} of {count} random orders "
        "(finger room, air beyond butts, covers, fills, pockets)."
    )


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

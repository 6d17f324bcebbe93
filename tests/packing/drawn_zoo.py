"""Plans to draw: the sample by hand, a box of boxes, any style of box, and planned random orders of one to 24 items."""

import json
import random
from functools import lru_cache
from pathlib import Path
from typing import Any

from msgspec import structs
from msgspec.structs import replace

from packing.boxes import box_plan, style_of
from packing.draw import (
    Drawing,
    blank_drawing,
    isometric,
    plan_view,
    sheet_drawing,
    side_section,
    small_box,
    together,
)
from packing.measure import read_order
from packing.nest import nest
from packing.plan import ItemPlan, PartBox, Plan, SheetPlan, plan_from_json
from packing.plan.kinds import ItemKind, Part, Pose, SheetRole
from packing.planning import Candidate, Terms, candidate_for, candidate_plan, plan_parcel
from tests.helpers import instance
from tests.packing.box_specs import box_spec, designed

SAMPLE = Path(__file__).parents[1] / "data" / "plan_sample.json"
INTERIOR = (390_500, 190_000, 140_000)
HAMMER = {
    "id": "CH125-007",
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}


def sample() -> Plan:
    """The sample plan: two layers, four tools, one block."""
    return plan_from_json(json.loads(SAMPLE.read_text(encoding="utf-8")))


def in_box(code: str, interior: tuple[int, int, int] = INTERIOR, **changes: Any) -> Plan:
    """The sample plan with a box of one style round some interior; its insert is not that box's."""
    return structs.replace(sample(), box=box_plan(designed(code, box_spec(interior, **changes))))


@lru_cache(maxsize=16)
def one_hammer_in(code: str) -> Plan:
    """One hammer planned in a box of one style."""
    order = read_order({"id": "A-17", "items": [HAMMER]})
    made = instance(Candidate, candidate_for(order, nest(order, effort=1), style_of(code), Terms()))
    return candidate_plan(order, made, Terms())


def boxed() -> Plan:
    """A plan without layers: four boxes between two pads, one standing on another."""
    plan = sample()
    corners = [
        ((10, 10, 12), (210, 110, 82)),
        ((213, 10, 12), (413, 110, 62)),
        ((10, 10, 85), (150, 90, 135)),
        ((10, 113, 12), (413, 213, 140)),
    ]
    items = tuple(
        ItemPlan(
            id=f"box {number}", letter="ABCD"[number], kind=ItemKind.BLOCK, form=None, sharp=None, weight_mg=900_000,
            layer=None, pose=Pose.BLOCK, turn=0, flipped=False, marked_up=None, lift_order=number + 1,
            parts=(PartBox(Part.BLOCK, _um(low), _um(high)),),
        )
        for number, (low, high) in enumerate(corners)
    )  # fmt: skip
    sheets = (_pad("S1", SheetRole.BASE, 0), _pad("S2", SheetRole.TOP, 160_000))
    insert = replace(plan.insert, sheets=sheets, saddles=(), plugs=(), lifts=())
    return replace(plan, layers=(), items=items, insert=insert)


def _um(corner: tuple[int, int, int]) -> tuple[int, int, int]:
    return corner[0] * 1000, corner[1] * 1000, corner[2] * 1000


def _pad(name: str, role: SheetRole, floor_um: int) -> SheetPlan:
    return SheetPlan(name, role, None, 12_000, True, floor_um, (508_000, 223_000), ())


def _random_item(index: int, chance: random.Random) -> dict[str, Any]:
    if chance.random() < 0.25:
        return {
            "id": f"tin {index}", "kind": "block", "length": chance.randint(40, 120),
            "width": chance.randint(30, 80), "height": chance.randint(12, 60), "weight_g": 200,
        }  # fmt: skip
    length, height, width = chance.randint(95, 150), chance.randint(28, 60), chance.randint(28, 45)
    return {
        "id": f"piece {index}", "kind": "tool", "head_length": length, "head_height": height, "head_width": width,
        "handle_length": chance.randint(200, 400) + chance.choice([0, 0.5, 0.25]), "handle_width": 32,
        "handle_thickness": 23, "weight_g": round(length * height * width * 0.00785 * 0.7 + 200),
    }  # fmt: skip


def random_order(count: int, seed: int = 1) -> dict[str, Any]:
    """An order of so many random items."""
    chance = random.Random(seed)
    return {"id": f"random {count}", "items": [_random_item(index, chance) for index in range(count)]}


@lru_cache(maxsize=8)
def planned(count: int, seed: int = 1) -> Plan:
    """A plan of so many random items."""
    return plan_from_json(plan_parcel(read_order(random_order(count, seed)), effort=60, seed=seed).content)


def every_picture(plan: Plan, unit: str = "mm") -> dict[str, Drawing]:
    """Every picture of a plan, by name."""
    pictures = {f"layer {n}": plan_view(plan, n, unit=unit) for n in range(max(1, len(plan.layers)))}
    pictures |= {f"sheet {ids[0]}": sheet_drawing(plan, ids[0], unit=unit) for ids in together(plan.insert)}
    return pictures | {
        "section along": side_section(plan, unit=unit),
        "section across": side_section(plan, across=True, unit=unit),
        "blank": blank_drawing(plan, unit=unit),
        "open box": isometric(plan),
        "closed box": small_box(plan, unit=unit),
    }

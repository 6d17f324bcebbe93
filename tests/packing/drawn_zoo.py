"""Plans to draw: the sample by hand, a box of boxes, and planned random orders of one to twenty-four items."""

import json
import random
from functools import lru_cache
from pathlib import Path
from typing import Any

from packing.draw import (
    Drawing,
    alike,
    blank_drawing,
    isometric,
    plan_view,
    sheet_drawing,
    side_section,
    small_box,
)
from packing.measure import read_order
from packing.planning import plan_parcel

SAMPLE = Path(__file__).parents[1] / "data" / "plan_sample.json"


def sample() -> dict[str, Any]:
    """The sample plan: two layers, four tools, one block."""
    return json.loads(SAMPLE.read_text(encoding="utf-8"))


def boxed() -> dict[str, Any]:
    """A plan without layers: four boxes between two pads, one standing on another."""
    content = sample()
    corners = [
        ((10, 10, 12), (210, 110, 82)),
        ((213, 10, 12), (413, 110, 62)),
        ((10, 10, 85), (150, 90, 135)),
        ((10, 113, 12), (413, 213, 140)),
    ]
    content["layers"] = []
    content["items"] = [
        {
            "id": f"box {number}", "letter": "ABCD"[number], "kind": "block", "form": None, "sharp": "none",
            "weight_g": 900, "layer": None, "pose": "block", "turn": 0, "flipped": False, "marked_up": None,
            "lift_order": number + 1, "parts": [{"part": "block", "min_mm": list(low), "max_mm": list(high)}],
        }
        for number, (low, high) in enumerate(corners)
    ]  # fmt: skip
    pad = {"layer": None, "thickness_mm": 12, "stock": True, "size_mm": [508, 223], "pockets": []}
    sheets = [
        {"id": "S1", "role": "base", "floor_mm": 0, **pad},
        {"id": "S2", "role": "top", "floor_mm": 160, **pad},
    ]
    content["insert"] |= {"sheets": sheets, "saddles": [], "plugs": [], "lifts": []}
    return content


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


@lru_cache(maxsize=8)
def planned(count: int, seed: int = 1) -> dict[str, Any]:
    """A plan of so many random items; not to be changed."""
    chance = random.Random(seed)
    order = {"id": f"random {count}", "items": [_random_item(index, chance) for index in range(count)]}
    return plan_parcel(read_order(order), effort=60, seed=seed).content


def every_picture(content: dict[str, Any], unit: str = "mm") -> dict[str, Drawing]:
    """Every picture of a plan, by name."""
    pictures = {f"layer {n}": plan_view(content, n, unit=unit) for n in range(max(1, len(content["layers"])))}
    pictures |= {f"sheet {ids[0]}": sheet_drawing(content, ids[0], unit=unit) for ids in alike(content)}
    return pictures | {
        "section along": side_section(content, unit=unit),
        "section across": side_section(content, across=True, unit=unit),
        "blank": blank_drawing(content, unit=unit),
        "open box": isometric(content),
        "closed box": small_box(content, unit=unit),
    }

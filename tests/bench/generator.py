"""Invented orders, made from a seed: forms, sizes, counts, rules and limits; some to tune on, some to judge.

The search is tuned on orders with an even number alone; those with an odd one are fresh: nobody looks at them but to
judge.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

Item = dict[str, Any]
STEP_MM = 0.5
"""Measures are multiples of this, as a caliper is read at a bench."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern of tool: usual measures in mm, weight, and by what share the pieces of a batch scatter."""

    head: tuple[float, float, float]
    eye: float
    handles: tuple[float, ...]
    grip: tuple[float, float]
    weight_g: int
    scatter: float = 0.03


HAMMERS = (
    Pattern((85, 31, 31), 0.46, (250, 270), (31, 22.5), 690),
    Pattern((101, 36, 36), 0.47, (250, 272, 325), (30.5, 22), 950),
    Pattern((115, 42, 42), 0.48, (250, 270, 327), (31, 22.5), 1320),
    Pattern((135, 49, 49), 0.49, (252, 325, 357), (32, 22.5), 1980),
)
HATCHETS = (
    Pattern((150, 57, 34), 0.19, (302, 328, 384), (32, 22), 1290, 0.05),
    Pattern((172, 62, 28), 0.2, (302, 330, 360), (36.5, 22), 930, 0.06),
    Pattern((168, 107, 29), 0.22, (330, 362), (36, 22), 910, 0.05),
)
AXES = (Pattern((193, 114, 32), 0.25, (480, 558, 640), (40, 24), 1930, 0.06),)
MALLETS = (Pattern((117, 72, 63), 0.45, (255, 280), (31, 26.5), 650),)


def _measured(dice: random.Random, usual_mm: float, scatter: float) -> float:
    """A measure near the usual one, on the step."""
    return round(usual_mm * (1 + dice.uniform(-scatter, scatter)) / STEP_MM) * STEP_MM


def _tool(dice: random.Random, patterns: tuple[Pattern, ...]) -> Item:
    pattern = dice.choice(patterns)
    length, height, width = (_measured(dice, side, pattern.scatter) for side in pattern.head)
    return {
        "kind": "tool",
        "head_length": length,
        "head_height": height,
        "head_width": width,
        "eye_offset": _measured(dice, length * pattern.eye, 0.06),
        "handle_length": _measured(dice, dice.choice(pattern.handles), 0.005),
        "handle_width": _measured(dice, pattern.grip[0], 0.03),
        "handle_thickness": _measured(dice, pattern.grip[1], 0.03),
        "weight_g": round(pattern.weight_g * dice.uniform(0.97, 1.04)),
    }


def _block(dice: random.Random) -> Item:
    usual = dice.choice(((150, 105, 13), (78, 78, 112), (90, 60, 20), (70, 70, 30), (120, 80, 45)))
    length, width, height = (_measured(dice, side, 0.02) for side in usual)
    upright = {"upright": True} if dice.random() < 0.3 else {}
    return {
        "kind": "block",
        "length": length,
        "width": width,
        "height": height,
        "weight_g": dice.randrange(60, 450, 20),
        **upright,
    }


def _like_hammers(dice: random.Random, items: int) -> list[Item]:
    return [_tool(dice, (HAMMERS[index * 4 // items],)) for index in range(items)]


def _twins_and_blocks(dice: random.Random, items: int) -> list[Item]:
    tools = [_tool(dice, (*HAMMERS, *HATCHETS)) for _ in range(items // 3)]
    return [dict(tool) for tool in tools for _ in range(2)] + [_block(dice) for _ in range(items - 2 * len(tools))]


def _mixed(dice: random.Random, items: int) -> list[Item]:
    return [_tool(dice, (*HAMMERS, *HATCHETS, *AXES, *MALLETS)) for _ in range(items)]


def _hatchets_and_hammers(dice: random.Random, items: int) -> list[Item]:
    return [_tool(dice, HATCHETS if index % 2 else HAMMERS) for index in range(items)]


def _tools_and_blocks(dice: random.Random, items: int) -> list[Item]:
    blocks = items // 3
    return _mixed(dice, items - blocks) + [_block(dice) for _ in range(blocks)]


def _small_blocks(dice: random.Random, items: int) -> list[Item]:
    tools = max(1, items // 4)
    return [_tool(dice, HAMMERS) for _ in range(tools)] + [_block(dice) for _ in range(items - tools)]


def _one_pattern(dice: random.Random, items: int) -> list[Item]:
    """Pieces of which no measure differs: what equal states cost shows here most."""
    return [dict(tool) for tool in [_tool(dice, (*HAMMERS, *HATCHETS))] for _ in range(items)]


THIN: Mapping[str, Any] = {"web": 15, "wall": 20, "sheets": [15, 30, 50]}
KINDS: Mapping[str, tuple[Callable[[random.Random, int], list[Item]], Mapping[str, Any]]] = {
    "like hammers": (_like_hammers, {}),
    "twins and blocks": (_twins_and_blocks, {}),
    "thin web": (_mixed, THIN),
    "mixed": (_mixed, {}),
    "hatchets and hammers": (_hatchets_and_hammers, {}),
    "tools and blocks": (_tools_and_blocks, {}),
    "small blocks": (_small_blocks, {}),
    "one pattern": (_one_pattern, {}),
    "heavy layers": (_like_hammers, {"max_layer_g": 7500}),
    "low box": (_mixed, {"max_interior": [1500, 1100, 210]}),
}
"""What an order is made of, and the rules that are not the usual ones."""


def is_fresh(number: int) -> bool:
    """Tell whether an order is for judging alone."""
    return number % 2 == 1


def generated(kind: str, items: int, number: int) -> dict[str, Any]:
    """One order's content.

    Parameters
    ----------
    kind
        One of `KINDS`.
    items
        How many, 1 or more.
    number
        Which of all such orders: the same one gives the same order on any machine.

    Returns
    -------
    dict
        As read by `read_order`.
    """
    make, rules = KINDS[kind]
    # A seed from a text is hashed by `random` itself, alike on every machine.
    dice = random.Random(f"{kind} {items} {number}")
    made = [{"id": f"p{index:02}", **item} for index, item in enumerate(make(dice, items), 1)]
    return {"id": f"{kind.replace(' ', '-')}-{items}-{number}", "rules": dict(rules), "items": made}

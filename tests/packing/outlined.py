"""Tools with outlines for tests, drawn at random: by a few measures of their pattern, or traced in many points."""

import math
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from random import Random
from typing import Any

from packing.measure import Outline, ShapeMeasure, Tool, item_content, read_item, shaped_outline

Content = dict[str, Any]
S = ShapeMeasure


def hammer(name: str = "hammer", **rest: Any) -> Content:
    """A cross peen of 1 kg with its head's outline and its handle's."""
    content = {
        "id": name,
        "kind": "tool",
        "head_length": 135,
        "head_height": 36,
        "head_width": 36,
        "eye_offset": 60,
        "handle_length": 330,
        "handle_width": 32,
        "handle_thickness": 23,
        "weight_g": 1230,
        "head_weight_g": 1000,
    } | rest
    return with_shape(content, {S.PEEN: 25, S.TAPER: 60, S.NECK: 75, S.BELLY: 90})


def axe(name: str = "axe", **rest: Any) -> Content:
    """A bearded axe with its head's outline and its handle's."""
    content = {
        "id": name,
        "kind": "tool",
        "form": "axe",
        "sharp": "far",
        "may_stand": False,
        "head_length": 180,
        "head_height": 120,
        "head_width": 30,
        "eye_offset": 25,
        "handle_length": 500,
        "handle_width": 32,
        "handle_thickness": 23,
        "weight_g": 1500,
        "head_weight_g": 1000,
    } | rest
    return with_shape(content, {S.EYE_HEIGHT: 55, S.BEARD: 30, S.NECK: 80, S.BELLY: 90})


def with_shape(content: Content, shape: Mapping[ShapeMeasure, int]) -> Content:
    """The content of a tool with its outline by these measures."""
    tool = read_item(content)
    assert isinstance(tool, Tool)
    return item_content(replace(tool, outline=shaped_outline(tool, {one: Decimal(v) for one, v in shape.items()})))


def random_tool(rng: Random, name: str) -> Content:
    """A hammer, mallet or axe of any likely size, its outline by measures or traced."""
    form = rng.choice(["hammer", "hammer", "axe", "mallet"])
    axed = form == "axe"
    head = rng.uniform(120, 220) if axed else rng.uniform(80, 160)
    height = rng.uniform(70, 140) if axed else rng.uniform(22, 60)
    width = rng.uniform(22, 36) if axed else rng.uniform(22, 60)
    eye = rng.uniform(18, 35) if axed else head * rng.uniform(0.4, 0.55)
    content: Content = {
        "id": name,
        "kind": "tool",
        "form": form,
        "head_length": round(head, 1),
        "head_height": round(height, 1),
        "head_width": round(width, 1),
        "eye_offset": round(eye, 1),
        "handle_length": round(rng.uniform(220, 500), 1),
        "handle_width": round(rng.uniform(22, 34), 1),
        "handle_thickness": round(rng.uniform(15, 24), 1),
        "weight_g": 700,
    }
    density = {"hammer": 0.0055, "axe": 0.0025, "mallet": 0.0006}[form]
    content["head_weight_g"] = round(head * height * width * density)
    content["weight_g"] = content["head_weight_g"] + 200
    if axed:
        content |= {"sharp": "far", "may_stand": False}
    if not axed and rng.random() < 0.5:
        return traced(rng, content)
    return with_shape(content, random_shape(rng, form))


def random_shape(rng: Random, form: str) -> dict[ShapeMeasure, int]:
    """Up to four measures of a form."""
    share = rng.randint
    shape = {S.NECK: share(65, 100), S.BELLY: share(75, 100)}
    if form == "hammer":
        shape |= {S.PEEN: share(15, 100), S.TAPER: share(45, 80)}
    elif form == "axe":
        beard = share(5, 40)
        shape |= {S.EYE_HEIGHT: share(35, 100 - beard), S.BEARD: beard}
    elif form == "mallet":
        shape |= {S.REACH_NEAR: share(30, 50), S.REACH_FAR: share(30, 50)}
    return shape


def traced(rng: Random, content: Content, points: int = 60) -> Content:
    """The same tool with a head and a handle traced in many points, smooth and within their rectangles."""
    tool = read_item(content)
    assert isinstance(tool, Tool)
    length, width = tool.handle_length_um, tool.handle_width_um
    x0, y0 = tool.handle_rect[:2]
    bow, waist, steps = rng.uniform(0, 0.12), rng.uniform(0.1, 0.2), points // 2
    shares = [step / steps for step in range(steps + 1)]
    near = [
        y0 + width * (waist * math.sin(math.pi * s) ** 2 + bow * math.sin(2 * math.pi * s) / 2 + bow / 2)
        for s in shares
    ]
    far = [y + width * (1 - bow - 2 * waist * math.sin(math.pi * s) ** 2) for y, s in zip(near, shares, strict=True)]
    handle = [(x0 + length * s, y) for s, y in zip(shares, near, strict=True)]
    handle += [(x0 + length * s, y) for s, y in zip(reversed(shares), reversed(far), strict=True)]
    # A head with round shoulders, square where the handle enters it.
    height, long, power = tool.head_height_um, tool.head_length_um, rng.uniform(3, 6)
    head = []
    for step in range(points):
        turn = 2 * math.pi * (step + 0.5) / points
        head.append(
            tuple(0.5 + 0.5 * math.copysign(abs(f(turn)) ** (2 / power), f(turn)) for f in (math.cos, math.sin))
        )
    eye = tool.eye_offset_um
    inside = [(x * height, y * long) for x, y in head if not (x > 0.5 and abs(y * long - eye) < width / 2)]
    ends = [(float(height), eye - width / 2), (float(height), eye + width / 2)]
    at = next((i for i, (x, y) in enumerate(inside) if x > height / 2 and y > eye), 0)
    head_um = [*inside[:at], *ends, *inside[at:]]
    return item_content(replace(tool, outline=Outline(_tidy(head_um, tool.head_rect), _tidy(handle, tool.handle_rect))))


def _tidy(points: list[tuple[float, float]], rect: tuple[int, int, int, int]) -> tuple[tuple[int, int], ...]:
    """To hundredths of a millimetre, within a rectangle."""
    x0, y0, x1, y1 = rect
    return tuple(
        (
            min(max(round(x / 10) * 10, x0), x1 // 10 * 10),
            min(max(round(y / 10) * 10, -(-y0 // 10) * 10), y1 // 10 * 10),
        )
        for x, y in points
    )

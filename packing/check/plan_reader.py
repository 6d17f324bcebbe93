"""Reads a plan's content into typed values, naming every key that is missing or wrong."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from packing.check.rectangles import Box, Rect
from packing.check.report import Problem

NEAREST_UM = Decimal("0.001")
"""A file has millimetres: a thousandth is a whole micrometre, and anything finer is no figure of ours."""
LARGEST_MM = 1_000_000
"""A kilometre: larger figures are slips, and their products would no longer be exact."""
LARGEST = 10**18
"""Of whole numbers, such as volumes in cubic millimetres."""


class Reader:
    """Takes values out of JSON content and notes a "format" problem for each that is not as it should be."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def wrong(self, where: str, message: str) -> None:
        """Note one problem."""
        self.problems.append(Problem("format", where, message))

    def mapping(self, value: Any, where: str) -> Mapping[str, Any] | None:
        """An object with named values."""
        if isinstance(value, Mapping):
            return value
        self.wrong(where, f"must be an object, not {_short(value)}.")
        return None

    def objects(self, holder: Mapping[str, Any], key: str, where: str, *, needed: bool = True) -> list[Any]:
        """A list; empty (and noted, where needed) if it is none."""
        if key not in holder:
            if needed:
                self.wrong(where, f"“{key}” is missing.")
            return []
        value = holder[key]
        if isinstance(value, Sequence) and not isinstance(value, (str, bytes)):
            return list(value)
        self.wrong(where, f"“{key}” must be a list, not {_short(value)}.")
        return []

    def number(self, holder: Mapping[str, Any], key: str, where: str, *, least: int | None = None) -> Decimal | None:
        """A finite number, at least `least` where that is given."""
        if key not in holder:
            self.wrong(where, f"“{key}” is missing.")
            return None
        value = self._decimal(holder[key], f"“{key}”", where)
        if value is not None and least is not None and value < least:
            self.wrong(where, f"“{key}” must be at least {least}, not {value}.")
            return None
        return value

    def length(self, holder: Mapping[str, Any], key: str, where: str) -> int | None:
        """A length in mm as whole micrometres."""
        value = self.number(holder, key, where)
        return None if value is None else self._um(value, f"“{key}”", where)

    def lengths(self, holder: Mapping[str, Any], key: str, where: str, count: int) -> tuple[int, ...] | None:
        """A list of lengths in mm as whole micrometres."""
        if key not in holder:
            self.wrong(where, f"“{key}” is missing.")
            return None
        value = holder[key]
        if not isinstance(value, Sequence) or isinstance(value, (str, bytes)) or len(value) != count:
            self.wrong(where, f"“{key}” must be a list of {count} lengths in mm, not {_short(value)}.")
            return None
        found = []
        for one in value:
            number = self._decimal(one, f"a value of “{key}”", where)
            um = None if number is None else self._um(number, f"a value of “{key}”", where)
            if um is None:
                return None
            found.append(um)
        return tuple(found)

    def text(self, holder: Mapping[str, Any], key: str, where: str) -> str | None:
        """A text that is not empty."""
        value = holder.get(key)
        if isinstance(value, str) and value:
            return value
        self.wrong(where, f"“{key}” must be a text, not {_short(value)}." if key in holder else f"“{key}” is missing.")
        return None

    def rect(self, holder: Mapping[str, Any], where: str) -> Rect | None:
        """`min_mm` and `max_mm` of a rectangle that is not empty."""
        low, high = self.lengths(holder, "min_mm", where, 2), self.lengths(holder, "max_mm", where, 2)
        if low is None or high is None:
            return None
        if low[0] >= high[0] or low[1] >= high[1]:
            self.wrong(
                where, f"is empty or inside out: min_mm {_short(holder['min_mm'])}, max_mm {_short(holder['max_mm'])}."
            )
            return None
        return Rect(low[0], low[1], high[0], high[1])

    def box(self, holder: Mapping[str, Any], where: str) -> Box | None:
        """`min_mm` and `max_mm` of a box that is not empty."""
        low, high = self.lengths(holder, "min_mm", where, 3), self.lengths(holder, "max_mm", where, 3)
        if low is None or high is None:
            return None
        if any(low[axis] >= high[axis] for axis in range(3)):
            self.wrong(
                where, f"is empty or inside out: min_mm {_short(holder['min_mm'])}, max_mm {_short(holder['max_mm'])}."
            )
            return None
        return Box(low[0], low[1], low[2], high[0], high[1], high[2])

    def _decimal(self, value: Any, what: str, where: str) -> Decimal | None:
        if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
            self.wrong(where, f"{what} must be a number, not {_short(value)}.")
            return None
        if isinstance(value, int) and abs(value) > LARGEST:
            self.wrong(where, f"{what} must be within ±{LARGEST}.")
            return None
        number = Decimal(str(value))
        if not number.is_finite() or abs(number) > LARGEST:
            self.wrong(where, f"{what} must be a finite number within ±{LARGEST}, not {value}.")
            return None
        return number

    def _um(self, value: Decimal, what: str, where: str) -> int | None:
        if abs(value) > LARGEST_MM:
            self.wrong(where, f"{what} must be within ±{LARGEST_MM} mm, not {value} mm.")
            return None
        whole = round(value * 1000)
        if abs(value * 1000 - whole) > NEAREST_UM:
            self.wrong(where, f"{what} must be whole micrometres, not {value} mm.")
            return None
        return whole


def _short(value: Any) -> str:
    try:
        text = json.dumps(value, default=str)
    except (TypeError, ValueError, RecursionError):
        text = f"this {type(value).__name__}"
    return text if len(text) <= 60 else text[:57] + "..."


@dataclass(frozen=True, slots=True)
class PlanLayer:
    """One layer as the plan has it."""

    floor_um: int
    height_um: int

    @property
    def top_um(self) -> int:
        """Its top above the interior's bottom."""
        return self.floor_um + self.height_um


@dataclass(frozen=True, slots=True)
class PlanItem:
    """One item as the plan has it: its layer (-1 in a plan without layers), its parts by name."""

    id: str
    layer: int
    pose: str
    parts: Mapping[str, Box]
    content: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class PlanView:
    """The nesting of a plan; `listed` has the id of every item entry, `whole` is whether all of them could be read."""

    interior_um: tuple[int, int, int]
    layers: tuple[PlanLayer, ...]
    items: tuple[PlanItem, ...]
    listed: tuple[str, ...]
    whole: bool


def read_nesting(reader: Reader, content: Mapping[str, Any], *, layered: bool) -> PlanView | None:
    """Interior, layers and items; None where nothing can be judged."""
    interior = reader.lengths(content, "interior_mm", "interior_mm", 3)
    raw_layers = reader.objects(content, "layers", "layers")
    layers: list[PlanLayer] = []
    for index, raw in enumerate(raw_layers):
        where = f"layer {index}"
        held = reader.mapping(raw, where)
        if held is None:
            continue
        floor, height = reader.length(held, "floor_mm", where), reader.length(held, "height_mm", where)
        if floor is not None and height is not None:
            layers.append(PlanLayer(floor, height))
    items: list[PlanItem] = []
    listed: list[str] = []
    raw_items = reader.objects(content, "items", "items")
    for index, raw in enumerate(raw_items):
        held = reader.mapping(raw, f"items[{index}]")
        name = None if held is None else reader.text(held, "id", f"items[{index}]")
        if held is None or name is None:
            continue
        listed.append(name)
        item = _read_item(reader, held, name, len(raw_layers), layered=layered)
        if item is not None:
            items.append(item)
    if interior is None or len(layers) != len(raw_layers):
        return None
    if min(interior) <= 0:
        reader.wrong("interior_mm", f"must be greater than zero each way, not {_short(content['interior_mm'])}.")
        return None
    sides = (interior[0], interior[1], interior[2])
    return PlanView(sides, tuple(layers), tuple(items), tuple(listed), len(items) == len(raw_items))


def _read_item(reader: Reader, held: Mapping[str, Any], name: str, layers: int, *, layered: bool) -> PlanItem | None:
    before = len(reader.problems)
    pose = reader.text(held, "pose", name)
    parts: dict[str, Box] = {}
    for raw in reader.objects(held, "parts", name):
        part = reader.mapping(raw, name)
        label = None if part is None else reader.text(part, "part", name)
        if part is None or label is None:
            continue
        box = reader.box(part, f"{name} {label}")
        if label in parts:
            reader.wrong(name, f"has the part “{label}” twice.")
        elif box is not None:
            parts[label] = box
    layer: Any = held.get("layer", "missing")
    if not layered:
        if layer is not None:
            reader.wrong(name, f"“layer” must be null in a plan without layers, not {_short(layer)}.")
        layer = -1
    elif isinstance(layer, bool) or not isinstance(layer, int):
        reader.wrong(name, f"“layer” must be the index of a layer, not {_short(layer)}.")
    elif not 0 <= layer < layers:
        reader.wrong(name, f"layer {layer} does not exist; the plan has {layers}.")
    if len(reader.problems) > before or pose is None:
        return None
    return PlanItem(name, layer, pose, parts, held)

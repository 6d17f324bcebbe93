"""What is measured: open orders with their best known volumes, published problems, and orders made from them."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from packing.measure import Item, Order, Tool, read_order
from packing.pose import can_stand, orientations_of

HERE = Path(__file__).parent
UNIT_MM = 10
NO_GAPS = dict.fromkeys(("clearance", "web", "wall", "base_pad", "layer_pad", "top_pad"), 0)
ONE_LAYER: dict[str, Any] = {**NO_GAPS, "sheets": [UNIT_MM], "max_interior": [10_000, 10_000, UNIT_MM]}
FREE: dict[str, Any] = {**NO_GAPS, "sheets": [UNIT_MM], "layered": False}
QUICK_ORDERS = ("o01", "o03", "o12", "o22", "o28", "o39")
GROWTH_SIZES = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48)
GROWTH_QUICK = (1, 8, 48)
GROWTH_ORDER = "o39-n24-mixed"


@dataclass(frozen=True, slots=True)
class Best:
    """The best known of one open order: volume and lower bound in mm³, and whether nothing smaller exists."""

    volume_mm3: float
    bound_mm3: float
    proven: bool


@dataclass(frozen=True, slots=True)
class Published:
    """One published problem.

    Parameters
    ----------
    name, source
        What it is and who says so.
    content
        An order's content; one unit is `UNIT_MM`.
    answer_mm3
        The least interior volume.
    free
        Whether it is packed without layers.
    """

    name: str
    source: str
    content: dict[str, Any]
    answer_mm3: int
    free: bool


def order_contents() -> dict[str, dict[str, Any]]:
    """The open orders by their id, fewest items first."""
    contents = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(HERE.glob("orders/*.json"))]
    return {content["id"]: content for content in sorted(contents, key=lambda content: len(content["items"]))}


def best_known() -> dict[str, Best]:
    """The best known of each open order."""
    held = json.loads((HERE / "best.json").read_text(encoding="utf-8"))["orders"]
    return {name: Best(row["volume_mm3"], row["bound_mm3"], row["proven"]) for name, row in held.items()}


def published() -> list[Published]:
    """The published problems as orders."""
    held = json.loads((HERE / "published.json").read_text(encoding="utf-8"))
    return [problem for family in held["families"] for problem in _family(family)]


def _family(family: Mapping[str, Any]) -> list[Published]:
    """The problems of one family; each row ends with its answer in units."""
    if "boxes" in family:
        rows = [([_box(*sides) for sides in items], answer) for items, answer in family["boxes"]]
    elif "tee" in family:
        rows = [([_tee(*family["tee"])] * count, answer) for count, answer in family["counts"]]
    else:
        longer = family["longer_by"]
        rows = [([_box(n + longer, n, 1) for n in range(1, last + 1)], answer) for last, answer in family["counts"]]
    free = "boxes" in family
    return [
        _problem(family["name"].format(n=len(items)), family["source"], items, answer, free=free)
        for items, answer in rows
    ]


def _problem(name: str, source: str, items: Sequence[Mapping[str, Any]], answer: int, *, free: bool) -> Published:
    """A problem as an order: boxes that may stand on each other, or items that lie in one layer."""
    numbered = [{"id": f"p{at}", **item, **({} if free else _lying(item))} for at, item in enumerate(items, 1)]
    content = {"id": name, "rules": FREE if free else ONE_LAYER, "items": numbered}
    return Published(name, source, content, answer * UNIT_MM**3, free)


def _box(length: int, width: int, height: int) -> dict[str, Any]:
    sizes = {"length": length * UNIT_MM, "width": width * UNIT_MM, "height": height * UNIT_MM}
    return {"kind": "block", **sizes, "weight_g": 1}


def _tee(across: int, along: int, handle: int, width: int) -> dict[str, Any]:
    head = {"head_length": across * UNIT_MM, "head_height": along * UNIT_MM, "head_width": UNIT_MM}
    stick = {"handle_length": handle * UNIT_MM, "handle_width": width * UNIT_MM, "handle_thickness": UNIT_MM}
    return {"kind": "tool", **head, **stick, "weight_g": 15}


def _lying(item: Mapping[str, Any]) -> dict[str, bool]:
    """What keeps an item of a plane problem from standing up."""
    return {"upright": True} if item["kind"] == "block" else {"may_stand": False}


def repeated(content: Mapping[str, Any], count: int) -> dict[str, Any]:
    """An order of so many items: those of another in turn, again and again, each time under new ids."""
    items: Sequence[Mapping[str, Any]] = content["items"]
    taken = [{**items[at % len(items)], "id": f"r{at + 1:02}"} for at in range(count)]
    return {"id": f"{content['id']} x {count}", "rules": content.get("rules", {}), "items": taken}


def boxed(order: Order) -> Order:
    """The order with every tool replaced by its bounding box in each pose it may take.

    Parameters
    ----------
    order
        Tools and blocks; blocks are boxes already.

    Returns
    -------
    Order
        A tool that fills the bounding boxes of the given one: its handle is as wide as its head is long and as thick
        as the head is wide, and it may stand where the given one may. A plan of it is planned, bounded and checked as
        any other.
    """
    return replace(order, items=tuple(_filled(item) if isinstance(item, Tool) else item for item in order.items))


def _filled(tool: Tool) -> Item:
    flat = next(
        orientation for orientation in orientations_of(tool) if orientation.pose == "flat" and orientation.turn == 0
    )
    length, wide, thick = flat.length_um, flat.width_um, flat.need_um
    return Tool(
        id=tool.id,
        head_length_um=wide,
        head_height_um=length // 2,
        head_width_um=thick,
        eye_offset_um=wide // 2,
        handle_length_um=length - length // 2,
        handle_width_um=wide,
        handle_thickness_um=thick,
        weight_mg=tool.weight_mg,
        form=tool.form,
        may_stand=can_stand(tool),
    )


def read(content: Mapping[str, Any]) -> Order:
    """An order from its content."""
    return read_order(content)

"""An order: items, rules, and its content as JSON."""

import hashlib
import json
from dataclasses import dataclass
from typing import Any

from packing.measure.kinds import Form, ItemKind, Mark, Sharp
from packing.measure.outline import Outline, outline_content
from packing.measure.rules import Rules, rules_content
from packing.measure.values import grams, mm
from packing.polygon import Rect

TOOL_MEASURES = (
    "head_length",
    "head_height",
    "head_width",
    "eye_offset",
    "handle_length",
    "handle_width",
    "handle_thickness",
)
BLOCK_MEASURES = ("length", "width", "height")
"""In a file in millimetres, in `Block` in micrometres."""


@dataclass(frozen=True, slots=True)
class Tool:
    """One measured tool: two boxes in a T, its edge guard on. Lengths in micrometres, weights in milligrams."""

    id: str
    head_length_um: int
    head_height_um: int
    head_width_um: int
    eye_offset_um: int
    handle_length_um: int
    handle_width_um: int
    handle_thickness_um: int
    weight_mg: int
    form: Form = Form.HAMMER
    sharp: Sharp = Sharp.NONE
    head_weight_mg: int | None = None
    may_stand: bool = True
    mark: Mark | None = None
    outline: Outline | None = None

    @property
    def head_rect(self) -> Rect:
        """The head seen on its cheek: x along the handle from the crown, y from the face or poll, in micrometres."""
        return 0, 0, self.head_height_um, self.head_length_um

    @property
    def handle_rect(self) -> Rect:
        """The handle in the same frame."""
        low = self.eye_offset_um - self.handle_width_um // 2
        return (
            self.head_height_um,
            low,
            self.head_height_um + self.handle_length_um,
            low + self.handle_width_um,
        )


@dataclass(frozen=True, slots=True)
class Block:
    """Anything else that rides along in a box of its own shape."""

    id: str
    length_um: int
    width_um: int
    height_um: int
    weight_mg: int
    upright: bool = False


Item = Tool | Block


@dataclass(frozen=True, slots=True)
class Order:
    """One parcel's order: its id, its items in the order given, its rules."""

    id: str
    items: tuple[Item, ...]
    rules: Rules


def item_content(item: Item) -> dict[str, Any]:
    """Write one item as an order file's content, defaults filled in.

    Parameters
    ----------
    item
        A tool or a block.

    Returns
    -------
    dict
        Millimetres and grams. Half of an odd hundredth of a millimetre, the eye in the middle of such a head, is left
        out: a file cannot say it.
    """
    if isinstance(item, Block):
        sizes = {key: mm(getattr(item, f"{key}_um")) for key in BLOCK_MEASURES}
        return {
            "id": item.id,
            "kind": ItemKind.BLOCK.value,
            **sizes,
            "weight_g": grams(item.weight_mg),
            "upright": item.upright,
        }
    content: dict[str, Any] = {"id": item.id, "kind": ItemKind.TOOL.value}
    content.update({key: mm(getattr(item, f"{key}_um")) for key in TOOL_MEASURES})
    if item.eye_offset_um % 10:
        del content["eye_offset"]
    content.update({"weight_g": grams(item.weight_mg), "form": item.form.value, "sharp": item.sharp.value})
    content["may_stand"] = item.may_stand
    if item.head_weight_mg is not None:
        content["head_weight_g"] = grams(item.head_weight_mg)
    if item.mark is not None:
        content["mark"] = item.mark.value
    if item.outline is not None:
        content["outline"] = outline_content(item.outline)
    return content


def order_content(order: Order) -> dict[str, Any]:
    """Write an order as an order file's content; `read_order` of it gives the order again.

    Parameters
    ----------
    order
        As read by `read_order`.

    Returns
    -------
    dict
        Defaults filled in; millimetres and grams.
    """
    return {
        "id": order.id,
        "rules": rules_content(order.rules),
        "items": [item_content(item) for item in order.items],
    }


def input_sha256(order: Order) -> str:
    """Hash an order's content in canonical JSON: the same order and rules give the same hash.

    Parameters
    ----------
    order
        As read by `read_order`.

    Returns
    -------
    str
        SHA-256, 64 hexadecimal figures.
    """
    text = json.dumps(order_content(order), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()

"""What an order is: items, rules, and its content as JSON."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, ClassVar

from packing.measure.kinds import Form, ItemKind, Mark, Sharp
from packing.messages import Message, verbatim

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


class PackingError(Exception):
    """Base of the errors that a person is told of; the message is a sentence for them.

    `code` is for programs, a word a kind of error; `fields` has a sentence for each field at fault, by its path.
    """

    code: ClassVar[str] = "refused"

    def __init__(self, message: str = "", fields: Mapping[str, str] | None = None) -> None:
        super().__init__(message)
        self.fields = dict(fields or {})


class BadInput(PackingError):
    """An order that cannot be taken; the message names the field, the rule and the value.

    Parameters
    ----------
    field
        Path of the field, such as ``items[2].head_length``.
    message
        One sentence for the person who typed it; `sentence` has its quantities, `message` is plain English.
    """

    code = "invalid"

    def __init__(self, field: str, message: str | Message) -> None:
        self.field = field
        self.sentence = verbatim(message) if isinstance(message, str) else message
        self.message = str(self.sentence)
        super().__init__(f"{field}: {self.message}", {field: self.message})


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
    outline: tuple[tuple[int, int], ...] | None = None


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
class Rules:
    """The rules of a plan, in micrometres and milligrams; see `RULE_NOTES` for what each means."""

    clearance_um: int = 1_500
    web_um: int = 20_000
    wall_um: int = 25_000
    base_pad_um: int = 25_000
    layer_pad_um: int = 12_000
    top_pad_um: int = 25_000
    sheets_um: tuple[int, ...] = (12_000, 25_000, 50_000)
    layer_spare_um: int = 0
    max_interior_um: tuple[int, int, int] | None = None
    max_gross_mg: int | None = None
    layered: bool = True
    sharp_wall_um: int | None = None
    max_layer_mg: int | None = None
    stiff_sheet_um: int | None = None
    bite_um: int | None = None
    thin_um: tuple[int, ...] | None = None
    slices: bool | None = None

    @property
    def give_um(self) -> int:
        """How far steel may sink into foam: `bite_um`, 0 where the order does not say."""
        return self.bite_um or 0

    @property
    def slices_allowed(self) -> bool:
        """Whether slices of a pocket's waste may be cut: as the order says, else only where no thin stock is named."""
        return self.thin_um is None if self.slices is None else self.slices


RULE_NOTES: dict[str, str] = {
    "clearance": "room kept around a part on each side, mm",
    "web": "least material between the pockets of different items in one layer, mm along x or y",
    "wall": "least material from a pocket to the insert's edge, mm",
    "base_pad": "thickness under the lowest layer, mm",
    "layer_pad": "thickness between layers, mm",
    "top_pad": "thickness over the highest layer, mm",
    "sheets": "stock thicknesses, mm",
    "layer_spare": "how much higher than needed a layer may be where that saves sheets and work, mm",
    "max_interior": "largest interior, mm: length, width, height; the plan may be turned to fit",
    "max_gross_g": "heaviest gross weight, g",
    "layered": "false: blocks only, standing on each other freely",
    "sharp_wall": "least material from the pocket of a lying head's sharp end to the insert's edge, mm",
    "stiff_sheet": "thickness of a stiff sheet, such as plywood, on top of each pad between layers, mm",
    "max_layer_g": "heaviest weight of the pieces in one layer, g",
    "bite": "how far foam gives under steel, mm: a sheet entered by no more stays whole, a layer may be so much lower",
    "thin": "thicknesses of thin stock for fills and rests, mm; it may serve in a layer too",
    "slices": "whether slices may be cut from a pocket's waste; true where no thin stock is named",
}


@dataclass(frozen=True, slots=True)
class Order:
    """One parcel's order: its id, its items in the order given, its rules."""

    id: str
    items: tuple[Item, ...]
    rules: Rules


def mm(um: int) -> int | float:
    """Write micrometres as a JSON number of millimetres.

    Parameters
    ----------
    um
        Whole micrometres.

    Returns
    -------
    int or float
        An int where it is whole.
    """
    return um // 1000 if um % 1000 == 0 else um / 1000


def grams(mg: int) -> int | float:
    """Write milligrams as a JSON number of grams.

    Parameters
    ----------
    mg
        Whole milligrams.

    Returns
    -------
    int or float
        An int where it is whole.
    """
    return mg // 1000 if mg % 1000 == 0 else mg / 1000


def rules_content(rules: Rules) -> dict[str, Any]:
    """Write rules as an order file's content.

    Parameters
    ----------
    rules
        In micrometres and milligrams.

    Returns
    -------
    dict
        Every rule that is in force, in millimetres and grams.
    """
    content: dict[str, Any] = {}
    for field in fields(rules):
        value = getattr(rules, field.name)
        if value is None:
            continue
        if isinstance(value, bool):
            content[field.name] = value
        elif field.name.endswith("_mg"):
            content[field.name.removesuffix("_mg") + "_g"] = grams(value)
        else:
            content[field.name.removesuffix("_um")] = [mm(v) for v in value] if isinstance(value, tuple) else mm(value)
    return content


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
        content["outline"] = [[mm(x), mm(y)] for x, y in item.outline]
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

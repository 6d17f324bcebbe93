"""Reads an order file's content: the one place where an order's values are checked."""

import json
import unicodedata
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from typing import Any, TypeVar

from packing.measure.kinds import Form, ItemKind, Mark, Sharp
from packing.measure.model import (
    BLOCK_MEASURES,
    RULE_NOTES,
    TOOL_MEASURES,
    BadInput,
    Block,
    Item,
    Order,
    Rules,
    Tool,
    mm,
)
from packing.measure.plausible import refuse_impossible
from packing.messages import Figure, Length, Message, Weight

LONGEST_UM = {
    "head_length": 1_000_000,
    "head_height": 1_000_000,
    "head_width": 1_000_000,
    "handle_length": 3_000_000,
}
LONGEST_OTHER_UM = 5_000_000
HEAVIEST_MG = 100_000_000
SHOWN_CHARACTERS = 60
EYE_OFFSET = "eye_offset"
"""The one measure that may be left out: half the head's length."""
MOST_SPOKEN = 10**7
"""Millimetres or grams: a refused number beyond it is a slip of the keyboard, repeated as it was typed."""
K = TypeVar("K", bound=StrEnum)

MOST_ITEMS = 300
"""In one order: the search keeps to its seconds up to so many; checking and drawing 300 take up to 4 s more."""


def _shown(value: Any) -> str:
    """A refused value as its file has it, cut short where it is long."""
    number = isinstance(value, (int, Decimal)) and not isinstance(value, bool)
    text = str(Decimal(value)) if number else json.dumps(value, default=str)
    return text if len(text) <= SHOWN_CHARACTERS else text[:SHOWN_CHARACTERS] + "…"


def _number(value: Any, field: str) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
        raise BadInput(field, f"must be a number, not {_shown(value)}.")
    number = Decimal(str(value)) if isinstance(value, float) else Decimal(value)
    if not number.is_finite():
        raise BadInput(field, f"must be a finite number, not {value}.")
    return number


def _length_um(value: Any, field: str, *, zero: bool = False, limit_um: int = LONGEST_OTHER_UM) -> int:
    number = _number(value, field)
    if number < 0 or (number == 0 and not zero):
        template = "must be zero or more, not {given}." if zero else "must be greater than zero, not {given}."
        raise BadInput(field, Message(template, given=_given_mm(number, value)))
    if number > Decimal(limit_um) / 1000:
        given = _given_mm(number, value)
        raise BadInput(field, Message("must be at most {most}, not {given}.", most=Length(limit_um), given=given))
    hundredths = int(number * 100)
    if number != Decimal(hundredths) / 100:
        raise BadInput(field, f"must be a multiple of 0.01 mm, not {_shown(value)} mm.")
    return hundredths * 10


def _given_mm(number: Decimal, value: Any) -> Length | Figure:
    """A refused length as the reader's units say it, or as it was given where it is too fine or too large for that."""
    return Length(int(number * 1000)) if _speakable(number) else Figure(_shown(value), "mm")


def _given_g(number: Decimal, value: Any) -> Weight | Figure:
    return Weight(int(number * 1000)) if _speakable(number) else Figure(_shown(value), "g")


def _speakable(number: Decimal) -> bool:
    return number.copy_abs() < MOST_SPOKEN and number * 1000 == int(number * 1000)


def _weight_mg(value: Any, field: str) -> int:
    number = _number(value, field)
    if number <= 0:
        raise BadInput(field, Message("must be greater than zero, not {given}.", given=_given_g(number, value)))
    if number > Decimal(HEAVIEST_MG) / 1000:
        given = _given_g(number, value)
        raise BadInput(field, Message("must be at most {most}, not {given}.", most=Weight(HEAVIEST_MG), given=given))
    return max(1, int((number * 1000).to_integral_value(ROUND_HALF_EVEN)))


def _flag(value: Any, field: str) -> bool:
    if not isinstance(value, bool):
        raise BadInput(field, f"must be true or false, not {_shown(value)}.")
    return value


def _choice(value: Any, field: str, kind: type[K]) -> K:
    choices = list(kind)
    if not isinstance(value, str) or value not in choices:
        raise BadInput(field, f"must be one of {', '.join(choices)}, not {_shown(value)}.")
    return kind(value)


def _name(value: Any, field: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise BadInput(
            field,
            f"must be a text that is not empty, not {_shown(value)}.",
        )
    if len(value) > 80 or not value.isprintable():
        raise BadInput(
            field,
            f"must be at most 80 printable characters, not {_shown(value)}.",
        )
    return value


def _mapping(value: Any, field: str) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise BadInput(
            field,
            f"must be an object with named fields, not {_shown(value)}.",
        )
    return value


def _refuse_unknown(content: Mapping[str, Any], known: Sequence[str], field: str) -> None:
    for key in content:
        if key not in known:
            path = f"{field}.{key}" if field else str(key)
            raise BadInput(path, f"is not known here; known are {', '.join(known)}.")


def _need(content: Mapping[str, Any], key: str, field: str) -> Any:
    if key not in content or content[key] is None:
        raise BadInput(f"{field}.{key}" if field else key, "is missing.")
    return content[key]


def read_order(content: Any) -> Order:
    """Read an order file's content.

    Parameters
    ----------
    content
        What `json.load` gives: an object with ``id``, ``items`` and optionally ``rules``.

    Returns
    -------
    Order

    Raises
    ------
    BadInput
        Anything missing, unknown, doubled, of the wrong type, sign or size, impossible or contradictory.
    """
    top = _mapping(content, "order")
    _refuse_unknown(top, ("id", "rules", "items"), "")
    order_id = _name(_need(top, "id", ""), "id")
    raw_rules = top.get("rules")
    rules = Rules() if raw_rules is None else _read_rules(_mapping(raw_rules, "rules"))
    raw_items = _need(top, "items", "")
    if not isinstance(raw_items, Sequence) or isinstance(raw_items, str):
        raise BadInput("items", f"must be a list, not {_shown(raw_items)}.")
    if not raw_items:
        raise BadInput("items", "must hold at least one item; the order is empty.")
    if len(raw_items) > MOST_ITEMS:
        raise BadInput("items", f"must hold at most {MOST_ITEMS} items, not {len(raw_items)}; split the order.")
    items: list[Item] = []
    seen: dict[str, int] = {}
    for index, raw in enumerate(raw_items):
        item = read_item(raw, f"items[{index}]")
        looks = " ".join(unicodedata.normalize("NFC", item.id).split())
        if looks in seen:
            raise BadInput(
                f"items[{index}].id",
                f"“{item.id}” is already the id of items[{seen[looks]}].",
            )
        seen[looks] = index
        items.append(item)
    if not rules.layered:
        for index, item in enumerate(items):
            if isinstance(item, Tool):
                raise BadInput(
                    "rules.layered",
                    f"false is for blocks only, but items[{index}] “{item.id}” is a tool.",
                )
    return Order(order_id, tuple(items), rules)


def read_item(raw: Any, field: str = "item") -> Item:
    """Read one item of an order's content.

    Parameters
    ----------
    raw
        As `json.load` gives it.
    field
        Its path, for messages.

    Returns
    -------
    Tool or Block

    Raises
    ------
    BadInput
        See `read_order`.
    """
    content = _mapping(raw, field)
    kind = _choice(_need(content, "kind", field), f"{field}.kind", ItemKind)
    return _read_tool(content, field) if kind is ItemKind.TOOL else _read_block(content, field)


def _read_block(content: Mapping[str, Any], field: str) -> Block:
    _refuse_unknown(content, ("id", "kind", *BLOCK_MEASURES, "weight_g", "upright"), field)
    name = _name(_need(content, "id", field), f"{field}.id")
    sizes = [_length_um(_need(content, key, field), f"{field}.{key}") for key in BLOCK_MEASURES]
    weight = _weight_mg(_need(content, "weight_g", field), f"{field}.weight_g")
    return Block(
        name,
        sizes[0],
        sizes[1],
        sizes[2],
        weight,
        _flag(content.get("upright", False), f"{field}.upright"),
    )


def _read_tool(content: Mapping[str, Any], field: str) -> Tool:
    optional = ("form", "sharp", "head_weight_g", "may_stand", "mark", "outline")
    _refuse_unknown(content, ("id", "kind", *TOOL_MEASURES, "weight_g", *optional), field)
    name = _name(_need(content, "id", field), f"{field}.id")
    eye_offset = content.get("eye_offset")
    lengths = {
        key: _length_um(_need(content, key, field), f"{field}.{key}", limit_um=LONGEST_UM.get(key, LONGEST_OTHER_UM))
        for key in TOOL_MEASURES
        if key != EYE_OFFSET or eye_offset is not None
    }
    head_length, head_height, head_width, *eye, handle_length, handle_width, handle_thickness = lengths.values()
    mark = content.get("mark")
    head_weight = content.get("head_weight_g")
    tool = Tool(
        id=name,
        head_length_um=head_length,
        head_height_um=head_height,
        head_width_um=head_width,
        eye_offset_um=eye[0] if eye else head_length // 2,
        handle_length_um=handle_length,
        handle_width_um=handle_width,
        handle_thickness_um=handle_thickness,
        weight_mg=_weight_mg(_need(content, "weight_g", field), f"{field}.weight_g"),
        form=_choice(content.get("form", Form.HAMMER), f"{field}.form", Form),
        sharp=_choice(content.get("sharp", Sharp.NONE), f"{field}.sharp", Sharp),
        head_weight_mg=None if head_weight is None else _weight_mg(head_weight, f"{field}.head_weight_g"),
        may_stand=_flag(content.get("may_stand", True), f"{field}.may_stand"),
        mark=None if mark is None else _choice(mark, f"{field}.mark", Mark),
        outline=_read_outline(content.get("outline"), f"{field}.outline"),
    )
    refuse_impossible(tool, field)
    return tool


def _read_outline(raw: Any, field: str) -> tuple[tuple[int, int], ...] | None:
    if raw is None:
        return None
    if not isinstance(raw, Sequence) or isinstance(raw, str) or len(raw) < 3:
        raise BadInput(field, f"must be a list of at least three [x, y] points in mm, not {_shown(raw)}.")
    points = []
    for index, point in enumerate(raw):
        if not isinstance(point, Sequence) or isinstance(point, str) or len(point) != 2:
            raise BadInput(f"{field}[{index}]", f"must be a point [x, y] in mm, not {_shown(point)}.")
        points.append(tuple(_length_um(value, f"{field}[{index}]", zero=True) for value in point))
    return tuple((x, y) for x, y in points)


def _read_rules(content: Mapping[str, Any]) -> Rules:
    _refuse_unknown(content, tuple(RULE_NOTES), "rules")
    values: dict[str, Any] = {}
    for key in (
        "clearance",
        "web",
        "wall",
        "base_pad",
        "layer_pad",
        "top_pad",
        "layer_spare",
    ):
        if key in content:
            values[f"{key}_um"] = _length_um(content[key], f"rules.{key}", zero=True)
    if "sheets" in content:
        values["sheets_um"] = _read_sheets(content["sheets"], "rules.sheets")
    values |= _read_fill_rules(content, values.get("sheets_um", Rules().sheets_um))
    if content.get("max_interior") is not None:
        raw = content["max_interior"]
        if not isinstance(raw, Sequence) or isinstance(raw, str) or len(raw) != 3:
            raise BadInput(
                "rules.max_interior",
                f"must be three lengths in mm, [length, width, height], not {_shown(raw)}.",
            )
        values["max_interior_um"] = tuple(
            _length_um(value, f"rules.max_interior[{index}]", limit_um=10**8) for index, value in enumerate(raw)
        )
    if content.get("sharp_wall") is not None:
        values["sharp_wall_um"] = _length_um(content["sharp_wall"], "rules.sharp_wall", zero=True)
    if content.get("stiff_sheet") is not None:
        values["stiff_sheet_um"] = _length_um(content["stiff_sheet"], "rules.stiff_sheet")
        pad_um = values.get("layer_pad_um", Rules().layer_pad_um)
        if values["stiff_sheet_um"] > pad_um:
            given = content["stiff_sheet"]
            raise BadInput(
                "rules.stiff_sheet", f"{given} mm is thicker than layer_pad, {mm(pad_um)} mm, that holds it."
            )
    for key in ("max_gross", "max_layer"):
        if content.get(f"{key}_g") is not None:
            values[f"{key}_mg"] = _weight_mg(content[f"{key}_g"], f"rules.{key}_g")
    if "layered" in content:
        values["layered"] = _flag(content["layered"], "rules.layered")
    return Rules(**values)


def _read_fill_rules(content: Mapping[str, Any], sheets_um: tuple[int, ...]) -> dict[str, Any]:
    """What foam gives, and what fills the gaps: `bite`, `thin` and `slices`."""
    values: dict[str, Any] = {}
    if content.get("bite") is not None:
        values["bite_um"] = _length_um(content["bite"], "rules.bite", zero=True)
        if values["bite_um"] >= min(sheets_um):
            thinnest = mm(min(sheets_um))
            raise BadInput(
                "rules.bite",
                f"must be less than the thinnest of sheets, {thinnest} mm, not {_shown(content['bite'])} mm.",
            )
    if content.get("thin") is not None:
        values["thin_um"] = _read_sheets(content["thin"], "rules.thin")
    if content.get("slices") is not None:
        values["slices"] = _flag(content["slices"], "rules.slices")
        if not values["slices"] and "thin_um" not in values:
            raise BadInput("rules.slices", "false needs thin stock to fill gaps with; rules.thin is missing.")
    return values


def _read_sheets(raw: Any, field: str) -> tuple[int, ...]:
    if not isinstance(raw, Sequence) or isinstance(raw, str):
        raise BadInput(field, f"must be a list of thicknesses in mm, not {_shown(raw)}.")
    if not raw:
        raise BadInput(field, "must name at least one thickness; there are no sheets to build from.")
    sizes = [_length_um(value, f"{field}[{index}]") for index, value in enumerate(raw)]
    return tuple(sorted(set(sizes)))

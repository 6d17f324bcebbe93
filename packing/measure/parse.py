"""Reads an order file's content: the one place where an order's values are checked."""

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from packing.measure.errors import BadInput
from packing.measure.kinds import Form, ItemKind, Mark, Sharp
from packing.measure.model import BLOCK_MEASURES, TOOL_MEASURES, Block, Item, Order, Tool
from packing.measure.outline import read_outline
from packing.measure.plausible import refuse_impossible
from packing.measure.rules import Rules, read_rules
from packing.measure.values import (
    LONGEST_UM,
    need,
    read_choice,
    read_flag,
    read_length_um,
    read_mapping,
    read_name,
    read_weight_mg,
    refuse_unknown,
    shown,
)

LONGEST_OF_A_TOOL_UM = {
    "head_length": 1_000_000,
    "head_height": 1_000_000,
    "head_width": 1_000_000,
    "handle_length": 3_000_000,
}
EYE_OFFSET = "eye_offset"
"""The one measure that may be left out: half the head's length."""

MOST_ITEMS = 300
"""In one order: the search keeps to its seconds up to so many; checking and drawing 300 take up to 4 s more."""


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
    top = read_mapping(content, "order")
    refuse_unknown(top, ("id", "rules", "items"), "")
    order_id = read_name(need(top, "id", ""), "id")
    raw_rules = top.get("rules")
    rules = Rules() if raw_rules is None else read_rules(read_mapping(raw_rules, "rules"))
    raw_items = need(top, "items", "")
    if not isinstance(raw_items, Sequence) or isinstance(raw_items, str):
        raise BadInput("items", f"must be a list, not {shown(raw_items)}.")
    if not raw_items:
        raise BadInput("items", "must hold at least one item; the order is empty.")
    if len(raw_items) > MOST_ITEMS:
        raise BadInput("items", f"must hold at most {MOST_ITEMS} items, not {len(raw_items)}; split the order.")
    items: list[Item] = []
    seen: dict[str, int] = {}
    for index, raw in enumerate(raw_items):
        item = read_item(raw, f"items[{index}]")
        # Two ids that look alike on a paper are one id to a packer, however they are encoded.
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
    content = read_mapping(raw, field)
    kind = read_choice(need(content, "kind", field), f"{field}.kind", ItemKind)
    return _read_tool(content, field) if kind is ItemKind.TOOL else _read_block(content, field)


def _read_block(content: Mapping[str, Any], field: str) -> Block:
    refuse_unknown(content, ("id", "kind", *BLOCK_MEASURES, "weight_g", "upright"), field)
    name = read_name(need(content, "id", field), f"{field}.id")
    sizes = [read_length_um(need(content, key, field), f"{field}.{key}") for key in BLOCK_MEASURES]
    weight = read_weight_mg(need(content, "weight_g", field), f"{field}.weight_g")
    return Block(
        name,
        sizes[0],
        sizes[1],
        sizes[2],
        weight,
        read_flag(content.get("upright", False), f"{field}.upright"),
    )


def _read_tool(content: Mapping[str, Any], field: str) -> Tool:
    optional = ("form", "sharp", "head_weight_g", "may_stand", "mark", "outline")
    refuse_unknown(content, ("id", "kind", *TOOL_MEASURES, "weight_g", *optional), field)
    name = read_name(need(content, "id", field), f"{field}.id")
    eye_offset = content.get("eye_offset")
    lengths = {
        key: read_length_um(
            need(content, key, field), f"{field}.{key}", limit_um=LONGEST_OF_A_TOOL_UM.get(key, LONGEST_UM)
        )
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
        weight_mg=read_weight_mg(need(content, "weight_g", field), f"{field}.weight_g"),
        form=read_choice(content.get("form", Form.HAMMER), f"{field}.form", Form),
        sharp=read_choice(content.get("sharp", Sharp.NONE), f"{field}.sharp", Sharp),
        head_weight_mg=None if head_weight is None else read_weight_mg(head_weight, f"{field}.head_weight_g"),
        may_stand=read_flag(content.get("may_stand", True), f"{field}.may_stand"),
        mark=None if mark is None else read_choice(mark, f"{field}.mark", Mark),
    )
    refuse_impossible(tool, field)
    raw = content.get("outline")
    outline = read_outline(raw, f"{field}.outline", head=tool.head_rect, handle=tool.handle_rect)
    return replace(tool, outline=outline) if outline else tool

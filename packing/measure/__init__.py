"""The order: measured items and rules, read from an order file's content and checked once, here.

Lengths in a file are millimetres with at most two decimals, weights grams; inside they are whole micrometres and
milligrams.
"""

from packing.measure.model import (
    BLOCK_MEASURES,
    FORMS,
    MARKS,
    RULE_NOTES,
    SHARP,
    TOOL_MEASURES,
    BadInput,
    Block,
    Item,
    Order,
    PackingError,
    Rules,
    Tool,
    grams,
    input_sha256,
    item_content,
    mm,
    order_content,
    rules_content,
)
from packing.measure.parse import MOST_ITEMS, read_item, read_order
from packing.measure.plausible import (
    FILL_BANDS,
    fill_ratio,
    tool_warnings,
    warnings_for,
)
from packing.measure.practice import below_practice

__all__ = [
    "BLOCK_MEASURES",
    "FILL_BANDS",
    "FORMS",
    "MARKS",
    "MOST_ITEMS",
    "RULE_NOTES",
    "SHARP",
    "TOOL_MEASURES",
    "BadInput",
    "Block",
    "Item",
    "Order",
    "PackingError",
    "Rules",
    "Tool",
    "below_practice",
    "fill_ratio",
    "grams",
    "input_sha256",
    "item_content",
    "mm",
    "order_content",
    "read_item",
    "read_order",
    "rules_content",
    "tool_warnings",
    "warnings_for",
]

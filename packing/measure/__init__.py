"""The order: measured items and rules, read from an order file's content and checked once, here.

Lengths in a file are millimetres with at most two decimals, weights grams; inside they are whole micrometres and
milligrams.
"""

from packing.measure.errors import BadInput, PackingError
from packing.measure.kinds import Form, ItemKind, Mark, Sharp
from packing.measure.model import (
    BLOCK_MEASURES,
    TOOL_MEASURES,
    Block,
    Item,
    Order,
    Tool,
    input_sha256,
    item_content,
    order_content,
)
from packing.measure.outline import MOST_POINTS, Outline, outline_content
from packing.measure.parse import MOST_ITEMS, read_item, read_order
from packing.measure.plausible import (
    FILL_BANDS,
    fill_ratio,
    tool_warnings,
    warnings_for,
)
from packing.measure.practice import below_practice
from packing.measure.rules import RULES, Rule, RuleKind, Rules, RuleScope, read_rules, rules_content
from packing.measure.shape import (
    MOST_MEASURES,
    SHAPE_MEASURES,
    TYPICAL,
    ShapeMeasure,
    check_shape_measures,
    shaped_outline,
)
from packing.measure.step import Ruler, Step, down_to_step, nearest_step, up_to_step
from packing.measure.values import grams, mm

__all__ = [
    "BLOCK_MEASURES",
    "FILL_BANDS",
    "MOST_ITEMS",
    "MOST_MEASURES",
    "MOST_POINTS",
    "RULES",
    "SHAPE_MEASURES",
    "TOOL_MEASURES",
    "TYPICAL",
    "BadInput",
    "Block",
    "Form",
    "Item",
    "ItemKind",
    "Mark",
    "Order",
    "Outline",
    "PackingError",
    "Rule",
    "RuleKind",
    "RuleScope",
    "Ruler",
    "Rules",
    "ShapeMeasure",
    "Sharp",
    "Step",
    "Tool",
    "below_practice",
    "check_shape_measures",
    "down_to_step",
    "fill_ratio",
    "grams",
    "input_sha256",
    "item_content",
    "mm",
    "nearest_step",
    "order_content",
    "outline_content",
    "read_item",
    "read_order",
    "read_rules",
    "rules_content",
    "shaped_outline",
    "tool_warnings",
    "up_to_step",
    "warnings_for",
]

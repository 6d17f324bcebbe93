"""The door between the two wings: the only part of the shop that imports packing.

Rows go out as an order file's content; a plan comes back as content that has passed the separate checker. Lengths and
weights as people type and read them pass through here too, and the pictures of a plan.
"""

from packing.draw import (
    Drawing,
    blank_drawing,
    id_runs,
    isometric,
    piece_drawing,
    plan_view,
    sheet_drawing,
    side_section,
    small_box,
    step_drawing,
)
from packing.measure import BadInput
from packing.units import UnreadableMeasure, parse_length, parse_weight, show_between, show_length, show_weight
from shop.door.aim import pricing_rule
from shop.door.carriage import RATE_COLUMNS, bills, check_rate_rule, published_rules
from shop.door.current import changes_since, current_among, is_current, row_changes
from shop.door.cut_files import cut_archive
from shop.door.materials import BOARDS
from shop.door.offers import OFFERED, Planned, terms_for
from shop.door.order_files import (
    NotReady,
    OrderFile,
    check_plan_rules,
    order_file,
    order_to_content,
    piece_measures,
    rules_for,
    stock_of,
    tool_content,
    tool_findings,
)
from shop.door.plans import Report, Stop, code_version, plan_order, plan_with_offers, problems
from shop.door.stock_rows import GRADE_COLUMNS, boards_of, check_grade_rule, grade_tables_of, stock_to_start_with

__all__ = [
    "BOARDS",
    "GRADE_COLUMNS",
    "OFFERED",
    "RATE_COLUMNS",
    "BadInput",
    "Drawing",
    "NotReady",
    "OrderFile",
    "Planned",
    "Report",
    "Stop",
    "UnreadableMeasure",
    "bills",
    "blank_drawing",
    "boards_of",
    "changes_since",
    "check_grade_rule",
    "check_plan_rules",
    "check_rate_rule",
    "code_version",
    "current_among",
    "cut_archive",
    "grade_tables_of",
    "id_runs",
    "is_current",
    "isometric",
    "order_file",
    "order_to_content",
    "parse_length",
    "parse_weight",
    "piece_drawing",
    "piece_measures",
    "plan_order",
    "plan_view",
    "plan_with_offers",
    "pricing_rule",
    "problems",
    "published_rules",
    "row_changes",
    "rules_for",
    "sheet_drawing",
    "show_between",
    "show_length",
    "show_weight",
    "side_section",
    "small_box",
    "step_drawing",
    "stock_of",
    "stock_to_start_with",
    "terms_for",
    "tool_content",
    "tool_findings",
]

"""The adapter between the shop and the library: the only part of the shop that imports packing.

Rows go out as an order file's content; a plan comes back as content that has passed the separate checker. Lengths and
weights as people type and read them pass through here too, and the pictures of a plan.
"""

from packing.draw import Drawing, id_runs
from packing.measure import BadInput
from packing.plan import BillPlan, ChoicePlan, ItemPlan, Message, Plan, SundryPlan, kinds, render
from packing.units import UnreadableMeasure, parse_length, parse_weight, show_between, show_length, show_weight
from shop.adapter.billing import RATE_COLUMNS, RuleBill, bills, check_rate_rule, published_rules
from shop.adapter.cut_files import cut_archive
from shop.adapter.drawings import (
    blank_drawing,
    isometric,
    piece_drawing,
    plan_view,
    sheet_drawing,
    side_section,
    small_box,
    step_drawing,
)
from shop.adapter.materials import BOARDS
from shop.adapter.objective import pricing_rule
from shop.adapter.offers import Planned, terms_for
from shop.adapter.orders import (
    NotReady,
    OrderFile,
    check_plan_rules,
    order_file,
    piece_measures,
    rules_for,
    stock_of,
    tool_content,
    tool_findings,
)
from shop.adapter.plans import Report, Stop, code_version, plan_of, plan_with_offers, problems, read_plan, read_refusal
from shop.adapter.staleness import changes_since, current_among, is_current, row_changes
from shop.adapter.stock import GRADE_COLUMNS, boards_of, check_grade_rule, grade_tables_of, stock_to_start_with

__all__ = [
    "BOARDS",
    "GRADE_COLUMNS",
    "RATE_COLUMNS",
    "BadInput",
    "BillPlan",
    "ChoicePlan",
    "Drawing",
    "ItemPlan",
    "Message",
    "NotReady",
    "OrderFile",
    "Plan",
    "Planned",
    "Report",
    "RuleBill",
    "Stop",
    "SundryPlan",
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
    "kinds",
    "order_file",
    "parse_length",
    "parse_weight",
    "piece_drawing",
    "piece_measures",
    "plan_of",
    "plan_view",
    "plan_with_offers",
    "pricing_rule",
    "problems",
    "published_rules",
    "read_plan",
    "read_refusal",
    "render",
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

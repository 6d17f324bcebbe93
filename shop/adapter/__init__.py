"""The adapter between the shop and the library: the only part of the shop that imports packing.

Rows go out as an order file's content; a plan comes back as content that has passed the separate checker. Lengths and
weights as people type and read them pass through here too, and the pictures of a plan.
"""

from packing.draw import Drawing, id_runs
from packing.materials import work_called
from packing.measure import MOST_ITEMS, RULES, BadInput, Rule, RuleKind, Rules, Step, rules_content
from packing.measure import PackingError as DomainError
from packing.plan import (
    BillPlan,
    ChoicePlan,
    ItemPlan,
    Length,
    Message,
    Plan,
    Refusal,
    SundryPlan,
    Term,
    UnpricedPlan,
    Weight,
    json_schema,
    kinds,
    render,
)
from packing.sureness import SURENESS
from packing.units import UnreadableMeasure, parse_length, parse_weight, show_between, show_length, show_weight
from shop.adapter.billing import (
    RATE_COLUMNS,
    RuleBill,
    bills,
    check_rate_rule,
    least_billed,
    published_rules,
    rules_on_the_way,
)
from shop.adapter.cut_files import cut_archive
from shop.adapter.drawings import (
    blank_drawing,
    box_section,
    corner_pages,
    full_size_pages,
    isometric,
    lid_section,
    piece_drawing,
    plan_view,
    pocket_picture,
    rod_pages,
    sheet_drawing,
    side_section,
    small_box,
    step_drawing,
    tape_picture,
    template_pages,
    whole_sheets,
)
from shop.adapter.grade_rules import GRADE_COLUMNS, check_grade_rule, grade_tables_of
from shop.adapter.made_from import ItemSource, OrderFile, Stock, kept, sources_of
from shop.adapter.materials import BOARDS
from shop.adapter.objective import pricing_rule
from shop.adapter.offers import Planned, style_name, terms_for
from shop.adapter.orders import (
    NotReady,
    check_shape,
    order_file,
    piece_measures,
    stock_of,
    tool_content,
    tool_findings,
)
from shop.adapter.plan_rules import BY_HEAD, BY_HEAD_USUALLY, EVERY_ORDER, check_plan_rules, rules_for
from shop.adapter.plans import (
    Report,
    Stop,
    code_version,
    plan_content,
    plan_of,
    plan_with_offers,
    problems,
    read_plan,
)
from shop.adapter.refused_styles import RefusedStyle, beside_of, kept_sentence, refused_of, refused_rows
from shop.adapter.snapshot import Snapshot, snapshot_of
from shop.adapter.staleness import changes_among, changes_since, is_current, row_changes
from shop.adapter.stock import boards_of, stock_to_start_with

STEPS = tuple(step.value for step in Step)
"""Steps that planned sizes may be rounded up to."""

__all__ = [
    "BOARDS",
    "BY_HEAD",
    "BY_HEAD_USUALLY",
    "EVERY_ORDER",
    "GRADE_COLUMNS",
    "MOST_ITEMS",
    "RATE_COLUMNS",
    "RULES",
    "STEPS",
    "SURENESS",
    "BadInput",
    "BillPlan",
    "ChoicePlan",
    "DomainError",
    "Drawing",
    "ItemPlan",
    "ItemSource",
    "Length",
    "Message",
    "NotReady",
    "OrderFile",
    "Plan",
    "Planned",
    "Refusal",
    "RefusedStyle",
    "Report",
    "Rule",
    "RuleBill",
    "RuleKind",
    "Rules",
    "Snapshot",
    "Stock",
    "Stop",
    "SundryPlan",
    "Term",
    "UnpricedPlan",
    "UnreadableMeasure",
    "Weight",
    "beside_of",
    "bills",
    "blank_drawing",
    "boards_of",
    "box_section",
    "changes_among",
    "changes_since",
    "check_grade_rule",
    "check_plan_rules",
    "check_rate_rule",
    "check_shape",
    "code_version",
    "corner_pages",
    "cut_archive",
    "full_size_pages",
    "grade_tables_of",
    "id_runs",
    "is_current",
    "isometric",
    "json_schema",
    "kept",
    "kept_sentence",
    "kinds",
    "least_billed",
    "lid_section",
    "order_file",
    "parse_length",
    "parse_weight",
    "piece_drawing",
    "piece_measures",
    "plan_content",
    "plan_of",
    "plan_view",
    "plan_with_offers",
    "pocket_picture",
    "pricing_rule",
    "problems",
    "published_rules",
    "read_plan",
    "refused_of",
    "refused_rows",
    "render",
    "rod_pages",
    "row_changes",
    "rules_content",
    "rules_for",
    "rules_on_the_way",
    "sheet_drawing",
    "show_between",
    "show_length",
    "show_weight",
    "side_section",
    "small_box",
    "snapshot_of",
    "sources_of",
    "step_drawing",
    "stock_of",
    "stock_to_start_with",
    "style_name",
    "tape_picture",
    "template_pages",
    "terms_for",
    "tool_content",
    "tool_findings",
    "whole_sheets",
    "work_called",
]

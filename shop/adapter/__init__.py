"""The adapter between the shop and the library: the only part of the shop that imports packing.

Rows go out as an order file's content; a plan comes back as content that has passed the separate checker. Lengths and
weights as people type and read them pass through here too, and the pictures of a plan.
"""

from packing.carry import COLUMNS as PRICE_COLUMNS
from packing.carry import Tariff, read_tariffs
from packing.draw import Drawing, id_runs
from packing.materials import work_called
from packing.measure import MOST_ITEMS, RULES, BadInput, Rule, RuleKind, Rules, Step, rules_content
from packing.measure import PackingError as DomainError
from packing.plan import (
    BillPlan,
    ChargePlan,
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
from shop.adapter.answers import (
    Answer,
    NoAnswer,
    ParcelAnswer,
    answer_content,
    answer_key,
    code_state,
    plan_answer,
    read_answer,
)
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
    as_cut,
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
from shop.adapter.prices import (
    price_faults,
    table_values,
    tariff_of,
    write_prices,
)
from shop.adapter.refused_styles import RefusedStyle, beside_of, kept_sentence, refused_of, refused_rows
from shop.adapter.requests import PackOrders, PackRequest, pack_orders
from shop.adapter.sending import QuoteContent, ServiceQuote, read_quote, service_quotes
from shop.adapter.snapshot import Snapshot, snapshot_of
from shop.adapter.spread import Ground
from shop.adapter.staleness import changes_among, changes_since, is_current, row_changes
from shop.adapter.stock import boards_of, stock_to_start_with
from shop.adapter.tracings import traced_from

STEPS = tuple(step.value for step in Step)
"""Steps that planned sizes may be rounded up to."""

__all__ = [
    "BOARDS",
    "BY_HEAD",
    "BY_HEAD_USUALLY",
    "EVERY_ORDER",
    "GRADE_COLUMNS",
    "MOST_ITEMS",
    "PRICE_COLUMNS",
    "RATE_COLUMNS",
    "RULES",
    "STEPS",
    "SURENESS",
    "Answer",
    "BadInput",
    "BillPlan",
    "ChargePlan",
    "ChoicePlan",
    "DomainError",
    "Drawing",
    "Ground",
    "ItemPlan",
    "ItemSource",
    "Length",
    "Message",
    "NoAnswer",
    "NotReady",
    "OrderFile",
    "PackOrders",
    "PackRequest",
    "ParcelAnswer",
    "Plan",
    "Planned",
    "QuoteContent",
    "Refusal",
    "RefusedStyle",
    "Report",
    "Rule",
    "RuleBill",
    "RuleKind",
    "Rules",
    "ServiceQuote",
    "Snapshot",
    "Stock",
    "Stop",
    "SundryPlan",
    "Tariff",
    "Term",
    "UnpricedPlan",
    "UnreadableMeasure",
    "Weight",
    "answer_content",
    "answer_key",
    "as_cut",
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
    "code_state",
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
    "pack_orders",
    "parse_length",
    "parse_weight",
    "piece_drawing",
    "piece_measures",
    "plan_answer",
    "plan_content",
    "plan_of",
    "plan_view",
    "plan_with_offers",
    "pocket_picture",
    "price_faults",
    "pricing_rule",
    "problems",
    "published_rules",
    "read_answer",
    "read_plan",
    "read_quote",
    "read_tariffs",
    "refused_of",
    "refused_rows",
    "render",
    "rod_pages",
    "row_changes",
    "rules_content",
    "rules_for",
    "rules_on_the_way",
    "service_quotes",
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
    "table_values",
    "tape_picture",
    "tariff_of",
    "template_pages",
    "terms_for",
    "tool_content",
    "tool_findings",
    "traced_from",
    "whole_sheets",
    "work_called",
    "write_prices",
]

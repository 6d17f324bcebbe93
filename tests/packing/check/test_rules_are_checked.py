"""Each rule of an order is held by a rule of the checker: a plan made under another value of it is found out."""

import json
from decimal import Decimal
from typing import Any

import pytest

from packing.check import RULES as CHECKED
from packing.check import check_plan
from packing.insert import with_less_work
from packing.materials import PE_FOAM, ShopMaterials
from packing.measure import RULES, Order, Rules, order_content, read_order, read_rules, rules_content
from packing.nest import nest
from packing.plan import to_json
from packing.planning import nesting_candidate, plan_of, plan_parcel, stock_carton_alternative

HAMMER = {
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}
AXE = {**HAMMER, "form": "axe", "sharp": "far", "may_stand": False, "head_width": 30, "weight_g": 900}
TIN = {"id": "wax", "kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120, "upright": True}
USUAL = {
    "clearance": 1.5,
    "web": 20,
    "wall": 25,
    "base_pad": 25,
    "layer_pad": 12,
    "top_pad": 25,
    "sheets": [12, 25, 50],
    "max_interior": [400, 250, 400],
    "bite": 1.5,
    "thin": [3, 6],
}
MADE_UNDER: dict[str, tuple[dict[str, Any], Any]] = {
    "clearance": ({}, 3),
    "web": ({}, 60),
    "wall": ({}, 40),
    "base_pad": ({}, 37),
    "layer_pad": ({}, 24),
    "top_pad": ({}, 50),
    "sheets": ({"thin": None}, [13, 26, 52]),
    "layer_spare": ({"layer_spare": 8, "sheets": [12, 25, 50], "thin": None, "bite": 0}, 0),
    "max_interior": ({}, [200, 200, 200]),
    "max_gross_g": ({}, 1000),
    "layered": ({}, True),
    "sharp_wall": ({}, 300),
    "max_layer_g": ({}, 500),
    "stiff_sheet": ({}, 6),
    "bite": ({"bite": 4}, 0),
    "thin": ({}, [2]),
    "slices": ({"thin": None, "slices": True}, False),
    "plates": ({}, True),
    "step": ({"clearance": 1.3, "max_interior": None}, "1 mm"),
}
"""For each rule, what else the plan is made under, and the value that the plan is then held against."""


def planned(items: list[dict[str, Any]], rules: dict[str, Any]) -> tuple[Order, dict[str, Any]]:
    """An order and its plan's file, without what it says of the rules it was made under."""
    asked = {name: value for name, value in {**USUAL, **rules}.items() if value is not None}
    order = read_order({"id": "R", "items": items, "rules": asked})
    plan = plan_parcel(order, effort=400).plan
    if order.rules.layer_spare_um:
        found = nest(order, effort=400)
        eased = with_less_work(order, found, PE_FOAM, worth=Decimal(0))
        assert eased is not None
        higher = nesting_candidate(order, eased, ShopMaterials())
        plan = plan_of(order, higher, stock_carton_alternative(order, higher, ShopMaterials()))
    content = json.loads(json.dumps(to_json(plan)))
    del content["rules"]
    return order, content


def under(order: Order, name: str, value: Any) -> Order:
    """The same order under another value of one rule; slices are forbidden where there is thin stock."""
    content = order_content(order)
    more = {"thin": [3]} if name == "slices" else {}
    return read_order({**content, "rules": {**content["rules"], name: value, **more}})


@pytest.mark.parametrize("name", RULES)
def test_a_plan_made_under_another_value_of_a_rule_is_found_out(name: str) -> None:
    made, value = MADE_UNDER[name]
    items = [{**HAMMER, "id": "a"}, {**HAMMER, "id": "b"}, {**AXE, "id": "c"}, TIN]
    if name == "layered":
        items, made = [{**TIN, "id": letter} for letter in "abc"], {"layered": False, "thin": None}
    order, content = planned(items, made)
    assert check_plan(order, content) == []
    found = {problem.rule for problem in check_plan(under(order, name, value), content)}
    assert found & set(RULES[name].checked_by), found


def test_each_rule_says_which_of_the_checkers_rules_hold_it() -> None:
    for name, rule in RULES.items():
        assert rule.checked_by, name
        assert set(rule.checked_by) <= set(CHECKED), name
    assert MADE_UNDER.keys() == RULES.keys()


def test_each_rule_is_a_field_with_its_default_and_all_there_is_to_say() -> None:
    assert [rule.field for rule in RULES.values()] == list(Rules.__dataclass_fields__)
    assert read_rules({}) == Rules()
    assert read_rules(rules_content(Rules())) == Rules()
    assert all(rule.meaning for rule in RULES.values())

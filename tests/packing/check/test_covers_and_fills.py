"""The checker on plans with covers, fills and rests: one thing is broken at a time, and that rule is named."""

import copy
import json
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from packing.check import check_plan
from packing.materials import ShopMaterials
from packing.measure import Order
from packing.plan import to_json
from packing.planning import nesting_candidate, plan_of, stock_carton_alternative
from tests.packing.insert_zoo import AXE, HAMMER, TIN, laid, order_of

Content = dict[str, Any]

ROOMY = {"web": 50, "wall": 50, "bite": 1.5, "thin": [3, 6]}


def planned(order: Order, *row: tuple[int, str, int]) -> Content:
    """The plan of one layer, laid in a row."""
    nesting = laid(order, list(row))
    chosen = nesting_candidate(order, nesting, ShopMaterials())
    plan = plan_of(order, chosen, stock_carton_alternative(order, chosen, ShopMaterials()))
    found: Content = json.loads(json.dumps(to_json(plan)))
    return found


ORDER = order_of(HAMMER, AXE, {**TIN, "height": 21}, **{**ROOMY, "sheets": [25]})


@cache
def the_plan() -> Content:
    """A hammer, an axe and a tin side by side, with room for fingers."""
    return planned(ORDER, (0, "flat", 0), (1, "flat", 0), (2, "block", 0))


def rules_broken(content: Content, order: Order = ORDER) -> set[str]:
    return {problem.rule for problem in check_plan(order, content)}


def sheet_of(content: Content, role: str) -> Content:
    found: Content = next(sheet for sheet in content["insert"]["sheets"] if sheet["role"] == role)
    return found


def rest_of(content: Content) -> Content:
    found: Content = next(row for row in content["insert"]["rests"] if row["part"] == "handle")
    return found


def shorten(row: Content, axis: int, by_mm: float) -> None:
    row["min_mm"][axis] += by_mm


def cut_cover(content: Content) -> None:
    tin = next(item for item in content["items"] if item["id"] == "tin")["parts"][0]
    pocket = {"item": "tin", "letter": "C", "part": "block", "min_mm": tin["min_mm"][:2], "max_mm": tin["max_mm"][:2]}
    next(s for s in content["insert"]["sheets"] if "C" in s.get("over", []))["pockets"].append(pocket)


def move_rest(content: Content) -> None:
    handle = next(item for item in content["items"] if item["letter"] == rest_of(content)["letter"])["parts"][1]
    rest_of(content)["min_mm"][0] = handle["min_mm"][0] + 40
    rest_of(content)["max_mm"][0] = handle["min_mm"][0] + 110


def move_notch(content: Content, by_mm: float) -> None:
    """Move the first tool's finger room along x, in the sheets and in the list of lifts."""
    lift = next(lift for lift in content["insert"]["lifts"] if lift["kind"] == "notch")
    rows = [lift, *(p for s in content["insert"]["sheets"] for p in s["pockets"] if p["part"] == "notch")]
    for row in (row for row in rows if row["item"] == lift["item"]):
        for side in ("min_mm", "max_mm"):
            row[side][0] += by_mm


def notch_at_the_shoulder(content: Content) -> None:
    """Move the first tool's finger room to 5 mm from its head."""
    lift = next(lift for lift in content["insert"]["lifts"] if lift["kind"] == "notch")
    head = next(item for item in content["items"] if item["id"] == lift["item"])["parts"][0]
    move_notch(content, head["max_mm"][0] + 5 - lift["min_mm"][0])


def shallow_notch(content: Content) -> None:
    """Cut the first tool's finger room in the highest of its sheets."""
    lift = next(lift for lift in content["insert"]["lifts"] if lift["kind"] == "notch")
    own = [
        sheet
        for sheet in content["insert"]["sheets"]
        if any((p["item"], p["part"]) == (lift["item"], "notch") for p in sheet["pockets"])
    ]
    for sheet in own[:-1]:
        sheet["pockets"] = [p for p in sheet["pockets"] if (p["item"], p["part"]) != (lift["item"], "notch")]


BROKEN: dict[str, tuple[str, Callable[[Content], object]]] = {
    "a cover called a layer": ("cover", lambda c: sheet_of(c, "cover").update(role="layer")),
    "a cover that does not say what it lies over": ("cover", lambda c: sheet_of(c, "cover").update(over=[])),
    "a layer said to lie over a piece": ("cover", lambda c: sheet_of(c, "layer").update(over=["A"])),
    "a sheet over a block cut for it": ("pocket", cut_cover),
    "no rests": ("rest", lambda c: c["insert"]["rests"].clear()),
    "no fills": ("fill", lambda c: c["insert"]["fills"].clear()),
    "a rest of a thickness there is not": ("rest", lambda c: rest_of(c).update(thicknesses_mm=[5, 4])),
    "a rest lower than its pieces": ("rest", lambda c: shorten(rest_of(c), 2, 1)),
    "a rest too short": ("rest", lambda c: shorten(rest_of(c), 0, 20)),
    "a rest too long": ("rest", lambda c: shorten(rest_of(c), 0, -20)),
    "a rest far from the butt": ("rest", move_rest),
    "finger room too shallow to take hold": ("lift", shallow_notch),
    "finger room at a shoulder": ("notch", notch_at_the_shoulder),
}


def test_the_plan_itself_keeps_every_rule() -> None:
    content = the_plan()
    assert {row["part"] for row in content["insert"]["rests"]} >= {"handle"}
    assert content["insert"]["fills"]
    assert rules_broken(content) == set()


@pytest.mark.parametrize("broken", BROKEN)
def test_a_broken_thing_is_named_by_its_rule(broken: str) -> None:
    rule, change = BROKEN[broken]
    content = copy.deepcopy(the_plan())
    change(content)
    assert rule in rules_broken(content)


def test_a_slice_is_refused_where_the_order_does_not_allow_it() -> None:
    order = order_of(HAMMER, sheets=[50], wall=50)
    content = planned(order, (0, "flat", 0))
    assert rules_broken(content, order) == set()
    assert "slice" in rules_broken(content, order_of(HAMMER, sheets=[50], **ROOMY))


@pytest.mark.parametrize(("head_g", "named"), [(1499, False), (1500, True)])
def test_one_finger_at_the_crown_is_not_enough_for_a_heavy_head(head_g: int, named: bool) -> None:
    sizes = {"head_length": 60, "head_height": 70, "head_width": 60}
    order = order_of({**HAMMER, **sizes, "weight_g": head_g + 200, "head_weight_g": head_g}, **ROOMY)
    content = planned(order, (0, "flat", 0))
    head = content["items"][0]["parts"][0]["min_mm"]
    content["insert"]["lifts"][0] |= {
        "kind": "notch",
        "min_mm": [head[0] - 20, head[1]],
        "max_mm": [head[0], head[1] + 27],
    }
    assert any("too heavy for one finger" in str(problem) for problem in check_plan(order, content)) == named

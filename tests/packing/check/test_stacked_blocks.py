"""The checker on plans without layers: blocks that stand on each other freely in an outer case."""

from typing import Any

import pytest

from packing.measure import Order, read_order
from tests.packing.checked import Change, Content, move, problems, rules_broken

RULES: dict[str, Any] = {
    "clearance": 1.5,
    "web": 5,
    "wall": 10,
    "base_pad": 12,
    "layer_pad": 12,
    "top_pad": 25,
    "layered": False,
}


def outer_case(**rules: object) -> Order:
    """Two boxes side by side, a third across both."""
    sizes = {"low": (100, 80, 60), "tall": (60, 80, 60), "last": (150, 70, 40)}
    items = [
        {"id": name, "kind": "block", "length": a, "width": b, "height": c, "weight_g": 900}
        for name, (a, b, c) in sizes.items()
    ]
    return read_order({"id": "case", "rules": RULES | rules, "items": items})


def block(name: str, low: list[float], high: list[float]) -> Content:
    return {"id": name, "layer": None, "pose": "block", "parts": [{"part": "block", "min_mm": low, "max_mm": high}]}


def good() -> Content:
    blocks = [
        block("low", [10, 10, 12], [110, 90, 72]),
        block("tall", [115, 10, 12], [175, 90, 72]),
        block("last", [10, 10, 77], [160, 80, 117]),
    ]
    return {"order": "case", "status": "planned", "interior_mm": [185, 100, 142], "layers": [], "items": blocks}


def shift(index: int, *by_mm: float) -> Change:
    return lambda content: move(content["items"][index], *by_mm)


BROKEN: dict[str, tuple[str, Change]] = {
    "the last box 0.01 mm too near to those under it": ("web", shift(2, 0, 0, -0.01)),
    "two boxes side by side too near": ("web", shift(1, -0.01, 0, 0)),
    "two boxes in one place": ("web", shift(2, 0, 0, -65)),
    "too near to the left side": ("wall", shift(2, -0.01, 0, 0)),
    "too near to the front": ("wall", shift(0, 0, -0.01, 0)),
    "too near to the right side": ("wall", shift(1, 0.01, 0, 0)),
    "too near to the back": ("wall", shift(2, 0, 10.01, 0)),
    "too near to the bottom": ("base_pad", shift(0, 0, 0, -0.01)),
    "too near to the top": ("top_pad", shift(2, 0, 0, 0.01)),
    "out of the case": ("wall", shift(1, 200, 0, 0)),
    "a box of other sizes": ("pose", lambda c: c["items"][2]["parts"][0].update(max_mm=[160, 80, 116.99])),
    "a box in a layer": ("format", lambda c: c["items"][2].update(layer=0)),
    "a box left out": ("once", lambda c: c["items"].pop()),
    "layers where there are none": ("layer", lambda c: c["layers"].append({"floor_mm": 12, "height_mm": 60})),
}


@pytest.mark.parametrize("name", BROKEN)
def test_one_broken_thing_is_named_by_its_rule(name: str) -> None:
    rule, change = BROKEN[name]
    content = good()
    change(content)
    assert rules_broken(content, by=outer_case(), require="nesting") == {rule}


def test_boxes_may_stand_on_each_other_in_a_plan_without_layers() -> None:
    assert rules_broken(good(), by=outer_case(), require="nesting") == set()


def test_boxes_may_touch_where_all_gaps_are_nothing() -> None:
    content = good()
    move(content["items"][1], -5, 0, 0)
    move(content["items"][2], 0, 0, -5)
    assert rules_broken(content, by=outer_case(web=0), require="nesting") == set()


def test_a_plan_without_layers_of_a_layered_order_is_named() -> None:
    assert "format" in rules_broken(good(), by=outer_case(layered=True), require="nesting")


def with_pads(sheets: list[Content]) -> Content:
    whole = [one | {"size_mm": [185, 100], "pockets": []} for one in sheets]
    grams = sum(185 * 100 * one["thickness_mm"] for one in sheets) * 27e-6
    box = {"inner_mm": [185, 100, 142], "outer_mm": [193, 108, 158], "weight_g": 100}
    insert = {"material": "PE foam", "density_kg_m3": 27, "weight_g": round(grams, 2), "sheets": whole}
    sums = {"pieces_g": 2700, "insert_g": round(grams, 2), "box_g": 100, "sundries_g": 0, "tolerance_g": 0}
    weight = sums | {"gross_g": 2800 + round(grams, 2)}
    return good() | {"insert": insert, "box": box, "weight": weight, "lower_bound_mm3": 0, "proven": False}


def test_two_pads_are_the_insert_of_a_plan_without_layers() -> None:
    pads = [{"id": "S1", "thickness_mm": 12, "floor_mm": 0}, {"id": "S2", "thickness_mm": 25, "floor_mm": 117}]
    assert rules_broken(with_pads(pads), by=outer_case()) == set()


def test_a_missing_pad_is_named() -> None:
    assert rules_broken(with_pads([{"id": "S1", "thickness_mm": 12, "floor_mm": 0}]), by=outer_case()) == {"sheets"}


def test_a_sheet_in_a_box_is_named_for_the_box_and_for_the_sheet() -> None:
    pads = [
        {"id": "S1", "thickness_mm": 12, "floor_mm": 0},
        {"id": "S2", "thickness_mm": 12, "floor_mm": 50},
        {"id": "S3", "thickness_mm": 25, "floor_mm": 117},
    ]
    assert rules_broken(with_pads(pads), by=outer_case()) == {"sheets", "pocket"}


def test_a_box_too_near_to_the_bottom_is_told_so() -> None:
    content = good()
    shift(0, 0, 0, -0.01)(content)
    (problem,) = problems(content, by=outer_case(), require="nesting")
    assert str(problem) == "base_pad, low: is 11.99 mm off the bottom, base_pad is 12 mm."

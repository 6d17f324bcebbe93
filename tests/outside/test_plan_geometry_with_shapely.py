"""Plans worked out again with shapely (GEOS), a geometry library of its own: overlap, walls, webs, areas and volumes.

The plans are what the library makes of a few invented orders, and a small one made by hand. Whatever shapely finds must
also be what the checker finds, for good plans and for plans whose pieces were pushed about.
"""

import json
from functools import lru_cache
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box, union_all

from packing.check import check_plan
from packing.measure import Order, read_order
from packing.planning import plan_parcel
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing import checked

pytestmark = against(src.GEOS)

Content = dict[str, Any]
SNAP_MM = 1e-6
"""Floating point in shapely: what is nearer than this touches."""


def tool(name: str, head: tuple[float, float, float], handle: tuple[float, float, float], **rest: Any) -> Content:
    keys = ("head_length", "head_height", "head_width", "handle_length", "handle_width", "handle_thickness")
    return {"id": name, "kind": "tool", **dict(zip(keys, (*head, *handle), strict=True)), **rest}


HAMMER = tool("hammer", (105, 42, 42), (250, 33, 23), weight_g=1440)
SMALL = tool("small", (82.5, 22.5, 22), (240, 21.25, 14.5), weight_g=330, eye_offset=35)
AXE = tool(
    "axe", (170.5, 95, 30), (380, 36, 22), weight_g=1250, eye_offset=36.5, form="axe", sharp="far", may_stand=False
)
TIN = {"id": "tin", "kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120, "upright": True}
WEDGES = {"id": "wedges", "kind": "block", "length": 90, "width": 45.5, "height": 18, "weight_g": 60}
NO_GAPS = dict.fromkeys(("clearance", "web", "wall", "base_pad", "layer_pad", "top_pad"), 0)
ORDERS: dict[str, Content] = {
    "one": {"items": [HAMMER]},
    "hammer and tin": {"items": [HAMMER, TIN], "rules": {"web": 40, "wall": 40, "base_pad": 50, "layer_pad": 18}},
    "mixed": {"items": [HAMMER, SMALL, AXE, TIN, WEDGES]},
    "layers": {"items": [HAMMER, SMALL, TIN, WEDGES], "rules": {"max_interior": [400, 200, 400]}},
    "no gaps": {"items": [HAMMER, SMALL, AXE, TIN], "rules": NO_GAPS | {"sheets": [10, 15]}},
}


@lru_cache
def planned(name: str) -> tuple[Order, str]:
    """An order and its plan's content as text."""
    if name == "by hand":
        return checked.order(), json.dumps(checked.plan())
    order = read_order({"id": name} | ORDERS[name])
    return order, json.dumps(plan_parcel(order, effort=300, seed=1).content)


@pytest.fixture(params=["by hand", *ORDERS])
def good(request: pytest.FixtureRequest) -> tuple[Order, Content]:
    order, text = planned(request.param)
    return order, json.loads(text)


def seen_from_above(item: Content, grow_mm: float) -> Polygon:
    """The T of an item, every part grown by this much."""
    return union_all(
        [box(*part["min_mm"][:2], *part["max_mm"][:2]).buffer(grow_mm, join_style="mitre") for part in item["parts"]]
    )


def rules_mm(order: Order) -> tuple[float, float, float]:
    rules = order.rules
    return rules.clearance_um / 1000, rules.web_um / 1000, rules.wall_um / 1000


def too_near(order: Order, content: Content) -> set[tuple[str, str]]:
    """Pairs in one layer whose pockets, grown by half a web each, share area."""
    clearance, web, _ = rules_mm(order)
    found = set()
    for a, b in combinations(content["items"], 2):
        if a["layer"] == b["layer"]:
            shapes = [seen_from_above(one, clearance + web / 2 - SNAP_MM) for one in (a, b)]
            if shapes[0].intersection(shapes[1]).area > 0:
                found.add((a["id"], b["id"]))
    return found


def out_of_walls(order: Order, content: Content) -> set[str]:
    """Items whose pockets reach into the walls."""
    clearance, _, wall = rules_mm(order)
    length, width, _ = content["interior_mm"]
    inside = box(wall, wall, length - wall, width - wall)
    return {one["id"] for one in content["items"] if not inside.covers(seen_from_above(one, clearance - SNAP_MM))}


def named_by_the_checker(order: Order, content: Content, rule: str) -> set[str]:
    return {problem.where for problem in check_plan(order, content, require="nesting") if problem.rule == rule}


def test_no_two_pieces_share_room_or_web(good: tuple[Order, Content]) -> None:
    assert too_near(*good) == set()


def test_all_pockets_stay_within_the_walls(good: tuple[Order, Content]) -> None:
    assert out_of_walls(*good) == set()


def test_the_interior_is_the_pockets_extent_and_two_walls(good: tuple[Order, Content]) -> None:
    order, content = good
    clearance, _, wall = rules_mm(order)
    x0, y0, x1, y1 = union_all([seen_from_above(one, clearance + wall) for one in content["items"]]).bounds
    assert [x0, y0, x1, y1] == pytest.approx([0, 0, *content["interior_mm"][:2]], abs=SNAP_MM)


def test_pieces_keep_the_volume_they_were_measured_with(good: tuple[Order, Content]) -> None:
    """Area from above times height of every part, against the order's own measures."""
    order, content = good
    for item, placed in zip(order.items, content["items"], strict=True):
        measured = {name: getattr(item, f"{name}_um") / 1000 for name in measures(placed["kind"])}
        found = sum(
            box(*part["min_mm"][:2], *part["max_mm"][:2]).area * (part["max_mm"][2] - part["min_mm"][2])
            for part in placed["parts"]
        )
        assert found == pytest.approx(volume(measured), rel=1e-9)


def measures(kind: str) -> tuple[str, ...]:
    tools = ("head_length", "head_height", "head_width", "handle_length", "handle_width", "handle_thickness")
    return ("length", "width", "height") if kind == "block" else tools


def volume(sizes: dict[str, float]) -> float:
    values = list(sizes.values())
    boxes = [values[i : i + 3] for i in range(0, len(values), 3)]
    return sum(a * b * c for a, b, c in boxes)


def test_every_piece_lies_in_holes_of_its_own(good: tuple[Order, Content]) -> None:
    """In every sheet a part passes, its pockets cover it and nobody else's touch it."""
    _, content = good
    for item in content["items"]:
        for part in item["parts"]:
            shape = box(*part["min_mm"][:2], *part["max_mm"][:2])
            for sheet in content["insert"]["sheets"]:
                if (
                    sheet["floor_mm"] + sheet["thickness_mm"] > part["min_mm"][2]
                    and sheet["floor_mm"] < part["max_mm"][2]
                ):
                    own, others = holes(sheet, item["id"], own=True), holes(sheet, item["id"], own=False)
                    assert shape.difference(own.buffer(SNAP_MM, join_style="mitre")).area == 0
                    assert shape.buffer(-SNAP_MM).intersection(others).area == 0


def holes(sheet: Content, item: str, *, own: bool) -> Polygon:
    return union_all([box(*p["min_mm"], *p["max_mm"]) for p in sheet["pockets"] if (p["item"] == item) is own])


def test_the_insert_weighs_what_is_left_of_its_sheets(good: tuple[Order, Content]) -> None:
    _, content = good
    insert = content["insert"]
    length, width, _ = content["interior_mm"]
    left = sum(
        box(0, 0, length, width).difference(union_all([box(*p["min_mm"], *p["max_mm"]) for p in sheet["pockets"]])).area
        * sheet["thickness_mm"]
        for sheet in insert["sheets"]
    )
    loose = sum(
        box(*one["min_mm"][:2], *one["max_mm"][:2]).area * (one["max_mm"][2] - one["min_mm"][2])
        for one in insert["saddles"] + insert["plugs"]
    )
    assert insert["weight_g"] == pytest.approx((left + loose) * insert["density_kg_m3"] / 1e6, abs=0.3)


def test_all_cuts_together_are_as_long_as_the_outlines_of_the_holes(good: tuple[Order, Content]) -> None:
    """What runs along a sheet's own edge is no cut."""
    _, content = good
    length, width, _ = content["interior_mm"]
    edge = box(0, 0, length, width).exterior
    outlines = [
        union_all([box(*p["min_mm"], *p["max_mm"]) for p in sheet["pockets"]]).boundary.difference(edge).length
        for sheet in content["insert"]["sheets"]
        if sheet["pockets"]
    ]
    assert content["insert"]["cut_length_mm"] == pytest.approx(sum(outlines), abs=0.01)


def test_the_checker_finds_nothing_in_these_plans(good: tuple[Order, Content]) -> None:
    assert check_plan(*good) == []


@given(data=st.data())
@settings(max_examples=150)
def test_checker_and_shapely_agree_on_pieces_that_were_pushed_about(data: st.DataObject) -> None:
    order, text = planned(data.draw(st.sampled_from(["by hand", "mixed", "layers", "no gaps"])))
    content = json.loads(text)
    for item in content["items"]:
        shift = data.draw(st.tuples(st.integers(-30, 30), st.integers(-30, 30)))
        for part in item["parts"]:
            for corner in ("min_mm", "max_mm"):
                for axis in (0, 1):
                    part[corner][axis] = round(part[corner][axis] + shift[axis], 3)
    assert {f"{a}, {b}" for a, b in too_near(order, content)} == named_by_the_checker(order, content, "web")
    assert out_of_walls(order, content) == named_by_the_checker(order, content, "wall")

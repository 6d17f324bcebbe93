"""Pockets cut to outlines, worked out again with shapely (GEOS): how near they are to the tool, what is left of foam.

`STOWRIGHT_OUTLINES=1000` tries that many random orders instead of 25.
"""

import os
from collections.abc import Iterator
from itertools import combinations
from random import Random
from typing import Any

import pytest
from shapely import LineString, Polygon, affinity, box, union_all
from shapely.geometry.base import BaseGeometry

from packing.check import check_plan
from packing.measure import Order, Tool, read_order
from packing.planning import plan_parcel
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing.outlined import random_tool

pytestmark = against(src.GEOS)

Content = dict[str, Any]
ORDERS = int(os.environ.get("STOWRIGHT_OUTLINES", "25"))
NEAR_MM, SHARE = 2.0, 0.8
"""A tool touches its pocket within 2 mm along four fifths of its width in each direction."""
LINES = 60
ROUNDED_MM = 0.005


@pytest.fixture(scope="module", params=range(ORDERS))
def planned(request: pytest.FixtureRequest) -> tuple[Order, Content]:
    rng = Random(request.param)
    items = [random_tool(rng, f"t{number}") for number in range(rng.randint(1, 4))]
    rules = {"bite": rng.choice([0, 1.5]), "thin": [3, 6], "web": rng.choice([10, 20, 40]), "clearance": 1.5}
    order = read_order({"id": f"random {request.param}", "rules": rules, "items": items})
    return order, plan_parcel(order, effort=60, seed=1).content


def tool_shape(tool: Tool, item: Content, part: str) -> Polygon:
    """The outline of a part where the plan has it, moved there by the head's rectangle alone."""
    head = box(0, 0, tool.head_height_um, tool.head_length_um)
    rect = {"head": tool.head_rect, "handle": tool.handle_rect}[part]
    assert tool.outline is not None
    figure = getattr(tool.outline, part)
    shapes = [Polygon(figure) if figure else box(*rect), head]
    if item["flipped"]:
        shapes = [affinity.scale(shape, 1, -1, origin=(0, tool.head_length_um / 2)) for shape in shapes]
    shapes = [affinity.rotate(shape, item["turn"], origin=(0, 0)) for shape in shapes]
    at = next(one["min_mm"] for one in item["parts"] if one["part"] == "head")
    dx, dy = (1000 * at[axis] - shapes[1].bounds[axis] for axis in (0, 1))
    return affinity.scale(affinity.translate(shapes[0], dx, dy), 0.001, 0.001, origin=(0, 0))


def pocket_shape(pocket: Content) -> Polygon:
    return Polygon(pocket["outline"]) if "outline" in pocket else box(*pocket["min_mm"], *pocket["max_mm"])


def outlined(order: Order, content: Content) -> Iterator[tuple[Tool, Content, Content]]:
    """Each sheet with the tools that are cut to their outline in it."""
    tools = {item.id: item for item in order.items if isinstance(item, Tool)}
    items = {item["id"]: item for item in content["items"]}
    for sheet in content["insert"]["sheets"]:
        for name in dict.fromkeys(pocket["item"] for pocket in sheet["pockets"] if "outline" in pocket):
            yield tools[name], items[name], sheet


def holes_of(sheet: Content, name: str) -> BaseGeometry:
    return union_all([pocket_shape(pocket) for pocket in sheet["pockets"] if pocket["item"] == name])


def test_plans_with_outlines_keep_every_rule_of_the_checker(planned: tuple[Order, Content]) -> None:
    order, content = planned
    assert content["status"] == "planned"
    assert [str(problem) for problem in check_plan(order, content)] == []


def test_no_tool_is_cut_into_by_more_than_foam_gives(planned: tuple[Order, Content]) -> None:
    order, content = planned
    give = order.rules.give_um / 1000
    for tool, item, sheet in outlined(order, content):
        cut = [pocket["part"] for pocket in sheet["pockets"] if pocket["item"] == tool.id]
        shape = union_all([tool_shape(tool, item, part) for part in ("head", "handle") if part in cut])
        # Foam that gives so much all round leaves the tool alone.
        assert shape.difference(holes_of(sheet, tool.id).buffer(give + ROUNDED_MM)).area < 1e-6


def test_pockets_are_near_the_tool_along_four_fifths_of_its_width(planned: tuple[Order, Content]) -> None:
    order, content = planned
    for tool, item, sheet in outlined(order, content):
        for pocket in sheet["pockets"]:
            if pocket["item"] != tool.id or "outline" not in pocket:
                continue
            shape, hole = tool_shape(tool, item, pocket["part"]), pocket_shape(pocket)
            for axis in (0, 1):
                for sign in (-1, 1):
                    assert near_share(shape, hole, axis, sign) >= SHARE, (tool.id, pocket["part"], axis, sign)


def near_share(shape: Polygon, hole: Polygon, axis: int, sign: int) -> float:
    """Share of a part's width, seen along an axis, along which the pocket's edge is near."""
    x0, y0, x1, y1 = shape.bounds
    low, high = (y0, y1) if axis == 0 else (x0, x1)
    near = tried = 0
    for number in range(LINES):
        at = low + (number + 0.5) * (high - low) / LINES
        far = 10_000.0
        line = LineString([(-far, at), (far, at)] if axis == 0 else [(at, -far), (at, far)])
        ends = []
        for figure in (shape, hole):
            bounds = figure.intersection(line).bounds
            ends.append(None if not bounds else bounds[axis + 2] if sign > 0 else bounds[axis])
        if ends[0] is None:
            continue
        tried += 1
        near += ends[1] is not None and (ends[1] - ends[0]) * sign <= NEAR_MM
    return near / tried


def test_webs_and_walls_stand_between_outlines(planned: tuple[Order, Content]) -> None:
    order, content = planned
    web, wall = order.rules.web_um / 1000, order.rules.wall_um / 1000
    length, width, _ = content["interior_mm"]
    inside = box(wall, wall, length - wall, width - wall)
    for sheet in content["insert"]["sheets"]:
        pockets = [pocket for pocket in sheet["pockets"] if pocket["part"] != "notch"]
        for pocket in pockets:
            assert inside.buffer(1e-6).contains(pocket_shape(pocket))
        for one, other in combinations(pockets, 2):
            if one["item"] != other["item"]:
                assert pocket_shape(one).distance(pocket_shape(other)) >= web - 1e-6


def test_weight_and_cut_length_are_those_of_what_is_left(planned: tuple[Order, Content]) -> None:
    _, content = planned
    insert = content["insert"]
    length, width, _ = content["interior_mm"]
    border = box(0, 0, length, width).boundary
    grams = cuts = 0.0
    for sheet in insert["sheets"]:
        holes = union_all([pocket_shape(pocket) for pocket in sheet["pockets"]])
        grams += (length * width - holes.area) * sheet["thickness_mm"] * insert["density_kg_m3"] / 1e6
        cuts += holes.boundary.length - holes.boundary.intersection(border).length if sheet["pockets"] else 0.0
    assert insert["weight_g"] == pytest.approx(grams, abs=0.02)
    assert insert["cut_length_mm"] == pytest.approx(cuts, abs=0.05)

"""The checker on pockets cut to outlines: one thing is broken at a time, and that rule is named."""

import copy
import itertools
import json
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from packing.check import check_plan
from packing.check.figures import cut_into_um, figures_area
from packing.measure import read_order
from packing.planning import plan_parcel
from tests.packing.outlined import axe, hammer

Content = dict[str, Any]
ORDER = read_order(
    {
        "id": "outlines",
        "rules": {"bite": 1.5, "thin": [3, 6]},
        "items": [hammer(), axe(), hammer("light", head_weight_g=800, weight_g=1030, head_width=30)],
    }
)


@cache
def text() -> str:
    return json.dumps(plan_parcel(ORDER, effort=100, seed=1).content)


def pocket(content: Content, item: str = "hammer", part: str = "head") -> Content:
    rows = [p for s in content["insert"]["sheets"] for p in s["pockets"] if (p["item"], p["part"]) == (item, part)]
    found: Content = rows[0]
    return found


def set_outline(row: Content, points: list[list[float]]) -> None:
    row["outline"] = points
    row["min_mm"] = [min(point[axis] for point in points) for axis in (0, 1)]
    row["max_mm"] = [max(point[axis] for point in points) for axis in (0, 1)]


def smaller(content: Content) -> None:
    """The hammer's pocket is 2 mm smaller all round: foam gives 1.5 mm, and it was cut by 0.5 mm less already."""
    row = pocket(content)
    middle = [(row["min_mm"][axis] + row["max_mm"][axis]) / 2 for axis in (0, 1)]
    by = [1 - 2 * 2 / (row["max_mm"][axis] - row["min_mm"][axis]) for axis in (0, 1)]
    scaled = [[round(middle[a] + by[a] * (point[a] - middle[a]), 3) for a in (0, 1)] for point in row["outline"]]
    set_outline(row, scaled)


def tongue(content: Content) -> None:
    """A tongue of foam reaches 6 mm into the axe's head from the middle of its first side."""
    row = pocket(content, "axe")
    points = row["outline"]
    (ax, ay), (bx, by) = max(itertools.pairwise(points), key=lambda side: abs(side[0][1] - side[1][1]))
    assert ax == bx
    inwards = 6 if by < ay else -6
    middle = round((ay + by) / 2)
    at = points.index([ax, ay]) + 1
    points[at:at] = [[ax, middle - 1], [ax + inwards, middle], [ax, middle + 1]]
    if by < ay:
        points[at], points[at + 2] = points[at + 2], points[at]


def crossed(content: Content) -> None:
    points = pocket(content)["outline"]
    points[0], points[1] = points[1], points[0]


def off_its_corners(content: Content) -> None:
    pocket(content)["min_mm"][0] -= 0.5


def too_many(content: Content) -> None:
    row = pocket(content, part="handle")
    (ax, ay), (bx, by) = row["outline"][:2]
    shares = [step / 8 for step in range(1, 8)]
    row["outline"][1:1] = [[round(ax + s * (bx - ax), 3), round(ay + s * (by - ay), 3)] for s in shares]


def past_its_room(content: Content) -> None:
    row = pocket(content)
    set_outline(row, [[x + (2.5 if x == row["max_mm"][0] else 0), y] for x, y in row["outline"]])


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (smaller, "foam reaches"),
        (tongue, "foam reaches"),
        (crossed, "crosses itself"),
        (off_its_corners, "min_mm and max_mm"),
        (too_many, "more than 12"),
        (past_its_room, "past its clearance"),
    ],
)
def test_a_broken_outline_is_named(change: Callable[[Content], None], said: str) -> None:
    content = json.loads(text())
    change(content)
    problems = [problem for problem in check_plan(ORDER, content) if problem.rule == "pocket"]
    assert any(said in problem.message for problem in problems), problems


def test_the_plan_itself_breaks_no_rule_and_shows_outlines() -> None:
    content = json.loads(text())
    assert [str(problem) for problem in check_plan(ORDER, content)] == []
    assert len(pocket(content)["outline"]) == 6


def test_a_plan_with_square_pockets_is_as_good_as_before() -> None:
    content = copy.deepcopy(json.loads(text()))
    parts = {(item["id"], part["part"]): part for item in content["items"] for part in item["parts"]}
    for sheet in content["insert"]["sheets"]:
        for row in sheet["pockets"]:
            if row.pop("outline", None):
                part = parts[row["item"], row["part"]]
                row["min_mm"], row["max_mm"] = part["min_mm"][:2], part["max_mm"][:2]
    rules = {problem.rule for problem in check_plan(ORDER, content)}
    # Only what was counted for the outlines is now another figure.
    assert rules <= {"insert_weight", "weight"}


def test_areas_of_unions_are_added_up_in_strips() -> None:
    square = ((0, 0), (10, 0), (10, 10), (0, 10))
    wedge = ((5, 5), (15, 5), (15, 15))
    assert figures_area([square]) == 100
    assert figures_area([square, wedge]) == pytest.approx(100 + 50 - 12.5)
    assert figures_area([square, square]) == 100


def test_foam_reaches_as_far_as_a_corner_of_the_tool_is_outside_its_hole() -> None:
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    hole = ((1.0, 1.0), (9.0, 1.0), (9.0, 9.0), (1.0, 9.0))
    assert cut_into_um(square, (hole,)) == pytest.approx(2**0.5)
    assert cut_into_um(square, (square,)) == 0

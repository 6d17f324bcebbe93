"""The search against published packing problems whose least areas are known.

Sources. Squares 1 to n in the least rectangle: OEIS A038666; R. Korf 2004; E. Huang and R. Korf 2009. T-tetrominoes: D.
W. Walkup, Covering a rectangle with T-tetrominoes, American Mathematical Monthly 72 (1965) 986-988: they tile an a x b
rectangle if and only if 4 divides a and b, so four fill 4 x 4 and fewer fill no rectangle. The other least areas of few
Ts and of the rectangles 1 x 2 to n x (n + 1), a problem set by R. Korf, M. Moffitt and M. Pollack 2010, were worked out
by exhaustive search; no published value was read.

One unit is 10 mm; all items are equally high and the interior may be one layer high, all gaps and pads are nothing.
"""

from typing import Any

import pytest

from packing.check import check_plan
from packing.measure import read_order
from packing.planning import plan_parcel
from tests.outside import sources as src
from tests.outside.sources import against

UNIT_MM = 10
ONE_LAYER: dict[str, Any] = {
    **dict.fromkeys(("clearance", "web", "wall", "base_pad", "layer_pad", "top_pad"), 0),
    "sheets": [UNIT_MM],
    "max_interior": [10_000, 10_000, UNIT_MM],
}
STEPS = 300_000


def flat_block(index: int, length: int, width: int) -> dict[str, Any]:
    sizes = {"length": length * UNIT_MM, "width": width * UNIT_MM, "height": UNIT_MM}
    return {"id": f"b{index}", "kind": "block", **sizes, "weight_g": 1, "upright": True}


def flat_tee(index: int, handle: int) -> dict[str, Any]:
    """A T of unit squares: a head of three, a handle of so many."""
    head = {"head_length": 3 * UNIT_MM, "head_height": UNIT_MM, "head_width": UNIT_MM}
    stick = {"handle_length": handle * UNIT_MM, "handle_width": UNIT_MM, "handle_thickness": UNIT_MM}
    return {"id": f"t{index}", "kind": "tool", **head, **stick, "weight_g": 15, "may_stand": False}


def area_found(items: list[dict[str, Any]], steps: int = STEPS) -> float:
    """Area in units of the best plan found, which must break no rule."""
    order = read_order({"id": "published", "items": items, "rules": ONE_LAYER})
    answer = plan_parcel(order, effort=steps, seed=1)
    assert check_plan(order, answer.content) == []
    length, width, _ = answer.content["interior_mm"]
    return float(length * width / UNIT_MM**2)


@against(src.SQUARES)
@pytest.mark.parametrize(("n", "area"), [*enumerate([1, 6, 15, 35, 60, 99, 154, 210], start=1)])
def test_squares_1_to_n_lie_in_the_least_rectangle(n: int, area: int) -> None:
    """OEIS A038666."""
    assert area_found([flat_block(side, side, side) for side in range(1, n + 1)]) == area


@against(src.KORF_2010, src.EXHAUSTIVE)
@pytest.mark.parametrize(("n", "area"), [*enumerate([2, 8, 20, 40, 70, 114], start=1)])
def test_rectangles_1_by_2_to_n_by_n_plus_1_lie_in_the_least_rectangle(n: int, area: int) -> None:
    """Korf, Moffitt and Pollack 2010, with turning; areas by exhaustive search."""
    assert area_found([flat_block(side, side, side + 1) for side in range(1, n + 1)]) == area


@against(src.WALKUP, src.TEES)
def test_four_t_tetrominoes_fill_a_square_of_four() -> None:
    """Walkup 1965."""
    assert area_found([flat_tee(index, 1) for index in range(4)]) == 16


@against(src.WALKUP, src.EXHAUSTIVE)
@pytest.mark.parametrize(("count", "area"), [*enumerate([6, 10, 14], start=1)])
def test_fewer_t_tetrominoes_leave_the_least_waste(count: int, area: int) -> None:
    """Walkup 1965: none of them fills its rectangle; areas by exhaustive search."""
    assert area_found([flat_tee(index, 1) for index in range(count)]) == area


@against(src.EXHAUSTIVE)
@pytest.mark.parametrize(
    ("count", "area", "steps"), [(1, 9, STEPS), (2, 15, STEPS), (3, 21, STEPS), (4, 25, 1_000_000)]
)
def test_t_pentominoes_leave_the_least_waste(count: int, area: int, steps: int) -> None:
    """Areas by exhaustive search."""
    assert area_found([flat_tee(index, 2) for index in range(count)], steps) == area

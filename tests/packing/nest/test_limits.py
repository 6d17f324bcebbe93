"""Limits that one simple arrangement satisfies are never refused, and the time given holds, whatever the order."""

import random
import time
from typing import Any

import pytest

from packing.check import check_plan
from packing.measure import MOST_ITEMS, BadInput, Order, read_order
from packing.nest import Nesting, nest, on_the_step
from packing.nest.search.shelves import Footprint, ShelfProblem, Shelved, shelf_plan
from packing.plan.kinds import Status
from packing.planning import plan_parcel as plan

HAMMER: dict[str, Any] = {"kind": "tool", "head_length": 105, "head_height": 42, "head_width": 42, "eye_offset": 52.5}
HAMMER |= {"handle_length": 250, "handle_width": 33, "handle_thickness": 23, "weight_g": 1368}
NOTHING_AROUND: dict[str, Any] = dict.fromkeys(("clearance", "web", "wall", "base_pad", "layer_pad", "top_pad"), 0)

C1_1 = """2x12 7x12 8x6 3x6 3x5 5x5 3x12 3x7 5x7 2x6 3x2 4x2 3x4 4x4 9x2 11x2"""
C1_2 = """4x1 4x5 9x4 3x5 3x9 1x4 5x3 4x1 5x5 7x2 9x3 3x13 2x8 15x4 5x4 10x6 7x2"""
"""Hopper & Turton's class C1, problems 1 and 2, of a sheet 20 x 20: E. Hopper, B. C. H. Turton, "An empirical
investigation of meta-heuristic and heuristic algorithms for a 2D packing problem", European Journal of Operational
Research 128 (2001) 34-57, doi:10.1016/S0377-2217(99)00357-4. The areas add up to the sheet's."""


def flat_blocks(sizes: list[tuple[int, int]], floor: int = 10_000) -> Order:
    """Blocks 1 mm high that all have to lie in one layer."""
    items = [
        {"id": str(at), "kind": "block", "length": a, "width": b, "height": 1, "weight_g": 1, "upright": True}
        for at, (a, b) in enumerate(sizes)
    ]
    rules = {**NOTHING_AROUND, "sheets": [1], "max_interior": [floor, floor, 1]}
    return read_order({"id": "flat", "rules": rules, "items": items})


def hammers(count: int, **rules: Any) -> Order:
    return read_order({"id": "H", "rules": rules, "items": [{"id": f"h{at}", **HAMMER} for at in range(count)]})


def many_blocks(count: int, *, layered: bool = True) -> Order:
    rng = random.Random(1)
    items = [
        {"id": f"b{at}", "kind": "block", "weight_g": 100, "height": rng.randrange(20, 60)}
        | {"length": rng.randrange(30, 120), "width": rng.randrange(30, 120)}
        for at in range(count)
    ]
    return read_order({"id": "many", "rules": {"layered": layered}, "items": items})


@pytest.mark.parametrize("text", [C1_1, C1_2], ids=["C1_1", "C1_2"])
def test_the_pieces_of_a_published_sheet_lie_in_one_layer_of_a_large_floor(text: str) -> None:
    sizes = [(int(a), int(b)) for a, b in (one.split("x") for one in text.split())]
    nesting = nest(flat_blocks(sizes), effort=2_000)
    assert nesting.status == "planned" and len(nesting.layers) == 1
    assert nesting.volume_um3 <= 1.25 * 20 * 20 * 10**9


@pytest.mark.parametrize("effort", [1, 2_000])
def test_squares_of_one_to_sixteen_lie_in_one_layer(effort: int) -> None:
    nesting = nest(flat_blocks([(side, side) for side in range(1, 17)]), effort=effort)
    assert nesting.status == "planned" and len(nesting.layers) == 1


@pytest.mark.parametrize("count", [16, 20, 24, 48])
def test_ordinary_hammers_lie_in_one_layer_of_a_large_floor(count: int) -> None:
    order = hammers(count, max_interior=[5000, 5000, 120])
    answer = plan(order, effort=1)
    assert answer.status == "planned" and check_plan(order, answer.content) == []


@pytest.mark.parametrize("count", [2, 9, 16, 31, 48])
@pytest.mark.parametrize(
    "rules",
    [
        {"max_layer_g": 3000},
        {"max_layer_g": 3000, "max_interior": [1000, 1000, 2000]},
        {"max_interior": [345, 800, 3000]},
    ],
)
def test_light_layers_and_narrow_floors_are_met_by_plain_rows(count: int, rules: dict[str, Any]) -> None:
    assert nest(hammers(count, **rules), effort=1).status == "planned"


@pytest.mark.parametrize("count", [2, 16, 48])
def test_blocks_that_stand_freely_are_piled_within_a_largest_interior(count: int) -> None:
    item = {"kind": "block", "length": 100, "width": 80, "height": 60, "weight_g": 300}
    rules = {**NOTHING_AROUND, "layered": False, "max_interior": [400, 320, 60 * -(-count // 16)]}
    order = read_order({"id": "C", "rules": rules, "items": [{"id": str(at), **item} for at in range(count)]})
    assert nest(order, effort=1).status == "planned"


@pytest.mark.parametrize("layered", [True, False])
def test_the_time_given_holds_for_a_hundred_blocks(layered: bool) -> None:
    nest(many_blocks(3, layered=layered), effort=100)
    begun = time.monotonic()
    nesting = nest(many_blocks(100, layered=layered), seconds=1)
    assert nesting.status == "planned"
    assert time.monotonic() - begun < 5, "it was 20 s"


@pytest.mark.parametrize("layered", [True, False])
def test_a_plan_of_many_blocks_keeps_every_rule(layered: bool) -> None:
    order = many_blocks(120, layered=layered)
    assert check_plan(order, plan(order, effort=10).content) == []


def test_rows_are_no_longer_than_the_floor_and_layers_no_heavier_than_allowed() -> None:
    ways = [[Footprint(30, 20, 10), Footprint(20, 30, 10)]] * 10

    def shelved(most_height_um: int) -> list[list[Shelved]] | None:
        return shelf_plan(ShelfProblem(ways, [10] * 10, (65, 45), most_height_um, 30, 0, 0, 0))

    found = shelved(40)
    assert found is not None and [len(layer) for layer in found] == [3, 3, 3, 1]
    for layer in found:
        feet = [(one, ways[one.item][one.way]) for one in layer]
        extent = (
            max(one.x_um + foot.length_um for one, foot in feet),
            max(one.y_um + foot.width_um for one, foot in feet),
        )
        assert max(extent) <= 65 and min(extent) <= 45
    assert shelved(39) is None


def test_an_order_with_too_many_items_is_refused_with_the_most_there_may_be() -> None:
    assert len(many_blocks(MOST_ITEMS).items) == MOST_ITEMS
    with pytest.raises(BadInput, match="must hold at most 300 items, not 301; split the order"):
        many_blocks(MOST_ITEMS + 1)


def test_no_side_grows_onto_the_step_beyond_the_largest_interior_though_a_third_side_is_larger() -> None:
    block = {"id": "a", "kind": "block", "length": 200, "width": 99.6, "height": 90, "weight_g": 1}

    def limited(width: float) -> Order:
        rules = {"step": "1 mm", "max_interior": [400, width, 600], "layered": False}
        return read_order({"id": "A", "rules": rules, "items": [block]})

    nesting = Nesting(Status.PLANNED, (300_000, 199_600, 150_000))
    assert on_the_step(limited(200), nesting).interior_um == (300_000, 200_000, 150_000)
    assert on_the_step(limited(199.8), nesting).interior_um == (300_000, 199_600, 150_000)

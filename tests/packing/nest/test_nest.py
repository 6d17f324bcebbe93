"""The search: planned, impossible and not found; repeatable; never worse than lying side by side."""

from typing import Any

import pytest

from packing.check import check_plan
from packing.measure import BadInput, Order, order_content, read_order
from packing.nest import nest
from packing.nest.demands import Levels
from packing.nest.problem import problem_of
from packing.nest.search.anneal import layer_counts, most_layers
from packing.plan.model import Refusal
from packing.planning import plan_parcel
from tests.helpers import instance

HAMMER = {
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "eye_offset": 52.5,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}
TIN = {"kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120, "upright": True}


def order_of(*items: dict[str, object], **rules: object) -> Order:
    named = [{"id": f"p{index}", **item} for index, item in enumerate(items)]
    return read_order({"id": "T-1", "rules": rules, "items": named})


def test_one_piece_gets_the_least_box_of_its_ways_and_a_proof() -> None:
    nesting = nest(order_of(HAMMER))
    assert nesting.status == "planned" and nesting.proven
    flat, standing = 345 * 158 * (50 + 48), 345 * 95 * (50 + 108)
    assert nesting.volume_um3 == nesting.lower_bound_um3 == min(flat, standing) * 10**9


def test_a_hammer_and_a_tin_fill_the_corner_beside_the_handle() -> None:
    """The worked example: 488 x 188 x 123 mm, the tin beside the handle in the head's own length."""
    rules = {"web": 40, "wall": 40, "base_pad": 50, "layer_pad": 18, "top_pad": 25}
    nesting = nest(order_of(HAMMER, TIN, **rules), effort=4000)
    assert nesting.volume_um3 == 488_000 * 188_000 * 123_000


def test_two_hammers_interlock_head_to_tail() -> None:
    side_by_side = nest(order_of(HAMMER)).interior_um
    nesting = nest(order_of(HAMMER, HAMMER), effort=20_000)
    assert nesting.interior_um[1] < 2 * min(side_by_side[:2])
    assert len(nesting.layers) == 1


def test_the_same_seed_and_effort_give_the_same_nesting() -> None:
    order = order_of(HAMMER, HAMMER, TIN, TIN)
    first, second = nest(order, effort=3000, seed=7), nest(order, effort=3000, seed=7)
    assert (first.interior_um, first.placed) == (second.interior_um, second.placed)


def test_one_step_of_effort_already_gives_a_valid_plan() -> None:
    order = order_of(HAMMER, TIN, HAMMER, TIN, HAMMER)
    assert check_plan(order, plan_parcel(order, effort=1).content) == []


@pytest.mark.parametrize("seed", range(4))
def test_every_plan_of_a_mixed_order_passes_the_checker(seed: int) -> None:
    axe = {
        **HAMMER,
        "form": "axe",
        "sharp": "far",
        "may_stand": False,
        "head_width": 30,
        "head_length": 170,
        "head_height": 90,
    }
    order = order_of(
        HAMMER, {**axe, "weight_g": 1100}, TIN, HAMMER, {**TIN, "upright": False}, clearance=2, web=12.5, wall=18
    )
    assert check_plan(order, plan_parcel(order, effort=2000, seed=seed).content) == []


def test_zero_gaps_and_pads_are_legal() -> None:
    cube = {"kind": "block", "length": 10, "width": 10, "height": 10, "weight_g": 1}
    zero = dict.fromkeys(("clearance", "web", "wall", "base_pad", "layer_pad", "top_pad"), 0)
    order = order_of(cube, cube, cube, cube, **zero, sheets=[10])
    assert nest(order, effort=2000).volume_um3 == 4 * 10**12


def test_a_piece_longer_than_any_allowed_interior_is_impossible_and_named() -> None:
    answer = plan_parcel(order_of(HAMMER, TIN, max_interior=[300, 300, 300]), effort=100)
    assert answer.status == "impossible"
    assert answer.content["limit"].startswith("max_interior") and answer.content["item"] == "p0"
    assert answer.content["by_mm"] > 0 and "p0" in str(instance(Refusal, answer.answer).message)


def test_an_interior_just_large_enough_is_met_turned_too() -> None:
    free = nest(order_of(HAMMER, HAMMER), effort=20_000).interior_um
    turned = [free[1] / 1000, free[0] / 1000, free[2] / 1000]
    held = nest(order_of(HAMMER, HAMMER, max_interior=turned), effort=20_000)
    assert held.status == "planned" and held.interior_um == free


@pytest.mark.parametrize("rules", [{"max_layer_g": 1500}, {"max_interior": [400, 200, 2000]}])
def test_limits_that_leave_each_piece_a_layer_of_its_own_are_met_with_any_effort(rules: dict[str, object]) -> None:
    order = order_of(*[HAMMER] * 9, **rules)
    answer = plan_parcel(order, effort=1)
    assert answer.status == "planned" and check_plan(order, answer.content) == []


def test_chains_start_with_more_layers_where_a_limit_may_ask_for_them_and_with_one_where_it_leaves_no_more() -> None:
    assert max(layer_counts(12, 12, most=None)) == 5
    assert layer_counts(12, 12, most=12) == list(range(1, 13))
    assert layer_counts(24, 6, most=24)[-1] == 24
    assert layer_counts(24, 6, most=1) == [1] * 6
    flat = order_of(*[HAMMER] * 24, max_interior=[5000, 5000, 120])
    assert most_layers(problem_of(flat)) == 1


@pytest.mark.parametrize("mark", [None, "face_left", "face_right"])
@pytest.mark.parametrize("count", [1, 2, 3])
def test_marks_are_turned_up_only_where_a_sharp_end_keeps_its_wall(mark: str | None, count: int) -> None:
    axe = {**HAMMER, "form": "axe", "sharp": "far", "may_stand": False, "mark": mark}
    order = order_of(*[axe] * count, wall=10, sharp_wall=60)
    answer = plan_parcel(order, effort=500)
    assert check_plan(order, answer.content) == []


def test_sharp_ends_are_turned_inwards_where_that_saves_room() -> None:
    """Three in a row are 348 x 315 mm with every edge to its left: edges that face each other need less."""
    axe = {**HAMMER, "form": "axe", "sharp": "far", "may_stand": False}
    nesting = nest(order_of(*[axe] * 3, wall=10, sharp_wall=60), effort=20_000)
    assert nesting.volume_um3 <= 312_000 * 315_000 * 98_000


def test_one_piece_whose_sharp_end_has_no_room_for_its_wall_is_impossible() -> None:
    axe = {**HAMMER, "form": "axe", "sharp": "far", "may_stand": False}
    assert nest(order_of(axe, max_interior=[400, 160, 120])).status == "planned"
    answer = nest(order_of(axe, max_interior=[400, 160, 120], sharp_wall=60))
    assert (answer.status, answer.limit, answer.by_um) == ("impossible", "max_interior width", 33_000)


def test_an_order_heavier_than_allowed_is_refused_with_the_figures() -> None:
    answer = plan_parcel(order_of(HAMMER, HAMMER, max_gross_g=2000), effort=100)
    assert answer.status == "impossible" and answer.content["limit"] == "max_gross_g"
    assert "2000 g" in str(instance(Refusal, answer.answer).message)
    assert answer.content["by_g"] > 2 * 1440 - 2000


def test_a_piece_heavier_than_a_layer_may_be_is_told_with_its_excess() -> None:
    answer = plan_parcel(order_of(TIN, HAMMER, max_layer_g=1000), effort=100)
    assert (answer.status, answer.content["item"], answer.content["by_g"]) == ("impossible", "p1", 440)


def test_a_stopped_search_hands_over_its_best_so_far() -> None:
    nesting = nest(order_of(HAMMER, TIN), seconds=60, stop=lambda: True)
    assert nesting.status == "planned" and nesting.seconds < 30


def test_progress_is_told_while_the_search_goes_on() -> None:
    told: list[int] = []
    nest(order_of(HAMMER, HAMMER, TIN, TIN), seconds=0.3, progress=lambda now: told.append(now.volume_um3))
    assert told and told[-1] > 0


@pytest.mark.parametrize(
    ("bounds", "field"),
    [
        ({"seconds": 0}, "seconds"),
        ({"seconds": float("nan")}, "seconds"),
        ({"seconds": -1}, "seconds"),
        ({"effort": 0}, "effort"),
        ({"effort": 2.5}, "effort"),
        ({"effort": True}, "effort"),
        ({"seed": 1.5}, "seed"),
        ({"seconds": 1, "effort": 1}, "seconds"),
    ],
)
def test_a_bad_bound_is_refused_by_name(bounds: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput, match=field):
        nest(order_of(HAMMER), **bounds)


@pytest.mark.parametrize(("need", "height"), [(42, 48), (24, 24), (24.01, 25), (36, 36), (61.5, 62), (12.5, 24)])
def test_a_layer_is_the_smallest_sum_of_sheets_that_reaches(need: float, height: float) -> None:
    assert Levels((12_000, 25_000, 50_000)).reaching(round(need * 1000)) == height * 1000


def test_an_order_read_again_from_its_content_plans_the_same() -> None:
    order = order_of(HAMMER, TIN)
    again = read_order(order_content(order))
    assert nest(order, effort=500).interior_um == nest(again, effort=500).interior_um


AXE = {**HAMMER, "form": "axe", "sharp": "far", "may_stand": False, "weight_g": 1100}
AXE |= {"head_width": 30, "head_length": 170, "head_height": 90, "eye_offset": 34}


def test_a_sharp_end_keeps_the_thicker_wall_it_asks_for() -> None:
    order = order_of(AXE, AXE, TIN, sharp_wall=60)
    answer = plan_parcel(order, effort=6000)
    assert check_plan(order, answer.content) == []
    alone, thicker = nest(order_of(AXE)), nest(order_of(AXE, sharp_wall=60))
    assert thicker.volume_um3 > alone.volume_um3


def test_the_checker_names_a_sharp_end_too_near_the_edge() -> None:
    answer = plan_parcel(order_of(AXE, HAMMER), effort=2000)
    strict = order_of(AXE, HAMMER, sharp_wall=300)
    assert "sharp_wall" in {problem.rule for problem in check_plan(strict, answer.content)}


def test_no_layer_is_heavier_than_asked() -> None:
    order = order_of(HAMMER, HAMMER, HAMMER, max_layer_g=2800)
    answer = plan_parcel(order, effort=6000)
    assert check_plan(order, answer.content) == []
    assert len(answer.nesting.layers) > 1


def test_the_checker_names_a_layer_that_is_too_heavy() -> None:
    answer = plan_parcel(order_of(HAMMER, HAMMER), effort=2000)
    strict = order_of(HAMMER, HAMMER, max_layer_g=1500)
    assert "max_layer" in {problem.rule for problem in check_plan(strict, answer.content)}


def test_a_piece_heavier_than_a_layer_may_be_is_impossible() -> None:
    answer = plan_parcel(order_of(HAMMER, TIN, max_layer_g=1000), effort=100)
    assert (answer.status, answer.content["limit"], answer.content["item"]) == ("impossible", "max_layer_g", "p0")


def test_the_heavier_layer_lies_lower() -> None:
    nesting = nest(order_of(HAMMER, HAMMER, TIN, TIN, max_layer_g=2800), effort=6000)
    loads = [0] * len(nesting.layers)
    for one in nesting.placed:
        loads[one.layer] += 1440 if one.item < 2 else 120
    assert loads == sorted(loads, reverse=True)


def test_marked_cheeks_lie_up_where_it_costs_nothing() -> None:
    """Turning a layer over changes no size; the mark of a tool with its eye in the middle is free in any case."""
    marked = {**HAMMER, "mark": "face_right", "may_stand": False}
    assert [item["marked_up"] for item in plan_parcel(order_of(marked, marked), effort=4000).content["items"]] == [
        True,
        True,
    ]
    (axe,) = plan_parcel(order_of({**AXE, "mark": "face_left"}), effort=1).content["items"]
    assert axe["marked_up"] is True


def test_a_stiff_sheet_lies_on_top_of_every_pad_between_layers_and_is_weighed() -> None:
    """6 mm birch plywood at 680 kg/m³, from memory."""
    order = order_of(HAMMER, HAMMER, HAMMER, max_layer_g=2000, layer_pad=18, stiff_sheet=6)
    answer = plan_parcel(order, effort=4000)
    stiff = [sheet for sheet in answer.content["insert"]["sheets"] if sheet.get("material") == "birch plywood"]
    assert [sheet["thickness_mm"] for sheet in stiff] == [6] * (len(answer.nesting.layers) - 1)
    assert check_plan(order, answer.content) == []


def test_the_checker_misses_a_stiff_sheet() -> None:
    rules = {"max_layer_g": 2000, "layer_pad": 18}
    content = plan_parcel(order_of(HAMMER, HAMMER, **rules), effort=4000).content
    strict = order_of(HAMMER, HAMMER, **rules, stiff_sheet=6)
    assert "stiff_sheet" in {problem.rule for problem in check_plan(strict, content)}


def test_a_stiff_sheet_thicker_than_its_pad_is_refused() -> None:
    with pytest.raises(BadInput, match="20 mm is thicker than layer_pad, 12 mm"):
        order_of(HAMMER, stiff_sheet=20)


def test_blocks_without_layers_stand_on_each_other() -> None:
    """Three boxes of 25 x 8 x 6, 20 x 10 x 5 and 16 x 7 x 3 fill no less than 25 x 16 x 8, as proved here."""
    sizes = ((250, 80, 60), (200, 100, 50), (160, 70, 30))
    blocks = [{"kind": "block", "length": a, "width": b, "height": c, "weight_g": 5} for a, b, c in sizes]
    zero = dict.fromkeys(("clearance", "web", "wall", "base_pad", "layer_pad", "top_pad"), 0)
    order = order_of(*blocks, **zero, layered=False)
    answer = plan_parcel(order, effort=20_000)
    assert check_plan(order, answer.content) == []
    assert answer.nesting.volume_um3 == 3200 * 10**12
    assert answer.content["layers"] == [] and answer.content["items"][0]["layer"] is None


def test_tools_without_layers_are_refused() -> None:
    with pytest.raises(BadInput, match="false is for blocks only"):
        order_of(HAMMER, layered=False)

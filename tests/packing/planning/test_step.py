"""Planned sizes fall on the shop's step: whole millimetres, or sixteenths of an inch."""

import json
from collections import defaultdict
from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from packing.boxes import style_of
from packing.check import check_plan
from packing.materials import PLANKS_INCH, PLYWOOD_INCH, SCREWS_INCH, Joinery
from packing.measure import BadInput, Step, down_to_step, read_order, up_to_step
from packing.plan import to_json
from packing.plan.kinds import LooseKind, Part, PieceRole
from packing.planning import Candidate, Terms, candidate_for, candidate_plan, plan_parcel
from packing.units import show_between, show_length
from tests.helpers import instance
from tests.packing.box_specs import CORRUGATED, EVERY, WOODEN, box_spec, designed
from tests.packing.boxes.folding import folded_inside
from tests.packing.drawn_zoo import random_order
from tests.packing.insert_zoo import AXE, HAMMER, order_of

ODD = {**HAMMER, "head_length": 104.8, "handle_length": 251.3, "handle_width": 33.4, "head_width": 41.7}


def plan(step: Any, **rules: Any) -> Any:
    order = order_of(ODD, AXE, **rules, **({"step": step} if step else {}))
    answer = plan_parcel(order, effort=200).answer
    assert check_plan(order, json.loads(json.dumps(to_json(answer)))) == []
    return answer


def is_on(um: Any, step: Any, halves: Any = 1) -> Any:
    """Tell whether a length is of whole steps, to so many half micrometres: an odd sixteenth of an inch has one."""
    return um % 1000 == 0 if step == "1 mm" else min(2 * um % 3175, -2 * um % 3175) <= halves


@pytest.mark.parametrize("step", list(Step))
def test_the_insert_and_the_panels_of_its_box_are_of_whole_steps(step: Any) -> None:
    answer = plan(step)
    assert all(is_on(side, step) for side in answer.interior_um[:2])
    sides = [b - a for panel in answer.box.blank.panels for a, b in zip(panel.min_um, panel.max_um, strict=True)]
    assert all(is_on(side, step) for side in sides)


def test_without_a_step_sizes_are_what_the_pieces_make_them() -> None:
    assert not all(is_on(side, "1 mm") for side in plan(None).interior_um[:2])


def test_no_tenth_of_a_millimetre_is_sawn() -> None:
    order = order_of(ODD, AXE, step="1 mm")
    nesting = plan_parcel(order, effort=200).nesting
    design = instance(Candidate, candidate_for(order, nesting, style_of("ply"), Terms())).design
    sizes = [side for piece in design.cut_pieces for side in piece.size_um]
    assert all(side % 1000 == 0 for side in sizes)


def test_equal_panels_are_printed_equal_in_inches() -> None:
    answer, printed = plan("1/16 in"), defaultdict(set)
    for panel in answer.box.blank.panels:
        low, high = panel.min_um[0] / 1000, panel.max_um[0] / 1000
        printed[high - low].add(show_between(low, high, "in"))
        assert show_between(low, high, "in") == show_length(high - low, "in")
    assert all(len(texts) == 1 for texts in printed.values())


def equal_panels_printed_unequal(box: Any) -> Any:
    """Lengths of a blank's panels that its drawing would print in two ways."""
    printed = defaultdict(set)
    for piece in box.pieces:
        for panel, axis in product(piece.panels, (0, 1)):
            low, high = panel.min_um[axis] / 1000, panel.max_um[axis] / 1000
            printed[piece.id, panel.name, panel.max_um[axis] - panel.min_um[axis]].add(show_between(low, high, "in"))
    return {name: texts for name, texts in printed.items() if len(texts) > 1}


@pytest.mark.parametrize("code", [code for code in CORRUGATED if code != "carton"])
@pytest.mark.parametrize("seed", range(4))
def test_equal_panels_of_every_folded_box_are_printed_equal(code: Any, seed: Any) -> None:
    order = read_order({**random_order(1 + seed, seed), "rules": {"step": "1/16 in"}})
    nesting = plan_parcel(order, effort=20, seed=seed).nesting
    made = instance(Candidate, candidate_for(order, nesting, style_of(code), Terms()))
    answer = candidate_plan(order, made, Terms())
    assert equal_panels_printed_unequal(answer.box) == {}
    assert check_plan(order, json.loads(json.dumps(to_json(answer)))) == []


@pytest.mark.parametrize("code", [code for code in CORRUGATED if code != "carton"])
@pytest.mark.parametrize("step", list(Step))
def test_a_box_of_whole_steps_folds_to_its_inside(code: Any, step: Any) -> None:
    made = designed(code, box_spec((388_300, 187_700, 96_400), step=step, fit_um=None))
    inside = folded_inside(made, made.folds[0])
    assert all(0 <= room - told <= 1 for room, told in zip(inside, made.inner_um, strict=True))
    assert all(told >= side + 2_000 for told, side in zip(made.inner_um, (388_300, 187_700, 96_400), strict=True))


def cut_sides(made: Any) -> Any:
    """What a person cuts and creases to: sides of pieces and of their panels."""
    for piece in made.cut_pieces:
        yield from piece.size_um
        for panel in piece.panels:
            yield from (high - low for low, high in zip(panel.low, panel.high, strict=True))


@pytest.mark.parametrize("code", [code for code in EVERY if code != "carton"])
@pytest.mark.parametrize("step", list(Step))
@pytest.mark.parametrize("interior", [(388_300, 187_700, 96_400), (301_000, 222_000, 151_000)])
def test_every_side_of_every_piece_is_of_whole_steps(code: Any, step: Any, interior: Any) -> None:
    """The insert, and wood by the inch, are of whole steps themselves; odd sixteenths add up to 1.5 µm."""
    length, width, height = (up_to_step(side, step) for side in interior)
    spec = box_spec((length, width, height), step=step, contents_mg=4_000_000, fit_um=None)
    if step is Step.SIXTEENTH:
        spec = replace(spec, joinery=Joinery(planks=PLANKS_INCH, panels=PLYWOOD_INCH, screws=SCREWS_INCH))
    assert [side for side in cut_sides(designed(code, spec)) if not is_on(side, step, 3)] == []


@pytest.mark.parametrize("um", [0, 1, 1587, 1588, 3174, 3175, 3176, 41_281, 999_999])
def test_rounding_down_is_to_the_last_step(um: Any) -> None:
    for step in Step:
        rounded = down_to_step(um, step)
        assert rounded <= um < rounded + 1600
        assert is_on(rounded, step)
        assert down_to_step(rounded, step) == rounded
    assert down_to_step(um, None) == um


def pocket_edges(answer: Any) -> Any:
    pockets = [pocket for sheet in answer.insert.sheets for pocket in sheet.pockets if not pocket.outline_um]
    return {edge for pocket in pockets for edge in (*pocket.min_um[:2], *pocket.max_um[:2])}


@pytest.mark.parametrize("step", list(Step))
def test_every_pocket_is_marked_out_in_whole_steps(step: Any) -> None:
    answer = plan(step)
    edges = pocket_edges(answer)
    assert len(edges) > 6
    assert all(is_on(edge, step, 2) for edge in edges)
    assert not all(is_on(edge, step) for edge in pocket_edges(plan(None)))


@pytest.mark.parametrize("step", list(Step))
def test_foam_over_and_under_the_pieces_is_cut_in_whole_steps(step: Any) -> None:
    thin = [3, 6] if step == "1 mm" else [3.18, 6.35]
    rows = [row for row in plan(step, thin=thin, bite=1.5).insert.cut_list if row.what != LooseKind.SHEET]
    assert rows
    assert all(is_on(side, step, 2) for row in rows for side in row.size_um)


def sides_printed(answer: Any, unit: Any) -> Any:
    """How each length of a pocket is printed, wherever it lies; half a micrometre more or less is no other length."""
    printed = defaultdict(set)
    for sheet in answer.insert.sheets:
        for pocket, axis in product(sheet.pockets, (0, 1)):
            low, high = pocket.min_um[axis], pocket.max_um[axis]
            printed[round((high - low) / 2)].add(show_between(low / 1000, high / 1000, unit))
    return printed


@pytest.mark.parametrize(("step", "unit"), [("1 mm", "mm"), ("1/16 in", "in")])
@pytest.mark.parametrize("seed", range(12))
def test_equal_pockets_of_generated_orders_are_printed_equal(step: Any, unit: Any, seed: Any) -> None:
    order = read_order({**random_order(1 + seed % 6, seed), "rules": {"step": step, "clearance": 1.5}})
    answer = plan_parcel(order, effort=30, seed=seed).answer
    assert check_plan(order, json.loads(json.dumps(to_json(answer)))) == []
    assert all(len(texts) == 1 for texts in sides_printed(answer, unit).values())
    assert all(is_on(edge, step, 2) for edge in pocket_edges(answer))


def test_equal_pieces_have_equal_pockets_wherever_they_lie() -> None:
    order = order_of(*[{**ODD, "id": f"H{at}"} for at in range(5)], step="1/16 in")
    answer = plan_parcel(order, effort=100).plan
    sizes = {
        tuple(sorted(round((b - a) / 2) for a, b in zip(pocket.min_um[:2], pocket.max_um[:2], strict=True)))
        for sheet in answer.insert.sheets
        for pocket in sheet.pockets
        if pocket.part == Part.HANDLE
    }
    assert len(sizes) == 1


def test_a_step_takes_little_room() -> None:
    """Less than two steps a side for the walls, and one for each piece beside another."""
    answer, bare = plan("1 mm"), plan(None)
    for axis in (0, 1):
        assert 0 <= answer.interior_um[axis] - bare.interior_um[axis] < 3000


def test_a_clearance_too_narrow_for_a_line_leaves_pockets_as_they_are() -> None:
    answer = plan("1/16 in", clearance=0)
    heads = {
        tuple(sorted(b - a for a, b in zip(pocket.min_um[:2], pocket.max_um[:2], strict=True)))
        for sheet in answer.insert.sheets
        for pocket in sheet.pockets
        if pocket.part == Part.HEAD and pocket.letter == "A"
    }
    assert heads == {(42_000, 104_800)}


def test_a_largest_interior_is_not_passed_for_the_step() -> None:
    length, width, height = (side / 1000 for side in plan(None).interior_um)
    answer = plan("1 mm", max_interior=[length, width, height])
    assert [side / 1000 for side in answer.interior_um] == [length, width, height]


@pytest.mark.parametrize("um", [0, 1, 1587, 1588, 3174, 3175, 3176, 41_281, 999_999])
@pytest.mark.parametrize("times", [1, 2])
def test_rounding_up_is_to_the_next_step_and_only_once(um: Any, times: Any) -> None:
    for step in Step:
        rounded = up_to_step(um, step, times=times)
        assert um <= rounded < um + 1600 * times
        assert up_to_step(rounded, step, times=times) == rounded


def test_a_step_that_nobody_knows_is_refused() -> None:
    item = {"id": "a", "kind": "block", "length": 1, "width": 1, "height": 1, "weight_g": 1}
    with pytest.raises(BadInput, match=r"rules\.step: must be one of “1 mm”, “1/16 in”"):
        read_order({"id": "x", "rules": {"step": "1/8 in"}, "items": [item]})


@pytest.mark.parametrize("code", WOODEN)
@pytest.mark.parametrize("contents_mg", [2_000_000, 6_000_000, 24_000_000])
def test_every_wooden_box_can_be_made_of_stock_by_the_inch(code: Any, contents_mg: Any) -> None:
    joinery = Joinery(planks=PLANKS_INCH, panels=PLYWOOD_INCH, screws=SCREWS_INCH)
    spec = box_spec((400_050, 190_500, 88_900), step="1/16 in", contents_mg=contents_mg, fit_um=None)
    made = designed(code, replace(spec, joinery=joinery))
    upright = [piece for piece in made.cut_pieces if piece.role in (PieceRole.SIDE, PieceRole.LONG_SIDE)]
    assert upright
    assert all(is_on(side, "1/16 in") for piece in upright for side in piece.size_um)

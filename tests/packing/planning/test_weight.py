"""Gross weight: the sum of its parts, and a tolerance that says where it comes from."""

import json
from collections.abc import Sequence
from dataclasses import replace
from math import sqrt
from typing import Any

import pytest

from packing.boxes import BoxDesign, BoxSpec
from packing.boxes.slotted import h_tape
from packing.insert import Insert, make_insert
from packing.materials import C_FLUTE, CLOSING_TAPE, EDGE_GUARD, PE_FOAM, ShopMaterials, Supplies
from packing.measure import Order
from packing.messages import Message
from packing.plan import to_json
from packing.plan.kinds import SundryKind
from packing.planning import weight_plan
from packing.planning.sundries import SundryLine, usual_sundries
from packing.planning.weight import (
    UncertaintyComponent,
    Weights,
    gross_problem,
    load_of_box,
    weigh,
    weigh_design,
)
from packing.units import to_tenth_g
from tests.helpers import present
from tests.packing.box_specs import box_spec, designed
from tests.packing.insert_zoo import AXE, HAMMER, TIN, laid, order_of

Packed = tuple[Order, Insert, BoxDesign]


@pytest.fixture
def packed() -> Packed:
    order = order_of(HAMMER, AXE, TIN)
    nesting = laid(order, [(0, "flat", 0), (1, "flat", 0), (2, "block", 0)])
    return order, make_insert(order, nesting, PE_FOAM), designed("0201", BoxSpec(nesting.interior_um, C_FLUTE))


def lines(packed: Packed, supplies: Supplies | None = None) -> dict[SundryKind, SundryLine]:
    order, insert, box = packed
    return {line.sundry.kind: line for line in usual_sundries(order, insert, box, supplies)}


def weighed(packed: Packed, sundries: Sequence[SundryLine] | None = None, **options: Any) -> Weights:
    order, insert, box = packed
    return weigh(order, insert, box, usual_sundries(order, insert, box) if sundries is None else sundries, **options)


def test_the_gross_weight_is_the_sum_of_pieces_foam_board_and_sundries(packed: Packed) -> None:
    _, insert, box = packed
    weights = weighed(packed)
    assert weights.pieces_mg == 1_440_000 + 1_100_000 + 120_000
    assert (weights.insert_mg, weights.box_mg) == (to_tenth_g(insert.weight_mg), to_tenth_g(box.weight_mg))
    assert weights.gross_mg == weights.pieces_mg + weights.insert_mg + weights.box_mg + weights.sundries_mg


def test_each_tool_is_wrapped_and_each_sharp_end_guarded(packed: Packed) -> None:
    assert lines(packed)[SundryKind.WRAP].amount == 2
    assert lines(packed)[SundryKind.EDGE_GUARD].amount == 1


def test_a_double_bit_has_two_guards(packed: Packed) -> None:
    _, insert, box = packed
    order = order_of({**AXE, "sharp": "both"})
    assert {line.sundry.kind: line.amount for line in usual_sundries(order, insert, box)}[SundryKind.EDGE_GUARD] == 2


def test_a_box_of_blocks_has_neither_wraps_nor_guards(packed: Packed) -> None:
    _, insert, box = packed
    kinds = {line.sundry.kind for line in usual_sundries(order_of(TIN), insert, box)}
    assert kinds == {SundryKind.CLOSING_TAPE, SundryKind.PAPERS}


def test_lift_tapes_are_weighed_among_the_sundries(packed: Packed) -> None:
    order = order_of({**HAMMER, "head_length": 60, "weight_g": 800})
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    line = lines((order, insert, packed[2]))[SundryKind.LIFT_TAPE]
    assert (line.amount, line.weight_mg) == (258_000, 1_800)


def test_the_closing_tape_is_an_h_on_lid_and_bottom() -> None:
    assert h_tape((400_000, 300_000, 200_000)).tape_um == 2 * (400_000 + 130_000 + 2 * (300_000 + 130_000))


def test_tape_is_weighed_by_the_metre_and_half_a_tenth_goes_up() -> None:
    assert SundryLine(replace(CLOSING_TAPE, each_mg=8_500), 2_000_000).weight_mg == 17_000
    assert SundryLine(replace(CLOSING_TAPE, each_mg=100), 500_000).weight_mg == 100
    assert SundryLine(replace(CLOSING_TAPE, each_mg=98), 500_000).weight_mg == 0


def test_a_shop_brings_its_own_kit(packed: Packed) -> None:
    kit = Supplies(paper_sheets=5, edge_guard=replace(EDGE_GUARD, each_mg=0))
    assert lines(packed, kit)[SundryKind.PAPERS].weight_mg == 25_000
    assert lines(packed, kit)[SundryKind.EDGE_GUARD].weight_mg == 0


def test_the_tolerance_is_2_6_deviations_of_independent_doubts() -> None:
    def tolerance_mg(*deviations_mg: int) -> int:
        doubts = tuple(UncertaintyComponent(Message("a"), sd_mg, Message("b")) for sd_mg in deviations_mg)
        return Weights(0, 0, 0, (), doubts).tolerance_mg

    assert tolerance_mg(3_000, 4_000) == 13_000
    assert tolerance_mg(1_001) == 2_603
    assert tolerance_mg() == 0


def test_every_doubt_says_where_it_comes_from(packed: Packed) -> None:
    doubts = {str(doubt.source): doubt for doubt in weighed(packed).uncertainty}
    assert set(doubts) == {"scale", "foam", "board", "sundries", "handles"}
    assert doubts["handles"].sd_mg == round(4_000 * sqrt(2))
    assert doubts["scale"].sd_mg == 500
    assert all(doubt.why for doubt in doubts.values())


def test_a_coarser_scale_widens_the_tolerance(packed: Packed) -> None:
    fine, coarse = (weighed(packed, (), scale_step_mg=step) for step in (100, 50_000))
    assert coarse.tolerance_mg > fine.tolerance_mg
    assert coarse.gross_mg == fine.gross_mg


def test_exactly_the_allowed_gross_weight_is_no_problem(packed: Packed) -> None:
    order, insert, box = packed
    weights = weigh(order, insert, box, ())
    allowed = replace(order, rules=replace(order.rules, max_gross_mg=weights.gross_mg))
    short = replace(order, rules=replace(order.rules, max_gross_mg=weights.gross_mg - 1_500))
    assert gross_problem(allowed, weights) is None
    assert gross_problem(order, weights) is None
    assert "1.5 g more than a closed box may weigh" in str(gross_problem(short, weights))


def test_the_weights_shown_add_up_to_the_gross_weight_shown(packed: Packed) -> None:
    content = json.loads(json.dumps(to_json(weight_plan(weighed(packed)))))
    total = sum(content[key] for key in ("pieces_g", "insert_g", "box_g", "sundries_g"))
    assert content["gross_g"] == pytest.approx(total, abs=0.001)
    assert content["sundries_g"] == pytest.approx(sum(line["weight_g"] for line in content["sundries"]), abs=0.001)


@pytest.mark.parametrize("code", ["ply", "sliding"])
def test_a_wooden_box_in_a_case_counts_among_what_the_case_holds(packed: Packed, code: Any) -> None:
    order, insert, _ = packed
    made = [designed(name, box_spec((390_000, 190_000, 140_000))) for name in (code, f"{code} cased")]
    bare, cased = (load_of_box(box, weigh_design(order, insert, box, ShopMaterials())) for box in made)
    assert present(cased.contents_mg) - present(bare.contents_mg) == pytest.approx(
        made[0].weight_mg, abs=200_000
    )  # tape apart
    assert cased.inner_um == present(made[1].case).inner_um
    assert (bare.slotted, cased.slotted) == (False, True)

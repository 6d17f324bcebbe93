"""Plates between steel and foam: what foam bears decides how large, bending how thick; the checker measures again."""

import copy
from collections.abc import Callable
from itertools import combinations
from math import sqrt
from typing import Any

import pytest

from packing.check import check_plan
from packing.cushion import upright_plate
from packing.cushion.plate import PLATES_UM
from packing.insert import contacts, insert_work, make_insert
from packing.materials import PE_FOAM
from packing.measure import Order
from packing.plan.kinds import FoamVerdict, InsertWork, Part, Side
from packing.planning import plan_parcel
from tests.packing.insert_zoo import HAMMER, laid, order_of

Content = dict[str, Any]
RULES: dict[str, Any] = {"bite": 1.5, "thin": [3, 6], "web": 40, "wall": 40, "plates": True}
MOST_PA = 8_270
BESIDE = (Side.LEFT, Side.RIGHT, Side.FRONT, Side.BACK)


def club(**rest: Any) -> Content:
    """A heavy hammer with small faces."""
    return {**HAMMER, "head_length": 120, "weight_g": 1500, "may_stand": False} | rest


def test_a_plate_is_no_wider_than_the_face_where_the_whole_of_it_is_area_enough() -> None:
    plate = upright_plate((40_000, 40_000), 0.6, 1.5, 950_000)
    assert plate is not None
    # A square of 0.6 of the face bears in its middle; 4.5 mm reach out on each side: t = a root(3 p / f) = 1.4 mm.
    assert (plate.length_um, plate.width_um, plate.thickness_um) == (40_000, 40_000, 3_000)


def test_a_plate_is_wider_where_the_foam_needs_more_and_thick_enough_not_to_bend() -> None:
    plate = upright_plate((40_000, 40_000), 0.6, 3.0, 950_000)
    assert plate is not None
    assert plate.length_um == 75_000  # 0.6 x 3 x 40 = 72, to the next 5
    reach = (75_000 - 40_000 * sqrt(0.6)) / 2
    assert plate.thickness_um == min(one for one in PLATES_UM if one >= reach * sqrt(3 * 950_000 / 30e6))


def test_with_plates_the_foam_beside_a_head_is_pressed_within_its_range() -> None:
    order, without = order_of(club(), **RULES), order_of(club(), **{**RULES, "plates": False})
    nesting = laid(order, [(0, "flat", 0)])
    insert, bare = make_insert(order, nesting, PE_FOAM), make_insert(without, nesting, PE_FOAM)
    before = {one.side: one for one in contacts(order, nesting, bare, 3_000_000)}
    after = {one.side: one for one in contacts(order, nesting, insert, 3_000_000)}
    helped = [side for side in BESIDE if after[side].laid]
    assert helped
    for side in helped:
        assert before[side].verdict is FoamVerdict.OVER
        assert after[side].stress_pa <= MOST_PA < before[side].stress_pa
        assert after[side].thickness_um < before[side].thickness_um
    work, plain = dict(insert_work(insert)), dict(insert_work(bare))
    assert work[InsertWork.SAW_CUT] == 2 * len(insert.plates)
    assert work[InsertWork.RECTANGLE] > plain[InsertWork.RECTANGLE]
    slots = {p.rect for s in insert.sheets for p in s.pockets if p.part is Part.PLATE}
    assert slots == {plate.rect for plate in insert.plates}
    grams = [0.68 * p.face_um[0] * p.face_um[1] * p.thickness_um / 1e12 for p in insert.plates]
    assert insert.plates_mg == pytest.approx(1000 * sum(grams), abs=len(grams))


def test_without_the_rule_no_plate_stands_and_one_is_named() -> None:
    order = order_of(club(), **{**RULES, "plates": None})
    content = plan_parcel(order, effort=300).content
    assert content["insert"]["plates"] == []
    assert any("plywood" in str(note) for note in content["notes"])


def planned() -> tuple[Order, Content]:
    order = order_of(club(id="one"), club(id="two"), **RULES)
    return order, plan_parcel(order, effort=400).content


def test_plates_are_on_the_cut_list_in_the_weight_and_in_the_notes_and_the_checker_agrees() -> None:
    order, content = planned()
    assert check_plan(order, content) == []
    ids = {plate["id"] for plate in content["insert"]["plates"]}
    assert ids
    rows = [row for row in content["insert"]["cut_list"] if row["what"] == "plate"]
    assert {name for row in rows for name in row["ids"]} == ids
    sundry = next(row for row in content["weight"]["sundries"] if row["kind"] == "plates")
    assert sundry["weight_g"] == pytest.approx(sum(one["weight_g"] for one in content["insert"]["plates"]), abs=0.1)
    assert any("Plates of plywood stand upright" in str(note) for note in content["notes"])


@pytest.mark.parametrize("step", ["1 mm", "1/16 in"])
def test_slots_lie_on_the_lines_of_a_step(step: str) -> None:
    order = order_of(club(id="one", head_length=120.7), club(id="two"), **RULES, step=step)
    content = plan_parcel(order, effort=400).content
    assert check_plan(order, content) == []
    slots = [p for s in content["insert"]["sheets"] for p in s["pockets"] if p["part"] == "plate"]
    assert slots
    unit = 1 if step == "1 mm" else 25.4 / 16
    for slot in slots:
        for edge in (*slot["min_mm"], *slot["max_mm"]):
            assert abs(edge / unit - round(edge / unit)) < 0.002


def anvil() -> tuple[Order, Content]:
    """A heavy small block, which asks for a plate wider than itself on each side, in foam with room for each alone."""
    block = {"id": "a", "kind": "block", "length": 80, "width": 80, "height": 80, "weight_g": 8000}
    order = order_of(block, **{**RULES, "wall": 90})
    return order, plan_parcel(order, effort=300).content


def footprints(content: Content) -> list[list[float]]:
    return [[*plate["min_mm"][:2], *plate["max_mm"][:2]] for plate in content["insert"]["plates"]]


def meet(a: list[float], b: list[float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def test_no_plate_of_a_piece_runs_through_another_of_it() -> None:
    order, content = anvil()
    assert check_plan(order, content) == []
    laid = footprints(content)
    assert laid
    assert not any(meet(a, b) for a, b in combinations(laid, 2))


def test_the_checker_sees_two_plates_in_one_place() -> None:
    order, content = anvil()
    both = content["insert"]["plates"]
    assert len(both) > 1
    second = copy.deepcopy(both[0])
    second["id"] = "PL9"
    both.append(second)
    assert any("runs into PL9" in str(problem) for problem in check_plan(order, content))


def first(content: Content) -> Content:
    found: Content = content["insert"]["plates"][0]
    return found


def contact_of(content: Content) -> Content:
    found: Content = next(row for row in content["insert"]["contacts"] if row.get("plate") == first(content)["id"])
    return found


def move(content: Content, by: float) -> None:
    for side in ("min_mm", "max_mm"):
        first(content)[side] = [first(content)[side][0] + by, first(content)[side][1] + by, first(content)[side][2]]


def no_slot(content: Content) -> None:
    for sheet in content["insert"]["sheets"]:
        sheet["pockets"] = [pocket for pocket in sheet["pockets"] if pocket["part"] != "plate"]


BROKEN: dict[str, Callable[[Content], object]] = {
    "away from its piece": lambda c: move(c, 2),
    "without a slot": no_slot,
    "a slot without a plate": lambda c: c["insert"]["plates"].clear(),
    "of another weight": lambda c: first(c).update(weight_g=99),
    "of a piece that is not there": lambda c: first(c).update(item="nobody"),
    "nothing said of what it spreads": lambda c: contact_of(c).pop("plate"),
    "one that would do is left out": lambda c: contact_of(c).update(plate_mm=[50, 40, 3]),
}


@pytest.mark.parametrize("broken", BROKEN)
def test_the_checker_names_a_plate_that_is_wrong(broken: str) -> None:
    order, content = planned()
    content = copy.deepcopy(content)
    BROKEN[broken](content)
    assert "plate" in {problem.rule for problem in check_plan(order, content)}

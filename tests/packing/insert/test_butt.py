"""Air beyond butts and finger room at the handle's end: in both, wall and web give, and a flap of foam stays."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import pytest

from packing.check import check_plan
from packing.insert import INSERT_MINUTES, Insert, make_insert
from packing.materials import PE_FOAM
from packing.nest import Nesting
from packing.plan.kinds import InsertWork, LiftKind, Part
from packing.planning import plan_parcel
from tests.packing.insert_zoo import HAMMER, laid, order_of

THIN: dict[str, Any] = {"bite": 1.5, "thin": [3, 6]}
HEAVY: dict[str, Any] = {"head_length": 150, "weight_g": 1900, "head_weight_g": 1700, "may_stand": False}


def handle_ends(insert: Insert) -> set[int]:
    """Where the pockets of the first item's handle end along x."""
    return {p.rect[2] for s in insert.sheets for p in s.pockets if (p.item, p.part) == (0, Part.HANDLE)}


def of_hammer(minutes: Mapping[InsertWork, Decimal] = INSERT_MINUTES, **rules: Any) -> tuple[Nesting, Insert]:
    """A hammer alone, its handle to the right."""
    order = order_of({**HAMMER, **rules.pop("tool", {})}, **rules)
    nesting = laid(order, [(0, "flat", 0)])
    return nesting, make_insert(order, nesting, PE_FOAM, minutes=minutes)


@pytest.mark.parametrize(("wall", "air"), [(40, 10_000), (25, 10_000), (22, 8_500), (15, 1_500), (10, 1_500)])
def test_there_are_10_mm_of_air_beyond_a_butt_where_15_mm_of_wall_stay(wall: int, air: int) -> None:
    nesting, insert = of_hammer(**THIN, wall=wall)
    butt = nesting.placed[0].parts[1].x1
    assert handle_ends(insert) == {butt + air}
    assert nesting.interior_um[0] - max(handle_ends(insert)) >= min(wall, 15) * 1000


def test_without_thin_stock_a_butt_is_held_as_the_rest() -> None:
    nesting, insert = of_hammer(wall=40)
    assert handle_ends(insert) == {nesting.placed[0].parts[1].x1 + insert.fit_um}
    assert insert.butt_air_um == 0


def test_finger_room_of_a_light_head_takes_the_air_in_and_saves_two_corners() -> None:
    nesting, insert = of_hammer(**THIN, wall=40, tool={"weight_g": 1200, "head_weight_g": 1000})
    handle = nesting.placed[0].parts[1]
    assert insert.lifts[0].rect == (handle.x1 - 27_000, handle.y0 - 20_000, handle.x1 + 10_000, handle.y1 + 20_000)


@pytest.mark.parametrize(("corner", "kind"), [("0.12", LiftKind.TAPE), ("0.01", LiftKind.NOTCH)])
def test_a_heavy_head_has_a_tape_or_room_next_to_it_whichever_is_less_work(corner: str, kind: LiftKind) -> None:
    minutes = {**INSERT_MINUTES, InsertWork.CORNER: Decimal(corner)}
    nesting, insert = of_hammer(minutes, **THIN, wall=40, tool=HEAVY)
    (lift,) = insert.lifts
    assert lift.kind is kind
    head = nesting.placed[0].parts[0]
    assert lift.rect is None or lift.rect[0] == head.x1 + 15_000


def test_two_butts_that_meet_share_the_web_and_leave_a_flap() -> None:
    items = [{**HAMMER, "id": f"hammer {n}", "may_stand": False} for n in range(6)]
    order = order_of(*items, **THIN, web=20, wall=25)
    plan = plan_parcel(order, effort=3000)
    assert check_plan(order, plan.content) == []
    assert plan.content["insert"]["butt_air_mm"] == 10


BROKEN: dict[str, dict[str, float]] = {
    "less air than there is room for": {"max_mm": -4},
    "more air than is meant": {"max_mm": 3},
}


@pytest.mark.parametrize("broken", BROKEN)
def test_the_checker_measures_the_air(broken: str) -> None:
    order = order_of({**HAMMER, **HEAVY}, **THIN, wall=40)
    content = plan_parcel(order, effort=300).content
    assert check_plan(order, content) == []
    item = content["items"][0]
    axis = 0 if item["turn"] in (0, 180) else 1
    side = "max_mm" if item["turn"] in (0, 90) else "min_mm"
    by = BROKEN[broken]["max_mm"] * (1 if side == "max_mm" else -1)
    for sheet in content["insert"]["sheets"]:
        for pocket in sheet["pockets"]:
            if pocket["part"] == "handle":
                pocket[side][axis] += by
    assert {"butt"} <= {problem.rule for problem in check_plan(order, content)}

"""The box around the insert as the pictures cut it: each piece in place, and the case outside a wooden one."""

from typing import Any

import pytest
from msgspec.structs import replace

from packing.draw import plan_view, side_section
from packing.draw.box_geometry import box_geometry
from tests.packing.box_specs import EVERY
from tests.packing.drawn_zoo import one_hammer_in
from tests.packing.svg_reader import words

CASED = ["ply cased", "sliding cased"]
BARE = [code for code in EVERY if code not in ("0201", "0203", "carton")]


def sides(low: Any, high: Any) -> Any:
    return [b - a for a, b in zip(low, high, strict=True)]


def apart(wall: Any, low: Any, high: Any) -> Any:
    """Whether a wall and a box share no room."""
    return any(wall.high[axis] <= low[axis] or wall.low[axis] >= high[axis] for axis in range(3))


@pytest.mark.parametrize("code", EVERY)
def test_the_box_is_as_large_outside_as_the_plan_says(code: Any) -> None:
    plan = one_hammer_in(code)
    assert sides(*box_geometry(plan).outside) == pytest.approx(plan.box.outer_um, abs=10)


@pytest.mark.parametrize("code", BARE)
def test_every_wall_stands_outside_the_inside(code: Any) -> None:
    box = box_geometry(one_hammer_in(code))
    assert box.walls
    assert all(apart(wall, box.low, box.high) for wall in box.walls)


@pytest.mark.parametrize("code", BARE)
def test_bottom_and_lid_lie_on_the_inside(code: Any) -> None:
    box = box_geometry(one_hammer_in(code))
    assert box.low[2] in {wall.high[2] for wall in box.walls}
    assert min(abs(wall.low[2] - box.high[2]) for wall in box.walls) < 1e-6


@pytest.mark.parametrize("code", CASED)
def test_a_wooden_box_stands_inside_its_case_with_room_all_round(code: Any) -> None:
    box = box_geometry(one_hammer_in(code))
    assert box.case is not None and box.case.slotted and not box.case.wood
    joint = box.case.board + 300  # a glued joint inside the case takes a caliper of the length
    for axis, room in ((0, (3_000 + joint) / 2), (1, 1_500)):
        gaps = [min(wall.low[axis] for wall in box.walls) - box.case.low[axis]]
        gaps.append(box.case.high[axis] - max(wall.high[axis] for wall in box.walls))
        assert gaps == pytest.approx([room, room], abs=10)


@pytest.mark.parametrize("code", ["0201", "0300", "ply", "sliding"])
def test_a_box_without_a_case_has_none(code: Any) -> None:
    assert box_geometry(one_hammer_in(code)).case is None


@pytest.mark.parametrize("code", CASED)
def test_wood_and_board_are_both_explained_where_both_are_drawn(code: Any) -> None:
    plan = one_hammer_in(code)
    for drawing in (side_section(plan), side_section(plan, across=True), plan_view(plan, 0)):
        assert {"wood", "board"} <= set(words(drawing))


def test_the_tongue_of_a_sliding_lid_reaches_into_the_groove_and_the_lid_above_it_does_not() -> None:
    box = box_geometry(one_hammer_in("sliding"))
    tongue, above = (wall for wall in box.walls if wall.low[2] >= box.high[2])
    assert tongue.low[1] < box.low[1] < tongue.high[1] and tongue.high[0] > box.high[0]
    assert above.low[2] == tongue.high[2]
    assert (above.low[1], above.high[0]) == (box.low[1] + 1_000, box.high[0] - 1_000)


def test_a_plan_that_does_not_tell_its_pieces_is_drawn_with_walls_all_the_same() -> None:
    plan = one_hammer_in("ply")
    plan = replace(plan, box=replace(plan.box, steps=()))
    assert len(box_geometry(plan).walls) == 6
    assert sides(*box_geometry(plan).outside) == pytest.approx(plan.box.outer_um)

"""The box around the insert as the pictures cut it: each piece in place, and the case outside a wooden one."""

import pytest

from packing.boxes import style_of
from packing.draw import plan_view, side_section
from packing.draw.box_geometry import box_geometry
from packing.nest import nest
from packing.planning import Terms, candidate_content, candidate_for
from tests.packing.box_specs import EVERY
from tests.packing.draw.test_box_drawings import ORDER
from tests.packing.svg_reader import words

NESTING = nest(ORDER, effort=1)
CASED = ["ply cased", "sliding cased"]
BARE = [code for code in EVERY if code not in ("0201", "0203", "carton")]


def content_of(code):
    return candidate_content(ORDER, candidate_for(ORDER, NESTING, style_of(code), Terms()), Terms())


def sides(low, high):
    return [b - a for a, b in zip(low, high, strict=True)]


def apart(wall, low, high):
    """Whether a wall and a box share no room."""
    return any(wall.high[axis] <= low[axis] + 1e-6 or wall.low[axis] >= high[axis] - 1e-6 for axis in range(3))


@pytest.mark.parametrize("code", EVERY)
def test_the_box_is_as_large_outside_as_the_plan_says(code):
    content = content_of(code)
    assert sides(*box_geometry(content).outside) == pytest.approx(content["box"]["outer_mm"], abs=0.01)


@pytest.mark.parametrize("code", BARE)
def test_every_wall_stands_outside_the_inside(code):
    box = box_geometry(content_of(code))
    assert box.walls
    assert all(apart(wall, box.low, box.high) for wall in box.walls)


@pytest.mark.parametrize("code", BARE)
def test_bottom_and_lid_lie_on_the_inside(code):
    box = box_geometry(content_of(code))
    assert box.low[2] in {wall.high[2] for wall in box.walls}
    assert min(abs(wall.low[2] - box.high[2]) for wall in box.walls) < 1e-6


@pytest.mark.parametrize("code", CASED)
def test_a_wooden_box_stands_inside_its_case_with_room_all_round(code):
    box = box_geometry(content_of(code))
    assert box.case is not None and box.case.slotted and not box.case.wood
    for axis in (0, 1):
        gaps = [min(wall.low[axis] for wall in box.walls) - box.case.low[axis]]
        gaps.append(box.case.high[axis] - max(wall.high[axis] for wall in box.walls))
        assert gaps == pytest.approx([1.5, 1.5])


@pytest.mark.parametrize("code", ["0201", "0300", "ply", "sliding"])
def test_a_box_without_a_case_has_none(code):
    assert box_geometry(content_of(code)).case is None


@pytest.mark.parametrize("code", CASED)
def test_wood_and_board_are_both_explained_where_both_are_drawn(code):
    content = content_of(code)
    for drawing in (side_section(content), side_section(content, across=True), plan_view(content, 0)):
        assert {"wood", "board"} <= set(words(drawing))


def test_the_tongue_of_a_sliding_lid_reaches_into_the_groove_and_the_lid_above_it_does_not():
    box = box_geometry(content_of("sliding"))
    tongue, above = (wall for wall in box.walls if wall.low[2] >= box.high[2] - 1e-6)
    assert tongue.low[1] < box.low[1] < tongue.high[1] and tongue.high[0] > box.high[0]
    assert above.low[2] == tongue.high[2]
    assert (above.low[1], above.high[0]) == pytest.approx((box.low[1], box.high[0]))


def test_a_plan_that_does_not_tell_its_pieces_is_drawn_with_walls_all_the_same():
    content = content_of("ply")
    content["box"]["steps"] = []
    assert len(box_geometry(content).walls) == 6
    assert sides(*box_geometry(content).outside) == pytest.approx(content["box"]["outer_mm"])

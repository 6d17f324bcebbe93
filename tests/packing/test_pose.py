"""The ways a piece can lie, against the T of two boxes worked out a second way."""

from dataclasses import replace
from itertools import permutations
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from packing.measure import Block, Sharp, Tool
from packing.plan import kinds
from packing.pose import Orientation, Part, can_stand, orientations_of

HAMMER = Tool("h", 105_000, 42_000, 42_000, 50_000, 250_000, 33_000, 23_000, 1_440_000)
TURNS = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}


def lengths(low: int = 1, high: int = 50_000) -> st.SearchStrategy[int]:
    """Whole hundredths of a millimetre, in micrometres."""
    return st.integers(low, high).map(lambda hundredths: hundredths * 10)


@st.composite
def tools(draw: st.DrawFn) -> Tool:
    head = draw(lengths(2))
    eye = draw(st.integers(1, head // 5 - 1)) * 5
    across = draw(lengths(1, head // 10))
    return Tool(
        id="t",
        head_length_um=head,
        head_height_um=draw(lengths()),
        head_width_um=draw(lengths()),
        eye_offset_um=eye,
        handle_length_um=draw(lengths()),
        handle_width_um=across,
        handle_thickness_um=draw(lengths()),
        weight_mg=1,
        sharp=draw(st.sampled_from(Sharp)),
        may_stand=draw(st.booleans()),
    )


def part(orientation: Orientation, name: str) -> Part:
    return next(one for one in orientation.parts if one.name == name)


def middle(one: Part) -> tuple[int, int, int]:
    """Twice the middle of a box, so that it is whole."""
    return one.x0 + one.x1, one.y0 + one.y1, one.z0 + one.z1


def sides(one: Part) -> tuple[int, int, int]:
    return one.x1 - one.x0, one.y1 - one.y0, one.z1 - one.z0


def along_and_across(size: tuple[int, int, int], turn: int) -> tuple[int, int, int]:
    """A box's sides along the handle, across it and upright, whatever the turn."""
    return size if turn in (0, 180) else (size[1], size[0], size[2])


@given(tools())
def test_head_and_handle_keep_their_measures_in_every_stance(tool: Tool) -> None:
    for orientation in orientations_of(tool):
        head = along_and_across(sides(part(orientation, "head")), orientation.turn)
        handle = along_and_across(sides(part(orientation, "handle")), orientation.turn)
        if orientation.pose == "flat":
            assert head == (tool.head_height_um, tool.head_length_um, tool.head_width_um)
            assert handle == (tool.handle_length_um, tool.handle_width_um, tool.handle_thickness_um)
        else:
            assert head == (tool.head_height_um, tool.head_width_um, tool.head_length_um)
            assert handle == (tool.handle_length_um, tool.handle_thickness_um, tool.handle_width_um)


@given(tools())
def test_the_handle_leaves_the_head_in_the_direction_of_the_turn_and_touches_it(tool: Tool) -> None:
    for orientation in orientations_of(tool):
        (hx, hy, _), (kx, ky, _) = middle(part(orientation, "head")), middle(part(orientation, "handle"))
        dx, dy = TURNS[orientation.turn]
        reach = tool.head_height_um + tool.handle_length_um
        along = (kx - hx, ky - hy)
        assert along[0] * dx + along[1] * dy == reach


@given(tools())
def test_the_handle_sits_at_the_eye(tool: Tool) -> None:
    """Seen along the handle from the head, an unflipped flat tool has its face on the right: at turn 0, smaller y."""
    for orientation in orientations_of(tool):
        head, handle = part(orientation, "head"), part(orientation, "handle")
        dx, dy = TURNS[orientation.turn]
        to_peen = (-dy, dx) if not orientation.flipped else (dy, -dx)
        off = tuple(k - h for k, h in zip(middle(handle), middle(head), strict=True))
        across = off[0] * to_peen[0] + off[1] * to_peen[1]
        if orientation.pose == "flat":
            assert (across, off[2]) == (2 * tool.eye_offset_um - tool.head_length_um, 0)
        else:
            assert (across, off[2]) == (0, 2 * tool.eye_offset_um - tool.head_length_um)


@given(tools())
def test_every_stance_stands_on_the_floor_with_its_least_corner_at_nothing(tool: Tool) -> None:
    for orientation in orientations_of(tool):
        for low, high, extent in (
            ("x0", "x1", orientation.length_um),
            ("y0", "y1", orientation.width_um),
            ("z0", "z1", orientation.need_um),
        ):
            assert min(getattr(one, low) for one in orientation.parts) == 0
            assert max(getattr(one, high) for one in orientation.parts) == extent


@given(tools())
def test_a_layer_needs_the_higher_of_head_and_handle_flat_and_the_heads_length_on_end(tool: Tool) -> None:
    flat = max(tool.head_width_um, tool.handle_thickness_um)
    for orientation in orientations_of(tool):
        assert orientation.need_um == (flat if orientation.pose == "flat" else tool.head_length_um)


@given(tools())
def test_no_shape_is_given_twice(tool: Tool) -> None:
    shapes = [orientation.parts for orientation in orientations_of(tool)]
    assert len(set(shapes)) == len(shapes)


@given(tools())
def test_flat_shapes_are_eight_or_four_where_the_eye_is_in_the_middle(tool: Tool) -> None:
    count = sum(orientation.pose == "flat" for orientation in orientations_of(tool))
    assert count == (4 if 2 * tool.eye_offset_um == tool.head_length_um else 8)


@given(tools())
def test_end_shapes_are_four_where_the_tool_may_and_can_stand_and_none_elsewhere(tool: Tool) -> None:
    half = tool.handle_width_um / 2
    stands_clear = half <= tool.eye_offset_um <= tool.head_length_um - half
    may = tool.may_stand and tool.sharp != "both" and stands_clear
    assert can_stand(tool) == may
    assume(tool.head_length_um != tool.head_width_um)  # else a tool on its end may have the shape of one on its cheek
    assert sum(orientation.pose == "end" for orientation in orientations_of(tool)) == (4 if may else 0)


def test_the_hammer_lies_flat_in_eight_ways_and_stands_in_four() -> None:
    assert [(s.pose, s.turn, s.flipped) for s in orientations_of(HAMMER)] == [
        *[("flat", turn, False) for turn in TURNS],
        *[("flat", turn, True) for turn in TURNS],
        *[("end", turn, False) for turn in TURNS],
    ]


def test_the_hammer_flat_at_turn_0_is_where_it_is_drawn() -> None:
    orientation = orientations_of(HAMMER)[0]
    assert part(orientation, "head") == Part(kinds.Part.HEAD, 0, 0, 0, 42_000, 105_000, 42_000)
    assert part(orientation, "handle") == Part(kinds.Part.HANDLE, 42_000, 33_500, 9_500, 292_000, 66_500, 32_500)


def test_the_hammer_on_its_face_at_turn_90_is_where_it_is_drawn() -> None:
    orientation = next(s for s in orientations_of(HAMMER) if (s.pose, s.turn) == ("end", 90))
    assert part(orientation, "head") == Part(kinds.Part.HEAD, 0, 0, 0, 42_000, 42_000, 105_000)
    assert part(orientation, "handle") == Part(kinds.Part.HANDLE, 9_500, 42_000, 33_500, 32_500, 292_000, 66_500)


@pytest.mark.parametrize("change", [{"may_stand": False}, {"sharp": Sharp.BOTH}])
def test_a_tool_that_may_not_stand_only_lies(change: dict[str, Any]) -> None:
    assert {orientation.pose for orientation in orientations_of(replace(HAMMER, **change))} == {"flat"}


def test_a_tool_sharp_at_its_far_end_stands_on_its_poll() -> None:
    assert "end" in {orientation.pose for orientation in orientations_of(replace(HAMMER, sharp=Sharp.FAR))}


@pytest.mark.parametrize(("eye", "stands"), [(16_490, False), (16_500, True), (88_500, True), (88_510, False)])
def test_a_handle_that_reaches_past_the_heads_end_keeps_it_from_standing(eye: int, stands: bool) -> None:
    assert can_stand(replace(HAMMER, eye_offset_um=eye)) is stands


def test_a_handle_thicker_than_the_head_lies_on_the_floor_and_the_head_hangs() -> None:
    orientation = orientations_of(replace(HAMMER, handle_thickness_um=50_000))[0]
    assert (part(orientation, "head").z0, part(orientation, "handle").z0, orientation.need_um) == (4_000, 0, 50_000)


@given(st.tuples(lengths(), lengths(), lengths()), st.booleans())
def test_a_block_stands_in_every_distinct_way_up(size: tuple[int, int, int], upright: bool) -> None:
    found = {sides(orientation.parts[0]) for orientation in orientations_of(Block("b", *size, 1, upright))}
    ways = set(permutations(size))
    if upright:
        ways = {(size[0], size[1], size[2]), (size[1], size[0], size[2])}
    assert found == ways


@pytest.mark.parametrize(
    ("size", "ways", "upright_ways"), [((1, 2, 3), 6, 2), ((2, 2, 3), 3, 1), ((1, 2, 2), 3, 2), ((2, 2, 2), 1, 1)]
)
def test_equal_sides_give_fewer_ways(size: tuple[int, int, int], ways: int, upright_ways: int) -> None:
    assert len(orientations_of(Block("b", *size, 1))) == ways
    assert len(orientations_of(Block("b", *size, 1, True))) == upright_ways


@given(st.integers(-(10**6), 10**6), st.integers(-(10**6), 10**6), st.integers(-(10**6), 10**6))
def test_a_part_moved_there_and_back_is_the_same(dx: int, dy: int, dz: int) -> None:
    one = Part(kinds.Part.HEAD, 1, 2, 3, 40, 50, 60)
    moved = one.moved(dx, dy, dz)
    assert sides(moved) == sides(one)
    assert moved.moved(-dx, -dy, -dz) == one

"""The plane geometry and the hatching under the pictures."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packing.draw.canvas import Anchor, clean, number, text_box
from packing.draw.hatch import broken, dotted, hatched
from packing.draw.outlines import union_loops, union_outline
from packing.draw.shapes import Rect, covered, edges, outside, span_inside, span_over, spread, without


def length(segments: Any) -> Any:
    return sum(abs(bx - ax) + abs(by - ay) for (ax, ay), (bx, by) in segments)


def test_a_span_loses_what_its_gaps_take() -> None:
    assert without((0, 10), [(2, 3), (2.5, 4), (9, 12), (-5, -1)]) == [(0, 2), (4, 9)]


def test_a_span_wholly_taken_leaves_nothing() -> None:
    assert without((0, 10), [(-1, 6), (6, 11)]) == []


def test_the_outline_of_overlapping_rectangles_has_no_inner_edges() -> None:
    # A T of 10 by 30 with a bar of 25 by 6 let 2 into it: its outline runs round both as one.
    outline = union_outline([Rect(0, 0, 10, 30), Rect(8, 12, 33, 18)])
    assert length(outline) == pytest.approx(2 * (10 + 30) + 2 * 23)


def test_touching_rectangles_are_outlined_as_one() -> None:
    outline = union_outline([Rect(0, 0, 10, 30), Rect(10, 12, 35, 18)])
    assert length(outline) == pytest.approx(2 * (10 + 30) + 2 * 25)


def area(loop: Any) -> Any:
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(loop, [*loop[1:], loop[0]], strict=True)) / 2


def test_a_t_is_one_figure_of_eight_corners() -> None:
    (loop,) = union_loops([Rect(0, 0, 10, 30), Rect(8, 12, 33, 18)])
    assert len(loop) == 8
    assert area(loop) == pytest.approx(10 * 30 + 23 * 6)


def test_rectangles_round_a_hole_have_an_outline_inside_and_one_outside() -> None:
    frame = [Rect(0, 0, 9, 2), Rect(0, 7, 9, 9), Rect(0, 0, 2, 9), Rect(7, 0, 9, 9)]
    assert sorted(area(loop) for loop in union_loops(frame)) == [-25, 81]


@given(st.lists(st.tuples(*[st.integers(0, 12)] * 2, *[st.integers(1, 6)] * 2), min_size=1, max_size=5))
def test_outlines_enclose_what_the_rectangles_cover(rows: Any) -> None:
    rects = [Rect(x, y, x + width, y + height) for x, y, width, height in rows]
    covered = {(x + i, y + j) for x, y, width, height in rows for i in range(width) for j in range(height)}
    assert sum(area(loop) for loop in union_loops(rects)) == len(covered)


def test_separate_rectangles_keep_all_their_edges() -> None:
    assert length(union_outline([Rect(0, 0, 2, 2), Rect(5, 5, 6, 6)])) == pytest.approx(12)


def test_what_is_covered_and_what_is_outside_make_the_whole_edge() -> None:
    covers = [Rect(2, -1, 4, 1), Rect(3, -5, 6, 5)]
    edge = ((0.0, 0.0), (10.0, 0.0))
    assert length(outside(edge, covers)) == pytest.approx(6)
    assert length(covered(edge, covers)) == pytest.approx(4)


def test_an_edge_along_a_rectangle_is_not_covered_by_it() -> None:
    assert all(outside(edge, [Rect(0, 0, 4, 3)]) == [edge] for edge in edges(Rect(0, 0, 4, 3)))


coordinates = st.integers(-40, 40).map(float)


@given(coordinates, coordinates, coordinates, coordinates, coordinates, coordinates)
def test_a_line_over_a_rectangle_agrees_with_the_convex_figure(
    x: Any, y: Any, dx: Any, dy: Any, left: Any, low: Any
) -> None:
    rect = Rect(left, low, left + 17, low + 9)
    if dx or dy:
        over, inside = span_over((x, y), (dx, dy), rect), span_inside((x, y), (dx, dy), rect.corners)
        if over is not None:
            assert inside is not None
            assert over == pytest.approx(inside)


@given(st.lists(st.floats(0, 100), min_size=1, max_size=25).map(sorted))
def test_places_in_a_row_keep_their_distance_and_order(wanted: Any) -> None:
    places = spread(wanted, 3.7)
    assert all(after - before >= 3.7 - 1e-9 for before, after in pairwise(places))


def test_places_that_are_far_apart_stay_where_they_are() -> None:
    assert spread([1, 9, 30], 3.7) == [1, 9, 30]


def test_two_places_wanted_at_one_spot_move_alike() -> None:
    assert spread([10, 10], 4) == [8, 12]


def test_places_stay_within_bounds_where_they_can() -> None:
    assert spread([0, 1, 2], 4, 0, 100) == [0, 4, 8]
    assert spread([9, 9, 9], 4, 0, 10) == [2, 6, 10]


def test_a_row_longer_than_its_bounds_starts_at_the_lower_one() -> None:
    assert spread([1, 2, 3, 4], 4, 0, 10)[0] == 0


def test_hatching_stays_in_its_figure_and_out_of_the_gaps() -> None:
    gap = Rect(10, 5, 20, 15)
    for (ax, ay), (bx, by) in hatched(Rect(0, 0, 30, 20).corners, 45, 1.5, [gap]):
        middle = ((ax + bx) / 2, (ay + by) / 2)
        assert 0 <= middle[0] <= 30
        assert 0 <= middle[1] <= 20
        assert not (gap.x0 < middle[0] < gap.x1 and gap.y0 < middle[1] < gap.y1)


def test_hatching_covers_a_figure_by_its_area_over_the_pitch() -> None:
    lines = hatched(Rect(0, 0, 40, 30).corners, 45, 0.5)
    total = sum(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 for (ax, ay), (bx, by) in lines)
    assert total == pytest.approx(40 * 30 / 0.5, rel=0.02)


def test_neighbours_hatched_alike_share_one_raster() -> None:
    whole = hatched(Rect(0, 0, 20, 10).corners, -45, 1.0)
    halves = hatched(Rect(0, 0, 10, 10).corners, -45, 1.0) + hatched(Rect(10, 0, 20, 10).corners, -45, 1.0)
    sums = {round(ax + ay, 3) for (ax, ay), _ in whole}
    assert {round(ax + ay, 3) for (ax, ay), _ in halves} <= sums


def test_broken_lines_keep_within_the_whole_ones() -> None:
    runs = broken([((0.0, 0.0), (50.0, 0.0)), ((0.0, 1.0), (50.0, 1.0))], 11, 1)
    assert all(0 <= ax < bx <= 50 for (ax, _), (bx, _) in runs)
    assert runs[0][1][0] != runs[5][1][0]


def test_dots_keep_out_of_the_gaps() -> None:
    gap = Rect(5, 5, 25, 25)
    dots = dotted(Rect(0, 0, 40, 40), [gap])
    assert dots
    assert not any(gap.x0 < x < gap.x1 and gap.y0 < y < gap.y1 for x, y in dots)


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.001, "0"), (12.5, "12.5"), (-3.126, "-3.13"), (100, "100")]
)
def test_coordinates_are_written_short(value: Any, text: Any) -> None:
    assert number(value) == text


def test_control_signs_and_half_characters_are_dropped_from_names() -> None:
    assert clean('a\x00b\ud800<&"') == "ab&lt;&amp;&quot;"


def test_a_turned_text_takes_its_turned_box() -> None:
    lying, standing = text_box(0, 0, "117.5"), text_box(0, 0, "117.5", turn=-90)
    assert standing.width == pytest.approx(lying.height)
    assert standing.height == pytest.approx(lying.width)


def test_a_text_that_reads_upwards_and_ends_at_its_anchor_lies_below_it() -> None:
    box = text_box(10, 20, "117.5", anchor=Anchor.END, turn=-90)
    assert box.y0 == pytest.approx(20)
    assert box.y1 > 20

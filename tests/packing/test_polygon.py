"""Figures with straight sides, held against shapely (GEOS) over random ones."""

import math
from random import Random

import pytest
from shapely import Polygon as Shape
from shapely import box, union_all

from packing.polygon import (
    Polygon,
    area2,
    clipped,
    counter_clockwise,
    crossing,
    extent,
    holds,
    largest_rectangle,
    of_rect,
    offset,
    simpler,
    union_loops,
)

SQUARE: Polygon = ((0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000))


def star(rng: Random, reach: int = 50_000, at: tuple[int, int] = (0, 0)) -> Polygon:
    """A figure round a point, its corners at random distances: it may cross itself where few corners are far apart."""
    turns = sorted(rng.uniform(0, 2 * math.pi) for _ in range(rng.randint(5, 40)))
    spread = [(turn, rng.uniform(0.5, 1) * reach) for turn in turns]
    return counter_clockwise(
        tuple((at[0] + round(far * math.cos(turn)), at[1] + round(far * math.sin(turn))) for turn, far in spread)
    )


@pytest.fixture(params=range(40))
def figure(request: pytest.FixtureRequest) -> Polygon:
    rng = Random(request.param)
    found = star(rng)
    while crossing(found):
        found = star(rng)
    return found


@pytest.mark.parametrize("seed", range(60))
def test_figures_that_cross_themselves_are_those_that_shapely_calls_invalid(seed: int) -> None:
    found = star(Random(seed))
    assert (crossing(found) is not None) == (not Shape(found).is_valid)


def test_a_figure_that_runs_back_over_itself_crosses() -> None:
    assert crossing(((0, 0), (10, 0), (5, 0), (5, 5))) is not None
    assert crossing(SQUARE) is None


def test_corners_are_counter_clockwise_and_none_is_in_the_middle_of_a_side() -> None:
    assert counter_clockwise(((0, 0), (0, 5), (0, 10), (10, 10), (10, 0))) == ((10, 0), (10, 10), (0, 10), (0, 0))


@pytest.mark.parametrize("by_um", [-500, 1_500])
def test_a_moved_edge_is_that_far_from_the_figure(figure: Polygon, by_um: int) -> None:
    made = offset(figure, by_um)
    if made is None:
        # Two sides that came too near to each other: the rectangle is cut instead.
        assert by_um != 0
        return
    wanted = Shape(figure).buffer(by_um, join_style="mitre", mitre_limit=1000)
    assert Shape(made).symmetric_difference(wanted).area / wanted.length < 25


def test_a_square_moved_in_by_more_than_its_half_is_gone() -> None:
    assert offset(SQUARE, -5_001) is None
    assert offset(SQUARE, 1_000) == ((-1_000, -1_000), (11_000, -1_000), (11_000, 11_000), (-1_000, 11_000))


def test_a_simpler_figure_holds_the_first_and_has_few_corners(figure: Polygon) -> None:
    made = simpler(figure, extent(figure), 12, 500)
    assert len(made) <= 12
    assert Shape(made).is_valid
    # Each corner is rounded to a micrometre, and each change adds such a corner.
    assert Shape(made).buffer(12).contains(Shape(figure))
    assert extent(made) == extent(figure) or all(
        abs(a - b) <= 12 for a, b in zip(extent(made), extent(figure), strict=True)
    )


def test_a_corner_that_gains_little_is_left_out() -> None:
    nearly = ((0, 0), (5_000, -200), (10_000, 0), (10_000, 10_000), (0, 10_000))
    assert len(simpler(nearly, (-1_000, -1_000, 11_000, 11_000), 12, 500)) == 4
    assert len(simpler(nearly, (-1_000, -1_000, 11_000, 11_000), 12, 100)) == 5


def test_the_common_edge_has_the_area_of_the_union(figure: Polygon) -> None:
    rng = Random(len(figure))
    other = star(rng, 30_000, (20_000, 10_000))
    while crossing(other):
        other = star(rng, 30_000, (20_000, 10_000))
    figures = (figure, other, of_rect((-30_000, -5_000, 60_000, 5_000)))
    loops = union_loops(figures)
    wanted = union_all([Shape(one) for one in figures])
    assert sum(area2(loop) for loop in loops) / 2 == pytest.approx(wanted.area, abs=1_000)
    length = sum(math.dist(a, b) for loop in loops for a, b in zip(loop, [*loop[1:], loop[0]], strict=True))
    assert length == pytest.approx(wanted.boundary.length, abs=1)


def test_figures_that_touch_along_a_side_are_one() -> None:
    beside = tuple((x + 10_000, y) for x, y in SQUARE)
    assert [len(loop) for loop in union_loops((SQUARE, beside))] == [4]


def test_what_lies_within_a_rectangle_is_their_common_area(figure: Polygon) -> None:
    rect = (-20_000, -20_000, 25_000, 60_000)
    found = clipped(figure, rect)
    assert area2(found) / 2 == pytest.approx(Shape(figure).intersection(box(*rect)).area, rel=1e-3)


def test_the_largest_rectangle_lies_inside(figure: Polygon) -> None:
    found = largest_rectangle(figure)
    assert found is not None
    assert Shape(figure).buffer(1).contains(box(*found))
    # The largest upright square inside a circle of half the reach is inside every such figure.
    assert (found[2] - found[0]) * (found[3] - found[1]) > 0.1 * Shape(figure).area


def test_a_rectangle_keeps_its_ends_where_it_is_told_them() -> None:
    wedge: Polygon = ((0, 0), (100, 10), (100, 90), (0, 100))
    assert largest_rectangle(wedge, (0, 100)) == (0, 10, 100, 90)
    sideways = tuple((y, x) for x, y in wedge)
    assert largest_rectangle(counter_clockwise(sideways), (0, 100), 1) == (10, 0, 90, 100)


def test_points_inside_are_told_from_those_outside() -> None:
    assert holds(SQUARE, (5_000, 1))
    assert not holds(SQUARE, (5_000, -1))

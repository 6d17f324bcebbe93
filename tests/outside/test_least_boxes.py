"""Published packing problems with proven answers: least boxes around boxes, least rectangles around squares.

Sources are named beside each check. Bare numbers are taken as centimetres; all gaps and pads are 0.
"""

from dataclasses import replace

import pytest

from packing.measure import Block, Order, Rules, Tool
from packing.nest.exact.prove import ExactResult, prove
from packing.nest.problem import problem_of
from packing.nest.result import Nesting
from packing.nest.stacked.solve import nest_blocks
from tests.outside import sources as src
from tests.outside.sources import against

UNIT = 10_000
CUBE = UNIT**3
NOTHING = Rules(0, 0, 0, 0, 0, 0, (UNIT,))
CASE = Rules(0, 0, 0, 0, 0, 0, (UNIT,), layered=False)

CHEN_LEE_SHEN = [(25, 8, 6), (20, 10, 5), (16, 7, 3), (15, 12, 6), (22, 8, 3)]


def _case(sizes: list[tuple[int, int, int]]) -> Nesting:
    blocks = tuple(Block(str(k), a * UNIT, b * UNIT, c * UNIT, 1) for k, (a, b, c) in enumerate(sizes))
    return nest_blocks(Order("case", blocks, CASE), steps=2_000_000)


@against(src.CHEN_LEE_SHEN)
@pytest.mark.parametrize(("blocks", "volume"), [(3, 3200), (4, 4368), (5, 5040)])
def test_the_least_box_around_the_boxes_of_chen_lee_and_shen(blocks: int, volume: int) -> None:
    # C. S. Chen, S. M. Lee, Q. S. Shen, "An analytical model for the container loading problem", EJOR 80 (1995);
    # optima as in J.-F. Tsai, H.-L. Li, "A global optimization method for packing problems", Eng. Opt. 38 (2006).
    # The first three boxes alone are no published problem; their answer is our own, proved.
    nesting = _case(CHEN_LEE_SHEN[:blocks])
    assert (nesting.volume_um3, nesting.proven) == (volume * CUBE, True)


@against(src.SLOTHOUBER)
def test_six_slabs_and_three_cubes_fill_three_by_three_by_three() -> None:
    # The Slothouber-Graatsma puzzle: six blocks 1 x 2 x 2 and three unit cubes in a cube of side 3.
    nesting = _case([(1, 2, 2)] * 6 + [(1, 1, 1)] * 3)
    assert (nesting.interior_um, nesting.proven) == ((3 * UNIT,) * 3, True)


def _one_layer(items: tuple[Block | Tool, ...], known_area: int) -> ExactResult:
    """The proof of a least rectangle: the interior may be no higher than the items."""
    rules = replace(NOTHING, max_interior_um=(1_000 * UNIT, 1_000 * UNIT, UNIT))
    return prove(problem_of(Order("plane", items, rules)), known_area * CUBE, steps=20_000_000)


@against(src.SQUARES)
@pytest.mark.parametrize(
    ("most", "area"), [(5, 60), (6, 99), (7, 154), (8, 210), (9, 300), (10, 405), (11, 513), (12, 667)]
)
def test_no_rectangle_around_squares_1_to_n_is_smaller_than_the_published(most: int, area: int) -> None:
    # OEIS A038666; R. E. Korf, "Optimal rectangle packing: new results", ICAPS 2004; E. Huang, R. E. Korf, "New
    # improvements in optimal rectangle packing", IJCAI 2009. Asked for less than one more, the proof must find it.
    squares = tuple(Block(str(n), n * UNIT, n * UNIT, UNIT, 1, upright=True) for n in range(1, most + 1))
    result = _one_layer(squares, area + 1)
    assert result.nesting is not None
    assert (result.nesting.volume_um3, result.nesting.proven) == (area * CUBE, True)


@against(src.WALKUP, src.EXHAUSTIVE)
@pytest.mark.parametrize(("count", "area"), [(1, 6), (2, 10), (3, 14), (4, 16)])
def test_t_tetrominoes_need_the_area_known(count: int, area: int) -> None:
    # D. W. Walkup, "Covering a rectangle with T-tetrominoes", Amer. Math. Monthly 72 (1965): only rectangles with both
    # sides multiples of 4 are tiled, so four fill 4 x 4. The areas of fewer are from an exhaustive search of our own.
    tees = tuple(
        Tool(str(k), 3 * UNIT, UNIT, UNIT, 3 * UNIT // 2, UNIT, UNIT, UNIT, 1, may_stand=False) for k in range(count)
    )
    result = _one_layer(tees, area + 1)
    assert result.nesting is not None
    assert (result.nesting.volume_um3, result.nesting.proven) == (area * CUBE, True)

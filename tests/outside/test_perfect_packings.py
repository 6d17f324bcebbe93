"""Packings without a gap: squares that make a rectangle, T-tetrominoes in a square, by the search's own proofs.

One unit is 10 mm; all items are equally high and the interior is one layer high.
"""

from dataclasses import replace

import pytest

from packing.measure import Block, Order, Rules, Tool
from packing.nest import nest
from packing.nest.exact.prove import ExactResult, prove
from packing.nest.problem import problem_of
from tests.outside import sources as src
from tests.outside.sources import against

UNIT = 10_000
CUBE = UNIT**3


def asked(items: tuple[Block | Tool, ...], length: int, width: int, less_than: int) -> ExactResult:
    """Whether the items lie in a rectangle of less than an area, and in the sides given."""
    rules = replace(Rules(0, 0, 0, 0, 0, 0, (UNIT,)), max_interior_um=(length * UNIT, width * UNIT, UNIT))
    return prove(problem_of(Order("perfect", items, rules)), less_than * CUBE, steps=20_000_000)


def squares(*sides: int) -> tuple[Block, ...]:
    return tuple(Block(str(side), side * UNIT, side * UNIT, UNIT, 1, upright=True) for side in sides)


def tees(count: int) -> tuple[Tool, ...]:
    sizes = (3 * UNIT, UNIT, UNIT, 3 * UNIT // 2, UNIT, UNIT, UNIT)
    return tuple(Tool(str(k), *sizes, 1, may_stand=False) for k in range(count))


@against(src.MORON)
def test_nine_squares_make_a_rectangle_of_33_by_32() -> None:
    result = asked(squares(1, 4, 7, 8, 9, 10, 14, 15, 18), 33, 33, 33 * 32 + 1)
    assert result.nesting is not None
    assert result.nesting.interior_um[:2] == (33 * UNIT, 32 * UNIT)
    assert result.nesting.proven


@against(src.MORON)
def test_nine_squares_of_33_by_32_fit_no_smaller_rectangle() -> None:
    assert asked(squares(1, 4, 7, 8, 9, 10, 14, 15, 18), 1_000, 1_000, 33 * 32).status == "proven"


@against(src.SQUARED_65)
def test_ten_squares_make_a_rectangle_of_65_by_47() -> None:
    result = asked(squares(3, 5, 6, 11, 17, 19, 22, 23, 24, 25), 65, 65, 65 * 47 + 1)
    assert result.nesting is not None
    assert result.nesting.interior_um[:2] == (65 * UNIT, 47 * UNIT)


@pytest.mark.parametrize(("side", "most"), [(3, 1), (4, 4), (5, 5), (6, 8)])
@against(src.TEES)
def test_so_many_t_tetrominoes_lie_in_a_square(side: int, most: int) -> None:
    result = asked(tees(most), side, side, side * side + 1)
    assert result.nesting is not None


@pytest.mark.parametrize(("side", "most"), [(3, 1), (4, 4), (5, 5)])
@against(src.TEES)
def test_one_more_t_tetromino_does_not(side: int, most: int) -> None:
    """Six are 24 unit squares, which the 25 of five by five would take by area."""
    assert asked(tees(most + 1), side, side, side * side + 1).status == "proven"


C1_1 = "2x12 7x12 8x6 3x6 3x5 5x5 3x12 3x7 5x7 2x6 3x2 4x2 3x4 4x4 9x2 11x2"
C1_2 = "4x1 4x5 9x4 3x5 3x9 1x4 5x3 4x1 5x5 7x2 9x3 3x13 2x8 15x4 5x4 10x6 7x2"


@pytest.mark.parametrize("text", [C1_1, C1_2], ids=["C1_1", "C1_2"])
@against(src.PERFECT_SHEETS)
def test_the_pieces_of_a_perfect_sheet_need_at_most_a_twentieth_more(text: str) -> None:
    sides = [[int(side) * UNIT for side in one.split("x")] for one in text.split()]
    blocks = tuple(Block(str(at), long, wide, UNIT, 1, upright=True) for at, (long, wide) in enumerate(sides))
    rules = replace(Rules(0, 0, 0, 0, 0, 0, (UNIT,)), max_interior_um=(100 * UNIT, 100 * UNIT, UNIT))
    nesting = nest(Order("perfect sheet", blocks, rules), effort=200_000, seed=1)
    assert sum(length * width for length, width in sides) == 20 * 20 * UNIT**2
    assert 1 <= nesting.volume_um3 / (20 * 20 * CUBE) <= 1.05

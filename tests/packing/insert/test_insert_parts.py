"""The insert's calculations, each held against a slower way: sheets, thin stock, the union of pockets."""

import random
from itertools import pairwise, product
from operator import mul
from typing import Any

import pytest
from shapely import box as rectangle
from shapely import union_all

from packing.insert.gaps import GapFiller
from packing.insert.model import Hole
from packing.insert.outline import union
from packing.insert.stack import SheetWork, StandingItem, StandingPart, layer_sheets, pad_sheets
from packing.insert.thin import thin_stack
from packing.measure import Rules
from packing.plan.kinds import Part


def stacks(height: Any, stock: Any) -> Any:
    """Every sequence of stock sheets that makes a height."""
    if height == 0:
        return [()]
    return [(first, *rest) for first in stock if first <= height for rest in stacks(height - first, stock)]


def parts_at(seed: int, height: int) -> list[StandingItem]:
    """Some blocks side by side between two heights, in whole millimetres."""
    rng = random.Random(seed)
    items = []
    for index in range(rng.randint(0, 4)):
        low = rng.choice([0, 0, rng.randrange(height)])
        high = rng.randint(low + 1, height)
        rect = (index * 60_000, 0, index * 60_000 + 50_000, 40_000)
        part = StandingPart(Part.BLOCK, low * 1000, high * 1000, Hole(rect), rect, rect)
        items.append(StandingItem((part,)))
    return items


@pytest.mark.parametrize("seed", range(40))
def test_no_other_order_of_sheets_is_less_work(seed: Any) -> None:
    rng = random.Random(seed)
    stock = [1000 * t for t in rng.sample(range(3, 13), rng.randint(1, 3))]
    height = sum(rng.choice(stock) for _ in range(rng.randint(1, 5)))
    rules = rng.choice([Rules(), Rules(bite_um=1_500, thin_um=(3_000, 6_000))])
    work = SheetWork(parts_at(seed, height // 1000), (240_000, 40_000), GapFiller(rules), pocket_um=26_000)

    def cost(stack: Any) -> Any:
        joints = [sum(stack[:n]) for n in range(len(stack) + 1)]
        return tuple(map(sum, zip(*(work.cost(low, high) for low, high in pairwise(joints)), strict=True)))

    found = layer_sheets(height, stock, work)
    assert cost(found) == min(map(cost, stacks(height, stock)))


@pytest.mark.parametrize("seed", range(40))
def test_no_other_pieces_of_thin_stock_fill_a_gap_better(seed: Any) -> None:
    rng = random.Random(seed)
    thin, gap = tuple(rng.sample(range(1_000, 7_000), rng.randint(1, 3))), rng.randrange(1_000, 20_000)
    give = rng.choice([0, 1_500])
    counts = [range(gap // one + 3) for one in thin]
    sums = [(sum(n), sum(map(mul, n, thin))) for n in product(*counts)]
    allowed = [(count, total) for count, total in sums if total <= gap + give]
    close = [(count, total) for count, total in allowed if gap - total <= 1_500]
    found = thin_stack(gap, thin, give)
    if close:
        assert (len(found), abs(gap - sum(found))) == min((count, abs(gap - total)) for count, total in close)
    else:
        assert sum(found) == max(total for _, total in allowed)


@pytest.mark.parametrize("seed", range(20))
def test_no_pad_has_fewer_sheets(seed: Any) -> None:
    rng = random.Random(seed)
    stock = rng.sample(range(3, 13), 3)
    height = rng.randint(1, 40)
    all_stacks = stacks(height, stock)
    found = pad_sheets(height, stock)
    assert (found is None) == (not all_stacks)
    assert found is None or (sum(found) == height and len(found) == min(map(len, all_stacks)))


def test_among_equal_stacks_the_thickest_sheet_lies_lowest() -> None:
    assert pad_sheets(87, (12, 25, 50)) == (50, 25, 12)


def test_a_height_that_no_sheets_make_has_no_stack() -> None:
    work = SheetWork([], (1000, 1000), GapFiller(Rules()), pocket_um=26_000)
    assert layer_sheets(13, (12, 25), work) is None


def test_nothing_needs_no_sheet() -> None:
    assert pad_sheets(0, (12,)) == ()


def corners_into_foam(holes: Any) -> Any:
    """Counted square by square on a sheet of 20 × 15: squares of a hole that meet foam along both sides of a corner."""
    cut = {(x, y) for x in range(20) for y in range(15) if holes.contains(rectangle(x, y, x + 1, y + 1).centroid)}
    count = 0
    for x, y in cut:
        for dx, dy in product((-1, 1), repeat=2):
            inside = 0 <= x + dx < 20 and 0 <= y + dy < 15
            count += inside and (x + dx, y) not in cut and (x, y + dy) not in cut
    return count


@pytest.mark.parametrize("seed", range(30))
def test_area_and_outline_are_those_of_the_union(seed: Any) -> None:
    rng = random.Random(seed)
    rects = []
    for _ in range(rng.randint(1, 12)):
        x0, y0 = rng.randrange(20), rng.randrange(15)
        rects.append((x0, y0, rng.randint(x0 + 1, 20), rng.randint(y0 + 1, 15)))
    whole = union_all([rectangle(*rect) for rect in rects])
    border = rectangle(0, 0, 20, 15).exterior
    inside = whole.boundary.length - whole.boundary.intersection(border).length
    found = union(tuple(rects), (20, 15))
    assert (found.area_um2, found.length_um) == (whole.area, inside)
    assert found.corners == corners_into_foam(whole)


def test_holes_that_touch_are_one_hole() -> None:
    assert union(((1, 1, 2, 3), (2, 1, 4, 3)), (10, 10)) == (6, 10, 4)


def test_no_holes_are_no_work() -> None:
    assert union((), (10, 10)) == (0, 0, 0)

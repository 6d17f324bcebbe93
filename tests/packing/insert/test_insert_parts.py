"""The insert's two calculations, each held against a slower way: the order of sheets and the union of pockets."""

import random

import pytest
from shapely import box as rectangle
from shapely import union_all

from packing.insert.outline import union
from packing.insert.stack import layer_sheets, pad_sheets


def stacks(height, stock):
    """Every sequence of stock sheets that makes a height."""
    if height == 0:
        return [()]
    return [(first, *rest) for first in stock if first <= height for rest in stacks(height - first, stock)]


def cost(stack, undersides, gap):
    """Sheets and saddles, then hanging in all."""
    joints = [sum(stack[:n]) for n in range(len(stack) + 1)]
    hangs = [under - max(joint for joint in joints if joint <= under) for under in undersides]
    return len(stack) + sum(hang > gap for hang in hangs), sum(hangs)


@pytest.mark.parametrize("seed", range(40))
def test_no_other_order_of_sheets_is_better(seed):
    rng = random.Random(seed)
    stock = rng.sample(range(3, 13), rng.randint(1, 3))
    height = sum(rng.choice(stock) for _ in range(rng.randint(1, 5)))
    undersides = [rng.randint(1, height - 1) for _ in range(rng.randint(0, 4))]
    found = layer_sheets(height, stock, undersides, gap_um=3)
    assert cost(found, undersides, 3) == min(cost(stack, undersides, 3) for stack in stacks(height, stock))


@pytest.mark.parametrize("seed", range(20))
def test_no_pad_has_fewer_sheets(seed):
    rng = random.Random(seed)
    stock = rng.sample(range(3, 13), 3)
    height = rng.randint(1, 40)
    all_stacks = stacks(height, stock)
    found = pad_sheets(height, stock)
    assert (found is None) == (not all_stacks)
    assert found is None or (sum(found) == height and len(found) == min(map(len, all_stacks)))


def test_among_equal_stacks_the_thickest_sheet_lies_lowest():
    assert pad_sheets(87, (12, 25, 50)) == (50, 25, 12)


def test_a_height_that_no_sheets_make_has_no_stack():
    assert layer_sheets(13, (12, 25), [5]) is None


def test_nothing_needs_no_sheet():
    assert pad_sheets(0, (12,)) == ()


@pytest.mark.parametrize("seed", range(30))
def test_area_and_outline_are_those_of_the_union(seed):
    rng = random.Random(seed)
    rects = []
    for _ in range(rng.randint(1, 12)):
        x0, y0 = rng.randrange(20), rng.randrange(15)
        rects.append((x0, y0, rng.randint(x0 + 1, 20), rng.randint(y0 + 1, 15)))
    whole = union_all([rectangle(*rect) for rect in rects])
    border = rectangle(0, 0, 20, 15).exterior
    inside = whole.boundary.length - whole.boundary.intersection(border).length
    assert union(tuple(rects), (20, 15)) == (whole.area, inside)


def test_holes_that_touch_are_one_hole():
    assert union(((1, 1, 2, 3), (2, 1, 4, 3)), (10, 10)) == (6, 10)


def test_no_holes_are_no_work():
    assert union((), (10, 10)) == (0, 0)

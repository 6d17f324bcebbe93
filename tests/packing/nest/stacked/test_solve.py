import random
from dataclasses import replace
from functools import cache
from itertools import product

import pytest

from packing.measure import BadInput, Block, Order, Rules, Tool
from packing.nest.result import Nesting
from packing.nest.stacked.blocks import StackingProblem, stacking_problem_of
from packing.nest.stacked.solve import nest_blocks

UNIT = 20
NOTHING = Rules(0, 0, 0, 0, 0, 0, (UNIT,), layered=False)
Voxels = frozenset[tuple[int, int, int]]


def order_of(*sizes: tuple[int, int, int], upright: bool = False, rules: Rules = NOTHING) -> Order:
    return Order("case", tuple(Block(f"b{k}", *size, 1, upright) for k, size in enumerate(sizes)), rules)


def triple(rng: random.Random, least: int, most: int, unit: int) -> tuple[int, int, int]:
    """Length, width and height by chance."""
    return rng.randint(least, most) * unit, rng.randint(least, most) * unit, rng.randint(least, most) * unit


def tiny_order(seed: int) -> Order:
    rng = random.Random(seed)
    blocks = [Block(str(k), *triple(rng, 1, 3, UNIT), 1, rng.random() < 0.3) for k in range(rng.choice([2, 3, 3]))]
    if rng.random() < 0.3:
        blocks.append(replace(blocks[-1], id="twin"))
    rules = replace(
        NOTHING,
        web_um=rng.choice([0, 0, 2 * UNIT]),
        wall_um=rng.choice([0, UNIT]),
        base_pad_um=rng.choice([0, 2 * UNIT]),
        max_interior_um=(7 * UNIT, 4 * UNIT, 4 * UNIT) if rng.random() < 0.3 else None,
    )
    return Order("tiny", tuple(blocks), rules)


def _fits(boxes: StackingProblem, room: tuple[int, int, int]) -> bool:
    """Whether all grown boxes fit a room of voxels, by trying every place."""
    options: list[list[Voxels]] = []
    for own in boxes.sides:
        options.append([])
        for sides in own:
            w, d, h = (side // UNIT for side in sides)
            for x, y, z in product(range(room[0] - w + 1), range(room[1] - d + 1), range(room[2] - h + 1)):
                cells = product(range(x, x + w), range(y, y + d), range(z, z + h))
                options[-1].append(frozenset(cells))
    options.sort(key=len)

    def place(k: int, taken: Voxels) -> bool:
        return k == len(options) or any(not box & taken and place(k + 1, taken | box) for box in options[k])

    return place(0, frozenset())


@cache
def least_volume(order: Order) -> int | None:
    """The least interior volume, by trying every room from the smallest volume up."""
    boxes = stacking_problem_of(order)
    longest = sum(max(max(sides) for sides in own) for own in boxes.sides) // UNIT
    rooms = []
    for x, y, z in product(range(1, longest + 1), repeat=3):
        interior = tuple(side * UNIT + add for side, add in zip((x, y, z), boxes.add, strict=True))
        if y <= x and min(interior) > 0:
            rooms.append((interior[0] * interior[1] * interior[2], (x, y, z), interior))
    volume = sum(own[0][0] * own[0][1] * own[0][2] for own in boxes.sides) // UNIT**3
    for total, room, interior in sorted(rooms):
        within = boxes.most is None or all(a <= b for a, b in zip(interior, boxes.most, strict=True))
        if within and room[0] * room[1] * room[2] >= volume and _fits(boxes, room):
            return total
    return None


def broken(order: Order, nesting: Nesting) -> list[str]:
    """What is wrong with a plan: blocks too near to each other or to a side, hanging blocks."""
    rules, wrong = order.rules, []
    length, width, height = nesting.interior_um
    parts = [placed.parts[0] for placed in nesting.placed]
    edge = rules.wall_um + rules.clearance_um
    for k, a in enumerate(parts):
        if min(a.x0, a.y0, length - a.x1, width - a.y1) < edge:
            wrong.append(f"{k} is too near a side")
        if a.z0 < rules.base_pad_um or height - a.z1 < rules.top_pad_um:
            wrong.append(f"{k} is in a pad")
        gap = 2 * rules.clearance_um + rules.web_um
        for b in parts[:k]:
            flat = max(a.x0 - b.x1, b.x0 - a.x1, a.y0 - b.y1, b.y0 - a.y1)
            if flat < gap and max(a.z0 - b.z1, b.z0 - a.z1) < rules.web_um:
                wrong.append(f"{k} is too near another")
        below = [b for b in parts if b.z1 + rules.web_um == a.z0]
        over = [b for b in below if max(a.x0 - b.x1, b.x0 - a.x1, a.y0 - b.y1, b.y0 - a.y1) < gap]
        if a.z0 != rules.base_pad_um and not over:
            wrong.append(f"{k} hangs in the air")
    return wrong


@pytest.mark.parametrize("seed", range(24))
def test_the_least_case_is_what_brute_force_finds(seed: int) -> None:
    order = tiny_order(seed)
    best = least_volume(order)
    nesting = nest_blocks(order, steps=300_000, seed=seed)
    assert (nesting.status, nesting.volume_um3) == ("planned" if best else "impossible", best or 0)
    if best:
        assert (nesting.proven, nesting.lower_bound_um3, broken(order, nesting)) == (True, best, [])


def test_many_blocks_keep_their_gaps_and_stand_on_something() -> None:
    rng = random.Random(5)
    rules = Rules(1_500, 20_000, 25_000, 25_000, 12_000, 25_000, (12_000,), layered=False)
    sizes = [triple(rng, 30, 160, 1000) for _ in range(12)]
    order = order_of(*sizes, rules=rules)
    nesting = nest_blocks(order, steps=3_000)
    assert broken(order, nesting) == []
    assert 0 < nesting.lower_bound_um3 < nesting.volume_um3


def test_the_same_seed_and_steps_give_the_same_case() -> None:
    order = order_of(*[(30 + 7 * k, 90 - 5 * k, 40 + 3 * k) for k in range(8)])
    one, other = (nest_blocks(order, steps=20_000, seed=3) for _ in range(2))
    assert (one.interior_um, one.placed, one.lower_bound_um3) == (
        other.interior_um,
        other.placed,
        other.lower_bound_um3,
    )


def test_a_single_block_lies_in_the_way_that_saves_most() -> None:
    rules = replace(NOTHING, base_pad_um=50)
    nesting = nest_blocks(order_of((30, 20, 100), rules=rules))
    assert (nesting.interior_um, nesting.proven) == ((30, 20, 150), True)


def test_an_upright_block_is_not_laid_down() -> None:
    nesting = nest_blocks(order_of((30, 20, 100), (30, 20, 100), upright=True), steps=2_000)
    assert nesting.interior_um == (40, 30, 100)


def test_a_block_longer_than_the_largest_case_is_named_with_what_is_missing() -> None:
    rules = replace(NOTHING, max_interior_um=(90, 90, 90))
    nesting = nest_blocks(order_of((20, 20, 20), (10, 10, 100), rules=rules))
    assert (nesting.status, nesting.limit, nesting.item, nesting.by_um) == (
        "impossible",
        "max_interior length",
        "b1",
        10,
    )


def test_blocks_of_more_volume_than_the_largest_case_are_refused() -> None:
    rules = replace(NOTHING, max_interior_um=(30, 20, 20))
    nesting = nest_blocks(order_of((20, 20, 20), (20, 20, 20), rules=rules))
    assert (nesting.status, nesting.limit) == ("impossible", "max_interior height")


def test_blocks_that_fill_too_large_a_part_of_the_case_are_proved_impossible() -> None:
    rules = replace(NOTHING, max_interior_um=(30, 30, 20))
    nesting = nest_blocks(order_of((20, 20, 20), (20, 20, 20), rules=rules), steps=20_000)
    assert (nesting.status, "proved" in str(nesting.message)) == ("impossible", True)


def test_a_search_stopped_at_once_has_found_nothing() -> None:
    nesting = nest_blocks(order_of((30, 20, 100), (30, 20, 100)), stop=lambda: True)
    assert nesting.status == "not found"


def test_a_tool_in_a_case_of_blocks_is_refused() -> None:
    tool = Tool("H", 100, 40, 40, 50, 200, 30, 20, 1)
    with pytest.raises(BadInput, match=r"items\[0\]: must be a block where rules\.layered is false; H is a tool"):
        nest_blocks(Order("case", (tool,), NOTHING))


def test_progress_is_told_with_a_bound_that_never_falls_below_zero() -> None:
    told: list[tuple[int, int, int]] = []
    nest_blocks(order_of((30, 20, 100), (60, 20, 50), (40, 40, 40)), steps=2_000, watch=lambda *at: told.append(at))
    assert told[-1][0] >= told[-1][1] > 0

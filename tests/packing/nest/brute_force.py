"""A second method for tiny orders: every place of every item on a grid, every sharing among layers, every floor."""

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations

from packing.measure import Block, Item, Order, Rules, Tool
from packing.nest.problem import GrownOrientation, Problem, problem_of

UNIT = 20
Cells = frozenset[tuple[int, int]]


def cells(grown: GrownOrientation, x: int, y: int) -> Cells:
    """Grid cells that a way's grown shape covers with its least corner at x, y."""
    return frozenset(
        (i + x, j + y)
        for x0, y0, x1, y1 in grown.rects
        for i in range(x0 // UNIT, x1 // UNIT)
        for j in range(y0 // UNIT, y1 // UNIT)
    )


def fits_plane(orientations: list[list[GrownOrientation]], width: int, depth: int) -> bool:
    """Whether items fit a rectangle of grid cells, by trying every place."""
    options = [
        [
            cells(grown, x, y)
            for grown in own
            for x in range(width - grown.length_um // UNIT + 1)
            for y in range(depth - grown.width_um // UNIT + 1)
        ]
        for own in orientations
    ]
    options.sort(key=len)
    if not all(options) or sum(min(map(len, own)) for own in options) > width * depth:
        return False

    def place(k: int, taken: Cells) -> bool:
        return k == len(options) or any(not option & taken and place(k + 1, taken | option) for option in options[k])

    return place(0, frozenset())


def _least_height(problem: Problem, width: int, depth: int) -> int | None:
    levels = sorted({grown.level_um for orientations in problem.orientations for grown in orientations})

    @cache
    def level_of(items: tuple[int, ...]) -> int | None:
        for level in levels:
            orientations = [
                [grown for grown in problem.orientations[item] if grown.level_um <= level] for item in items
            ]
            if all(orientations) and fits_plane(orientations, width, depth):
                return level
        return None

    def heights(rest: tuple[int, ...], layers: list[int]) -> Iterator[int]:
        if not rest:
            yield problem.height_um(layers)
            return
        for size in range(len(rest)):
            for others in combinations(rest[1:], size):
                level = level_of((rest[0], *others))
                if level is not None:
                    left = tuple(item for item in rest[1:] if item not in others)
                    yield from heights(left, [*layers, level])

    return min(heights(tuple(range(len(problem.orientations))), []), default=None)


@cache
def least_volume(order: Order) -> int | None:
    """The least interior volume, in cubic micrometres; None where nothing keeps within the largest interior."""
    problem = problem_of(order)
    longest = (
        sum(
            max(max(grown.length_um, grown.width_um) for grown in orientations) for orientations in problem.orientations
        )
        // UNIT
    )
    limits = order.rules.max_interior_um
    lowest = problem.pads_um + max(
        min(grown.level_um for grown in orientations) for orientations in problem.orientations
    )
    best: int | None = None
    for width in range(1, longest + 1):
        for depth in range(1, width + 1):
            length, across = width * UNIT + problem.side_um, depth * UNIT + problem.side_um
            if limits is not None and (length > max(limits[:2]) or across > min(limits[:2])):
                continue
            if best is not None and length * across * lowest >= best:
                continue
            height = _least_height(problem, width, depth)
            if height is None or (limits is not None and height > limits[2]):
                continue
            volume = length * across * height
            best = volume if best is None else min(best, volume)
    return best


def _tool(rng: random.Random, name: str) -> Tool:
    head = rng.randint(1, 4)
    handle = rng.randint(1, head)
    eye = rng.randint(0, head - handle) * UNIT + handle * UNIT // 2
    width, thickness = rng.randint(1, 3), rng.randint(1, 2)
    return Tool(
        name,
        head * UNIT,
        rng.randint(1, 2) * UNIT,
        width * UNIT,
        eye,
        rng.randint(1, 4) * UNIT,
        handle * UNIT,
        thickness * UNIT,
        1,
        may_stand=(width - thickness) % 2 == 0 and rng.random() < 0.8,
    )


def _block(rng: random.Random, name: str) -> Block:
    length, width, height = (rng.randint(1, most) * UNIT for most in (4, 4, 3))
    return Block(name, length, width, height, 1, upright=rng.random() < 0.4)


def tiny_order(seed: int, *, limited: bool = False) -> Order:
    """One to three random items and rules on the grid, some items equal, some with a largest interior."""
    rng = random.Random(seed)
    items: list[Item] = []
    for k in range(rng.choice([1, 2, 2, 3, 3])):
        if items and rng.random() < 0.3:
            items.append(replace(items[-1], id=str(k)))
        else:
            items.append((_tool if rng.random() < 0.65 else _block)(rng, str(k)))

    def side() -> int:
        return rng.randint(3, 9) * UNIT

    rules = Rules(
        clearance_um=0,
        web_um=rng.choice([0, 0, 2 * UNIT]),
        wall_um=rng.choice([0, UNIT, 2 * UNIT]),
        base_pad_um=rng.choice([0, UNIT, 5 * UNIT]),
        layer_pad_um=rng.choice([0, UNIT]),
        top_pad_um=rng.choice([0, UNIT]),
        sheets_um=rng.choice([(UNIT,), (2 * UNIT,), (2 * UNIT, 3 * UNIT)]),
        max_interior_um=(side(), side(), side()) if limited else None,
    )
    return Order("tiny", tuple(items), rules)

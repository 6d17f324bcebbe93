"""From the search's arrays to a nesting: layers from the bottom up, the interior's long side along x."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import isqrt
from typing import TYPE_CHECKING

from packing.nest.arrange.align import Laid
from packing.nest.arrange.layer import (
    Sheetful,
    height_um,
    images,
    marked_stance,
    marks_down,
    moment,
    sheetful_of,
    turned,
    upturned,
    weight_mg,
)
from packing.nest.arrange.reading_order import number
from packing.nest.arrange.renumber import LIKE_WEIGHT, Seats, shared_out
from packing.nest.problem import Problem, Way
from packing.nest.result import Layer, Placed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


Settled = tuple[tuple[int, int, int], tuple[Layer, ...], tuple[Placed, ...]]


@dataclass(frozen=True)
class Spot:
    """One item's way and the least corner of its grown rectangles in its layer's own frame."""

    item: int
    way: Way
    x_um: int
    y_um: int


def spots_of(problem: Problem, best: "NDArray[np.int64]") -> list[list[Spot]]:
    """Place a state's layers once more and slide them together; empty layers are left out."""
    import numpy as np

    from packing.nest.search import anneal
    from packing.nest.search import bottom_left_kernel as place_kernel

    tables = anneal.tables_of(problem)
    n = tables.items
    out = np.empty((n, 2), np.int64)
    scratch = place_kernel.scratch_for(n)
    layers = []
    for which in sorted({int(layer) for layer in best[1, :n]}):
        place_kernel.place_layer(which, n, 0, best, tables.shapes, out, scratch, place_kernel.NO_THRESHOLD)
        layer = []
        for item in range(n):
            if best[1, item] == which:
                way = problem.ways[item][int(best[2, item] - tables.shapes.first[item])]
                layer.append(Spot(item, way, int(out[item, 0]), int(out[item, 1])))
        layers.append(slid(layer))
    return layers


def slid(spots: list[Spot]) -> list[Spot]:
    """The layer with every item slid towards x 0 and y 0, in turn, until nothing moves: no extent grows.

    Parameters
    ----------
    spots
        One layer; grown rectangles do not overlap.

    Returns
    -------
    list of Spot
        Same items, every one in contact with another or with an edge on both axes.
    """
    low = [min(spot.x_um for spot in spots), min(spot.y_um for spot in spots)]
    at = [[spot.x_um - low[0], spot.y_um - low[1]] for spot in spots]
    moved = True
    while moved:
        moved = False
        for axis in (0, 1):
            for index in sorted(range(len(spots)), key=lambda index: (at[index][axis], index)):
                least = _contact(spots, at, index, axis)
                if least < at[index][axis]:
                    at[index][axis] = least
                    moved = True
    return [replace(spot, x_um=x, y_um=y) for spot, (x, y) in zip(spots, at, strict=True)]


def _contact(spots: list[Spot], at: list[list[int]], index: int, axis: int) -> int:
    """How far along `axis` an item can slide towards 0 before it touches another."""
    other, least = 1 - axis, 0
    for mine in spots[index].way.rects:
        start = at[index][axis] + mine[axis]
        side, end = at[index][other] + mine[other], at[index][other] + mine[other + 2]
        for neighbour, spot in enumerate(spots):
            if neighbour == index:
                continue
            x = at[neighbour]
            for rect in spot.way.rects:
                beside = x[other] + rect[other] < end and side < x[other] + rect[other + 2]
                if beside and x[axis] + rect[axis + 2] <= start:
                    least = max(least, x[axis] + rect[axis + 2] - mine[axis])
    return least


TOGETHER = 4
"""Of so many layers all images are tried with those of the others."""

EVEN_UM = 1_000
"""A centre of gravity so much further from the middle is as good: it is not felt."""


def _stacked(problem: Problem, full: Sequence[Sheetful]) -> list[Sheetful]:
    """The layers from the bottom up: the heaviest lowest; of layers alike in weight the lowest numbers on top."""
    left = sorted(full, key=lambda one: -weight_mg(problem, one))
    found: list[Sheetful] = []
    while left:
        most = weight_mg(problem, left[0])
        like = [one for one in left if most <= (1 + LIKE_WEIGHT) * weight_mg(problem, one)]
        found += sorted(like, key=lambda one: min(number(problem.order.items[s.item]) for s in one.laid), reverse=True)
        left = left[len(like) :]
    return found


Image = tuple[Sheetful, tuple[int, int]]
"""A layer turned or mirrored, and how many pairs in it are out of order, by number and by weight."""


def _best_images(problem: Problem, options: Sequence[Sequence[Image]]) -> tuple[int, list[Sheetful]]:
    """One image of each layer, and how far from the middle they bring the centre of gravity, in whole micrometres.

    Notes
    -----
    Most marked cheeks up, then weight nearest the middle, then numbers in reading order. A few layers are looked at
    together, from the bottom up.
    """
    weight = sum(item.weight_mg for item in problem.order.items)
    carried, found = (0, 0), []
    for start in range(0, len(options), TOGETHER):
        group = []
        for layer in options[start : start + TOGETHER]:
            down = [marks_down(problem, one) for one, _ in layer]
            group.append(
                [(*image, moment(problem, image[0])) for image, n in zip(layer, down, strict=True) if n == min(down)]
            )
        tried = [_judged(weight, carried, chosen) for chosen in product(*group)]
        nearest = min(off for off, _, _, _ in tried)
        _, _, carried, chosen = min(
            (one for one in tried if one[0] <= nearest + EVEN_UM), key=lambda one: (one[1], one[0])
        )
        found += chosen
    return isqrt(carried[0] ** 2 + carried[1] ** 2) // weight, found


def _judged(
    weight_mg: int, carried: tuple[int, int], chosen: Sequence[tuple[Sheetful, tuple[int, int], tuple[int, int]]]
) -> tuple[int, tuple[int, int], tuple[int, int], list[Sheetful]]:
    """How far from the middle some layers bring the weight, what is out of order in them, their moments and they."""
    x, y = (carried[axis] + sum(moments[axis] for _, _, moments in chosen) for axis in (0, 1))
    numbers, weights = (sum(wrong[which] for _, wrong, _ in chosen) for which in (0, 1))
    return isqrt(x**2 + y**2) // weight_mg, (numbers, weights), (x, y), [one for one, _, _ in chosen]


def _in_order(problem: Problem, full: list[Sheetful], most_um: tuple[int, int]) -> list[Sheetful]:
    """The layers turned for weight and reading order, like pieces exchanged where that loses nothing."""
    off, plain = _best_images(problem, [[(image, (0, 0)) for image in images(problem, one)] for one in full])
    most_down = sum(marks_down(problem, one) for one in plain)
    shared = shared_out(problem, full, most_um)
    tries = [(shared, None), (full, None), (full, EVEN_UM // len(full))]
    for layers, even_um in tries[1 if shared == full else 0 :]:
        seats = [Seats(problem, one, most_um) for one in layers]
        other, found = _best_images(problem, [one.in_order(even_um) for one in seats])
        if other <= off + EVEN_UM and sum(marks_down(problem, one) for one in found) <= most_down:
            return found
    return plain


def _along(problem: Problem, sheetful: Sheetful, most_um: tuple[int, int]) -> Sheetful:
    """The layer, turned by a quarter where that fits and brings more handles parallel to the box's length."""
    across = sum(1 if one.stance.turn % 180 else -1 for one in sheetful.laid if len(one.stance.parts) > 1)
    fitting = sheetful.wide_um <= most_um[0] and sheetful.long_um <= most_um[1]
    return turned(problem, sheetful) if across > 0 and fitting else sheetful


def settle(problem: Problem, layers: list[list[Spot]]) -> Settled:
    """Stack the layers, the heaviest lowest, each in the middle of the interior and turned so that weight is there too.

    Parameters
    ----------
    problem
        The order, laid out for the search.
    layers
        Spots of each layer, none empty.

    Returns
    -------
    (interior, layers, placed)
        In micrometres; length not less than width; items in the order's order.

    Notes
    -----
    No wish costs volume: pieces move within the extent that the layers need, like ones change places within it, and a
    layer turned by half or mirrored needs no more of it.
    """
    rules, items = problem.rules, problem.order.items
    full = [sheetful_of(problem, [Laid(s.item, s.way.stance, s.x_um, s.y_um) for s in layer]) for layer in layers]
    if max(one.wide_um for one in full) > max(one.long_um for one in full):
        full = [turned(problem, one) for one in full]
    most = max(one.long_um for one in full), max(one.wide_um for one in full)
    full = [upturned(problem, _along(problem, one, most), most) for one in full]
    full = _in_order(problem, _stacked(problem, full), most)
    long, wide = max(one.long_um for one in full), max(one.wide_um for one in full)
    if wide > long:
        full, long, wide = [turned(problem, one) for one in full], wide, long
    placed: dict[int, Placed] = {}
    floors = []
    floor, edge = rules.base_pad_um, rules.wall_um + rules.clearance_um
    for level, sheetful in enumerate(full):
        slack_x, slack_y = (long - sheetful.long_um) // 2000 * 1000, (wide - sheetful.wide_um) // 2000 * 1000
        for one in sheetful.laid:
            stance = marked_stance(items[one.item], one.stance, rules)
            x, y = edge + slack_x + one.x_um, edge + slack_y + one.y_um
            placed[one.item] = Placed(one.item, level, stance, x, y, floor)
        height = height_um(problem, sheetful)
        floors.append(Layer(floor, height))
        floor += height + rules.layer_pad_um
    grown = 2 * (rules.clearance_um + rules.wall_um)
    interior = (long + grown, wide + grown, floor - rules.layer_pad_um + rules.top_pad_um)
    return interior, tuple(floors), tuple(placed[index] for index in range(len(items)))

"""From placements in layers to a nesting: layers from the bottom up, the interior's long side along x."""

from collections.abc import Sequence
from itertools import product
from math import isqrt

from packing.nest.arrange.layer import (
    LayerLayout,
    as_placed,
    height_um,
    images,
    layout_of,
    marked_orientation,
    marks_down,
    moment,
    turned,
    upturned,
    weight_mg,
)
from packing.nest.arrange.reading_order import number_key
from packing.nest.arrange.renumber import LIKE_WEIGHT, Seats, exchanged_between_layers
from packing.nest.problem import Problem
from packing.nest.result import Layer, Placement

Settled = tuple[tuple[int, int, int], tuple[Layer, ...], tuple[Placement, ...]]


TOGETHER = 4
"""Of so many layers all images are tried with those of the others."""

EVEN_UM = 1_000
"""A centre of gravity so much further from the middle is as good: it is not felt."""


def _stacked(problem: Problem, full: Sequence[LayerLayout]) -> list[LayerLayout]:
    """The layers from the bottom up: the heaviest lowest; of layers alike in weight the lowest numbers on top."""
    # Heaviest first, from the bottom up.
    left = sorted(full, key=lambda one: -weight_mg(problem, one))
    found: list[LayerLayout] = []
    while left:
        most = weight_mg(problem, left[0])
        # Layers that no hand tells apart by weight are ordered by their numbers.
        like = [one for one in left if most <= (1 + LIKE_WEIGHT) * weight_mg(problem, one)]
        found += sorted(
            like, key=lambda one: min(number_key(problem.order.items[s.item]) for s in one.placements), reverse=True
        )
        left = left[len(like) :]
    return found


Image = tuple[LayerLayout, tuple[int, int]]
"""A layer turned or mirrored, and how many pairs in it are out of order, by number and by weight."""


def _best_images(problem: Problem, options: Sequence[Sequence[Image]]) -> tuple[int, list[LayerLayout]]:
    """One image of each layer, and how far from the middle they bring the centre of gravity, in whole micrometres.

    Notes
    -----
    Most marked cheeks up, then weight nearest the middle, then numbers in reading order. A few layers are looked at
    together, from the bottom up.
    """
    weight = sum(item.weight_mg for item in problem.order.items)
    carried, found = (0, 0), []
    # All together would be four to the power of the layers; a few at a time leave each group free against those below.
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
    weight_mg: int, carried: tuple[int, int], chosen: Sequence[tuple[LayerLayout, tuple[int, int], tuple[int, int]]]
) -> tuple[int, tuple[int, int], tuple[int, int], list[LayerLayout]]:
    """Score one combination of layer images: offset of the centre of gravity, misordered pairs, moments, the layers."""
    x, y = (carried[axis] + sum(moments[axis] for _, _, moments in chosen) for axis in (0, 1))
    numbers, weights = (sum(wrong[which] for _, wrong, _ in chosen) for which in (0, 1))
    return isqrt(x**2 + y**2) // weight_mg, (numbers, weights), (x, y), [one for one, _, _ in chosen]


def _in_order(problem: Problem, full: list[LayerLayout], most_um: tuple[int, int]) -> list[LayerLayout]:
    """The layers turned for weight and reading order, like pieces exchanged where that loses nothing."""
    off, plain = _best_images(problem, [[(image, (0, 0)) for image in images(problem, one)] for one in full])
    most_down = sum(marks_down(problem, one) for one in plain)
    shared = exchanged_between_layers(problem, full, most_um)
    tries = [(shared, None), (full, None), (full, EVEN_UM // len(full))]
    for layers, even_um in tries[1 if shared == full else 0 :]:
        seats = [Seats(problem, one, most_um) for one in layers]
        other, found = _best_images(problem, [one.in_order(even_um) for one in seats])
        if other <= off + EVEN_UM and sum(marks_down(problem, one) for one in found) <= most_down:
            return found
    return plain


def _along(problem: Problem, layout: LayerLayout, most_um: tuple[int, int]) -> LayerLayout:
    """The layer, turned by a quarter where that fits and brings more handles parallel to the box's length."""
    across = sum(1 if one.orientation.turn % 180 else -1 for one in layout.placements if len(one.orientation.parts) > 1)
    fitting = layout.width_um <= most_um[0] and layout.length_um <= most_um[1]
    return turned(problem, layout) if across > 0 and fitting else layout


def settle(problem: Problem, layers: list[list[Placement]], *, plain: bool = False) -> Settled:
    """Stack the layers, the heaviest lowest, each in the middle of the interior and turned so that weight is there too.

    Parameters
    ----------
    problem
        The order, laid out for the search.
    layers
        Placements of each layer in a frame of its own, none empty.
    plain
        Whether to leave the pieces of each layer where they are: the time for the other wishes grows with the cube of
        the number of items.

    Returns
    -------
    (interior, layers, placed)
        In micrometres; length not less than width; items in the order's order.

    Notes
    -----
    No wish costs volume: pieces move within the extent that the layers need, like ones change places within it, and a
    layer turned by half or mirrored needs no more of it.
    """
    demands, items = problem.demands, problem.order.items
    full = [(as_placed if plain else layout_of)(problem, layer) for layer in layers]
    if max(one.width_um for one in full) > max(one.length_um for one in full):
        full = [turned(problem, one) for one in full]
    most = max(one.length_um for one in full), max(one.width_um for one in full)
    if plain:
        full = _stacked(problem, full)
    else:
        full = [upturned(problem, _along(problem, one, most), most) for one in full]
        full = _in_order(problem, _stacked(problem, full), most)
    long, wide = max(one.length_um for one in full), max(one.width_um for one in full)
    if wide > long:
        full, long, wide = [turned(problem, one) for one in full], wide, long
    placed: dict[int, Placement] = {}
    floors = []
    floor, edge = demands.base_um, demands.edge_um
    for level, layout in enumerate(full):
        slack_x, slack_y = (long - layout.length_um) // 2000 * 1000, (wide - layout.width_um) // 2000 * 1000
        for one in layout.placements:
            orientation = marked_orientation(items[one.item], one.orientation, demands)
            x, y = edge + slack_x + one.x_um, edge + slack_y + one.y_um
            placed[one.item] = Placement(one.item, orientation, x, y, floor, level)
        height = height_um(problem, layout)
        floors.append(Layer(floor, height))
        floor += height + demands.between_um
    interior = (long + 2 * edge, wide + 2 * edge, problem.height_um([layer.height_um for layer in floors]))
    return interior, tuple(floors), tuple(placed[index] for index in range(len(items)))

"""Decoding a state of the annealer: from its arrays to the placements of each layer, slid together.

References
----------
T. H. Cormen, C. E. Leiserson, R. L. Rivest, C. Stein, "Introduction to Algorithms", chapter on shortest paths,
section on difference constraints (from memory): pieces are slid together along longest paths.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from packing.nest.problem import GrownOrientation, Problem
from packing.nest.result import Placement
from packing.nest.search import bottom_left_kernel
from packing.nest.search.anneal import tables_of
from packing.nest.search.bottom_left_kernel import LAYER, SHAPE


def decode(problem: Problem, state: NDArray[np.int64], *, plain: bool = False) -> list[list[Placement]]:
    """Place a state's layers once more and, unless `plain`, slide them together; empty layers are left out."""
    tables = tables_of(problem)
    n = tables.items
    out = np.empty((n, 2), np.int64)
    scratch = bottom_left_kernel.scratch_for(n)
    layers = []
    for layer in sorted({int(layer) for layer in state[LAYER, :n]}):
        bottom_left_kernel.place_layer(
            layer, n, 0, state, tables.shapes, out, scratch, bottom_left_kernel.NO_THRESHOLD
        )  # fmt: skip
        items = [item for item in range(n) if state[LAYER, item] == layer]
        grown = [problem.orientations[item][int(state[SHAPE, item] - tables.shapes.first[item])] for item in items]
        places = [(int(out[item, 0]), int(out[item, 1])) for item in items]
        places = places if plain else slid(grown, places)
        layers.append([Placement(i, g.orientation, x, y) for i, g, (x, y) in zip(items, grown, places, strict=True)])
    return layers


def slid(grown: Sequence[GrownOrientation], places: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Slide every item of a layer towards x 0 and y 0, in turn, until nothing moves: no extent grows.

    Parameters
    ----------
    grown
        How each item lies.
    places
        Where the least corner of each grown shape is, x and y in micrometres; grown rectangles do not overlap.

    Returns
    -------
    list of (x, y)
        Where every item is in contact with another or with an edge on both axes.
    """
    low = [min(place[axis] for place in places) for axis in (0, 1)]
    at = [[x - low[0], y - low[1]] for x, y in places]
    moved = True
    while moved:
        moved = False
        for axis in (0, 1):
            for index in sorted(range(len(at)), key=lambda index: (at[index][axis], index)):
                least = _contact(grown, at, index, axis)
                if least < at[index][axis]:
                    at[index][axis] = least
                    moved = True
    return [(x, y) for x, y in at]


def _contact(grown: Sequence[GrownOrientation], at: list[list[int]], index: int, axis: int) -> int:
    """The distance along `axis` that an item can slide towards 0 before it touches another."""
    other, least = 1 - axis, 0
    for mine in grown[index].rects:
        start = at[index][axis] + mine[axis]
        side, end = at[index][other] + mine[other], at[index][other] + mine[other + 2]
        for neighbour, place in enumerate(at):
            if neighbour == index:
                continue
            for rect in grown[neighbour].rects:
                beside = place[other] + rect[other] < end and side < place[other] + rect[other + 2]
                if beside and place[axis] + rect[axis + 2] <= start:
                    least = max(least, place[axis] + rect[axis + 2] - mine[axis])
    return least

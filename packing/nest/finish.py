"""From the search's arrays to a nesting: layers from the bottom up, the interior's long side along x."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from packing.measure import Item, Tool
from packing.nest.problem import Problem, Way
from packing.nest.result import Layer, Placed
from packing.pose import Part, Stance, stances

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


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

    from packing.nest import anneal, kernel

    tables = anneal.tables_of(problem)
    n = tables.items
    out = np.empty((n, 2), np.int64)
    scratch = [np.empty(shape, np.int64) for shape in ((2 * n + 2, 4), (2 * n + 2, 4), (2, 4), (4 * n + 4, 2))]
    shapes = (tables.rects, tables.size, tables.level)
    layers = []
    for which in sorted({int(layer) for layer in best[1, :n]}):
        kernel.place_layer(
            which, n, 0, best[0], best[1], best[2], best[3], *shapes, best[4, 0], best[4, 1], out, *scratch
        )
        layer = []
        for item in range(n):
            if best[1, item] == which:
                way = problem.ways[item][int(best[2, item] - tables.first[item])]
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


def turned_stance(item: Item, stance: Stance) -> Stance:
    """The item's stance that is `stance` turned by a quarter, counter-clockwise."""
    width = stance.width_um
    parts = tuple(Part(p.name, width - p.y1, p.x0, p.z0, width - p.y0, p.x1, p.z1) for p in stance.parts)
    return next(other for other in stances(item) if other.parts == parts)


def marked_stance(item: Item, stance: Stance) -> Stance:
    """The stance with the marked cheek up where the tool's two cheeks give the same shape."""
    if not isinstance(item, Tool) or item.mark is None or stance.pose != "flat":
        return stance
    if 2 * item.eye_offset_um != item.head_length_um:
        return stance
    return Stance(stance.pose, stance.turn, item.mark == "face_right", stance.parts)


def settle(
    problem: Problem, layers: list[list[Spot]]
) -> tuple[tuple[int, int, int], tuple[Layer, ...], tuple[Placed, ...]]:
    """Stack the layers, the heaviest lowest, each in the middle of the interior.

    Returns
    -------
    (interior, layers, placed)
        In micrometres, items in the order's order.
    """
    rules, items = problem.rules, problem.order.items
    extents = []
    for layer in layers:
        low_x, low_y = min(s.x_um for s in layer), min(s.y_um for s in layer)
        high_x = max(s.x_um + s.way.length_um for s in layer)
        high_y = max(s.y_um + s.way.width_um for s in layer)
        extents.append((low_x, low_y, high_x - low_x, high_y - low_y))
    long = max(extent[2] for extent in extents)
    wide = max(extent[3] for extent in extents)
    turn = wide > long
    weight = [sum(items[s.item].weight_mg for s in layer) for layer in layers]
    stack = sorted(range(len(layers)), key=lambda index: (-weight[index], index))
    placed: dict[int, Placed] = {}
    floors = []
    floor = rules.base_pad_um
    edge = rules.wall_um + rules.clearance_um
    for level, index in enumerate(stack):
        low_x, low_y, length, width = extents[index]
        slack_x, slack_y = (long - length) // 2000 * 1000, (wide - width) // 2000 * 1000
        height = max(s.way.level_um for s in layers[index])
        for s in layers[index]:
            stance = s.way.stance
            x, y = s.x_um - low_x + slack_x, s.y_um - low_y + slack_y
            if turn:
                x, y = wide - y - s.way.width_um, x
                stance = turned_stance(items[s.item], stance)
            stance = marked_stance(items[s.item], stance)
            placed[s.item] = Placed(s.item, level, stance, edge + x, edge + y, floor)
        floors.append(Layer(floor, height))
        floor += height + rules.layer_pad_um
    if turn:
        long, wide = wide, long
    interior = (long + problem.side_um, wide + problem.side_um, floor - rules.layer_pad_um + rules.top_pad_um)
    return interior, tuple(floors), tuple(placed[index] for index in range(len(items)))

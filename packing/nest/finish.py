"""From the search's arrays to a nesting: layers from the bottom up, the interior's long side along x."""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from packing.measure import Item, Rules, Tool
from packing.nest.problem import Problem, Way, cheeks_alike, reach_um
from packing.nest.result import Layer, Placed
from packing.nest.tidy import Laid, Room, tidied
from packing.pose import Part, Stance, part_weights_mg, stances

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

    from packing.nest import anneal, kernel

    tables = anneal.tables_of(problem)
    n = tables.items
    out = np.empty((n, 2), np.int64)
    rooms = ((2 * n + 2, 4), (2 * n + 2, 4), (2, 4), (4 * n + 4, 2))
    scratch = kernel.Scratch(*(np.empty(room, np.int64) for room in rooms))
    layers = []
    for which in sorted({int(layer) for layer in best[1, :n]}):
        kernel.place_layer(which, n, 0, best, tables.shapes, out, scratch)
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


def _matching(item: Item, parts: tuple[Part, ...], *, flipped: bool) -> Stance:
    """The item's stance with these parts; where both cheeks give them, the one that keeps a sharp end where it is."""
    found = next(stance for stance in stances(item) if stance.parts == parts)
    if isinstance(item, Tool) and item.sharp == "far" and found.pose == "flat" and cheeks_alike(item):
        return replace(found, flipped=flipped)
    return found


def turned_stance(item: Item, stance: Stance) -> Stance:
    """The item's stance that is `stance` turned by a quarter, counter-clockwise."""
    width = stance.width_um
    parts = tuple(Part(p.name, width - p.y1, p.x0, p.z0, width - p.y0, p.x1, p.z1) for p in stance.parts)
    return _matching(item, parts, flipped=stance.flipped)


def mirrored_stance(item: Item, stance: Stance) -> Stance:
    """The item's stance that is `stance` with low and high y exchanged: a lying tool turns its other cheek up."""
    width = stance.width_um
    parts = tuple(Part(p.name, p.x0, width - p.y1, p.z0, p.x1, width - p.y0, p.z1) for p in stance.parts)
    return _matching(item, parts, flipped=not stance.flipped)


def marked_stance(item: Item, stance: Stance, rules: Rules) -> Stance:
    """The stance with the marked cheek up where that changes neither its shape nor the walls that it needs."""
    if not isinstance(item, Tool) or item.mark is None or stance.pose != "flat" or not cheeks_alike(item):
        return stance
    marked = replace(stance, flipped=item.mark == "face_right")
    return marked if reach_um(item, marked, rules) == reach_um(item, stance, rules) else stance


@dataclass(frozen=True)
class Sheetful:
    """One layer's items, the least corner of what they need at 0, 0, and how much that is along x and y."""

    laid: tuple[Laid, ...]
    long_um: int
    wide_um: int


def _sheetful(problem: Problem, laid: list[Laid]) -> Sheetful:
    items = problem.order.items
    reach = [reach_um(items[one.item], one.stance, problem.rules) for one in laid]
    low_x = min(one.x_um - r[0] for one, r in zip(laid, reach, strict=True))
    low_y = min(one.y_um - r[1] for one, r in zip(laid, reach, strict=True))
    high_x = max(one.x_um + one.stance.length_um + r[2] for one, r in zip(laid, reach, strict=True))
    high_y = max(one.y_um + one.stance.width_um + r[3] for one, r in zip(laid, reach, strict=True))
    moved = tuple(replace(one, x_um=one.x_um - low_x, y_um=one.y_um - low_y) for one in laid)
    return Sheetful(moved, high_x - low_x, high_y - low_y)


def _tidied(problem: Problem, sheetful: Sheetful) -> Sheetful:
    rules, items = problem.rules, problem.order.items
    reach = {one.item: reach_um(items[one.item], one.stance, rules) for one in sheetful.laid}
    gap = 2 * (rules.clearance_um + rules.web_um // 2)
    room = Room(sheetful.long_um, sheetful.wide_um, gap, reach)
    return replace(sheetful, laid=tuple(tidied(list(sheetful.laid), room)))


def _turned(problem: Problem, sheetful: Sheetful) -> Sheetful:
    items = problem.order.items
    laid = [
        Laid(
            one.item,
            turned_stance(items[one.item], one.stance),
            sheetful.wide_um - one.y_um - one.stance.width_um,
            one.x_um,
        )
        for one in sheetful.laid
    ]
    return _sheetful(problem, laid)


def _mirrored(problem: Problem, sheetful: Sheetful) -> Sheetful:
    items = problem.order.items
    laid = [
        Laid(
            one.item,
            mirrored_stance(items[one.item], one.stance),
            one.x_um,
            sheetful.wide_um - one.y_um - one.stance.width_um,
        )
        for one in sheetful.laid
    ]
    return _sheetful(problem, laid)


def _moment(problem: Problem, sheetful: Sheetful) -> tuple[Fraction, Fraction]:
    """Weight times distance from the layer's middle, along x and y, in milligrams times micrometres."""
    x_sum, y_sum = Fraction(0), Fraction(0)
    for one in sheetful.laid:
        shares = part_weights_mg(problem.order.items[one.item])
        for part, share in zip(one.stance.parts, shares, strict=True):
            x_sum += share * (2 * one.x_um + part.x0 + part.x1 - sheetful.long_um) / 2
            y_sum += share * (2 * one.y_um + part.y0 + part.y1 - sheetful.wide_um) / 2
    return x_sum, y_sum


def _marks_down(problem: Problem, sheetful: Sheetful) -> int:
    count = 0
    for one in sheetful.laid:
        item = problem.order.items[one.item]
        if isinstance(item, Tool) and item.mark is not None and one.stance.pose == "flat":
            count += marked_stance(item, one.stance, problem.rules).flipped != (item.mark == "face_right")
    return count


def _best_variant(problem: Problem, sheetful: Sheetful, carried: tuple[Fraction, Fraction]) -> Sheetful:
    """Of a layer as it is, turned by half, and both mirrored: most marked cheeks up, then weight nearest the middle."""
    half = _turned(problem, _turned(problem, sheetful))
    variants = [sheetful, half, _mirrored(problem, sheetful), _mirrored(problem, half)]

    def key(index: int) -> tuple[int, Fraction, int]:
        x_sum, y_sum = _moment(problem, variants[index])
        off = (carried[0] + x_sum) ** 2 + (carried[1] + y_sum) ** 2
        return _marks_down(problem, variants[index]), off, index

    return variants[min(range(4), key=key)]


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
    Turning a layer by half or mirroring it changes no extent and no gap: it is free.
    """
    rules, items = problem.rules, problem.order.items
    full = [_sheetful(problem, [Laid(s.item, s.way.stance, s.x_um, s.y_um) for s in layer]) for layer in layers]
    full = [_tidied(problem, one) for one in full]
    if max(one.wide_um for one in full) > max(one.long_um for one in full):
        full = [_turned(problem, one) for one in full]
    long, wide = max(one.long_um for one in full), max(one.wide_um for one in full)
    weight = [sum(items[s.item].weight_mg for s in layer) for layer in layers]
    placed: dict[int, Placed] = {}
    floors = []
    floor, edge = rules.base_pad_um, rules.wall_um + rules.clearance_um
    carried = (Fraction(0), Fraction(0))
    for level, index in enumerate(sorted(range(len(layers)), key=lambda index: (-weight[index], index))):
        best = _best_variant(problem, full[index], carried)
        x_sum, y_sum = _moment(problem, best)
        carried = (carried[0] + x_sum, carried[1] + y_sum)
        slack_x, slack_y = (long - best.long_um) // 2000 * 1000, (wide - best.wide_um) // 2000 * 1000
        for one in best.laid:
            stance = marked_stance(items[one.item], one.stance, rules)
            x, y = edge + slack_x + one.x_um, edge + slack_y + one.y_um
            placed[one.item] = Placed(one.item, level, stance, x, y, floor)
        height = max(s.way.level_um for s in layers[index])
        floors.append(Layer(floor, height))
        floor += height + rules.layer_pad_um
    grown = 2 * (rules.clearance_um + rules.wall_um)
    interior = (long + grown, wide + grown, floor - rules.layer_pad_um + rules.top_pad_um)
    return interior, tuple(floors), tuple(placed[index] for index in range(len(items)))

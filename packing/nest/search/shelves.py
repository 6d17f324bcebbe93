"""Shelf packing: a first plan at once, in rows ("shelves") of bounding rectangles, layer after layer.

The annealer may need long before it meets a state that keeps every limit. A plan of plain rows often keeps them all,
and is found in milliseconds whatever the number of items.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

FLOOR_STEP = 1.25
"""Each floor that is tried is longer, or wider, than the one before by this factor."""

MOST_OF_CUBE = 3.0
"""Without limits no floor is tried that is longer than the edge of a cube of the items' volume times this."""

MOST_LEVELS = 6
"""So many layer heights are tried as the most that an item may need where it has a choice."""

Sides = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Footprint:
    """One way for an item to lie: its room along x and y, and the height of layer it needs, in micrometres."""

    length_um: int
    width_um: int
    level_um: int


@dataclass(frozen=True, slots=True)
class Shelved:
    """An item on a shelf: its index, the index of its footprint, the least corner of its room in the layer's frame."""

    item: int
    way: int
    x_um: int
    y_um: int


@dataclass
class _Shelf:
    y_um: int
    width_um: int
    used_um: int = 0


@dataclass
class _Layer:
    level_um: int = 0
    weight_mg: int = 0
    used_um: int = 0
    shelves: list[_Shelf] = field(default_factory=list)
    items: list[Shelved] = field(default_factory=list)


@dataclass(frozen=True)
class ShelfProblem:
    """Items to be put on shelves, and their limits.

    Parameters
    ----------
    ways
        Per item the footprints to choose among, none empty.
    weights_mg
        Per item.
    most_floor_um
        The largest extents along x and y; None where there is no limit.
    most_height_um
        The most that the layers' heights may add up to, `between_um` counted between two; None for no limit.
    most_weight_mg
        What the items of one layer may weigh; None for no limit.
    side_um, pads_um, between_um
        What is added to length and width, to the height, and between two layers.
    """

    ways: Sequence[Sequence[Footprint]]
    weights_mg: Sequence[int]
    most_floor_um: Sides | None
    most_height_um: int | None
    most_weight_mg: int | None
    side_um: int
    pads_um: int
    between_um: int

    def _fits(self, layers: Sequence[_Layer]) -> bool:
        return self.most_height_um is None or self.height_um(layers) <= self.most_height_um

    def height_um(self, layers: Sequence[_Layer]) -> int:
        """The sum of the layers' heights and the pads between them."""
        return sum(layer.level_um for layer in layers) + self.between_um * (len(layers) - 1)

    def volume_um3(self, layers: Sequence[_Layer]) -> int:
        """The interior's volume with these layers."""
        long = max(shelf.used_um for layer in layers for shelf in layer.shelves)
        wide = max(layer.used_um for layer in layers)
        return (long + self.side_um) * (wide + self.side_um) * (self.pads_um + self.height_um(layers))


def _levels(problem: ShelfProblem) -> list[int]:
    """A few of the layer heights that footprints ask for, from the lowest on."""
    found = sorted({way.level_um for own in problem.ways for way in own})
    # The highest is always among them: with it every item finds a place.
    step = max(1, -(-len(found) // MOST_LEVELS))
    return [*found[:-1:step], found[-1]]


def _chosen(own: Sequence[Footprint], floor: Sides, level_um: int) -> int | None:
    """The way that covers least of those that need no higher layer than this, else the lowest; None where none fits."""
    fitting = [i for i, way in enumerate(own) if way.length_um <= floor[0] and way.width_um <= floor[1]]
    low = [i for i in fitting if own[i].level_um <= level_um]
    if low:
        return min(low, key=lambda i: (own[i].length_um * own[i].width_um, own[i].width_um, i))
    return min(fitting, key=lambda i: (own[i].level_um, own[i].width_um, i), default=None)


def _put(layer: _Layer, item: int, way: int, foot: Footprint, floor: Sides) -> bool:
    """Put an item on the first shelf of a layer with room for it, or on a new one; False where there is no room."""
    for shelf in layer.shelves:
        if foot.width_um <= shelf.width_um and shelf.used_um + foot.length_um <= floor[0]:
            break
    else:
        if layer.used_um + foot.width_um > floor[1]:
            return False
        shelf = _Shelf(layer.used_um, foot.width_um)
        layer.shelves.append(shelf)
        layer.used_um += foot.width_um
    layer.items.append(Shelved(item, way, shelf.used_um, shelf.y_um))
    layer.level_um = max(layer.level_um, foot.level_um)
    shelf.used_um += foot.length_um
    return True


def _shelved(problem: ShelfProblem, floor: Sides, level_um: int) -> list[_Layer] | None:
    """The layers for one floor; None where an item does not fit on it, or the layers become too high."""
    chosen: list[tuple[int, int, Footprint]] = []
    for item, own in enumerate(problem.ways):
        way = _chosen(own, floor, level_um)
        if way is None:
            return None
        chosen.append((item, way, own[way]))
    # Decreasing height, then width: the order for which the bounds of the level algorithms hold.
    chosen.sort(key=lambda one: (-one[2].level_um, -one[2].width_um, -one[2].length_um, one[0]))
    layers: list[_Layer] = []
    for item, way, foot in chosen:
        weight = problem.weights_mg[item]
        for layer in layers:
            light = problem.most_weight_mg is None or layer.weight_mg + weight <= problem.most_weight_mg
            if light and _put(layer, item, way, foot, floor):
                layer.weight_mg += weight
                break
        else:
            layers.append(_Layer(weight_mg=weight))
            _put(layers[-1], item, way, foot, floor)
            if not problem._fits(layers):
                return None
    return layers


def _floors(problem: ShelfProblem) -> list[Sides]:
    """Floors to try: the largest first, where limits name one, which is likeliest to have room; then the most cubic."""
    # What the most demanding item needs whichever way it lies: on a smaller floor no try can succeed.
    long = max(min(max(way.length_um, way.width_um) for way in own) for own in problem.ways)
    wide = max(min(min(way.length_um, way.width_um) for way in own) for own in problem.ways)
    volume = sum(min(way.length_um * way.width_um * way.level_um for way in own) for own in problem.ways)
    cubic_um2 = float(volume) ** (2 / 3)
    limit = problem.most_floor_um
    most = limit if limit is not None else (max(long, int(MOST_OF_CUBE * cubic_um2**0.5)),) * 2
    floors: list[Sides] = []
    length = float(long)
    while length <= most[0]:
        width = float(wide)
        while width <= min(length * FLOOR_STEP, most[1]):
            floors.append((int(length), int(width)))
            width *= FLOOR_STEP
        length *= FLOOR_STEP
    # As cubic as can be first: most orders end near the cube, and the clock may stop the tries.
    floors.sort(key=lambda floor: (abs(math.log(floor[0] * floor[1] / cubic_um2)), floor))
    return floors if limit is None else [limit, (limit[1], limit[0]), *floors]


def shelf_plan(problem: ShelfProblem, late: Callable[[], bool] = lambda: False) -> list[list[Shelved]] | None:
    """Put items on shelves, layer after layer, so that every limit is kept.

    Parameters
    ----------
    problem
        Items and limits.
    late
        Asked before each try; where it returns True the best so far is returned.

    Returns
    -------
    list of list of Shelved, or None
        The items of each layer. None where no floor that was tried keeps the limits, which proves nothing.

    Notes
    -----
    First-fit decreasing height, in two dimensions within a layer and again over the layers: items in order of the
    layer height they need and then of their width go on the first shelf that has room. Heuristic; one try costs items
    times shelves. The level algorithms for strip packing are analysed in [1]_.

    References
    ----------
    .. [1] E. G. Coffman, M. R. Garey, D. S. Johnson, R. E. Tarjan, "Performance bounds for level-oriented
       two-dimensional packing algorithms", SIAM Journal on Computing 9 (1980) 808-826, doi:10.1137/0209062.
    """
    best: tuple[int, list[_Layer]] | None = None
    levels = _levels(problem)
    for floor in _floors(problem):
        for level in levels:
            if late():
                return None if best is None else [layer.items for layer in best[1]]
            layers = _shelved(problem, floor, level)
            if layers is not None:
                volume = problem.volume_um3(layers)
                if best is None or volume < best[0]:
                    best = volume, layers
    return None if best is None else [layer.items for layer in best[1]]

"""One layer as it lies in the insert: laid out within its extent, turned, turned over."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from packing.measure import Block, Item, Mark, Sharp, Tool
from packing.nest.arrange.align import Room, aligned
from packing.nest.arrange.separation import Separation, least_places, middle_places, separations
from packing.nest.demands import Demands
from packing.nest.problem import Problem, cheeks_alike
from packing.nest.result import Placement
from packing.plan.kinds import Pose
from packing.pose import Orientation, Part, orientations_of, part_weights_mg

IMAGES = 4
"""As a layer lies, turned by half, and both mirrored."""


@dataclass(frozen=True)
class LayerLayout:
    """One layer's items, the least corner of what they need at 0, 0, and how much that is along x and y."""

    placements: tuple[Placement, ...]
    length_um: int
    width_um: int


def _matching(item: Item, parts: tuple[Part, ...], *, flipped: bool) -> Orientation:
    """The item's orientation with these parts; where both cheeks give them, the one that leaves a sharp end be."""
    found = next(orientation for orientation in orientations_of(item) if orientation.parts == parts)
    if isinstance(item, Tool) and item.sharp is Sharp.FAR and found.pose is Pose.FLAT and cheeks_alike(item):
        return replace(found, flipped=flipped)
    return found


def turned_orientation(item: Item, orientation: Orientation) -> Orientation:
    """The item's orientation that is `orientation` turned by a quarter, counter-clockwise."""
    width = orientation.width_um
    parts = tuple(Part(p.name, width - p.y1, p.x0, p.z0, width - p.y0, p.x1, p.z1) for p in orientation.parts)
    return _matching(item, parts, flipped=orientation.flipped)


def mirrored_orientation(item: Item, orientation: Orientation) -> Orientation:
    """The item's orientation with low and high y of another exchanged: a lying tool turns its other cheek up."""
    width = orientation.width_um
    parts = tuple(Part(p.name, p.x0, width - p.y1, p.z0, p.x1, width - p.y0, p.z1) for p in orientation.parts)
    return _matching(item, parts, flipped=not orientation.flipped)


def marked_orientation(item: Item, orientation: Orientation, demands: Demands) -> Orientation:
    """The orientation with the marked cheek up where that changes neither its shape nor the walls that it needs."""
    if not isinstance(item, Tool) or item.mark is None or orientation.pose is not Pose.FLAT or not cheeks_alike(item):
        return orientation
    marked = replace(orientation, flipped=item.mark is Mark.FACE_RIGHT)
    return marked if demands.reach_um(item, marked) == demands.reach_um(item, orientation) else orientation


def like_orientation(item: Item, model: Orientation) -> Orientation | None:
    """Lay an item in the place of another that lies as `model` does; None where it cannot.

    Notes
    -----
    A tool in the same pose, turned the same way, the same cheek up; a block with its sides most nearly as long as those
    of the other.
    """
    if isinstance(item, Block):
        sides = (model.length_um, model.width_um, model.need_um)

        def differs(one: Orientation) -> int:
            own = (one.length_um, one.width_um, one.need_um)
            return sum(abs(a - b) for a, b in zip(own, sides, strict=True))

        return min(orientations_of(item), key=differs)
    found = [one for one in orientations_of(item) if (one.pose, one.turn) == (model.pose, model.turn)]
    exact = next((one for one in found if one.flipped == model.flipped), None)
    if exact is not None or not found or not cheeks_alike(item):
        return exact
    return replace(found[0], flipped=model.flipped)


def fits(
    problem: Problem, lying: Sequence[tuple[int, Orientation]], kept: Sequence[Separation], most_um: tuple[int, int]
) -> bool:
    """Tell whether items that lie so, kept apart so, have room within an extent along x and y."""
    room = room_for(problem, lying, most_um)
    items, orientations = [item for item, _ in lying], [orientation for _, orientation in lying]
    return all(least_places(orientations, kept, axis, room, items) is not None for axis in (0, 1))


def room_for(problem: Problem, oriented: Sequence[tuple[int, Orientation]], extent_um: tuple[int, int]) -> Room:
    """The room of a layer of this extent with these items lying so."""
    items, demands = problem.order.items, problem.demands
    reach = {item: demands.reach_um(items[item], orientation) for item, orientation in oriented}
    return Room(*extent_um, 2 * demands.grown_um, reach)


def laid_out(
    problem: Problem, lying: Sequence[tuple[int, Orientation]], kept: Sequence[Separation], most_um: tuple[int, int]
) -> LayerLayout | None:
    """A layer of items that lie so and are kept apart so, within the least extent, in line or in the middle.

    Parameters
    ----------
    problem
        The order.
    lying
        Items and how they lie.
    kept
        What keeps them apart, by their place in `lying`.
    most_um
        The most room along x and y.

    Returns
    -------
    LayerLayout or None
        None where there is no room.
    """
    room = room_for(problem, lying, most_um)
    items, orientations = [item for item, _ in lying], [orientation for _, orientation in lying]
    x, y = least_places(orientations, kept, 0, room, items), least_places(orientations, kept, 1, room, items)
    if x is None or y is None:
        return None
    placements = [
        Placement(*one, *at)
        for one, at in zip(lying, zip(middle_places(x), middle_places(y), strict=True), strict=True)
    ]
    own = replace(room, length_um=x.extent_um, width_um=y.extent_um)
    return LayerLayout(tuple(aligned(placements, own)), own.length_um, own.width_um)


def _extents(placements: Sequence[Placement], reach: dict[int, tuple[int, int, int, int]]) -> tuple[int, int, int, int]:
    """Least x and y, and length and width, of what a layer's items need, reaches included."""
    low = [min(one.at(axis) - reach[one.item][axis] for one in placements) for axis in (0, 1)]
    high_x = max(one.x_um + one.orientation.length_um + reach[one.item][2] for one in placements)
    high_y = max(one.y_um + one.orientation.width_um + reach[one.item][3] for one in placements)
    return low[0], low[1], high_x - low[0], high_y - low[1]


def as_placed(problem: Problem, placements: Sequence[Placement]) -> LayerLayout:
    """A layer as the search left it, moved to the least corner and no more."""
    lying = [(one.item, one.orientation) for one in placements]
    x_um, y_um, length_um, width_um = _extents(placements, room_for(problem, lying, (0, 0)).reach_um)
    moved = tuple(Placement(one.item, one.orientation, one.x_um - x_um, one.y_um - y_um) for one in placements)
    return LayerLayout(moved, length_um, width_um)


def layout_of(problem: Problem, placements: Sequence[Placement]) -> LayerLayout:
    """A layer as the search left it, laid out."""
    lying = [(one.item, one.orientation) for one in placements]
    _, _, length_um, width_um = _extents(placements, room_for(problem, lying, (0, 0)).reach_um)
    found = laid_out(problem, lying, separations(placements), (length_um, width_um))
    if found is None:
        raise ValueError("Items of a layer overlap.")
    return found


def turned(problem: Problem, layout: LayerLayout) -> LayerLayout:
    """The layer turned by a quarter, counter-clockwise."""
    items = problem.order.items
    placements = tuple(
        Placement(
            one.item,
            turned_orientation(items[one.item], one.orientation),
            layout.width_um - one.y_um - one.orientation.width_um,
            one.x_um,
        )
        for one in layout.placements
    )
    return LayerLayout(placements, layout.width_um, layout.length_um)


def mirrored(problem: Problem, layout: LayerLayout) -> LayerLayout:
    """The layer with low and high y exchanged: lying tools turn their other cheek up."""
    items = problem.order.items
    placements = tuple(
        Placement(
            one.item,
            mirrored_orientation(items[one.item], one.orientation),
            one.x_um,
            layout.width_um - one.y_um - one.orientation.width_um,
        )
        for one in layout.placements
    )
    return replace(layout, placements=placements)


def images(problem: Problem, layout: LayerLayout) -> list[LayerLayout]:
    """The layer as it is, turned by half, and both mirrored: none needs more room."""
    half = turned(problem, turned(problem, layout))
    return [layout, half, mirrored(problem, layout), mirrored(problem, half)]


def moment(problem: Problem, layout: LayerLayout) -> tuple[int, int]:
    """Weight times distance from the layer's middle, along x and y, in whole milligrams times micrometres."""
    x_sum, y_sum = Fraction(0), Fraction(0)
    for one in layout.placements:
        shares = part_weights_mg(problem.order.items[one.item])
        for part, share in zip(one.orientation.parts, shares, strict=True):
            x_sum += share * (2 * one.x_um + part.x0 + part.x1 - layout.length_um) / 2
            y_sum += share * (2 * one.y_um + part.y0 + part.y1 - layout.width_um) / 2
    return int(x_sum), int(y_sum)


def mark_down(item: Item, orientation: Orientation, demands: Demands) -> bool:
    """Tell whether an item that lies so has a marked cheek, and cannot have it up."""
    if not isinstance(item, Tool) or item.mark is None or orientation.pose is not Pose.FLAT:
        return False
    return marked_orientation(item, orientation, demands).flipped != (item.mark is Mark.FACE_RIGHT)


def marks_down(problem: Problem, layout: LayerLayout) -> int:
    """Count the marked cheeks of a layer that lie down."""
    items = problem.order.items
    return sum(mark_down(items[one.item], one.orientation, problem.demands) for one in layout.placements)


def upturned(problem: Problem, layout: LayerLayout, most_um: tuple[int, int]) -> LayerLayout:
    """The layer, as it lies or mirrored, with marked cheeks turned up one by one where there is room for it.

    Notes
    -----
    A hand-made tool's eye is seldom just in the middle: its other cheek needs a fraction of a millimetre elsewhere.
    """
    found = []
    for layer in (layout, mirrored(problem, layout)):
        kept, lying = separations(layer.placements), [(one.item, one.orientation) for one in layer.placements]
        for place, (item, orientation) in enumerate(lying):
            over = like_orientation(problem.order.items[item], replace(orientation, flipped=not orientation.flipped))
            if over is not None and mark_down(problem.order.items[item], orientation, problem.demands):
                trial = [*lying[:place], (item, over), *lying[place + 1 :]]
                lying = trial if fits(problem, trial, kept, most_um) else lying
        as_it_was = lying == [(one.item, one.orientation) for one in layer.placements]
        found.append(layer if as_it_was else laid_out(problem, lying, kept, most_um) or layer)
    return min(found, key=lambda layer: marks_down(problem, layer))


def weight_mg(problem: Problem, layout: LayerLayout) -> int:
    """The weight of a layer's items."""
    return sum(problem.order.items[one.item].weight_mg for one in layout.placements)


def height_um(problem: Problem, layout: LayerLayout) -> int:
    """The height of a layer: the least sum of sheets that reaches its tallest need, less what foam gives."""
    demands = problem.demands
    return demands.level_um(max(demands.need_um(one.orientation) for one in layout.placements))

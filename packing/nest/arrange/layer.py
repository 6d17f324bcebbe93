"""One layer as it lies in the insert: laid out within its extent, turned, turned over."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from packing.measure import Block, Item, Rules, Tool
from packing.nest.arrange.align import Laid, Room, tidied
from packing.nest.arrange.separation import Kept, kept_apart, least, middle
from packing.nest.problem import Levels, Problem, cheeks_alike, reach_um
from packing.pose import Part, Stance, part_weights_mg, stances

IMAGES = 4
"""As a layer lies, turned by half, and both mirrored."""


@dataclass(frozen=True)
class Sheetful:
    """One layer's items, the least corner of what they need at 0, 0, and how much that is along x and y."""

    laid: tuple[Laid, ...]
    long_um: int
    wide_um: int


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


def like_stance(item: Item, model: Stance) -> Stance | None:
    """How an item lies in the place of another that lies as `model` does; None where it cannot.

    Notes
    -----
    A tool in the same pose, turned the same way, the same cheek up; a block with its sides most nearly as long as those
    of the other.
    """
    if isinstance(item, Block):
        sides = (model.length_um, model.width_um, model.need_um)

        def differs(one: Stance) -> int:
            own = (one.length_um, one.width_um, one.need_um)
            return sum(abs(a - b) for a, b in zip(own, sides, strict=True))

        return min(stances(item), key=differs)
    found = [one for one in stances(item) if (one.pose, one.turn) == (model.pose, model.turn)]
    exact = next((one for one in found if one.flipped == model.flipped), None)
    if exact is not None or not found or not cheeks_alike(item):
        return exact
    return replace(found[0], flipped=model.flipped)


def fits(problem: Problem, lying: Sequence[tuple[int, Stance]], kept: Sequence[Kept], most_um: tuple[int, int]) -> bool:
    """Whether items that lie so, kept apart so, have room within an extent along x and y."""
    room = room_for(problem, lying, most_um)
    items, ways = [item for item, _ in lying], [stance for _, stance in lying]
    return all(least(ways, kept, axis, room, items) is not None for axis in (0, 1))


def room_for(problem: Problem, stances_of: Sequence[tuple[int, Stance]], extent_um: tuple[int, int]) -> Room:
    """The room of a layer of this extent with these items lying so."""
    rules = problem.rules
    reach = {item: reach_um(problem.order.items[item], stance, rules) for item, stance in stances_of}
    return Room(*extent_um, 2 * (rules.clearance_um + rules.web_um // 2), reach)


def laid_out(
    problem: Problem, lying: Sequence[tuple[int, Stance]], kept: Sequence[Kept], most_um: tuple[int, int]
) -> Sheetful | None:
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
    Sheetful or None
        None where there is no room.
    """
    room = room_for(problem, lying, most_um)
    items, ways = [item for item, _ in lying], [stance for _, stance in lying]
    x, y = least(ways, kept, 0, room, items), least(ways, kept, 1, room, items)
    if x is None or y is None:
        return None
    laid = [Laid(*one, *at) for one, at in zip(lying, zip(middle(x), middle(y), strict=True), strict=True)]
    own = replace(room, long_um=x.extent_um, wide_um=y.extent_um)
    return Sheetful(tuple(tidied(laid, own)), own.long_um, own.wide_um)


def sheetful_of(problem: Problem, laid: Sequence[Laid]) -> Sheetful:
    """A layer as the search left it, laid out."""
    lying = [(one.item, one.stance) for one in laid]
    reach = room_for(problem, lying, (0, 0)).reach_um
    low = [min(one.at(axis) - reach[one.item][axis] for one in laid) for axis in (0, 1)]
    high_x = max(one.x_um + one.stance.length_um + reach[one.item][2] for one in laid)
    high_y = max(one.y_um + one.stance.width_um + reach[one.item][3] for one in laid)
    found = laid_out(problem, lying, kept_apart(laid), (high_x - low[0], high_y - low[1]))
    if found is None:
        raise ValueError("Items of a layer overlap.")
    return found


def turned(problem: Problem, sheetful: Sheetful) -> Sheetful:
    """The layer turned by a quarter, counter-clockwise."""
    items = problem.order.items
    laid = tuple(
        Laid(
            one.item,
            turned_stance(items[one.item], one.stance),
            sheetful.wide_um - one.y_um - one.stance.width_um,
            one.x_um,
        )
        for one in sheetful.laid
    )
    return Sheetful(laid, sheetful.wide_um, sheetful.long_um)


def mirrored(problem: Problem, sheetful: Sheetful) -> Sheetful:
    """The layer with low and high y exchanged: lying tools turn their other cheek up."""
    items = problem.order.items
    laid = tuple(
        Laid(
            one.item,
            mirrored_stance(items[one.item], one.stance),
            one.x_um,
            sheetful.wide_um - one.y_um - one.stance.width_um,
        )
        for one in sheetful.laid
    )
    return replace(sheetful, laid=laid)


def images(problem: Problem, sheetful: Sheetful) -> list[Sheetful]:
    """The layer as it is, turned by half, and both mirrored: none needs more room."""
    half = turned(problem, turned(problem, sheetful))
    return [sheetful, half, mirrored(problem, sheetful), mirrored(problem, half)]


def moment(problem: Problem, sheetful: Sheetful) -> tuple[int, int]:
    """Weight times distance from the layer's middle, along x and y, in whole milligrams times micrometres."""
    x_sum, y_sum = Fraction(0), Fraction(0)
    for one in sheetful.laid:
        shares = part_weights_mg(problem.order.items[one.item])
        for part, share in zip(one.stance.parts, shares, strict=True):
            x_sum += share * (2 * one.x_um + part.x0 + part.x1 - sheetful.long_um) / 2
            y_sum += share * (2 * one.y_um + part.y0 + part.y1 - sheetful.wide_um) / 2
    return int(x_sum), int(y_sum)


def mark_down(item: Item, stance: Stance, rules: Rules) -> bool:
    """Whether an item that lies so has a marked cheek, and cannot have it up."""
    if not isinstance(item, Tool) or item.mark is None or stance.pose != "flat":
        return False
    return marked_stance(item, stance, rules).flipped != (item.mark == "face_right")


def marks_down(problem: Problem, sheetful: Sheetful) -> int:
    """How many marked cheeks of a layer lie down."""
    items = problem.order.items
    return sum(mark_down(items[one.item], one.stance, problem.rules) for one in sheetful.laid)


def upturned(problem: Problem, sheetful: Sheetful, most_um: tuple[int, int]) -> Sheetful:
    """The layer, as it lies or mirrored, with marked cheeks turned up one by one where there is room for it.

    Notes
    -----
    A hand-made tool's eye is seldom just in the middle: its other cheek needs a fraction of a millimetre elsewhere.
    """
    found = []
    for layer in (sheetful, mirrored(problem, sheetful)):
        kept, lying = kept_apart(layer.laid), [(one.item, one.stance) for one in layer.laid]
        for place, (item, stance) in enumerate(lying):
            over = like_stance(problem.order.items[item], replace(stance, flipped=not stance.flipped))
            if over is not None and mark_down(problem.order.items[item], stance, problem.rules):
                trial = [*lying[:place], (item, over), *lying[place + 1 :]]
                lying = trial if fits(problem, trial, kept, most_um) else lying
        as_it_was = lying == [(one.item, one.stance) for one in layer.laid]
        found.append(layer if as_it_was else laid_out(problem, lying, kept, most_um) or layer)
    return min(found, key=lambda layer: marks_down(problem, layer))


def weight_mg(problem: Problem, sheetful: Sheetful) -> int:
    """What a layer's items weigh."""
    return sum(problem.order.items[one.item].weight_mg for one in sheetful.laid)


def height_um(problem: Problem, sheetful: Sheetful) -> int:
    """How high a layer is: the least sum of sheets that reaches its tallest need."""
    return Levels(problem.rules.sheets_um).reaching(max(one.stance.need_um for one in sheetful.laid))

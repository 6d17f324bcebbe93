"""Reasons why there is no plan: the limit in the way, and the sentences that say so."""

from dataclasses import dataclass

from packing.measure import Order
from packing.nest.bounds import excess_um, limits_um, needs_of, within_limits
from packing.nest.demands import demands_of
from packing.nest.problem import GrownOrientation, Problem
from packing.nest.result import Nesting, Placement
from packing.plan import Length, Message, Weight
from packing.plan.kinds import INTERIOR_LIMITS, Limit, Status


@dataclass(frozen=True, slots=True)
class Refutation:
    """A proof that no plan keeps within the largest interior.

    Parameters
    ----------
    limit
        Length, width or height of the largest interior.
    item
        The id of the item that forces it.
    by_um
        At least so much is missing.
    message
        One sentence.
    """

    limit: Limit
    item: str
    by_um: int
    message: Message


_SIDE_SENTENCES = {
    Limit.LENGTH: "The largest interior is {limit} long; {item} needs at least {least}, {by} more, however turned.",
    Limit.WIDTH: "The largest interior is {limit} wide; {item} needs at least {least}, {by} more, however turned.",
    Limit.HEIGHT: "The largest interior is {limit} high; {item} needs at least {least}, {by} more, however turned.",
}
_EXCESS_SENTENCES = {
    Limit.LENGTH: "No plan was found within the largest interior: the best so far exceeds its length, {limit}, by "
    "{by}; item “{item}” needs most of it.",
    Limit.WIDTH: "No plan was found within the largest interior: the best so far exceeds its width, {limit}, by {by}; "
    "item “{item}” needs most of it.",
    Limit.HEIGHT: "No plan was found within the largest interior: the best so far exceeds its height, {limit}, by "
    "{by}; item “{item}” needs most of it.",
}


def item_too_large(side: Limit, limit_um: int, item: str, by_um: int) -> Message:
    """The sentence that one item alone is beyond the length, width or height of the largest interior."""
    least = Length(limit_um + by_um)
    return Message(_SIDE_SENTENCES[side], limit=Length(limit_um), item=item, least=least, by=Length(by_um))


def refutation(problem: Problem) -> Refutation | None:
    """A quick proof that the order cannot be planned within `max_interior`, or None.

    Parameters
    ----------
    problem
        The order, laid out for the search.

    Returns
    -------
    Refutation or None
        An item that fits in no way, alone and turned; or the whole order, whose least height on the largest floor is
        too much. None proves nothing.
    """
    limits = limits_um(problem)
    if limits is None:
        return None
    fitting = within_limits(problem)
    worst: Refutation | None = None
    for item, all_orientations, orientations in zip(problem.order.items, problem.orientations, fitting, strict=True):
        if not orientations:
            found = _item_refuted(problem, item.id, all_orientations, limits)
            # The item that misses by most: with it out of the way the others may fit.
            worst = found if worst is None or found.by_um > worst.by_um else worst
    if worst is not None:
        return worst
    needs = needs_of(problem, fitting)
    least = needs.height_um((limits[0] - problem.side_um) * (limits[1] - problem.side_um))
    if least <= limits[2]:
        return None
    tallest = max(range(len(fitting)), key=needs.levels_um.__getitem__)
    item_id, over = problem.order.items[tallest].id, least - limits[2]
    message = Message(
        "The largest interior is {limit} high; on the largest floor the order needs at least {least}, {by} more, with "
        "{item} as its tallest item.",
        limit=Length(limits[2]),
        least=Length(least),
        by=Length(over),
        item=item_id,
    )
    return Refutation(Limit.HEIGHT, item_id, over, message)


def _item_refuted(
    problem: Problem, item_id: str, orientations: tuple[GrownOrientation, ...], limits: tuple[int, int, int]
) -> Refutation:
    """The refutation by one item that fits in none of its ways: told of the way that misses least."""
    excesses = [excess_um(problem, grown, limits) for grown in orientations]
    _, _, over = min((sum(v > 0 for v in excess), sum(excess), excess) for excess in excesses)
    which = max(range(3), key=over.__getitem__)
    side = INTERIOR_LIMITS[which]
    message = item_too_large(side, limits[which], item_id, over[which])
    return Refutation(side, item_id, over[which], message)


def overweight(order: Order) -> Nesting | None:
    """Refuse an order of which one item alone is heavier than a layer may be.

    Parameters
    ----------
    order
        As read by `read_order`.

    Returns
    -------
    Nesting or None
        Impossible, naming the heaviest item; None where each item is light enough.
    """
    most = demands_of(order).most_layer_mg
    heaviest = max(order.items, key=lambda item: item.weight_mg)
    if most is None or heaviest.weight_mg <= most:
        return None
    message = Message(
        "Item “{item}” weighs {weight}, more than a layer may weigh ({limit}).",
        item=heaviest.id,
        weight=Weight(heaviest.weight_mg),
        limit=Weight(most),
    )
    by_mg = heaviest.weight_mg - most
    return Nesting(Status.IMPOSSIBLE, limit=Limit.LAYER_WEIGHT, item=heaviest.id, by_mg=by_mg, message=message)


def overloaded(order: Order, placed: tuple[Placement, ...]) -> Nesting | None:
    """The search found no plan whose layers are all light enough."""
    most = demands_of(order).most_layer_mg
    loads: dict[int, int] = {}
    for one in placed:
        loads[one.layer] = loads.get(one.layer, 0) + order.items[one.item].weight_mg
    load = max(loads.values())
    if most is None or load <= most:
        return None
    heaviest = max(order.items, key=lambda item: item.weight_mg).id
    message = Message(
        "No plan was found within the effort whose layers all weigh {limit} or less: the best has a layer of "
        "{load}; item “{item}” is the heaviest.",
        limit=Weight(most),
        load=Weight(load),
        item=heaviest,
    )
    return Nesting(Status.NOT_FOUND, limit=Limit.LAYER_WEIGHT, item=heaviest, by_mg=load - most, message=message)


def over_um(interior: tuple[int, int, int], most_um: tuple[int, int, int]) -> dict[Limit, int]:
    """The excess of an interior over a largest one, by limit: its longer side, its shorter side and its height.

    Parameters
    ----------
    interior, most_um
        Micrometres; of the largest interior the longer side first.

    Returns
    -------
    dict
        Micrometres, negative where there is room to spare.
    """
    return {
        Limit.LENGTH: max(interior[:2]) - most_um[0],
        Limit.WIDTH: min(interior[:2]) - most_um[1],
        Limit.HEIGHT: interior[2] - most_um[2],
    }


def excess(interior: tuple[int, int, int], problem: Problem) -> tuple[Limit, int] | None:
    """The limit that an interior breaks most and by how much; None where it breaks none."""
    most = limits_um(problem)
    if most is None:
        return None
    over = over_um(interior, most)
    side = max(over, key=lambda key: over[key])
    return (side, over[side]) if over[side] > 0 else None


def too_large(problem: Problem, interior: tuple[int, int, int]) -> Nesting:
    """No plan was found within `max_interior`: say which limit, by how much, and which item forces it."""
    side, by = excess(interior, problem) or (Limit.HEIGHT, 0)

    def forcing(index: int) -> int:
        orientations = problem.orientations[index]
        if side is Limit.HEIGHT:
            return min(grown.level_um for grown in orientations)
        if side is Limit.LENGTH:
            return min(max(grown.length_um, grown.width_um) for grown in orientations)
        return min(min(grown.length_um, grown.width_um) for grown in orientations)

    item = problem.order.items[max(range(len(problem.orientations)), key=forcing)].id
    limit = dict(zip(INTERIOR_LIMITS, limits_um(problem) or (0, 0, 0), strict=True))[side]
    message = Message(_EXCESS_SENTENCES[side], limit=Length(limit), by=Length(by), item=item)
    return refused(Status.NOT_FOUND, side, item, by, message)


def refused(status: Status, limit: Limit, item: str, by_um: int, message: Message) -> Nesting:
    """Make an answer without a plan.

    Parameters
    ----------
    status
        Impossible or not found.
    limit, item, by_um
        The rule in the way, the id of the item that forces it, by how much in micrometres.
    message
        One sentence with all of these.

    Returns
    -------
    Nesting
    """
    return Nesting(status, limit=limit, item=item, by_um=by_um, message=message)

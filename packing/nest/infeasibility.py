"""Why there is no plan: which of an order's limits is in the way, and the sentences that say so."""

from dataclasses import dataclass

from packing.measure import Order, grams, mm
from packing.nest.bounds import excess_um, limits_um, needs_of, within_limits
from packing.nest.problem import GrownOrientation, Problem
from packing.nest.result import Nesting, Placement


@dataclass(frozen=True, slots=True)
class Refutation:
    """A proof that no plan keeps within the largest interior.

    Parameters
    ----------
    limit
        "max_interior length", "max_interior width" or "max_interior height".
    item
        The id of the item that forces it.
    by_um
        At least so much is missing.
    message
        One sentence.
    """

    limit: str
    item: str
    by_um: int
    message: str


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
            worst = found if worst is None or found.by_um > worst.by_um else worst
    if worst is not None:
        return worst
    needs = needs_of(problem, fitting)
    least = needs.height_um((limits[0] - problem.side_um) * (limits[1] - problem.side_um))
    if least <= limits[2]:
        return None
    tallest = max(range(len(fitting)), key=needs.levels_um.__getitem__)
    item_id, over = problem.order.items[tallest].id, least - limits[2]
    message = (
        f"max_interior height is {mm(limits[2])} mm; on the largest floor the order needs at least {mm(least)} mm, "
        f"{mm(over)} mm more, with {item_id} as its tallest item."
    )
    return Refutation("max_interior height", item_id, over, message)


def _item_refuted(
    problem: Problem, item_id: str, orientations: tuple[GrownOrientation, ...], limits: tuple[int, int, int]
) -> Refutation:
    """The refutation by one item that fits in none of its ways: told of the way that misses least."""
    excesses = [excess_um(problem, grown, limits) for grown in orientations]
    _, _, over = min((sum(v > 0 for v in excess), sum(excess), excess) for excess in excesses)
    which = max(range(3), key=over.__getitem__)
    name = ("length", "width", "height")[which]
    message = (
        f"max_interior {name} is {mm(limits[which])} mm; {item_id} needs at least "
        f"{mm(limits[which] + over[which])} mm, {mm(over[which])} mm more, however it is turned."
    )
    return Refutation(f"max_interior {name}", item_id, over[which], message)


def overweight(order: Order) -> Nesting | None:
    """One item alone is heavier than a layer may be."""
    most = order.rules.max_layer_mg
    heaviest = max(order.items, key=lambda item: item.weight_mg)
    if most is None or heaviest.weight_mg <= most:
        return None
    message = (
        f"Item “{heaviest.id}” weighs {grams(heaviest.weight_mg)} g, more than max_layer_g allows ({grams(most)} g)."
    )
    by_mg = heaviest.weight_mg - most
    return Nesting("impossible", limit="max_layer_g", item=heaviest.id, by_mg=by_mg, message=message)


def overloaded(order: Order, placed: tuple[Placement, ...]) -> Nesting | None:
    """The search found no plan whose layers are all light enough."""
    most = order.rules.max_layer_mg
    loads: dict[int, int] = {}
    for one in placed:
        loads[one.layer] = loads.get(one.layer, 0) + order.items[one.item].weight_mg
    load = max(loads.values())
    if most is None or load <= most:
        return None
    heaviest = max(order.items, key=lambda item: item.weight_mg).id
    message = (
        f"No plan was found within the effort whose layers all keep max_layer_g ({grams(most)} g): the best has a "
        f"layer of {grams(load)} g; item “{heaviest}” is the heaviest."
    )
    return Nesting("not found", limit="max_layer_g", item=heaviest, by_mg=load - most, message=message)


def excess(interior: tuple[int, int, int], problem: Problem) -> tuple[str, int] | None:
    """The limit that an interior breaks most and by how much; None where it breaks none."""
    most = problem.rules.max_interior_um
    if most is None:
        return None
    sides = sorted(interior[:2], reverse=True)
    limits = sorted(most[:2], reverse=True)
    over = {
        "length": sides[0] - limits[0],
        "width": sides[1] - limits[1],
        "height": interior[2] - most[2],
    }
    name = max(over, key=lambda key: over[key])
    return (name, over[name]) if over[name] > 0 else None


def too_large(problem: Problem, interior: tuple[int, int, int]) -> Nesting:
    """No plan was found within `max_interior`: say which limit, by how much, and which item forces it."""
    name, by = excess(interior, problem) or ("height", 0)

    def forcing(index: int) -> int:
        orientations = problem.orientations[index]
        if name == "height":
            return min(grown.level_um for grown in orientations)
        if name == "length":
            return min(max(grown.length_um, grown.width_um) for grown in orientations)
        return min(min(grown.length_um, grown.width_um) for grown in orientations)

    item = problem.order.items[max(range(len(problem.orientations)), key=forcing)].id
    most = problem.rules.max_interior_um or (0, 0, 0)
    limit = {"length": max(most[:2]), "width": min(most[:2]), "height": most[2]}[name]
    message = (
        f"No plan was found within the largest interior: the best so far exceeds its {name}, {mm(limit)} mm, "
        f"by {mm(by)} mm; item “{item}” needs most of it."
    )
    return refused("not found", f"max_interior {name}", item, by, message)


def refused(status: str, limit: str, item: str, by_um: int, message: str) -> Nesting:
    """An answer without a plan."""
    return Nesting(status, limit=limit, item=item, by_um=by_um, message=message)

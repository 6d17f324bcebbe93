"""Why there is no plan: the limits an order can set, and the sentences that say which one is in the way."""

from packing.measure import Order, grams, mm
from packing.nest.problem import Problem
from packing.nest.result import Nesting, Placed


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


def overloaded(order: Order, placed: tuple[Placed, ...]) -> Nesting | None:
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
        ways = problem.ways[index]
        if name == "height":
            return min(way.level_um for way in ways)
        if name == "length":
            return min(max(way.length_um, way.width_um) for way in ways)
        return min(min(way.length_um, way.width_um) for way in ways)

    item = problem.order.items[max(range(len(problem.ways)), key=forcing)].id
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

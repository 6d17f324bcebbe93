"""The rules of a layered plan: floors, walls, webs, heights and pads."""

from collections.abc import Iterator
from itertools import combinations

from packing.check.plan_reader import PlanItem, PlanLayer, PlanView
from packing.check.rectangles import Rect, rect_gap
from packing.check.report import Problem, apart, missed, shown
from packing.measure import Block, Item, Order, Rules

A_STEP_UM = {"1 mm": 999, "1/16 in": 1_588}
"""By how much a wall may be thicker at each end of a side, so that pocket and edge fall on the step of the rule."""
STEP_HALVES_UM = {"1 mm": 2_000, "1/16 in": 3_175}
"""Half micrometres of a step."""


def check_layers(plan: PlanView, order: Order) -> list[Problem]:
    """Every broken rule of a layered plan, poses apart."""
    if not plan.layers:
        return [Problem("layer", "layers", "a layered plan has at least one layer.")]
    rules = order.rules
    return [
        *_standing(plan, rules),
        *_walls(plan, rules),
        *_webs(plan, rules),
        *_heights(plan, order),
        *_pads(plan, rules),
        *_interior(plan, rules),
    ]


def _standing(plan: PlanView, rules: Rules) -> Iterator[Problem]:
    for item in plan.items:
        layer = plan.layers[item.layer]
        lowest = min((box.z0 for box in item.parts.values()), default=layer.floor_um)
        if lowest != layer.floor_um:
            message = (
                f"its lowest point is at {shown(lowest)}, the floor of layer {item.layer} at {shown(layer.floor_um)}."
            )
            yield missed("floor", item.id, message, lowest - layer.floor_um)
        highest = max((box.z1 for box in item.parts.values()), default=layer.floor_um)
        # Foam may be pressed by what it gives, and no more.
        if highest > layer.top_um + rules.give_um:
            message = f"reaches up to {shown(highest)}, layer {item.layer} ends at {shown(layer.top_um)}."
            yield missed("layer", item.id, message, highest - layer.top_um)


def rooms(item: PlanItem, clearance_um: int) -> dict[str, Rect]:
    """The room of each part: its rectangle grown by the clearance."""
    return {name: box.rect.grown(clearance_um) for name, box in item.parts.items()}


def _walls(plan: PlanView, rules: Rules) -> Iterator[Problem]:
    length, width, _ = plan.interior_um
    for item in plan.items:
        for part, room in rooms(item, rules.clearance_um).items():
            edges = {"left": room.x0, "front": room.y0, "right": length - room.x1, "back": width - room.y1}
            for edge, left in edges.items():
                if left < rules.wall_um:
                    message = (
                        f"its {part} pocket is {shown(left)} from the {edge} edge, wall is {shown(rules.wall_um)}."
                    )
                    yield missed("wall", item.id, message, rules.wall_um - left)


def _webs(plan: PlanView, rules: Rules) -> Iterator[Problem]:
    for a, b in combinations(plan.items, 2):
        # Pockets of one item may meet: they are cut as one.
        if a.layer != b.layer or a.id == b.id:
            continue
        for part_a, room_a in rooms(a, rules.clearance_um).items():
            for part_b, room_b in rooms(b, rules.clearance_um).items():
                gap = rect_gap(room_a, room_b)
                if gap < rules.web_um:
                    message = (
                        f"the pockets of {a.id} {part_a} and {b.id} {part_b} in layer {a.layer} "
                        f"{apart(gap)}, web is {shown(rules.web_um)}."
                    )
                    yield missed("web", f"{a.id}, {b.id}", message, rules.web_um - gap)


def fewest_sheets(sheets_um: tuple[int, ...], top_um: int) -> dict[int, int]:
    """Every sum of stock thicknesses up to `top_um` and the fewest sheets that give it."""
    fewest = {0: 0}
    reached = [0]
    while reached:
        following = []
        for total in reached:
            for sheet in sheets_um:
                higher = total + sheet
                # The first time a sum is reached is with the fewest sheets, since they are added one round after
                # another.
                if higher <= top_um and higher not in fewest:
                    fewest[higher] = fewest[total] + 1
                    following.append(higher)
        reached = following
    return fewest


def _heights(plan: PlanView, order: Order) -> Iterator[Problem]:
    rules = order.rules
    top = max(max(_sizes(item)) for item in order.items) + rules.layer_spare_um + max(rules.sheets_um)
    # Up to one sheet above the tallest need: nothing higher can be the least sum.
    sums = fewest_sheets(rules.sheets_um, top)
    stock = ", ".join(shown(sheet) for sheet in rules.sheets_um)
    for index, layer in enumerate(plan.layers):
        where = f"layer {index}"
        tops = [box.z1 - layer.floor_um for item in plan.items if item.layer == index for box in item.parts.values()]
        if not tops:
            yield Problem("layer", where, "holds nothing.")
            continue
        height, need = layer.height_um, max(tops)
        if height <= 0 or (height <= top and height not in sums):
            yield Problem("layer_height", where, f"{shown(height)} is no sum of the stock sheets ({stock}).")
        if height < need:
            if need - height > rules.give_um:
                message = f"{shown(height)} is less than its tallest need, {shown(need)}."
                yield missed("layer_height", where, message, need - height)
            continue
        least = min((total for total in sums if total >= need), default=height)
        if height > least + rules.layer_spare_um:
            spare = f"layer_spare is {shown(rules.layer_spare_um)}"
            message = f"{shown(height)} high where {shown(least)} reaches its need of {shown(need)}; {spare}."
            yield missed("layer_height", where, message, height - least - rules.layer_spare_um)
        elif height > least and height in sums and sums[height] >= sums[least]:
            message = f"{shown(height)} takes {sums[height]} sheets and saves none over {shown(least)}."
            yield missed("layer_height", where, message, height - least)


def _sizes(item: Item) -> tuple[int, ...]:
    if isinstance(item, Block):
        return (item.length_um, item.width_um, item.height_um)
    return (item.head_length_um, item.head_width_um, item.handle_width_um, item.handle_thickness_um)


def by_floor(plan: PlanView) -> list[PlanLayer]:
    """The layers from the bottom up."""
    return sorted(plan.layers, key=lambda layer: layer.floor_um)


def _pads(plan: PlanView, rules: Rules) -> Iterator[Problem]:
    if list(plan.layers) != by_floor(plan):
        yield Problem("layer", "layers", "the layers must be listed from the bottom up.")
    below, rule, pad = 0, "base_pad", rules.base_pad_um
    for layer in by_floor(plan):
        index = plan.layers.index(layer)
        if layer.floor_um - below != pad:
            message = f"{shown(layer.floor_um - below)} lie under layer {index}, {rule} is {shown(pad)}."
            yield missed(rule, f"layer {index}", message, layer.floor_um - below - pad)
        # Under the first layer the base pad counts, under all others the pad between layers.
        below, rule, pad = layer.top_um, "layer_pad", rules.layer_pad_um
    over = plan.interior_um[2] - below
    if over != rules.top_pad_um:
        message = f"{shown(over)} lie over the highest layer, top_pad is {shown(rules.top_pad_um)}."
        yield missed("top_pad", "interior_mm", message, over - rules.top_pad_um)


def _interior(plan: PlanView, rules: Rules) -> Iterator[Problem]:
    boxes = [box for item in plan.items for box in item.parts.values()]
    if not boxes:
        return
    for axis, name in ((0, "length"), (1, "width")):
        extent = max(box[axis + 3] for box in boxes) - min(box[axis] for box in boxes) + 2 * rules.clearance_um
        want = extent + 2 * rules.wall_um
        spare = max(0, (rules.sharp_wall_um or 0) - rules.wall_um)
        spare_um = 2 * spare + (2 * A_STEP_UM[rules.step] if rules.step else 0)
        if not want <= plan.interior_um[axis] <= want + spare_um:
            message = f"the {name} is {shown(plan.interior_um[axis])}; the pockets and two walls make {shown(want)}."
            yield missed("interior", "interior_mm", message, plan.interior_um[axis] - want)
        over = _off_step(plan.interior_um[axis], rules.step) if _may_grow(plan, rules) else 0
        if over:
            message = f"the {name} is {shown(plan.interior_um[axis])}, not a whole multiple of {rules.step}."
            yield missed("interior", "interior_mm", message, over)


def _off_step(um: int, step: str | None) -> int:
    """By how much a length is over a whole multiple of the step; 0 where it is one, to half a micrometre."""
    if not step:
        return 0
    halves = 2 * um % STEP_HALVES_UM[step]
    return 0 if halves <= 1 else (halves + 1) // 2


def _may_grow(plan: PlanView, rules: Rules) -> bool:
    """Tell whether the largest interior leaves room for another step each way."""
    if rules.max_interior_um is None or not rules.step:
        return True
    pairs = zip(sorted(plan.interior_um), sorted(rules.max_interior_um), strict=True)
    return all(side + A_STEP_UM[rules.step] <= most for side, most in pairs)

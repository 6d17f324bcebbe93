"""The rules of a plan without layers: blocks that stand on each other freely in an outer case."""

from collections.abc import Iterator
from itertools import combinations

from packing.check.plan_reader import PlanView
from packing.check.rectangles import box_gap
from packing.check.report import Problem, apart, missed, shown
from packing.measure import Rules


def check_free(plan: PlanView, rules: Rules) -> list[Problem]:
    """Every broken rule of a plan without layers, poses apart."""
    problems = [] if not plan.layers else [Problem("layer", "layers", "must be empty in a plan without layers.")]
    return [*problems, *_sides(plan, rules), *_apart(plan, rules)]


def _sides(plan: PlanView, rules: Rules) -> Iterator[Problem]:
    length, width, height = plan.interior_um
    for item in plan.items:
        for box in item.parts.values():
            for edge, left in (
                ("left", box.x0),
                ("front", box.y0),
                ("right", length - box.x1),
                ("back", width - box.y1),
            ):
                if left < rules.wall_um:
                    message = f"is {shown(left)} off the {edge} side, wall is {shown(rules.wall_um)}."
                    yield missed("wall", item.id, message, rules.wall_um - left)
            for rule, left, pad in (
                ("base_pad", box.z0, rules.base_pad_um),
                ("top_pad", height - box.z1, rules.top_pad_um),
            ):
                if left < pad:
                    message = (
                        f"is {shown(left)} off the {'bottom' if rule == 'base_pad' else 'top'}, {rule} is {shown(pad)}."
                    )
                    yield missed(rule, item.id, message, pad - left)


def _apart(plan: PlanView, rules: Rules) -> Iterator[Problem]:
    for a, b in combinations(plan.items, 2):
        if a.id == b.id:
            continue
        for box_a in a.parts.values():
            for box_b in b.parts.values():
                gap = box_gap(box_a, box_b)
                if gap < rules.web_um:
                    message = f"{a.id} and {b.id} {apart(gap)}, web is {shown(rules.web_um)}."
                    yield missed("web", f"{a.id}, {b.id}", message, rules.web_um - gap)

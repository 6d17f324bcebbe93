"""Statements of a plan about itself that can be counted again: copies of the order, size, bound, centre of gravity."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

from packing.check.plan_reader import PlanItem, PlanView, Reader
from packing.check.report import Problem, missed, shown
from packing.measure import Block, Item, Order, grams, input_sha256, rules_content

HANDLE_MG_MM3 = Fraction(3, 4)
"""Ash and hickory: 0.75 g for a cubic centimetre, as the design has it; stated here again, since the checker shares
nothing."""
GAP_ROUNDING = Decimal("0.001")
"""The file rounds the gap to six decimals; a thousandth leaves room for another way of rounding."""
CENTRE_MM = Fraction(1, 2)
"""The file rounds the centre of gravity to a tenth of a millimetre; half a millimetre leaves room for another sum of
parts."""


def check_copies(order: Order, content: Mapping[str, Any]) -> list[Problem]:
    """The plan is of this order: id, rules and input hash."""
    problems = []
    if content.get("order") != order.id:
        problems.append(
            Problem("order", "order", f"the plan is of {content.get('order')!r}, the order is “{order.id}”.")
        )
    if "rules" in content and _without_null(content["rules"]) != rules_content(order.rules):
        problems.append(Problem("order", "rules", "the rules in the plan are not the order's rules in force."))
    if "input_sha256" in content and content["input_sha256"] != input_sha256(order):
        problems.append(Problem("order", "input_sha256", "the input hash is not that of the order."))
    return problems


def _without_null(rules: Any) -> Any:
    return {key: value for key, value in rules.items() if value is not None} if isinstance(rules, Mapping) else rules


def check_once(order: Order, plan: PlanView) -> list[Problem]:
    """Every item of the order exactly once, and nothing else."""
    problems = []
    known = [item.id for item in order.items]
    for name in dict.fromkeys(plan.listed):
        if name not in known:
            problems.append(Problem("once", name, "is not in the order."))
    for name in known:
        times = plan.listed.count(name)
        if times != 1:
            problems.append(Problem("once", name, f"is packed {times} times; it must be packed once."))
    return problems


def check_labels(order: Order, plan: PlanView) -> Iterator[Problem]:
    """Check what the plan repeats or adds for an item: kind, form, weight, letter, order of lifting out."""
    items = {item.id: item for item in order.items}
    letters: dict[str, str] = {}
    for placed in plan.items:
        item = items.get(placed.id)
        if item is None:
            continue
        yield from _item_copies(item, placed)
        letter = placed.content.get("letter")
        if letter is not None and any(letter == other and name != placed.id for name, other in letters.items()):
            yield Problem("letter", placed.id, f"bears the letter {letter!r}, as another item does.")
        letters[placed.id] = str(letter)
    yield from _lifting(plan)


def _item_copies(item: Item, placed: PlanItem) -> Iterator[Problem]:
    facts: dict[str, Any] = {"kind": "block" if isinstance(item, Block) else "tool", "weight_g": grams(item.weight_mg)}
    if not isinstance(item, Block):
        facts |= {"form": item.form, "sharp": item.sharp}
    for key, value in facts.items():
        if key in placed.content and placed.content[key] != value:
            yield Problem("order", item.id, f"{key} is {placed.content[key]!r} in the plan, {value!r} in the order.")


def _lifting(plan: PlanView) -> Iterator[Problem]:
    ranks = {item.id: item.content["lift_order"] for item in plan.items if "lift_order" in item.content}
    if not ranks:
        return
    if any(isinstance(rank, bool) or not isinstance(rank, int) for rank in ranks.values()):
        yield Problem("lift_order", "items", "lift_order must be a whole number for every item.")
        return
    if sorted(ranks.values()) != list(range(1, len(plan.items) + 1)):
        yield Problem("lift_order", "items", f"lift_order must count the items from 1 to {len(plan.items)}, each once.")
        return
    highest_first = sorted(plan.items, key=lambda item: ranks[item.id])
    for above, below in pairwise(highest_first):
        if below.layer > above.layer:
            message = f"lies in layer {below.layer} and is to be lifted out after {above.id} in layer {above.layer}."
            yield Problem("lift_order", below.id, message)


def check_size(order: Order, plan: PlanView) -> Iterator[Problem]:
    """Length not less than width, and the largest interior, turned where that fits."""
    length, width, height = plan.interior_um
    if length < width:
        yield missed(
            "interior",
            "interior_mm",
            f"the length {shown(length)} is less than the width {shown(width)}.",
            width - length,
        )
    limit = order.rules.max_interior_um
    if limit is None:
        return
    longer, shorter = max(limit[:2]), min(limit[:2])
    for name, value, most in (
        ("length", max(length, width), longer),
        ("width", min(length, width), shorter),
        ("height", height, limit[2]),
    ):
        if value > most:
            message = f"the {name} {shown(value)} exceeds the largest allowed, {shown(most)}."
            yield missed("max_interior", "interior_mm", message, value - most)


def check_bound(reader: Reader, content: Mapping[str, Any], plan: PlanView, *, needed: bool) -> Iterator[Problem]:
    """The lower bound is none above the volume, and a proof means they are equal to within 1 mm³."""
    if not needed and "lower_bound_mm3" not in content:
        return
    bound = reader.number(content, "lower_bound_mm3", "lower_bound_mm3", least=0)
    proven = content.get("proven")
    if not isinstance(proven, bool):
        reader.wrong("proven", f"must be true or false, not {proven!r}.")
    if bound is None:
        return
    length, width, height = plan.interior_um
    volume = Decimal(length * width * height) / 10**9
    if bound > volume + 1:
        yield Problem("bound", "lower_bound_mm3", f"{bound} mm³ is more than the plan's own volume, {volume:f} mm³.")
    if proven is True and abs(bound - volume) > 1:
        yield Problem("bound", "proven", f"is true, but the lower bound is {bound} mm³ and the volume {volume:f} mm³.")
    if content.get("gap") is not None:
        gap = reader.number(content, "gap", "gap", least=0)
        real = volume / bound - 1 if bound else None
        if gap is not None and (real is None or abs(gap - real) > GAP_ROUNDING):
            yield Problem(
                "bound",
                "gap",
                f"is {gap}; volume and lower bound make it {'unknown' if real is None else f'{real:.3f}'}.",
            )


def check_centre(reader: Reader, content: Mapping[str, Any], order: Order, plan: PlanView) -> Iterator[Problem]:
    """The pieces' centre of gravity, counted again.

    A head's weight is `head_weight_g` or, where that is not given, the tool's less its handle's box at 0.75 g/cm³ (at
    least 0); each part's weight sits in the middle of its box.
    """
    if content.get("centre_of_gravity_mm") is None:
        return
    before = len(reader.problems)
    given = [
        reader.number({"value": value}, "value", "centre_of_gravity_mm")
        for value in reader.objects(content, "centre_of_gravity_mm", "centre_of_gravity_mm")
    ]
    if len(reader.problems) > before or len(given) != 3:
        reader.wrong("centre_of_gravity_mm", "must be three lengths in mm.")
        return
    real = _centre_mm(order, plan)
    for axis, value in enumerate(given):
        if value is not None and abs(Fraction(value) - real[axis]) > CENTRE_MM:
            message = f"is {value} mm along {'xyz'[axis]}; the pieces as they lie give {float(real[axis]):.1f} mm."
            yield Problem(
                "centre_of_gravity", "centre_of_gravity_mm", message, float(abs(Fraction(value) - real[axis]))
            )


def _centre_mm(order: Order, plan: PlanView) -> list[Fraction]:
    items = {item.id: item for item in order.items}
    moments, total = [Fraction(0)] * 3, Fraction(0)
    for placed in plan.items:
        for part, weight in part_weights_mg(items[placed.id]).items():
            box = placed.parts[part]
            total += weight
            for axis in range(3):
                moments[axis] += weight * Fraction(box[axis] + box[axis + 3], 2000)
    return [moment / total for moment in moments]


def part_weights_mg(item: Item) -> dict[str, Fraction]:
    """An item's weight by its parts, in milligrams."""
    if isinstance(item, Block):
        return {"block": Fraction(item.weight_mg)}
    handle_mm3 = Fraction(item.handle_length_um * item.handle_width_um * item.handle_thickness_um, 10**9)
    head = Fraction(item.weight_mg) - handle_mm3 * HANDLE_MG_MM3
    if item.head_weight_mg is not None:
        head = Fraction(item.head_weight_mg)
    head = max(head, Fraction(0))
    return {"head": head, "handle": item.weight_mg - head}

"""The checker's door: one plan's content against its order."""

from collections.abc import Mapping
from typing import Any

from packing.check.butts import check_butts
from packing.check.carrying_safety import check_layer_weights, check_sharp_walls, check_stiff_sheets
from packing.check.getting_out import check_lifts, check_notches
from packing.check.grips import check_grips
from packing.check.insert_reader import read_insert
from packing.check.kinds import Answer, Require
from packing.check.layers import check_layers
from packing.check.loose import check_gaps, check_loose
from packing.check.plan_reader import PlanView, Reader, read_nesting
from packing.check.plates import check_plates
from packing.check.poses import check_lying
from packing.check.report import Problem
from packing.check.sheets import check_pockets, check_sheets
from packing.check.stacked_blocks import check_free
from packing.check.stated_figures import check_bound, check_centre, check_copies, check_labels, check_once, check_size
from packing.check.weights import check_box, check_carton, check_cut_list, check_insert_weight, check_weight
from packing.measure import BadInput, Order

RULES: dict[str, str] = {
    "format": "every key there, every value of its type, every length whole micrometres",
    "status": "planned, impossible or not found; without a plan the limit, the item and by how much",
    "order": "id, rules, hash and what is repeated of an item are the order's",
    "once": "every item of the order is packed exactly once, nothing else is",
    "pose": "an item keeps its measures and lies in a pose it may take",
    "turn": "turn and flipped say how the item really lies",
    "mark": "marked_up follows from the mark and from how the tool lies",
    "letter": "every item has its own letter, and the insert uses it",
    "lift_order": "items are lifted out once each, from the top layer down",
    "layer": "layers are listed from the bottom up, hold something, and their items stay within them",
    "floor": "every item stands on its layer's floor",
    "wall": "least material from a pocket to the edge",
    "sharp_wall": "least material from a lying head's sharp end to the edge, where the order asks for it",
    "stiff_sheet": "a stiff sheet under every layer but the lowest, where the order asks for it",
    "max_layer": "heaviest weight of the pieces in one layer, where the order asks for it",
    "web": "least material between the pockets of different items",
    "layer_height": "smallest sum of stock sheets that reaches the need; more within layer_spare where that saves any",
    "base_pad": "thickness under the lowest layer",
    "layer_pad": "thickness between layers",
    "top_pad": "thickness over the highest layer",
    "interior": "length and width are the pockets' extent and two walls; length is not less than width",
    "max_interior": "largest interior allowed",
    "bound": "the lower bound is not above the volume; proven means equal",
    "centre_of_gravity": "centre of gravity of the pieces as they lie",
    "sheets": "the sheets fill the interior's height, have its size, are stock or a pad that stock cannot make",
    "pocket": "a part, or its outline less bite, has room in each sheet it reaches into by more, within its clearance",
    "butt": "10 mm of air beyond a butt, or all that leaves 15 mm to edge and other pockets; the shoulders carry",
    "grip": "a sheet or fill that is lifted out has corners cut off, or a tab of tape; 15 mm stay before a pocket",
    "plate": "a plate stands against its piece in its own slot, leaves 15 mm of foam, is thick enough, weighs its size",
    "notch": "finger room meets its pocket, is as high, keeps wall and web, takes no foam that a head bears on",
    "cover": "a sheet over a piece of its layer is a cover and names the pieces that lie before it is laid on",
    "saddle": "what hangs more than 3 mm is carried; a saddle stays in its pocket and runs into nothing",
    "plug": "more than 3 mm over a head is filled; a plug stays in its pocket and runs into nothing",
    "rest": "as a saddle, of whole thicknesses of thin stock; under a handle one of 60 to 80 mm near the butt",
    "fill": "as a plug, of whole thicknesses of thin stock; one over a handle that has more than 12 mm over it",
    "slice": "a slice of waste only where the order allows it; with thin stock 10 mm or more, at most 160 mm long",
    "lift": "every head has finger room or a tape to lift it by; one from 1.5 kg more than one finger",
    "cut_list": "every sheet and loose piece once, with its sizes",
    "insert_weight": "sheets less their pockets by density, saddles and plugs added, to 1 g or 1 %",
    "box": "the insert goes into the box; the box is larger outside than inside",
    "box_parts": "every piece of the box has the size of its outline and stands in the parts list as it is",
    "box_weight": "blank area by grammage, or every piece by its outline and material, to 1 g or 1 %",
    "weight": "the gross weight and its parts are sums of what the plan lists",
    "tolerance": "2.6 standard deviations of its sources",
    "max_gross": "heaviest gross weight allowed",
}


def check_plan(order: Order, content: Any, *, require: str = "full") -> list[Problem]:
    """Name every broken rule of a plan.

    Parameters
    ----------
    order
        The order as read.
    content
        The plan's content, as `json.load` gives it.
    require
        "full": insert, box and weight must be there and are checked. "nesting": they are left out.

    Returns
    -------
    list of Problem
        Empty where the plan keeps every rule. What cannot be read gives "format" problems and hides what depends on it.

    Raises
    ------
    BadInput
        `require` is neither "full" nor "nesting".

    Notes
    -----
    Exact: lengths are compared as whole micrometres. Cost grows with the square of the number of items. It does not
    judge whether a smaller plan exists, only whether the plan's bound and proof agree with its volume.
    """
    if require not in tuple(Require):
        raise BadInput("require", f"must be full or nesting, not {require!r}.")
    reader = Reader()
    held = reader.mapping(content, "plan")
    if held is None:
        return reader.problems
    if held.get("status") != Answer.PLANNED:
        return [*check_copies(order, held), *_without_plan(order, held)]
    plan = read_nesting(reader, held, layered=order.rules.layered)
    known = {item.id for item in order.items}
    problems = check_copies(order, held)
    if plan is None:
        return reader.problems + problems
    problems += check_once(order, plan)
    problems += check_size(order, plan)
    problems += _check_items(order, plan)
    problems += check_layers(plan, order) if order.rules.layered else check_free(plan, order.rules)
    if order.rules.layered:
        problems += [*check_sharp_walls(plan, order), *check_layer_weights(plan, order)]
    problems += check_bound(reader, held, plan, needed=require == Require.FULL)
    readable = plan.whole and {placed.id for placed in plan.items} <= known
    sound = readable and not any(problem.rule in ("once", "pose") for problem in problems)
    if sound:
        problems += check_centre(reader, held, order, plan)
    if require == Require.FULL:
        problems += _check_rest(reader, held, order, plan, readable=readable)
    return reader.problems + problems


def _check_rest(
    reader: Reader, content: Mapping[str, Any], order: Order, plan: PlanView, *, readable: bool
) -> list[Problem]:
    """Insert, box and weight; what is cut for the items only where every item could be read."""
    problems: list[Problem] = []
    insert = read_insert(reader, content)
    if insert is not None:
        problems += check_sheets(plan, insert, order.rules)
        problems += check_insert_weight(insert)
        problems += check_stiff_sheets(plan, insert, order)
        problems += check_cut_list(reader, insert)
    if insert is not None and readable:
        problems += check_pockets(plan, insert, order)
        problems += check_notches(plan, insert, order.rules)
    if insert is not None and readable and order.rules.layered and plan.layers:
        problems += check_loose(plan, insert, order.rules)
        problems += check_gaps(plan, insert, order.rules)
        problems += check_lifts(plan, insert, order)
        problems += check_butts(plan, insert, order)
        problems += check_grips(plan, insert, order.rules)
        problems += check_plates(reader, plan, insert, order)
    problems += check_box(reader, content, plan)
    problems += check_carton(reader, content, plan)
    problems += check_weight(reader, content, order)
    return problems


def _check_items(order: Order, plan: PlanView) -> list[Problem]:
    items = {item.id: item for item in order.items}
    problems = list(check_labels(order, plan))
    for placed in plan.items:
        if placed.id in items:
            problems += check_lying(items[placed.id], placed)
    return problems


def _without_plan(order: Order, content: Mapping[str, Any]) -> list[Problem]:
    status = content.get("status")
    if status not in ("impossible", "not found"):
        return [Problem("status", "status", f"must be planned, impossible or not found, not {status!r}.")]
    problems = []
    if not isinstance(content.get("limit"), str) or not content["limit"]:
        problems.append(
            Problem("status", "limit", f"must name the limit that is in the way, not {content.get('limit')!r}.")
        )
    item = content.get("item")
    if item not in (None, "") and item not in [known.id for known in order.items]:
        problems.append(Problem("status", "item", f"{item!r} is not in the order."))
    by = content.get("by_mm")
    if by is not None and (isinstance(by, bool) or not isinstance(by, (int, float)) or not by >= 0):
        problems.append(Problem("status", "by_mm", f"must be a length in mm of 0 or more, not {by!r}."))
    return problems

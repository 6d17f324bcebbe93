"""Whole candidates: a nesting with its insert, box and weights, and the content of the plan file."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from packing import __version__
from packing.boxes import BoxDesign, BoxSpec, Infeasible, design_content, heads_of, make_box
from packing.boxes.cartons import NoCarton, carton_content
from packing.boxes.styles.stock_carton import carton_for
from packing.insert import Insert, insert_plan, letter_of, make_insert
from packing.materials import Materials
from packing.measure import (
    BadInput,
    Block,
    Item,
    Order,
    Tool,
    below_practice,
    grams,
    input_sha256,
    mm,
    rules_content,
    warnings_for,
)
from packing.nest import Nesting, Placement, Progress, nest, with_fewer_sheets
from packing.plan import render, to_json
from packing.planning.weight import (
    Weights,
    gross_problem,
    load_of_box,
    weigh_design,
    weights_content,
)
from packing.pose import part_weights_mg
from packing.strength import choose_board
from packing.sureness import fact_content

Price = Callable[[tuple[int, int, int], int], Fraction]
"""Outside in micrometres and gross weight in milligrams to what the carrier charges, in any unit."""

OBJECTIVES = ("volume", "price", "work", "flat")
GROWTH_UM = 4_000
"""A filled, taped box grows 3 to 6 mm (common practice, no source): sizes this far under a step are preferred."""


@dataclass(frozen=True)
class NestingCandidate:
    """One nesting with all that is made from it."""

    nesting: Nesting
    insert: Insert
    box: BoxDesign
    weights: Weights


@dataclass(frozen=True)
class Plan:
    """A planned order, or why there is no plan.

    Parameters
    ----------
    status
        "planned", "impossible" (proved) or "not found" (within the effort).
    content
        The plan file's content: plain JSON values.
    nesting
        The search's answer.
    others
        The candidates that were not chosen.
    """

    status: str
    content: dict[str, Any]
    nesting: Nesting
    others: tuple[NestingCandidate, ...] = ()


def plan_parcel(
    order: Order,
    *,
    seconds: float | None = None,
    effort: int | None = None,
    seed: int = 0,
    aim: str = "volume",
    price: Price | None = None,
    materials: Materials | None = None,
    stop: Callable[[], bool] | None = None,
    progress: Callable[[Progress], None] | None = None,
    several: bool = False,
) -> Plan:
    """Plan one parcel: nest, cut the insert, make the box, weigh, choose.

    Parameters
    ----------
    order
        As read by `read_order`.
    seconds, effort, seed, stop, progress
        See `packing.nest.nest`.
    aim
        "volume": the least interior. "price": the least price, then the least price with the box in its thickest
        stock and grown by 4 mm, then least work, most marked cheeks up, least volume. "work": fewest sheets with
        pockets, then shortest cuts, then least volume. "flat": least outside height, then least volume.
    price
        Needed for "price".
    materials
        Foam, board, sundries and stock cartons; the library's own where not given.
    several
        Whether to hand over the candidates that were not chosen under the aim "volume" too, which needs only one.

    Returns
    -------
    Plan

    Raises
    ------
    BadInput
        An unknown aim, or "price" without a price; no sheet of the board takes a blank of any nesting; see also
        `packing.nest.nest`.
    """
    if aim not in OBJECTIVES:
        raise BadInput("aim", f"must be one of {', '.join(OBJECTIVES)}, not {aim!r}.")
    if aim == "price" and price is None:
        raise BadInput("price", "is missing: the aim “price” needs to know what a carrier charges.")
    materials = materials or Materials()
    pareto_front = several or aim != "volume"
    nesting = nest(
        order, seconds=seconds, effort=effort, seed=seed, stop=stop, progress=progress, pareto_front=pareto_front
    )
    if nesting.status != "planned":
        return Plan(nesting.status, _refusal(order, nesting), nesting)
    found = [nesting, *nesting.others]
    if pareto_front and order.rules.layer_spare_um:
        found += [higher for one in found if (higher := with_fewer_sheets(order, one)) is not None]
    boxed = [_nesting_candidate(order, one, materials) for one in found]
    candidates = [one for one in boxed if isinstance(one, NestingCandidate)]
    if not candidates:
        candidates = [nesting_candidate(order, nesting, materials)]
    allowed = [one for one in candidates if gross_problem(order, one.weights) is None]
    if not allowed:
        lightest = min(candidates, key=lambda one: one.weights.gross_mg)
        return _too_heavy(order, nesting, lightest)
    chosen = min(allowed, key=lambda one: preference(one, order, aim, price))
    used = replace(chosen.nesting, seconds=nesting.seconds, steps=nesting.steps, seed=nesting.seed, others=())
    chosen = replace(chosen, nesting=used)
    others = tuple(one for one in allowed if one.nesting.interior_um != used.interior_um)
    content = plan_content(order, chosen, materials)
    content["box"]["notes"] += _too_weak(chosen, materials)
    return Plan("planned", content, used, others)


def _too_weak(chosen: NestingCandidate, materials: Materials) -> list[str]:
    """A sentence where a rule for board grades does not allow the box: which, with its limit and value."""
    choice = choose_board((materials.board,), lambda _board: load_of_box(chosen.box, chosen.weights))
    if choice.board is None:
        return [f"Do not send it in this board. {choice.reason}"]
    return [choice.reason] if choice.unjudged else []


def nesting_candidate(order: Order, nesting: Nesting, materials: Materials) -> NestingCandidate:
    """Cut the insert, make the box and weigh it for one planned nesting.

    Parameters
    ----------
    order
        The order that was nested.
    nesting
        With status "planned".
    materials
        Foam, board and sundries.

    Returns
    -------
    NestingCandidate
        In a regular slotted case; it may be heavier than `max_gross_g` allows.

    Raises
    ------
    BadInput
        The nesting is not planned; no sheet of the board takes the blank, or it may not be cut so.
    """
    found = _nesting_candidate(order, nesting, materials)
    if isinstance(found, Infeasible):
        raise BadInput("board", render(found.reason))
    return found


def _nesting_candidate(order: Order, nesting: Nesting, materials: Materials) -> NestingCandidate | Infeasible:
    insert = make_insert(order, nesting, materials.foam, tape=materials.supplies.lift_tape)
    box = make_box(
        "0201",
        BoxSpec(nesting.interior_um, materials.board, sheets=len(insert.sheets), heads=heads_of(order, nesting)),
    )
    if isinstance(box, Infeasible):
        return box
    return NestingCandidate(nesting, insert, box, weigh_design(order, insert, box, materials))


def stock_carton_alternative(order: Order, chosen: NestingCandidate, materials: Materials) -> dict[str, Any] | NoCarton:
    """The smallest stock carton that takes a candidate's insert, as the plan's content; or why there is none."""
    nesting, insert = chosen.nesting, chosen.insert
    spec = BoxSpec(
        nesting.interior_um,
        materials.board,
        sheets=len(insert.sheets),
        heads=heads_of(order, nesting),
        foam=materials.foam,
        cartons=materials.cartons,
    )
    choice, design = carton_for(spec), make_box("carton", spec)
    if isinstance(choice, NoCarton):
        return choice
    if isinstance(design, Infeasible):
        return NoCarton(design.reason)
    gross_mg = weigh_design(order, insert, design, materials).gross_mg
    return carton_content(choice, weight_mg=design.weight_mg, gross_mg=gross_mg, notes=design.notes)


def preference(one: NestingCandidate, order: Order, aim: str, price: Price | None = None) -> tuple[Fraction | int, ...]:
    """What an aim holds against a candidate, first things first: the least is chosen; see `plan_parcel`."""
    volume, work = one.nesting.volume_um3, (one.insert.pocketed_sheets, one.insert.cut_um)
    if aim == "work":
        return (*work, volume)
    if aim == "flat":
        return (min(one.box.outer_um), volume)
    if aim == "price" and price is not None:
        length, width, height = one.box.most_um
        grown = (length + GROWTH_UM, width + GROWTH_UM, height + GROWTH_UM)
        gross = one.weights.gross_mg
        down = sum(
            _marked_up(item, placed) is False for item, placed in zip(order.items, one.nesting.placed, strict=True)
        )
        return (price(one.box.outer_um, gross), price(grown, gross), *work, down, volume)
    return (volume,)


def plan_content(order: Order, chosen: NestingCandidate, materials: Materials) -> dict[str, Any]:
    """The plan file's content of a candidate, with a stock carton as the second answer."""
    nesting, insert, box, weights = chosen.nesting, chosen.insert, chosen.box, chosen.weights
    carton = stock_carton_alternative(order, chosen, materials)
    content = _head(order, nesting)
    content.update(
        warnings=warnings_for(order),
        notes=[render(note) for note in insert.notes],
        facts=[fact_content(fact) for fact in below_practice(order)],
        layers=[{"floor_mm": mm(layer.floor_um), "height_mm": mm(layer.height_um)} for layer in nesting.layers],
        items=items_content(order, nesting),
        centre_of_gravity_mm=centre_of_gravity_mm(order, nesting),
        insert=_insert_content(insert),
        box=design_content(box),
        carton=None if isinstance(carton, NoCarton) else carton,
        weight=weights_content(weights),
    )
    if isinstance(carton, NoCarton):
        content["no_carton"] = render(carton.reason)
    return content


def _insert_content(insert: Insert) -> dict[str, Any]:
    """The insert as the plan's content, its sentences written out."""
    planned = insert_plan(insert)
    content = to_json(planned)
    for row, written in zip(planned.cut_list, content["cut_list"], strict=True):
        written["from"] = render(row.source)
    return content


def _head(order: Order, nesting: Nesting) -> dict[str, Any]:
    volume, bound = nesting.volume_um3, nesting.lower_bound_um3
    return {
        "order": order.id,
        "status": nesting.status,
        "interior_mm": [mm(side) for side in nesting.interior_um],
        "lower_bound_mm3": bound // 10**9,
        "proven": nesting.proven,
        "gap": None if bound == 0 else round(volume / bound - 1, 6),
        "seconds": round(nesting.seconds, 3),
        "steps": nesting.steps,
        "seed": nesting.seed,
        "version": __version__,
        "input_sha256": input_sha256(order),
        "rules": rules_content(order.rules),
    }


def _refusal(order: Order, nesting: Nesting) -> dict[str, Any]:
    by_g = {"by_g": grams(nesting.by_mg)} if nesting.by_mg else {}
    return {
        "order": order.id,
        "status": nesting.status,
        "limit": nesting.limit,
        "item": nesting.item,
        "by_mm": mm(nesting.by_um),
        **by_g,
        "message": nesting.message,
        "seconds": round(nesting.seconds, 3),
        "steps": nesting.steps,
        "seed": nesting.seed,
        "version": __version__,
        "input_sha256": input_sha256(order),
    }


def _too_heavy(order: Order, nesting: Nesting, lightest: NestingCandidate) -> Plan:
    """Heavier than `max_gross_g`: impossible where the pieces alone are, else not found."""
    limit = order.rules.max_gross_mg or 0
    status = "impossible" if sum(item.weight_mg for item in order.items) > limit else "not found"
    heaviest = max(order.items, key=lambda item: item.weight_mg).id
    message = gross_problem(order, lightest.weights) or ""
    refused = Nesting(
        status,
        seconds=nesting.seconds,
        steps=nesting.steps,
        seed=nesting.seed,
        limit="max_gross_g",
        item=heaviest,
        by_mg=lightest.weights.gross_mg - limit,
        message=message,
    )
    return Plan(status, _refusal(order, refused), refused)


def items_content(order: Order, nesting: Nesting) -> list[dict[str, Any]]:
    """The items as the plan's content, with their letters and the order of lifting out: highest layer first."""
    lifting = sorted(range(len(order.items)), key=lambda index: (-nesting.placed[index].layer, index))
    lifted = {index: place + 1 for place, index in enumerate(lifting)}
    content = []
    for index, (item, placed) in enumerate(zip(order.items, nesting.placed, strict=True)):
        tool = item if isinstance(item, Tool) else None
        content.append(
            {
                "id": item.id,
                "letter": letter_of(index),
                "kind": "block" if tool is None else "tool",
                "form": None if tool is None else tool.form,
                "sharp": None if tool is None else tool.sharp,
                "weight_g": grams(item.weight_mg),
                "layer": placed.layer if order.rules.layered else None,
                "pose": placed.orientation.pose,
                "turn": placed.orientation.turn,
                "flipped": placed.orientation.flipped,
                "marked_up": _marked_up(item, placed),
                "lift_order": lifted[index],
                "parts": [
                    {
                        "part": part.name,
                        "min_mm": [mm(part.x0), mm(part.y0), mm(part.z0)],
                        "max_mm": [mm(part.x1), mm(part.y1), mm(part.z1)],
                    }
                    for part in placed.parts
                ],
            }
        )
    return content


def _marked_up(item: Item, placed: Placement) -> bool | None:
    if isinstance(item, Block) or item.mark is None or placed.orientation.pose != "flat":
        return None
    return placed.orientation.flipped == (item.mark == "face_right")


def centre_of_gravity_mm(order: Order, nesting: Nesting) -> list[float]:
    """Centre of gravity of the pieces in the interior's frame.

    Parameters
    ----------
    order, nesting
        A planned nesting of the order.

    Returns
    -------
    list of float
        x, y and z in mm, to 0.1 mm; each part's share of the weight in its middle, see `part_weights_mg`.
    """
    moments, total = [Fraction(0)] * 3, Fraction(0)
    for item, placed in zip(order.items, nesting.placed, strict=True):
        for part, share in zip(placed.parts, part_weights_mg(item), strict=True):
            middle = (part.x0 + part.x1, part.y0 + part.y1, part.z0 + part.z1)
            moments = [moment + share * twice / 2 for moment, twice in zip(moments, middle, strict=True)]
            total += share
    return [round(float(moment / total / 1000), 1) for moment in moments]

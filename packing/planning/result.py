"""Answers of planning: a nesting with its insert, box and weights as a plan, or a refusal with its reason."""

from fractions import Fraction

from msgspec import structs

from packing import __version__
from packing.boxes import box_plan
from packing.boxes.cartons import NoCarton
from packing.insert import contact_notes, contact_plans, contacts, insert_plan, letter_of, peak_notes
from packing.measure import Item, Order, Tool, below_practice, input_sha256, warnings_for
from packing.nest import Nesting, Placement
from packing.plan import (
    FactPlan,
    ItemPlan,
    LayerPlan,
    PartBox,
    Plan,
    Refusal,
    Size,
    StockCartonPlan,
    SundryPlan,
    UncertaintyPlan,
    WeightPlan,
)
from packing.plan.kinds import ItemKind, Unit
from packing.planning.candidate import Candidate, marked_up
from packing.planning.weight import Weights
from packing.pose import part_weights_mg
from packing.units import to_tenth_g


def plan_of(order: Order, chosen: Candidate, carton: StockCartonPlan | NoCarton) -> Plan:
    """A candidate as a plan.

    Parameters
    ----------
    order
        The order.
    chosen
        Its nesting with insert, box and weights.
    carton
        The second answer, see `stock_carton_alternative`.

    Returns
    -------
    Plan
        In whole micrometres and milligrams.
    """
    nesting, gap = chosen.nesting, None
    if nesting.lower_bound_um3:
        gap = round(nesting.volume_um3 / nesting.lower_bound_um3 - 1, 6)
    found = contacts(order, nesting, chosen.insert, chosen.weights.gross_mg)
    insert = structs.replace(insert_plan(chosen.insert), contacts=contact_plans(found))
    return Plan(
        order=order.id,
        interior_um=nesting.interior_um,
        lower_bound_mm3=nesting.lower_bound_um3 // 10**9,
        proven=nesting.proven,
        gap=gap,
        seconds=round(nesting.seconds, 3),
        steps=nesting.steps,
        seed=nesting.seed,
        version=__version__,
        input_sha256=input_sha256(order),
        rules=order.rules,
        layers=tuple(LayerPlan(layer.floor_um, layer.height_um) for layer in nesting.layers),
        items=item_plans(order, nesting),
        centre_of_gravity_um=centre_of_gravity_um(order, nesting),
        insert=insert,
        box=box_plan(chosen.design),
        weight=weight_plan(chosen.weights),
        carton=None if isinstance(carton, NoCarton) else carton,
        no_carton=carton.reason if isinstance(carton, NoCarton) else None,
        warnings=tuple(warnings_for(order)),
        notes=(
            *((nesting.message,) if nesting.message.template else ()),
            *chosen.insert.notes,
            *chosen.design.insert_notes,
            *contact_notes(found, order, chosen.insert.foam),
            *peak_notes(found, order, chosen.insert.foam, chosen.weights.gross_mg),
        ),
        facts=tuple(FactPlan(fact.text, fact.source, fact.sureness.value, fact.year) for fact in below_practice(order)),
    )


def refusal_of(order: Order, nesting: Nesting) -> Refusal:
    """Say why a search handed over no plan.

    Parameters
    ----------
    order
        The order.
    nesting
        With another status than "planned".

    Returns
    -------
    Refusal
        With the limit in the way, the item that forces it and by how much.
    """
    return Refusal(
        order=order.id,
        status=nesting.status,
        limit=nesting.limit or "",
        item=nesting.item,
        by_um=nesting.by_um,
        by_mg=nesting.by_mg or None,
        message=nesting.message,
        seconds=round(nesting.seconds, 3),
        steps=nesting.steps,
        seed=nesting.seed,
        version=__version__,
        input_sha256=input_sha256(order),
    )


def item_plans(order: Order, nesting: Nesting) -> tuple[ItemPlan, ...]:
    """List the place of each item.

    Parameters
    ----------
    order, nesting
        A planned nesting of the order.

    Returns
    -------
    tuple of ItemPlan
        In the order's order, with letters; the highest layer is lifted out first.
    """
    lifting = sorted(range(len(order.items)), key=lambda index: (-nesting.placed[index].layer, index))
    lifted = {index: place + 1 for place, index in enumerate(lifting)}
    return tuple(
        _item(item, placed, index, lifted[index], layered=order.rules.layered)
        for index, (item, placed) in enumerate(zip(order.items, nesting.placed, strict=True))
    )


def _item(item: Item, placed: Placement, index: int, lift_order: int, *, layered: bool) -> ItemPlan:
    tool = item if isinstance(item, Tool) else None
    return ItemPlan(
        id=item.id,
        letter=letter_of(index),
        kind=ItemKind.BLOCK if tool is None else ItemKind.TOOL,
        form=None if tool is None else tool.form,
        sharp=None if tool is None else tool.sharp,
        weight_mg=item.weight_mg,
        layer=placed.layer if layered else None,
        pose=placed.orientation.pose,
        turn=placed.orientation.turn,
        flipped=placed.orientation.flipped,
        marked_up=marked_up(item, placed),
        lift_order=lift_order,
        parts=tuple(
            PartBox(part.name, (part.x0, part.y0, part.z0), (part.x1, part.y1, part.z1)) for part in placed.parts
        ),
    )


def centre_of_gravity_um(order: Order, nesting: Nesting) -> Size:
    """Centre of gravity of the pieces in the interior's frame.

    Parameters
    ----------
    order, nesting
        A planned nesting of the order.

    Returns
    -------
    Size
        x, y and z in micrometres, to a tenth of a millimetre; each part's share of the weight in its middle, see
        `part_weights_mg`.
    """
    moments, total = [Fraction(0)] * 3, Fraction(0)
    for item, placed in zip(order.items, nesting.placed, strict=True):
        for part, share in zip(placed.parts, part_weights_mg(item), strict=True):
            middle = (part.x0 + part.x1, part.y0 + part.y1, part.z0 + part.z1)
            moments = [moment + share * twice / 2 for moment, twice in zip(moments, middle, strict=True)]
            total += share
    x, y, z = (round(round(float(moment / total / 1000), 1) * 1000) for moment in moments)
    return x, y, z


def weight_plan(weights: Weights) -> WeightPlan:
    """Turn weights into a part of the plan.

    Parameters
    ----------
    weights
        In milligrams.

    Returns
    -------
    WeightPlan
        Each to a tenth of a gram, so that what is shown adds up.
    """
    return WeightPlan(
        pieces_mg=to_tenth_g(weights.pieces_mg),
        insert_mg=to_tenth_g(weights.insert_mg),
        box_mg=to_tenth_g(weights.box_mg),
        sundries_mg=to_tenth_g(weights.sundries_mg),
        gross_mg=to_tenth_g(weights.gross_mg),
        tolerance_mg=to_tenth_g(weights.tolerance_mg),
        sundries=tuple(
            SundryPlan(
                kind=line.sundry.kind,
                what=line.sundry.what,
                quantity=round(line.amount / 10**6, 3) if line.sundry.unit is Unit.METRE else line.amount,
                unit=line.sundry.unit,
                each_mg=line.sundry.each_mg,
                weight_mg=to_tenth_g(line.weight_mg),
            )
            for line in weights.sundries
        ),
        tolerance=tuple(
            UncertaintyPlan(component.source, to_tenth_g(component.sd_mg), component.why, component.empty)
            for component in weights.uncertainty
        ),
    )

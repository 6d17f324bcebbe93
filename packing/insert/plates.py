"""Plates of plywood that stand between steel and foam where the foam beside it is pressed with too much."""

from collections.abc import Iterable, Sequence

from packing.cushion import Plate
from packing.insert.butt import FLAP_UM, apart
from packing.insert.contact import AXES, Contact, plate_beside
from packing.insert.fitted import grown
from packing.insert.lines import Lines
from packing.insert.model import Insert, Rect, StandingPlate
from packing.materials import STIFF_SHEET
from packing.measure import Order
from packing.nest import Nesting, Placement
from packing.plan.kinds import Part, Side

UPRIGHT = (Side.LEFT, Side.RIGHT, Side.FRONT, Side.BACK)
"""Sides towards which a plate stands in a slot; under and over a piece it would need a bed of its own."""


def standing_plates(
    order: Order, nesting: Nesting, insert: Insert, found: Sequence[Contact]
) -> tuple[StandingPlate, ...]:
    """The plates that an insert without any needs and has room for.

    Parameters
    ----------
    order, nesting
        What is packed, and where.
    insert
        As made without plates, for its pockets.
    found
        Its contacts.

    Returns
    -------
    tuple of StandingPlate
        One for each side of a piece where the foam is pressed with more than it is meant for, as high as what presses.

    Notes
    -----
    A plate stands right against the steel, in a slot that wall and web give: `FLAP_UM` of foam stay to the edge, to
    other pockets and to finger room, and to its own handle where it is wider than the head. Plates of one piece may
    touch each other, but none stands where another does.
    """
    laid: list[StandingPlate] = []
    places = {one.item: one for one in nesting.placed}
    # In the order of contacts: what stands first keeps its place, so that the same plan has the same plates.
    for contact in found:
        if contact.side not in UPRIGHT:
            continue
        one = places[contact.item]
        plate = plate_beside(order.items[contact.item], one, insert, AXES[contact.side][0], contact.stress_pa)
        if plate is None:
            continue
        rect = _footprint(one, contact.side, plate)
        lines = Lines(order.rules.step)
        slot = (lines.down(rect[0]), lines.down(rect[1]), lines.up(rect[2]), lines.up(rect[3]))
        if not _has_room(order, insert, one, slot, laid):
            continue
        head = one.parts[0]
        volume = plate.length_um * plate.width_um * plate.thickness_um
        laid.append(
            StandingPlate(
                f"PL{len(laid) + 1}",
                one.item,
                one.layer,
                contact.side,
                Part(head.name),
                rect,
                slot,
                head.z0,
                head.z1,
                AXES[contact.side][0],
                STIFF_SHEET.weight_mg(volume),
            )
        )
    return tuple(laid)


def _footprint(one: Placement, side: Side, plate: Plate) -> Rect:
    """Its footprint: against the head, in the middle of it."""
    axis, sign = AXES[side]
    head = grown(one.parts[0], 0)
    across = 1 - axis
    # In the middle of what presses, so that it reaches out as far on both sides.
    start = (head[across] + head[across + 2] - plate.length_um) // 2
    near = head[axis + 2] if sign > 0 else head[axis] - plate.thickness_um
    far = near + plate.thickness_um
    return (near, start, far, start + plate.length_um) if axis == 0 else (start, near, start + plate.length_um, far)


def _has_room(order: Order, insert: Insert, one: Placement, slot: Rect, laid: Iterable[StandingPlate]) -> bool:
    rules, (length, width) = order.rules, insert.size_um
    edge = min(slot[0], slot[1], length - slot[2], width - slot[3])
    if edge < min(rules.wall_um, FLAP_UM):
        return False
    own = grown(one.parts[0], insert.fit_um)
    wider = (slot[0] < own[0] and slot[2] > own[2]) or (slot[1] < own[1] and slot[3] > own[3])
    flap = min(rules.web_um, FLAP_UM)
    for sheet in insert.sheets:
        for pocket in sheet.pockets if sheet.layer == one.layer else ():
            mine = pocket.item == one.item
            if mine and pocket.part in (Part.HEAD, Part.BLOCK):
                continue
            # Beside its own handle a plate no wider than the head takes no foam that the handle lies against.
            keep = 0 if mine and pocket.part is Part.HANDLE and not wider else flap
            if apart(slot, pocket.rect) < keep:
                return False
    # Plates of one piece may meet at its corner, where each needs its own slot; to those of others foam is left.
    return all(row.layer != one.layer or apart(slot, row.slot) >= flap * (row.item != one.item) for row in laid)

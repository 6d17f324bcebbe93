"""Notes for the maker of an insert, in sentences."""

from collections.abc import Sequence

from packing.insert.loose import LooseFoam
from packing.insert.model import Rect, Sheet
from packing.measure import Order, Tool
from packing.nest import Nesting, Placement
from packing.plan import Length, Message, Name, Series
from packing.plan.kinds import Part, SheetRole
from packing.pose import Part as PlacedPart

BETWEEN_UM = 20_000
"""Foam from steel to what lies beneath it in the layer below, without a stiff sheet (common practice, no source)."""
_LEFT_OPEN = {
    Part.HEAD: "No thin stock fills {gap} at the head of {piece}: pack it so that it cannot move.",
    Part.HANDLE: "No thin stock fills {gap} at the handle of {piece}: pack it so that it cannot move.",
    Part.BLOCK: "No thin stock fills {gap} at {piece}: pack it so that it cannot move.",
}


def insert_notes(order: Order, nesting: Nesting, sheets: Sequence[Sheet]) -> list[Message]:
    """Sentences on the stack: pads that are missing, a stiff sheet where heads lie over pockets, a box of boxes."""
    if not nesting.layers:
        return [
            Message(
                "The boxes between the pads hold each other: fill what is left between them with paper or foam waste."
            )
        ]
    notes = []
    roles = {sheet.role for sheet in sheets}
    if SheetRole.BASE not in roles:
        notes.append(Message("Without a base pad the pieces lie on the box's bottom."))
    if SheetRole.TOP not in roles:
        notes.append(Message("Without a top pad the pieces lie against the box's lid."))
    if len(nesting.layers) > 1:
        under = [(depth, one) for one in nesting.placed if (depth := _foam_beneath(order, one, sheets)) is not None]
        near = [(depth, one) for depth, one in under if depth < BETWEEN_UM]
        if SheetRole.BETWEEN in roles and near:
            advice = Message(
                "A pad between layers carries heads over the pockets below: from {pieces} down to the next pocket "
                "there is as little as {least} of foam, and {want} are usual. Make its top a stiff sheet, such as "
                "{ply} plywood or double-wall board, within the same thickness, or the pad so much thicker (common "
                "practice, no source).",
                pieces=Series(tuple(Name(order.items[one.item].id) for _, one in near)),
                least=Length(min(depth for depth, _ in near)),
                want=Length(BETWEEN_UM),
                ply=Length(6_000),
            )
            notes.append(advice)
        elif SheetRole.BETWEEN not in roles:
            notes.append(Message("Without a pad between layers the upper pieces lie straight on the layer below."))
    return notes


def _foam_beneath(order: Order, one: Placement, sheets: Sequence[Sheet]) -> int | None:
    """Foam from a tool's head down to a pocket of a layer below, or to a stiff sheet, which ends the matter: None."""
    if one.layer <= 0 or not isinstance(order.items[one.item], Tool):
        return None
    head = one.parts[0]
    below = sorted((s for s in sheets if s.top_um <= head.z0 and s.layer != one.layer), key=lambda s: -s.top_um)
    # From the top down: the first thing met decides.
    for sheet in below:
        if sheet.material is not None:
            return None
        if any(_meets(pocket.rect, head) for pocket in sheet.pockets):
            return head.z0 - sheet.top_um
    return None


def _meets(rect: Rect, head: PlacedPart) -> bool:
    return rect[0] < head.x1 and head.x0 < rect[2] and rect[1] < head.y1 and head.y0 < rect[3]


def left_open(order: Order, loose: LooseFoam) -> list[Message]:
    """List the gaps that no stock fills, piece by piece."""
    return [
        Message(_LEFT_OPEN[part], piece=order.items[item].id, gap=Length(gap_um))
        for item, part, gap_um in loose.left_open
    ]

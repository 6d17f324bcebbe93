"""Notes for the maker of an insert, in sentences."""

from collections.abc import Sequence

from packing.insert.loose import LooseFoam
from packing.insert.model import Sheet
from packing.measure import Order, Tool
from packing.nest import Nesting
from packing.plan import Length, Message
from packing.plan.kinds import Part, SheetRole

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
        heads = any(isinstance(order.items[one.item], Tool) for one in nesting.placed if one.layer > 0)
        if SheetRole.BETWEEN in roles and heads and not order.rules.stiff_sheet_um:
            advice = Message(
                "A pad between layers carries heads over the pockets below: make its top a stiff sheet, such as {ply} "
                "plywood or double-wall board, within the same thickness (common practice, no source).",
                ply=Length(6_000),
            )
            notes.append(advice)
        elif SheetRole.BETWEEN not in roles:
            notes.append(Message("Without a pad between layers the upper pieces lie straight on the layer below."))
    return notes


def left_open(order: Order, loose: LooseFoam) -> list[Message]:
    """List the gaps that no stock fills, piece by piece."""
    return [
        Message(_LEFT_OPEN[part], piece=order.items[item].id, gap=Length(gap_um))
        for item, part, gap_um in loose.left_open
    ]

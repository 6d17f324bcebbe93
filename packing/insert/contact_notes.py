"""Notes for the packer on pressure on foam: where it is too high, what helps, where foam is too thin."""

from collections.abc import Iterable, Sequence

from packing.insert.contact import Contact
from packing.materials import Foam
from packing.measure import Order, Tool
from packing.messages import Figure, Length, Message, Name, Quantity, Series
from packing.plan.kinds import FoamVerdict, Side


def contact_notes(found: Sequence[Contact], order: Order, foam: Foam) -> list[Message]:
    """Say where foam is pressed with too much and where it is too thin.

    Parameters
    ----------
    found
        Contacts of one insert.
    order
        As read by `read_order`.
    foam
        With the stress that it is meant for, in pascals.

    Returns
    -------
    list of Message
        For the packer; empty where nothing is to be said.
    """
    notes = []
    over = [one for one in found if one.verdict is FoamVerdict.OVER]
    if over and foam.stress_pa is not None:
        most = max(one.stress_pa for one in over)
        notes.append(
            Message(
                "With the box on its {sides} the foam is pressed with up to {stress} by {pieces}; it is meant for "
                "{most} (areas of contact are estimated). {remedy} A computed pressure is no test: try the box with "
                "scrap steel of the same weight; makers' data and local rules decide.",
                sides=_row(_SIDE_NAMES[side] for side in Side if any(one.side is side for one in over)),
                pieces=_row(Name(order.items[item].id) for item in dict.fromkeys(one.item for one in over)),
                stress=_pressure(most),
                most=_pressure(foam.stress_pa[1]),
                remedy=_remedy(over, order),
            )
        )
    laid = [one for one in found if one.laid is not None]
    if laid:
        notes.append(
            Message(
                "Plates of plywood stand upright in slots of their own between {pieces} and the foam beside them: "
                "saw them as listed, break their edges, and wrap the steel, because bare steel must not touch wood.",
                pieces=_row(Name(order.items[item].id) for item in dict.fromkeys(one.item for one in laid)),
            )
        )
    thin = [one for one in found if one.thin]
    if thin:
        least = min(thin, key=lambda one: one.thickness_um)
        notes.append(
            Message(
                "Towards the {sides} there is as little as {least} of foam for {pieces}; a fall from the height for "
                "this weight asks for {needed} (ISTA 1A, derived).",
                pieces=_row(Name(order.items[item].id) for item in dict.fromkeys(one.item for one in thin)),
                least=Length(least.thickness_um),
                sides=_row(_SIDE_NAMES[side] for side in Side if any(one.side is side for one in thin)),
                needed=Length(least.needed_um or 0),
            )
        )
    return notes


def _remedy(over: Sequence[Contact], order: Order) -> Message:
    """The remedy for too much pressure: an outline first, then a plate between steel and foam, then denser foam."""
    # Along the sheets a head bears on more in a pocket cut to its outline.
    sideways = [order.items[one.item] for one in over if one.side not in (Side.BOTTOM, Side.TOP)]
    square = any(isinstance(item, Tool) and item.outline is None for item in sideways)
    plates = [(one.stress_pa, one.item, one.plate) for one in over if one.plate is not None]
    if not plates:
        return Message("Give the tool its outline or take denser foam." if square else "Take denser foam.")
    _, worst, plate = max(plates, key=lambda row: row[0])
    template = (
        "Give the tool its outline, or put a plate between steel and foam there (for {piece} plywood of {length} by "
        "{width}, {thick} thick), or take denser foam."
        if square
        else "Put a plate between steel and foam there (for {piece} plywood of {length} by {width}, {thick} thick), or "
        "take denser foam."
    )
    return Message(
        template,
        piece=Name(order.items[worst].id),
        length=Length(plate.length_um),
        width=Length(plate.width_um),
        thick=Length(plate.thickness_um),
    )


_SIDE_NAMES = {side: Message(side.value) for side in Side}


def _row(parts: Iterable[Quantity]) -> Series:
    return Series(tuple(parts))


def _pressure(pa: int) -> Figure:
    """In kilopascals, and in pounds per square inch for those who read a maker's sheet in these."""
    return Figure(f"{pa / 1000:.1f} kPa ({pa / 6894.757:.2f} psi)")

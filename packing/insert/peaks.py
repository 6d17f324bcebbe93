"""Notes on falls by a maker's curve: how hard the foam stops each piece, and where the curve says nothing."""

from collections.abc import Iterable, Sequence

from packing.cushion import FRAGILITY_G, drop_height_um
from packing.insert.contact import Contact
from packing.materials import Foam
from packing.measure import Order
from packing.messages import Figure, Length, Message, Name, Series
from packing.plan.kinds import Side

_STOPS = (
    "By its maker's curve the foam stops {piece} with {peak} g when the box falls from {height} on its {side}, the "
    "worst of its sides that the curve was measured for; rugged things bear {most} g (a handbook's class, from "
    "memory). A computed drop is no test: try the box with scrap steel of the same weight; makers' data and local "
    "rules decide."
)
_OUTSIDE = (
    "The maker's curve was measured for energies from {least} to {most} kJ/m³: it says nothing of {pieces} with the "
    "box on its {sides}, from {low} to {high}."
)


def peak_notes(found: Sequence[Contact], order: Order, foam: Foam, gross_mg: int) -> list[Message]:
    """Say how hard the foam stops a piece in a fall, as far as its maker's curve was measured.

    Parameters
    ----------
    found
        Contacts of one insert.
    order
        As read by `read_order`.
    foam
        With or without a curve.
    gross_mg
        Gross weight of the box, which decides the height of fall.

    Returns
    -------
    list of Message
        Empty without a curve and beyond the table of heights.
    """
    height = drop_height_um(gross_mg)
    if foam.curve is None or height is None:
        return []
    # A curve is read by pressure and thickness: without either there is nothing to ask it.
    falls = [one for one in found if one.thickness_um > 0 and one.stress_pa > 0]
    peaks = [(peak, one) for one in falls if (peak := foam.curve.peak_g(one.stress_pa, height, one.thickness_um))]
    notes = []
    if peaks:
        peak, worst = max(peaks, key=lambda row: row[0])
        notes.append(
            Message(
                _STOPS,
                piece=Name(order.items[worst.item].id),
                peak=Figure(f"{peak:.0f}"),
                height=Length(height),
                side=Message(worst.side.value),
                most=Figure(str(FRAGILITY_G)),
            )
        )
    inside = {(one.item, one.side) for _, one in peaks}
    outside = [one for one in falls if (one.item, one.side) not in inside]
    if outside:
        # The energy of the fall by volume of foam is what the ends of a curve are measured in.
        energies = [one.stress_pa * height / one.thickness_um for one in outside]
        notes.append(
            Message(
                _OUTSIDE,
                least=_kilojoules(foam.curve.least),
                most=_kilojoules(foam.curve.most),
                pieces=_names(order.items[item].id for item in dict.fromkeys(one.item for one in outside)),
                sides=Series(tuple(Message(side.value) for side in Side if any(one.side is side for one in outside))),
                low=_kilojoules(min(energies)),
                high=_kilojoules(max(energies)),
            )
        )
    return notes


def _names(ids: Iterable[str]) -> Series:
    return Series(tuple(Name(one) for one in ids))


def _kilojoules(joules: float) -> Figure:
    return Figure(f"{joules / 1000:.1f}")

"""Sundries in a box besides pieces, insert and box: tape, papers, wraps, guards, thin foam."""

from dataclasses import dataclass

from packing.boxes import BoxDesign
from packing.insert import Insert
from packing.materials import STIFF_SHEET, Foam, Sundry, Supplies
from packing.measure import Order, Tool
from packing.plan import Message
from packing.plan.kinds import Sharp, SundryKind, Unit
from packing.units import half_up, to_tenth_g

_SHARP_ENDS = {Sharp.NONE: 0, Sharp.FAR: 1, Sharp.BOTH: 2}
"""Guards that a tool needs."""


@dataclass(frozen=True, slots=True)
class SundryLine:
    """So much of one sundry.

    Parameters
    ----------
    sundry
        What it is.
    amount
        Micrometres where it is counted in metres, else how many.
    """

    sundry: Sundry
    amount: int

    @property
    def weight_mg(self) -> int:
        """Milligrams, to the nearest tenth of a gram."""
        if self.sundry.unit is Unit.METRE:
            return to_tenth_g(half_up(self.amount * self.sundry.each_mg, 10**6))
        return to_tenth_g(self.amount * self.sundry.each_mg)


def usual_sundries(
    order: Order, insert: Insert, box: BoxDesign, supplies: Supplies | None = None
) -> tuple[SundryLine, ...]:
    """List the sundries of this order's pieces.

    Parameters
    ----------
    order
        One wrap for each tool, one edge guard for each sharp end.
    insert
        Its lift tapes, its fills and rests, its plates.
    box
        Its closing tape.
    supplies
        The shop's own, or the usual one.

    Returns
    -------
    tuple of SundryLine
        Lines with nothing in them are left out.

    Notes
    -----
    Pieces are measured with their edge guard on and weighed without it. A shop that weighs with the guard on sets its
    guard's weight to 0.
    """
    supplies = supplies or Supplies()
    tools = [item for item in order.items if isinstance(item, Tool)]
    edges = sum(_SHARP_ENDS[tool.sharp] for tool in tools)
    lines = (
        SundryLine(supplies.closing_tape, box.tape_um),
        SundryLine(supplies.papers, supplies.paper_sheets),
        SundryLine(supplies.wrap, len(tools)),
        SundryLine(supplies.edge_guard, edges),
        SundryLine(supplies.lift_tape, insert.tape_um),
        SundryLine(
            foam_line(SundryKind.THIN_FOAM, Message("fills and rests of thin foam"), insert.thin_mg, insert.foam),
            min(1, insert.thin_mg),
        ),
        SundryLine(
            foam_line(SundryKind.PLATES, Message("plates of plywood"), insert.plates_mg, STIFF_SHEET),
            min(1, insert.plates_mg),
        ),
    )
    # What there is none of does not stand on the paper.
    return tuple(line for line in lines if line.amount)


def foam_line(kind: SundryKind, what: Message, weight_mg: int, foam: Foam) -> Sundry:
    """Foam of a weight that rides along, with the spread of its density."""
    return Sundry(kind, what, Unit.EACH, weight_mg, foam.spread, "by volume and density")

"""The specification of a box, and the room it leaves round the insert."""

from dataclasses import dataclass, field, replace

from packing.boxes.piece import Size
from packing.materials import (
    ALLOWANCES,
    C_FLUTE,
    PE_FOAM,
    Allowance,
    Board,
    Carton,
    Foam,
    Joinery,
)
from packing.measure import BadInput, Order, Step, Tool, mm, up_to_step
from packing.messages import Length, Message
from packing.nest import Nesting
from packing.plan import FactPlan

FIT_UM = (2_000, 2_000, 2_000)
"""Inside over the insert, each way: 2 to 3 mm (common practice, no source)."""
DRIFT_UM = 500
PRESSED_UM = 3_000
DRIFT = FactPlan(
    Message(
        "A stack of foam sheets comes out a little higher with each sheet ({drift}); a pressed top pad takes up "
        "{pressed} of it, the box is made higher by the rest.",
        drift=Length(DRIFT_UM),
        pressed=Length(PRESSED_UM),
    ),
    "common practice, no source",
    "practice",
)


@dataclass(frozen=True, slots=True)
class BoxSpec:
    """The specification of a box.

    Parameters
    ----------
    interior_um
        Length, width, height of the insert; length not less than width.
    board
        Corrugated board to make it of.
    sheets
        How many sheets lie in the insert's stack.
    fit_um
        Room each way; None for the usual room, more in height for a high stack.
    heads
        From where to where along the length the heads of the lowest layer lie, in the interior's frame.
    contents_mg
        Pieces, insert and sundries.
    foam, cartons
        For a stock carton: what fills it, what there is.
    allowances, joinery
        See there.
    lid_depth_um
        Depth of a partial telescope's lid; None for a third of the height, 40 mm at least.
    step
        What the inside, or what is cut for it, is a whole multiple of; None: any size.
    cut_step
        What is cut alone is a whole multiple of, where the inside is not; see `with_panels_on_step`.
    """

    interior_um: Size
    board: Board = C_FLUTE
    sheets: int = 1
    fit_um: Size | None = None
    heads: tuple[tuple[int, int], ...] = ()
    contents_mg: int = 0
    foam: Foam = PE_FOAM
    cartons: tuple[Carton, ...] = ()
    allowances: tuple[Allowance, ...] = ALLOWANCES
    joinery: Joinery = field(default_factory=Joinery)
    lid_depth_um: int | None = None
    step: Step | None = None
    cut_step: Step | None = None

    @property
    def room_um(self) -> Size:
        """The room that is left round the insert, with what brings the inside to a whole step."""
        room = fit_for(self.sheets) if self.fit_um is None else self.fit_um
        length, width, height = (
            up_to_step(side + more, self.step) - side for side, more in zip(self._sides_um, room, strict=True)
        )
        return length, width, height

    @property
    def _sides_um(self) -> Size:
        return max(self.interior_um[:2]), min(self.interior_um[:2]), self.interior_um[2]

    @property
    def inner_um(self) -> Size:
        """The least inside, room included.

        Raises
        ------
        BadInput
            A side of the interior is not greater than zero, or the room is less than none.
        """
        if min(self.interior_um) <= 0:
            raise BadInput(
                "interior", f"must be greater than zero each way, not {[mm(v) for v in self.interior_um]} mm."
            )
        if min(self.room_um) < 0:
            raise BadInput("fit", f"must be zero or more each way, not {[mm(v) for v in self.room_um]} mm.")
        length, width, height = self._sides_um
        room = self.room_um
        return length + room[0], width + room[1], height + room[2]


def with_tolerance_room(spec: BoxSpec, loss_um: Size) -> BoxSpec:
    """The need with room enough for stock as thick as its tolerance allows.

    Parameters
    ----------
    spec
        A room of its own is kept as it is.
    loss_um
        By how much the inside is smaller then, length, width, height.

    Returns
    -------
    BoxSpec
        Its room each way is the usual one, or the loss where that is more: the insert goes in all the same.

    Notes
    -----
    Creases and saw cuts are where they are, whatever the stock: a fold takes half of what it is thicker from the inside
    and adds half outside; a panel between two others takes or adds the whole.
    """
    if spec.fit_um is not None:
        return spec
    usual = replace(spec, step=None).room_um
    length, width, height = (max(room, loss) for room, loss in zip(usual, loss_um, strict=True))
    return replace(spec, fit_um=(length, width, height))


def with_panels_on_step(spec: BoxSpec, added_um: Size, *, times: tuple[int, int, int] = (1, 1, 1)) -> BoxSpec:
    """The need with room so that panels, so much longer than the inside each way, come to whole steps.

    Parameters
    ----------
    spec
        Its `step` says which; without one it stays as it is.
    added_um
        What a panel is longer than the inside: length, width, height.
    times
        How many steps each is a multiple of: 2 for a panel that two flaps halve.

    Returns
    -------
    BoxSpec
        Its inside need not be of whole steps any more; `cut_step` is the step of what is cut.
    """
    if spec.step is None:
        return spec
    bare = replace(spec, step=None)
    length, width, height = (
        up_to_step(inside + more, spec.step, times=count) - more - inside + room
        for inside, more, count, room in zip(bare.inner_um, added_um, times, bare.room_um, strict=True)
    )
    return replace(bare, fit_um=(length, width, height), cut_step=spec.step)


def fit_for(sheets: int) -> Size:
    """Room over an insert of so many sheets: the usual 2 mm each way, in height also what a high stack drifts.

    Parameters
    ----------
    sheets
        How many, 0 or more.

    Returns
    -------
    tuple of int
        Length, width, height in micrometres: see `DRIFT`.
    """
    return FIT_UM[0], FIT_UM[1], FIT_UM[2] + max(0, sheets * DRIFT_UM - PRESSED_UM)


def heads_of(order: Order, nesting: Nesting) -> tuple[tuple[int, int], ...]:
    """From where to where along the length the heads of the lowest layer lie.

    Parameters
    ----------
    order, nesting
        A planned nesting of the order.

    Returns
    -------
    tuple of pairs
        In the interior's frame; blocks are left out, they are not dense.
    """
    return tuple(
        (one.parts[0].x0, one.parts[0].x1)
        for one in nesting.placed
        if one.layer <= 0 and isinstance(order.items[one.item], Tool)
    )


def refuse_small(spec: BoxSpec, order: Order) -> None:
    """Refuse an interior into which a piece of the order cannot go.

    Parameters
    ----------
    spec
        Its interior in micrometres.
    order
        As read by `read_order`.

    Raises
    ------
    BadInput
        Naming the piece, the side that is too long and the room there is.

    Notes
    -----
    Sides are compared in order of length, the least that must hold: it is no proof that the piece goes in.
    """
    sides = sorted(spec.interior_um, reverse=True)
    for item in order.items:
        if isinstance(item, Tool):
            thick = max(item.head_width_um, item.handle_thickness_um)
            own = [item.head_length_um, item.head_height_um + item.handle_length_um, thick]
        else:
            own = [item.length_um, item.width_um, item.height_um]
        for place, side in zip(("longest", "second", "shortest"), sorted(own, reverse=True), strict=True):
            room = sides[("longest", "second", "shortest").index(place)]
            if side > room:
                raise BadInput(
                    "interior", f"must take {item.id}, whose {place} side is {mm(side)} mm; it has {mm(room)} mm there."
                )

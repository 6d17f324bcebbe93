"""An insert: sheets with pockets, loose pieces, lifts and the list to cut them by."""

from dataclasses import dataclass
from typing import NamedTuple

from packing.materials import Foam
from packing.messages import Message
from packing.plan.kinds import Axis, Grip, LiftKind, LooseKind, Part, SheetRole, Side
from packing.polygon import Polygon

CORNER_CUT_OFF_UM = 20_000
"""Cut off a corner along each side, so that a finger gets under (common practice, no source)."""
Rect = tuple[int, int, int, int]
"""x0, y0, x1, y1 in micrometres, in the interior's frame."""


def letter_of(index: int) -> str:
    """Name the order's item with an index by a letter.

    Parameters
    ----------
    index
        From 0.

    Returns
    -------
    str
        A to Z, then AA, AB and so on.
    """
    letters = ""
    # Counted from 1, since these figures have no nought: AA follows Z.
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


class Hole(NamedTuple):
    """The edge of a hole: a rectangle, or within it a figure with straight sides.

    Parameters
    ----------
    rect
        The least rectangle that holds it, in micrometres.
    outline
        Corners counter-clockwise, as a knife cuts it; empty where the rectangle is the hole.
    traced
        All corners, as a machine cuts it; empty where they are the same.
    """

    rect: Rect
    outline: Polygon = ()
    traced: Polygon = ()


@dataclass(frozen=True, slots=True)
class Pocket:
    """One hole in one sheet.

    Parameters
    ----------
    item
        Index of the order's item it is for.
    part
        The part of the item, or the notch beside it.
    rect
        Its corners in micrometres; of an outline the least rectangle that holds it.
    outline, traced
        See `Hole`.
    """

    item: int
    part: Part
    rect: Rect
    outline: Polygon = ()
    traced: Polygon = ()

    @property
    def hole(self) -> Hole:
        """Its edge."""
        return Hole(self.rect, self.outline, self.traced)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of the stack.

    Parameters
    ----------
    id
        "S1" and so on, from the bottom.
    role
        What it does.
    layer
        Index of the layer it belongs to, or None for a pad.
    thickness_um, floor_um
        Micrometres; the floor is above the interior's bottom.
    stock
        False where the thickness is none of the order's stock sheets.
    pockets
        All holes in it, by item, head before handle before notch.
    material
        What it is of, where that is not the insert's foam.
    over
        Items of its layer, by index, that it lies over: they are set in their pockets before it is laid on.
    grip
        What it is lifted out by; None where it stays in the box.
    """

    id: str
    role: SheetRole
    layer: int | None
    thickness_um: int
    floor_um: int
    stock: bool
    pockets: tuple[Pocket, ...] = ()
    material: Foam | None = None
    over: tuple[int, ...] = ()
    grip: Grip | None = None

    @property
    def top_um(self) -> int:
        """Its upper side above the interior's bottom, in micrometres."""
        return self.floor_um + self.thickness_um


@dataclass(frozen=True, slots=True)
class Loose:
    """Foam laid under or over a part: thin stock in whole thicknesses, or a slice of its pocket's waste.

    Parameters
    ----------
    kind
        Fill or rest of thin stock; plug or saddle of waste.
    id
        "F1" and so on for fills, "R1" for rests, "P1" for plugs, "D1" for saddles.
    item, part, layer
        What it holds: index of the item, the part, index of the layer.
    rect
        Its footprint in micrometres.
    z0_um, z1_um
        Its underside and its top above the interior's bottom. Thin stock may be thicker than its gap by what the foam
        gives: it is then pressed into the foam, never drawn into the piece.
    thicknesses_um
        Of its pieces, from the bottom up; their sum is its height.
    weight_mg
        Whole milligrams.
    sheet
        Id of the sheet whose waste a slice is cut from; None for thin stock.
    """

    kind: LooseKind
    id: str
    item: int
    part: Part
    layer: int
    rect: Rect
    z0_um: int
    z1_um: int
    thicknesses_um: tuple[int, ...]
    weight_mg: int
    sheet: str | None = None

    @property
    def grip_um(self) -> int:
        """Cut off one corner of a fill along each side: `CORNER_CUT_OFF_UM`, or a third of a narrow one."""
        x0, y0, x1, y1 = self.rect
        # Whole half millimetres, as everything that is measured at the bench.
        sides = (x1 - x0) // 1500 * 500, (y1 - y0) // 1500 * 500
        return min(CORNER_CUT_OFF_UM, *sides) if self.kind is LooseKind.FILL else 0


@dataclass(frozen=True, slots=True)
class Lift:
    """The lift of a part: a notch for a finger, or a tape under it.

    Parameters
    ----------
    item, layer
        Index of the item and of its layer.
    kind
        Notch or tape.
    rect
        The notch in micrometres; None for a tape.
    length_um, weight_mg
        Of the tape; 0 for a notch.
    along
        The axis along which the tape runs under the head; None for a notch.
    """

    item: int
    layer: int
    kind: LiftKind
    rect: Rect | None = None
    length_um: int = 0
    weight_mg: int = 0
    along: Axis | None = None


@dataclass(frozen=True, slots=True)
class StandingPlate:
    """A plate of plywood that stands between a head, or a block, and the foam beside it.

    Parameters
    ----------
    id
        "PL1" and so on.
    item, layer, side
        What presses on it, in which layer, towards which side of the box.
    part
        The part that presses.
    rect
        Its footprint.
    slot
        Its slot in every sheet that the part reaches into: the footprint, its edges out to the lines of the order's
        step.
    z0_um, z1_um
        Its underside and its top above the interior's bottom.
    axis
        Along which it is thick: 0 for x, 1 for y.
    weight_mg
        Whole milligrams.
    """

    id: str
    item: int
    layer: int
    side: Side
    part: Part
    rect: Rect
    slot: Rect
    z0_um: int
    z1_um: int
    axis: int
    weight_mg: int

    @property
    def thickness_um(self) -> int:
        """Its thickness."""
        return self.rect[self.axis + 2] - self.rect[self.axis]

    @property
    def face_um(self) -> tuple[int, int]:
        """Across and up."""
        return self.rect[3 - self.axis] - self.rect[1 - self.axis], self.z1_um - self.z0_um


@dataclass(frozen=True, slots=True)
class CutRow:
    """One line of the cut list.

    Parameters
    ----------
    what
        What it becomes.
    ids
        What it becomes, once for each piece: a fill of three pieces of thin stock stands there three times.
    thickness_um, size_um, count
        The longer side first, except for sheets, which are length by width.
    source
        Where to cut it from.
    """

    what: LooseKind
    ids: tuple[str, ...]
    thickness_um: int
    size_um: tuple[int, int]
    count: int
    source: Message


@dataclass(frozen=True, slots=True)
class Insert:
    """The stack of sheets that holds the pieces of one parcel, and what is cut besides.

    Parameters
    ----------
    foam, fit_um
        The material, and the room cut around a part on each side.
    item_ids
        Ids of the order's items, in the order's order.
    size_um
        Length and width of every sheet.
    sheets, saddles, plugs, fills, rests, lifts, cut_list, notes
        See there; `notes` are sentences for the plan.
    cut_um
        Length of all pocket outlines, sheet by sheet: what overlaps in a sheet is cut once, and the sheet's own edge
        is no cut.
    sheets_mg
        The sheets less their pockets. `weight_mg` adds saddles and plugs, which come out of those pockets; fills, rests
        and tapes count as sundries.
    butt_air_um
        Air beyond each butt where there is foam to spare; 0 where butts are held as the rest.
    give_um
        How far foam gives under steel.
    grip_um
        Cut off corners of what is lifted out; 0 where nothing is.
    plates, has_plates
        Between steel and foam, they count as sundries; whether they were asked for: then all there is room for stand.
    """

    foam: Foam
    fit_um: int
    item_ids: tuple[str, ...]
    size_um: tuple[int, int]
    sheets: tuple[Sheet, ...]
    saddles: tuple[Loose, ...]
    plugs: tuple[Loose, ...]
    fills: tuple[Loose, ...]
    rests: tuple[Loose, ...]
    lifts: tuple[Lift, ...]
    cut_list: tuple[CutRow, ...]
    cut_um: int
    sheets_mg: int
    notes: tuple[Message, ...]
    butt_air_um: int = 0
    give_um: int = 0
    plates: tuple[StandingPlate, ...] = ()
    has_plates: bool = False
    grip_um: int = 0

    @property
    def weight_mg(self) -> int:
        """Sheets less their pockets, saddles and plugs, in milligrams."""
        return self.sheets_mg + sum(loose.weight_mg for loose in self.saddles + self.plugs)

    @property
    def thin_mg(self) -> int:
        """Fills and rests, in milligrams."""
        return sum(loose.weight_mg for loose in self.fills + self.rests)

    @property
    def plates_mg(self) -> int:
        """Plates, in milligrams."""
        return sum(plate.weight_mg for plate in self.plates)

    @property
    def pocketed_sheets(self) -> int:
        """The number of sheets with pockets: the work at the bench."""
        return sum(1 for sheet in self.sheets if sheet.pockets)

    @property
    def tape_um(self) -> int:
        """Length of all lift tapes together, in micrometres."""
        return sum(lift.length_um for lift in self.lifts)

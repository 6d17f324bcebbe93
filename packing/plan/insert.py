"""The insert in a plan: a stack of sheets with pockets, loose pieces, lifts, and the list to cut them by."""

import msgspec

from packing.messages import Message
from packing.plan.kinds import Axis, FoamVerdict, Grip, LiftKind, LooseKind, Part, SheetRole, Side
from packing.plan.rows import Point, Row, Size


class PocketPlan(Row, frozen=True, omit_defaults=True):
    """One hole in one sheet.

    Parameters
    ----------
    item, letter
        Id and letter of the item it is for.
    part
        Part of the item, or the notch beside it.
    min_um, max_um
        Least and greatest corner in the interior's frame, seen from above; of an outline those of the least rectangle
        that holds it.
    outline_um
        Corners counter-clockwise as a knife cuts it, `outline` in the file; empty where the rectangle is the pocket.
    traced_um
        All corners, as a machine cuts it, `traced` in the file; empty where they are the same.
    """

    item: str
    letter: str
    part: Part
    min_um: Point
    max_um: Point
    outline_um: tuple[Point, ...] = msgspec.field(default=(), name="outline")
    traced_um: tuple[Point, ...] = msgspec.field(default=(), name="traced")


class SheetPlan(Row, frozen=True, omit_defaults=True):
    """One sheet of the stack.

    Parameters
    ----------
    id
        "S1" and so on, from the bottom.
    role
        What it does.
    layer
        Index of the layer it belongs to; None for a pad.
    thickness_um, floor_um
        Micrometres; the floor is above the interior's bottom.
    stock
        False where the thickness is none of the order's stock sheets.
    size_um
        Length and width.
    pockets
        All holes in it.
    material, density_g_m3
        Where they are not the insert's.
    over
        Letters of the pieces that lie under it: they are set in their pockets before it is laid on.
    grip
        What it is lifted out by; None where it stays in the box, and in plans of before.
    """

    id: str
    role: SheetRole
    layer: int | None
    thickness_um: int
    stock: bool
    floor_um: int
    size_um: Point
    pockets: tuple[PocketPlan, ...]
    material: str | None = None
    density_g_m3: int | None = None
    over: tuple[str, ...] = ()
    grip: Grip | None = None

    @property
    def top_um(self) -> int:
        """Upper side above the interior's bottom."""
        return self.floor_um + self.thickness_um


class LoosePlan(Row, frozen=True):
    """Foam laid under or over a part: thin stock as a rest or a fill, waste of its own pocket as a saddle or a plug.

    Parameters
    ----------
    id
        "R1" and so on for rests, "F1" for fills, "D1" for saddles, "P1" for plugs.
    item, letter, part, layer
        What it holds.
    min_um, max_um
        Corners in the interior's frame.
    weight_mg
        Milligrams.
    from_sheets
        Ids of the sheets whose waste a saddle or a plug is, from the bottom up.
    thicknesses_um
        Of the pieces it is made of, from the bottom up: whole thicknesses of thin stock in a rest or a fill. Empty in
        plans made before there were any.
    grip_um
        So much of one corner is cut off along each side, for a finger; 0 where nothing is.
    """

    id: str
    item: str
    letter: str
    part: Part
    layer: int
    min_um: Size
    max_um: Size
    weight_mg: int
    from_sheets: tuple[str, ...] = ()
    thicknesses_um: tuple[int, ...] = ()
    grip_um: int = 0


class LiftPlan(Row, frozen=True, omit_defaults=True):
    """The lift of a piece.

    Parameters
    ----------
    item, letter, layer
        Which piece, and its layer.
    kind
        Notch or tape.
    min_um, max_um
        The notch; None for a tape.
    length_um, along, weight_mg
        The tape; None for a notch.
    """

    item: str
    letter: str
    kind: LiftKind
    layer: int
    min_um: Point | None = None
    max_um: Point | None = None
    length_um: int | None = None
    along: Axis | None = None
    weight_mg: int | None = None


class CutRowPlan(Row, frozen=True):
    """One line of the cut list.

    Parameters
    ----------
    what
        What it becomes.
    ids
        Of the pieces it becomes.
    thickness_um, size_um, count
        The longer side first, except for sheets, which are length by width.
    source
        What to cut it from; "from" in the file.
    """

    what: LooseKind
    ids: tuple[str, ...]
    thickness_um: int
    size_um: Point
    count: int
    source: Message = msgspec.field(name="from")


class ContactPlan(Row, frozen=True, omit_defaults=True):
    """The pressure of one piece on the foam while one side of the box is down.

    Parameters
    ----------
    letter, side
        Which piece, and the side that is down.
    stress_pa
        Greatest static pressure in pascals, from an estimated area of contact.
    thickness_um, needed_um
        Foam there, and what a fall from the height for the gross weight asks for; None beyond the table of heights.
    verdict
        The pressure against the range that the foam is meant for.
    plate_um
        Length, width and thickness of plywood that brings too high a pressure down; None where none is needed or none
        would do.
    plate
        Id of the plate that stands there: the pressure is then what it hands on to the foam.
    """

    letter: str
    side: Side
    stress_pa: int
    thickness_um: int
    needed_um: int | None
    verdict: FoamVerdict
    plate_um: Size | None = None
    plate: str | None = None


class InsertPlan(Row, frozen=True):
    """The stack of sheets that holds the pieces.

    Parameters
    ----------
    material, density_g_m3
        The foam.
    weight_mg
        Sheets less their pockets, with saddles and plugs; fills and rests count as sundries.
    fit_um
        Room cut round a part on each side.
    sheets, saddles, plugs, fills, rests, lifts, cut_list
        See there; sheets from the bottom up.
    cut_length_um
        Length of all pocket cuts.
    pocketed_sheets
        How many sheets have pockets.
    contacts
        Pressure and thickness for each piece on each side of the box.
    grip_um
        How much is cut off along each side at the upper left and the lower right corner, seen from above, of a sheet
        that is lifted out; 0 in plans of before.
    plates
        Plates of plywood between steel and the foam beside it, each in a slot of its own; none in plans of before.
    butt_air_um
        Air beyond each butt where there is foam to spare; 0 in plans made before there was any.
    """

    material: str
    density_g_m3: int
    weight_mg: int
    fit_um: int
    sheets: tuple[SheetPlan, ...]
    saddles: tuple[LoosePlan, ...] = ()
    plugs: tuple[LoosePlan, ...] = ()
    fills: tuple[LoosePlan, ...] = ()
    rests: tuple[LoosePlan, ...] = ()
    lifts: tuple[LiftPlan, ...] = ()
    cut_list: tuple[CutRowPlan, ...] = ()
    cut_length_um: int = 0
    pocketed_sheets: int = 0
    contacts: tuple[ContactPlan, ...] = ()
    butt_air_um: int = 0
    grip_um: int = 0
    plates: tuple[LoosePlan, ...] = ()

    @property
    def loose(self) -> tuple[LoosePlan, ...]:
        """All loose pieces: what lies under the tools first."""
        return self.saddles + self.rests + self.plugs + self.fills

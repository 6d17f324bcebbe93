"""The pieces of a box in a plan: flat pieces to cut, what they are cut from, the hardware that holds them."""

import msgspec

from packing.messages import Message
from packing.plan.kinds import (
    FastenerKind,
    GrooveKind,
    PanelKind,
    PieceRole,
    Shell,
    StockKind,
)
from packing.plan.rows import Point, Row


class LinePlan(Row, frozen=True):
    """A straight line on a piece, such as a crease or a mark."""

    start_um: Point = msgspec.field(name="from_mm")
    end_um: Point = msgspec.field(name="to_mm")


class RectanglePlan(Row, frozen=True):
    """A rectangle on a piece: least and greatest corner."""

    min_um: Point
    max_um: Point


class AreaPlan(Row, frozen=True, omit_defaults=True):
    """A named rectangle on a piece, such as a panel or the joint, and what it becomes when it is folded."""

    name: str
    min_um: Point
    max_um: Point
    kind: PanelKind | None = None


class JointPlan(Row, frozen=True):
    """The joint flap of a blank."""

    min_um: Point
    max_um: Point
    width_um: int


class GroovePlan(Row, frozen=True):
    """A groove or a step cut into the face of a piece, not through it."""

    name: GrooveKind
    min_um: Point
    max_um: Point
    depth_um: int


class HolePlan(Row, frozen=True):
    """The hole of one screw or nail in the face or the edge of a piece.

    Parameters
    ----------
    at_um
        On the piece, seen on the face it is drawn from; on an edge where `edge` is true.
    drill_um
        Drill for it in this piece, the clearance or the pilot hole; 0 where none is drilled.
    row
        Index of its row in the box's hardware.
    edge
        Whether it goes into the edge of the piece and is seen through the face here.
    """

    at_um: Point
    drill_um: int
    row: int
    edge: bool = False


class BoardPlan(Row, frozen=True, omit_defaults=True):
    """Corrugated board as bought.

    Parameters
    ----------
    name, flute, grade, source, sureness
        As on the cut list; where its values come from, how sure they are, "" where that is not known.
    caliper_um, grammage_mg_m2
        Measured thickness; weight of a square metre.
    kind, cut_by
        Where a piece says what it is cut from: board, and how the shop may cut it.
    """

    name: str
    flute: str
    caliper_um: int
    grammage_mg_m2: int
    grade: str
    source: str
    kind: StockKind | None = None
    cut_by: tuple[str, ...] = ()
    sureness: str = ""


class StockPlan(Row, frozen=True, omit_defaults=True):
    """The stock of a piece: board or timber, and how the shop may cut it."""

    kind: StockKind
    name: str
    cut_by: tuple[str, ...]
    source: str = ""
    flute: str = ""
    grade: str = ""
    caliper_um: int | None = None
    grammage_mg_m2: int | None = None
    nominal: str = ""
    thickness_um: int | None = None
    stock_um: Point | None = None
    density_g_m3: int | None = None
    processed: bool | None = None
    kerf_um: int | None = None
    sureness: str = ""


class BlankPlan(Row, frozen=True):
    """The blank of a case in one piece: size across the flutes and along them, outline, creases, slots, panels."""

    size_um: Point
    outline_um: tuple[Point, ...]
    creases: tuple[LinePlan, ...]
    slots: tuple[RectanglePlan, ...]
    panels: tuple[AreaPlan, ...]
    joint: JointPlan
    flap_gap_um: int


class PartPlan(Row, frozen=True):
    """One line of the box's parts list; `weight_mg` is of all its copies."""

    id: str
    what: Message
    material: str
    thickness_um: int
    size_um: Point
    count: int
    weight_mg: int
    grain: Message
    source: Message = msgspec.field(name="from")


class PiecePlan(Row, frozen=True):
    """One flat piece to cut, its lower left corner at the origin.

    Parameters
    ----------
    id, what, material, thickness_um, size_um, count, grain, source
        As in `PartPlan`.
    weight_mg, stock_mg
        Of one; of the rectangle one is cut from.
    stock
        What it is cut from; "stuff" in the file.
    outline_um
        Corners, counter-clockwise.
    creases, slots, panels, joint, grooves, marks
        What else is cut, creased or drawn on it; a cross of marks for each hole.
    role, shell, carton
        What it is, of which box; the name of the stock carton that it is.
    holes
        Where screws and nails are set.
    """

    id: str
    what: Message
    material: str
    thickness_um: int
    size_um: Point
    count: int
    weight_mg: int
    stock_mg: int
    grain: Message
    source: Message = msgspec.field(name="from")
    outline_um: tuple[Point, ...] = ()
    creases: tuple[LinePlan, ...] = ()
    slots: tuple[RectanglePlan, ...] = ()
    panels: tuple[AreaPlan, ...] = ()
    joint: AreaPlan | None = None
    grooves: tuple[GroovePlan, ...] = ()
    marks: tuple[LinePlan, ...] = ()
    stock: StockPlan | None = msgspec.field(name="stuff", default=None)
    role: PieceRole | None = None
    shell: Shell = Shell.BOX
    carton: str = ""
    holes: tuple[HolePlan, ...] = ()


class HardwarePlan(Row, frozen=True):
    """Screws or nails of equal joints.

    Parameters
    ----------
    what, count, weight_mg, where
        Which, how many in all, the weight of all, at which joint.
    spacing_um, first_um, offset_um
        From one to the next; from the joint's end to the first; by how much every second joint is shifted along, so
        that fasteners from both sides pass each other.
    rule
        What the number and the places follow.
    kind, diameter_um, length_um, edge_um
        Screw or nail; of its shank; under its head; from its axis to the nearest face of the holding piece.
    clearance_um, pilot_um
        Drills for the fastened and for the holding piece; 0 where none is drilled.
    """

    what: Message
    count: int
    weight_mg: int
    where: Message
    spacing_um: int
    rule: Message
    kind: FastenerKind | None = None
    first_um: int = 0
    offset_um: int = 0
    diameter_um: int = 0
    length_um: int = 0
    edge_um: int = 0
    clearance_um: int = 0
    pilot_um: int = 0
    source: str = ""
    year: str = ""
    sureness: str = ""

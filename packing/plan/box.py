"""The box in a plan: flat pieces to cut, hardware, steps to put it together, and what was judged of it."""

from decimal import Decimal

import msgspec

from packing.messages import Message
from packing.plan.kinds import (
    ContainerKind,
    CostUnit,
    FactKind,
    FastenerKind,
    FoldName,
    GrooveKind,
    Packaging,
    PanelKind,
    PieceRole,
    PriceKind,
    Shell,
    StockKind,
    TapePattern,
    TreatmentVerdict,
    Verdict,
)
from packing.plan.rows import Point, Row, Size


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
    """Where one screw or nail is set in the face or the edge of a piece.

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
    name, flute, grade, source
        As on the cut list; where its values come from.
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


class StockPlan(Row, frozen=True, omit_defaults=True):
    """What a piece is cut from: board or timber, and how the shop may cut it."""

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


class PanelPlan(Row, frozen=True):
    """A panel or a board in its place: an upright box, its origin at the inside's lower corner.

    Parameters
    ----------
    name, min_um, max_um
        Which; its corners.
    piece
        Id of the piece that it is; "" for a panel of a blank.
    flutes
        Axis along which the flutes of a panel run, 0, 1 or 2; None for wood and in plans made before this was told.
    """

    name: str
    min_um: Size
    max_um: Size
    piece: str = ""
    flutes: int | None = None


class StepPlan(Row, frozen=True):
    """One step of folding or assembling: what to do, what stands there after it, which of that is new, of which box."""

    text: Message
    plates: tuple[PanelPlan, ...] = ()
    new: tuple[str, ...] = ()
    shell: Shell = Shell.BOX


class TapePlan(Row, frozen=True):
    """One strip of tape on the closed box: its middle line over the faces, the lower corner outside at the origin."""

    points_um: tuple[Size, ...]


class ClosingPlan(Row, frozen=True):
    """How the box is closed: a sentence, the pattern of the tape, its length in all, each strip of it."""

    text: Message
    pattern: TapePattern
    tape_um: int
    strips: tuple[TapePlan, ...] = ()


class FoldPlan(Row, frozen=True):
    """A part of the box that folds, and the ids of the pieces it folds from."""

    name: FoldName
    flats: tuple[str, ...]


class CasePlan(Row, frozen=True):
    """The slotted case outside a wooden box: its inside, its flaps and what it weighs empty."""

    inner_um: Size
    flap_gap_um: int
    flap_layers: int
    weight_mg: int


class FactPlan(Row, frozen=True, omit_defaults=True):
    """A rule a maker wants to know, where it comes from, of which year, how sure that is, and what it is about."""

    text: Message
    source: str
    sureness: str
    year: str = ""
    kind: FactKind | None = None


class InputPlan(Row, frozen=True):
    """One figure that went into a check, with its unit."""

    name: Message
    value: Message


class MarkPlan(Row, frozen=True):
    """Where a figure was read, the year of its values, how sure it is."""

    source: str
    year: str = ""
    sureness: str = ""


class CheckPlan(Row, frozen=True):
    """One rule for one board: inputs by name, result and limit with units, verdict, source, the verdict in words.

    `source`, `year` and `sureness` are of all its figures together, as sure as the least sure; `marks` has each.
    """

    rule: str
    verdict: Verdict
    sentence: Message
    inputs: tuple[InputPlan, ...] = ()
    result: str = ""
    limit: str = ""
    source: str = ""
    year: str = ""
    sureness: str = ""
    note: str = ""
    marks: tuple[MarkPlan, ...] = ()


class GradedPlan(Row, frozen=True):
    """One board tried, and what each rule said of it."""

    board: str
    grade: str
    allowed: bool
    checks: tuple[CheckPlan, ...]


class GradePlan(Row, frozen=True):
    """The lightest board that passes, and all that were tried before it."""

    board: BoardPlan | None
    reason: Message
    tried: tuple[GradedPlan, ...]


class TreatmentPlan(Row, frozen=True):
    """What the rules for wood in packaging ask, of which parts, and where that was read."""

    verdict: TreatmentVerdict
    sentence: Message
    parts: tuple[str, ...]
    source: str
    sureness: str
    year: str = ""


class CostLinePlan(Row, frozen=True):
    """So much of one thing at a price; amount and price are None where not known."""

    what: Message
    quantity: Decimal
    unit: CostUnit
    price: Decimal | None
    amount: Decimal | None


class UnpricedPlan(Row, frozen=True):
    """A price or a time that is not known: of what kind, of which row."""

    kind: PriceKind
    name: str = ""


class CostPlan(Row, frozen=True):
    """Material and minutes of one box and its insert in one currency.

    Parameters
    ----------
    currency, lines, minutes, insert_minutes
        What is counted; minutes of all work and of the insert's alone.
    known, total
        Sum of the amounts that are known; the whole, None where one is missing.
    missing, unpriced
        What is missing, as sentences; the same by kind and name, the worth of billed weight with it.
    sending
        Billed weight by what the shop says it is worth; None where it does not say.
    """

    currency: str
    lines: tuple[CostLinePlan, ...]
    minutes: float
    known: Decimal
    total: Decimal | None
    missing: tuple[Message, ...] = ()
    sending: Decimal | None = None
    unpriced: tuple[UnpricedPlan, ...] = ()
    insert_minutes: float = 0


class BoxPlan(Row, frozen=True):
    """The box round the insert.

    Parameters
    ----------
    style, name
        Its code, or our own plain word where the standard has none; its name.
    family, packaging
        What it is made from; what a carrier sees.
    inner_um, outer_um, most_um, fit_um
        Inside; outside when closed; outside in stock as thick as its tolerance allows; room between insert and box.
    weight_mg, fill_mg
        Empty; foam that fills what the insert leaves of a stock carton.
    board, blank
        None for wood; None where there is not just one blank in one piece.
    parts, pieces, hardware
        The list for people; every piece to cut ("flats" in the file); screws and nails.
    steps, closing, folds
        How it is put together, closed and folded.
    flap_gap_um, flap_layers
        Between the inner flaps, 0 where there are none or they meet; layers of flaps at bottom and lid, 0 where the box
        is no slotted case.
    case
        The slotted case outside a wooden box.
    notes, facts
        Sentences for whoever makes or fills it; rules with their sources.
    grade, treatment, cost
        Of a box chosen among offers: checks of its board, of its wood, and what it costs.
    """

    style: str
    name: Message
    family: ContainerKind
    packaging: Packaging
    inner_um: Size
    outer_um: Size
    most_um: Size
    weight_mg: int
    fill_mg: int
    fit_um: Size
    board: BoardPlan | None
    blank: BlankPlan | None
    parts: tuple[PartPlan, ...]
    pieces: tuple[PiecePlan, ...] = msgspec.field(name="flats")
    hardware: tuple[HardwarePlan, ...]
    steps: tuple[StepPlan, ...]
    closing: ClosingPlan
    folds: tuple[FoldPlan, ...]
    flap_gap_um: int
    notes: tuple[Message, ...] = ()
    facts: tuple[FactPlan, ...] = ()
    grade: GradePlan | None = None
    treatment: TreatmentPlan | None = None
    cost: CostPlan | None = None
    flap_layers: int = 0
    case: CasePlan | None = None

    @property
    def slotted(self) -> bool:
        """Whether bottom and lid are flaps."""
        return self.flap_layers > 0

    @property
    def wood_abroad(self) -> Message | None:
        """What the rules for wood ask of it on its way abroad; None where they ask nothing."""
        if self.treatment is None or self.treatment.verdict not in (
            TreatmentVerdict.EXEMPT,
            TreatmentVerdict.MARK_NEEDED,
        ):
            return None
        return self.treatment.sentence

    @property
    def wood_marked(self) -> bool:
        """Whether its wood must be treated and bear the mark."""
        return self.treatment is not None and self.treatment.verdict is TreatmentVerdict.MARK_NEEDED

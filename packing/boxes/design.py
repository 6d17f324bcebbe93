"""What a box of any style is made of: flat pieces to cut, fastenings, steps to put it together."""

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise

from packing.materials import Board, Fastening, Timber, WoodPart
from packing.measure import BadInput, mm
from packing.plan import FactPlan
from packing.plan.kinds import (
    ContainerKind,
    FastenerKind,
    GrooveKind,
    Packaging,
    PanelKind,
    PieceRole,
    Shell,
    TapePattern,
)
from packing.plan.messages import Length, Message, verbatim

Point = tuple[int, int]
Size = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Area:
    """A named rectangle of the blank: least and greatest corner in micrometres, and what it becomes when folded."""

    name: str
    low: Point
    high: Point
    kind: PanelKind | None = None


@dataclass(frozen=True, slots=True)
class Groove:
    """A channel or step that is cut into the face of a piece, not through it.

    Parameters
    ----------
    name
        A groove, or a step: a rebate that leaves a tongue.
    low, high
        Its rectangle on the piece.
    depth_um
        From the face down.
    """

    name: GrooveKind
    low: Point
    high: Point
    depth_um: int

    @property
    def volume_um3(self) -> int:
        """What it takes out of the piece."""
        return (self.high[0] - self.low[0]) * (self.high[1] - self.low[1]) * self.depth_um


@dataclass(frozen=True, slots=True)
class Hole:
    """Where a screw or nail is set in a piece.

    Parameters
    ----------
    at
        On the piece.
    drill_um
        The drill for this piece; 0 where none is drilled.
    row
        Index of its row in the design's hardware.
    edge
        Whether it goes into the piece's edge; its place along the edge is told on the face.
    """

    at: Point
    drill_um: int
    row: int
    edge: bool = False


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One flat piece to cut, drawn with its lower left corner at the origin.

    Parameters
    ----------
    id, role
        "X1" and so on in the order of cutting; what it is.
    material
        Board or timber it is cut from.
    size_um
        Across the flutes and along them; for wood along the grain and across it.
    count
        How many alike.
    outline
        Corners, counter-clockwise.
    creases, slots, panels, joint
        Fold lines, each from one point to another; slots; panels, then the flaps; the flap that is glued or stitched to
        another panel, None where nothing is joined.
    grooves
        See `Groove`.
    marks
        Lines to mark beside the crosses of its holes.
    source
        What to cut it from; the stock's name where not given.
    carton
        Name of the stock carton that it is.
    shell
        Which of two boxes it belongs to.
    holes
        Where screws and nails are set.
    """

    id: str
    role: PieceRole
    material: Board | Timber
    size_um: tuple[int, int]
    count: int
    outline: tuple[Point, ...]
    creases: tuple[tuple[Point, Point], ...] = ()
    slots: tuple[Area, ...] = ()
    panels: tuple[Area, ...] = ()
    joint: Area | None = None
    grooves: tuple[Groove, ...] = ()
    marks: tuple[tuple[Point, Point], ...] = ()
    source: Message | None = None
    carton: str = ""
    shell: Shell = Shell.BOX
    holes: tuple[Hole, ...] = ()

    @property
    def what(self) -> Message:
        """What it is, in words."""
        if self.carton:
            return Message("carton {name}", name=self.carton)
        name = Message(self.role.value)
        return Message("outer {piece}", piece=name) if self.shell is Shell.CASE else name

    @property
    def thickness_um(self) -> int:
        """Of what it is cut from."""
        return self.material.caliper_um if isinstance(self.material, Board) else self.material.thickness_um

    @property
    def area_um2(self) -> int:
        """Inside the outline, the shoelace rule; a half square micrometre is dropped."""
        pairs = zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True)
        return abs(sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairs)) // 2

    @property
    def each_mg(self) -> int:
        """Weight of one, in whole milligrams, half a milligram up."""
        if isinstance(self.material, Board):
            return self.material.weight_mg(self.area_um2)
        volume = self.area_um2 * self.thickness_um - sum(groove.volume_um3 for groove in self.grooves)
        return self.material.weight_mg(volume)

    @property
    def stock_mg(self) -> int:
        """Weight of the rectangle one is cut from: what is bought, not what is sent."""
        area = self.size_um[0] * self.size_um[1]
        if isinstance(self.material, Board):
            return self.material.weight_mg(area)
        return self.material.weight_mg(area * self.thickness_um)

    @property
    def grain(self) -> Message:
        """Which way flutes or grain run, for the cut list."""
        if isinstance(self.material, Board):
            return Message("flutes along the {side}", side=Length(self.size_um[1]))
        return Message("grain along the {side}", side=Length(self.size_um[0]))

    @property
    def cut_from(self) -> Message:
        """What to cut it from."""
        return self.source or verbatim(self.material.name)

    @property
    def cut_um(self) -> int:
        """Length of its outline."""
        pairs = zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True)
        return sum(abs(ax - bx) + abs(ay - by) for (ax, ay), (bx, by) in pairs)


@dataclass(frozen=True, slots=True)
class Hardware:
    """Screws or nails of equal joints, or handles.

    Parameters
    ----------
    what, kind
        Its name as on the parts list.
    count, each_mg
        How many in all; weight of one.
    where
        At which joint.
    rule
        What number and places follow.
    spacing_um, first_um, offset_um
        From one to the next; from the joint's end to the first; by how much every second joint is shifted along.
    fastening
        Which drills it wants, and more; None for handles.
    """

    what: str
    kind: FastenerKind
    count: int
    each_mg: int
    where: Message
    rule: FactPlan
    spacing_um: int = 0
    first_um: int = 0
    offset_um: int = 0
    fastening: Fastening | None = None


@dataclass(frozen=True, slots=True)
class PlacedPanel:
    """An upright box in the box's own frame, its origin at the inside's lower corner: a panel or a board in place.

    Parameters
    ----------
    name
        Which panel or board.
    low, high
        Corners in micrometres.
    piece
        Id of the piece it is, where one piece is one board.
    kind
        What the panel of a blank becomes.
    """

    name: str
    low: Size
    high: Size
    piece: str = ""
    kind: PanelKind | None = None

    @property
    def sides(self) -> Size:
        """Its three sides."""
        return self.high[0] - self.low[0], self.high[1] - self.low[1], self.high[2] - self.low[2]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of folding or assembling.

    Parameters
    ----------
    text
        What to do.
    placed_panels
        What stands there after it, for the picture.
    new
        Names of the plates that this step has moved or added.
    shell
        Which of two boxes is worked on.
    """

    text: Message
    placed_panels: tuple[PlacedPanel, ...] = ()
    new: tuple[str, ...] = ()
    shell: Shell = Shell.BOX


Strip = tuple[Size, ...]
"""The middle line of a strip of tape over the closed box, whose lower corner outside is the origin."""


@dataclass(frozen=True, slots=True)
class Closing:
    """How the box is closed.

    Parameters
    ----------
    text
        For the packer.
    pattern
        How it is taped.
    strips
        Each strip of tape: length, weight, words and picture all go by these.
    """

    text: Message
    pattern: TapePattern
    strips: tuple[Strip, ...] = ()

    @property
    def tape_um(self) -> int:
        """Length of tape in all."""
        return sum(length_of(strip) for strip in self.strips)


def length_of(strip: Strip) -> int:
    """Length of a strip whose parts run along the edges of the box."""
    return sum(abs(a - b) for one, two in pairwise(strip) for a, b in zip(one, two, strict=True))


@dataclass(frozen=True, slots=True)
class Case:
    """The slotted case outside a wooden box: its inside, the gap of its inner flaps, layers of flaps, empty weight."""

    inner_um: Size
    flap_gap_um: int
    flap_layers: int
    weight_mg: int


@dataclass(frozen=True, slots=True)
class Fold:
    """How a blank folds, for working the inside out again.

    Parameters
    ----------
    name
        "case", "body" or "lid".
    cut_pieces
        Ids of the flat pieces it is made of, in order; one that is counted twice stands twice.
    axes
        Which axis of the base panel's frame (x across, y along, z up) is length, width and height.
    open_top
        A tray, whose height goes to the walls' rim.
    base
        Index of the panel that stays flat.
    """

    name: str
    cut_pieces: tuple[str, ...]
    axes: tuple[int, int, int]
    open_top: bool = False
    base: int = 0


@dataclass(frozen=True, slots=True)
class BoxDesign:
    """A box of one style for one interior.

    Parameters
    ----------
    style, name, family
        Code or plain words; what it is made from.
    fit_um
        Room between insert and box, length, width, height.
    inner_um, outer_um
        Length not less than width inside; outside as it will be measured, closed, in the same directions.
    more_um
        How much larger outside it may come out where the stock is as thick as its tolerance allows.
    packaging
        What a carrier sees.
    cut_pieces, hardware
        What to cut; what to buy.
    assembly, closing
        How it is put together, worked out when `steps` are asked for: only a box that is chosen is pictured. How it is
        closed.
    board
        The corrugated board, None for bare wood.
    spread
        Relative standard deviation of its weight.
    wood
        Wooden parts, for the treatment rules.
    folds
        How its blanks fold; empty for wood.
    flap_gap_um, flap_layers
        Between the inner flaps, 0 where there are none or they meet; layers of flaps at bottom and lid, 0 where it is
        no slotted case.
    case
        The slotted case outside a wooden box.
    fill_mg
        Foam that fills what the insert leaves of a stock carton; not part of the empty box.
    notes, facts
        Sentences; rules with source and sureness.
    work
        How much there is of each kind of work: "blank", "cut m", "crease m", "joint", "board cut", "screw", "nail",
        "groove m", "glue joint".
    """

    style: str
    name: str
    family: ContainerKind
    fit_um: Size
    inner_um: Size
    outer_um: Size
    packaging: Packaging
    cut_pieces: tuple[CutPiece, ...]
    closing: Closing
    assembly: Callable[[], tuple[Step, ...]] = field(compare=False, repr=False)
    board: Board | None
    spread: float
    hardware: tuple[Hardware, ...] = ()
    wood: tuple[WoodPart, ...] = ()
    folds: tuple[Fold, ...] = ()
    flap_gap_um: int = 0
    fill_mg: int = 0
    notes: tuple[Message, ...] = ()
    facts: tuple[FactPlan, ...] = ()
    work: tuple[tuple[str, float], ...] = ()
    more_um: Size = (0, 0, 0)
    flap_layers: int = 0
    case: Case | None = None

    @property
    def slotted(self) -> bool:
        """Whether what the carrier gets is a slotted case, which the stacking formula is made for."""
        return self.flap_layers > 0 or self.case is not None

    @property
    def outer_mg(self) -> int:
        """Weight of the outermost box alone: all the rest is its contents."""
        return self.weight_mg if self.case is None else self.case.weight_mg

    @property
    def outermost_inner_um(self) -> Size:
        """Inside of the outermost box, whose walls carry what is piled on it."""
        return self.inner_um if self.case is None else self.case.inner_um

    @property
    def steps(self) -> tuple[Step, ...]:
        """How it is put together, step by step."""
        return self.assembly()

    @property
    def most_um(self) -> Size:
        """Outside in the thickest stock allowed."""
        return (
            self.outer_um[0] + self.more_um[0],
            self.outer_um[1] + self.more_um[1],
            self.outer_um[2] + self.more_um[2],
        )

    @property
    def weight_mg(self) -> int:
        """Empty: every flat piece and all hardware."""
        return sum(cut_piece.each_mg * cut_piece.count for cut_piece in self.cut_pieces) + sum(
            one.each_mg * one.count for one in self.hardware
        )

    @property
    def tape_um(self) -> int:
        """Closing tape, without joints."""
        return self.closing.tape_um


@dataclass(frozen=True, slots=True)
class Infeasible:
    """A style that cannot be made here: which, the limit, the value, a sentence.

    Parameters
    ----------
    style
        Its code.
    limit
        What is in the way: "sheet", "board length", "carton", "lid", "material", "cut".
    value_um, limit_um
        What would be needed and what there is; 0 where it is no length.
    reason
        One sentence with both.
    """

    style: str
    limit: str
    value_um: int
    limit_um: int
    reason: Message


def rectangle(size_um: tuple[int, int]) -> tuple[Point, ...]:
    """The outline of a plain rectangle."""
    return (0, 0), (size_um[0], 0), size_um, (0, size_um[1])


def plain(
    id_: str,
    role: PieceRole,
    material: Board | Timber,
    size_um: tuple[int, int],
    count: int = 1,
    source: Message | None = None,
) -> CutPiece:
    """A rectangular piece; raises `BadInput` where a side is not greater than zero."""
    if min(size_um) <= 0:
        raise BadInput(role.value, f"must be greater than zero each way, not {mm(size_um[0])} × {mm(size_um[1])} mm.")
    return CutPiece(id_, role, material, size_um, count, rectangle(size_um), source=source)

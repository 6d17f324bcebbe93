"""What a box of any style is made of: flat pieces to cut, fastenings, steps to put it together."""

from collections.abc import Callable
from dataclasses import dataclass, field

from packing.materials import Board, Timber, WoodPart
from packing.measure import BadInput, mm
from packing.sureness import Fact

Point = tuple[int, int]
Size = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Area:
    """A named rectangle of the blank: least and greatest corner in micrometres."""

    name: str
    low: Point
    high: Point


@dataclass(frozen=True, slots=True)
class Groove:
    """A channel or step that is cut into the face of a piece, not through it.

    Parameters
    ----------
    name
        "groove" or "step" (a rebate that leaves a tongue).
    low, high
        Its rectangle on the piece.
    depth_um
        From the face down.
    """

    name: str
    low: Point
    high: Point
    depth_um: int

    @property
    def volume_um3(self) -> int:
        """What it takes out of the piece."""
        return (self.high[0] - self.low[0]) * (self.high[1] - self.low[1]) * self.depth_um


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One flat piece to cut, drawn with its lower left corner at the origin.

    Parameters
    ----------
    id, what
        "X1" and so on in the order of cutting; "blank", "pad", "side", "lid".
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
        Places to mark: screw lines, where another piece lands.
    source
        What to cut it from, in words ("white pine 1×8, ripped to 184 mm").
    """

    id: str
    what: str
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
    source: str = ""

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
    def grain(self) -> str:
        """Which way flutes or grain run, as a sentence for the cut list."""
        along = self.size_um[1] if isinstance(self.material, Board) else self.size_um[0]
        return f"{'flutes' if isinstance(self.material, Board) else 'grain'} along the {mm(along)} mm"

    @property
    def cut_um(self) -> int:
        """Length of its outline."""
        pairs = zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True)
        return sum(abs(ax - bx) + abs(ay - by) for (ax, ay), (bx, by) in pairs)


@dataclass(frozen=True, slots=True)
class Hardware:
    """Screws, nails, hinges: what, how many, each one's weight, where and how far apart, and by which rule."""

    what: str
    count: int
    each_mg: int
    where: str
    spacing_um: int
    rule: Fact


@dataclass(frozen=True, slots=True)
class PlacedPanel:
    """An upright box in the box's own frame, its origin at the inside's lower corner: a panel or a board in place.

    Parameters
    ----------
    name
        Which panel or board.
    low, high
        Corners in micrometres.
    """

    name: str
    low: Size
    high: Size

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
    """

    text: str
    placed_panels: tuple[PlacedPanel, ...] = ()
    new: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Closing:
    """How the box is closed: a sentence, metres of tape by pattern and width, or screws as hardware.

    Parameters
    ----------
    text
        For the packer.
    pattern
        "H", "strips" or "none".
    tape_um
        Length of tape in all.
    """

    text: str
    pattern: str
    tape_um: int


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
        Code or plain words; "carton", "corrugated" or "wood".
    fit_um
        Room between insert and box, length, width, height.
    inner_um, outer_um
        Length not less than width inside; outside as it will be measured, closed, in the same directions.
    more_um
        How much larger outside it may come out where the stock is as thick as its tolerance allows.
    packaging
        What a carrier sees: "corrugated" or "wood".
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
    flap_gap_um
        Between the inner flaps; 0 where there are none or they meet.
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
    family: str
    fit_um: Size
    inner_um: Size
    outer_um: Size
    packaging: str
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
    notes: tuple[str, ...] = ()
    facts: tuple[Fact, ...] = ()
    work: tuple[tuple[str, float], ...] = ()
    more_um: Size = (0, 0, 0)

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
    reason: str


def rectangle(size_um: tuple[int, int]) -> tuple[Point, ...]:
    """The outline of a plain rectangle."""
    return (0, 0), (size_um[0], 0), size_um, (0, size_um[1])


def plain(
    id_: str, what: str, material: Board | Timber, size_um: tuple[int, int], count: int = 1, source: str = ""
) -> CutPiece:
    """A rectangular piece; raises `BadInput` where a side is not greater than zero."""
    if min(size_um) <= 0:
        raise BadInput(what, f"must be greater than zero each way, not {mm(size_um[0])} × {mm(size_um[1])} mm.")
    return CutPiece(id_, what, material, size_um, count, rectangle(size_um), source=source)

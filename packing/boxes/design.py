"""Parts of a box of any style: flat pieces to cut, fastenings, steps to put it together."""

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise

from packing.boxes.piece import CutPiece, Size
from packing.materials import Board, Fastening, WoodPart
from packing.messages import Message
from packing.plan import FactPlan
from packing.plan.kinds import (
    ContainerKind,
    FastenerKind,
    Packaging,
    PanelKind,
    Shell,
    TapePattern,
)


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
    flutes
        Axis along which the flutes of a panel of board run; None for wood.
    """

    name: str
    low: Size
    high: Size
    piece: str = ""
    kind: PanelKind | None = None
    flutes: int | None = None

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
    """The closing of a box.

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
    """The folds of a blank, for working the inside out again.

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
    insert_notes
        What the insert is cut otherwise for this box than it is planned.
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
    # Not compared: equal boxes have a function each, and two functions are never equal.
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
    insert_notes: tuple[Message, ...] = ()

    @property
    def slotted(self) -> bool:
        """True for a slotted case as the carrier gets it, which the stacking formula is made for."""
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
        """The assembly, step by step."""
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

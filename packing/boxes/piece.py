"""Flat pieces to cut: outline, creases, grooves, holes, and what each weighs."""

from dataclasses import dataclass

from packing.materials import Board, Timber
from packing.measure import BadInput, mm
from packing.messages import Length, Message, verbatim
from packing.plan.kinds import GrooveKind, PanelKind, PieceRole, Shell

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
        """The volume that it takes out of the piece."""
        return (self.high[0] - self.low[0]) * (self.high[1] - self.low[1]) * self.depth_um


@dataclass(frozen=True, slots=True)
class Hole:
    """The hole of a screw or nail in a piece.

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
        """The piece in words."""
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
        """The direction of flutes or grain, for the cut list."""
        if isinstance(self.material, Board):
            return Message("flutes along the {side}", side=Length(self.size_um[1]))
        return Message("grain along the {side}", side=Length(self.size_um[0]))

    @property
    def cut_from(self) -> Message:
        """The stock to cut it from."""
        return self.source or verbatim(self.material.name)

    @property
    def cut_um(self) -> int:
        """Length of its outline."""
        pairs = zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True)
        return sum(abs(ax - bx) + abs(ay - by) for (ax, ay), (bx, by) in pairs)


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

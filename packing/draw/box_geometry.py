"""The box around the insert as pictures cut and show it: its walls, and a case outside them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.draw.shapes import Rect
from packing.plan import BoardPlan, BoxPlan, CasePlan, PiecePlan, Plan
from packing.plan.kinds import ContainerKind, GrooveKind, Shell

Corner = tuple[float, float, float]
"""x, y, z in micrometres; halves where something is centred."""


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall, bottom or lid in place, in the insert's frame, micrometres."""

    low: Corner
    high: Corner

    def cut(self, axis: int, at: float) -> Rect | None:
        """The section by the plane at `at` along an axis, the other two axes across and up; None where it misses."""
        if not self.low[axis] <= at < self.high[axis]:
            return None
        across, up = (other for other in range(3) if other != axis)
        return Rect(self.low[across], self.low[up], self.high[across], self.high[up])


@dataclass(frozen=True, slots=True)
class BoxGeometry:
    """The box around the insert, in the insert's frame, micrometres.

    Parameters
    ----------
    low, high
        Its inside.
    board, ends
        How thick it is at its long sides and at its ends.
    under, over
        How thick bottom and lid are, all layers together.
    flap_gap
        Between the inner flaps of a slotted case.
    layers
        Layers of flaps of a slotted case, the inner flaps one of them: 2 where the outer ones meet, 3 where each covers
        the whole; 0 for any other box.
    wood
        Whether it is of wood.
    walls
        Each piece in place where it is no slotted case, those that reach into others after them.
    case
        A slotted case outside it; its low and high are the inside of that case.
    """

    low: Corner
    high: Corner
    board: float
    ends: float
    under: float
    over: float
    flap_gap: float
    layers: int
    wood: bool
    walls: tuple[Wall, ...] = ()
    case: "BoxGeometry | None" = None

    @property
    def slotted(self) -> bool:
        """True where bottom and lid are flaps."""
        return self.layers > 0

    @property
    def outside(self) -> tuple[Corner, Corner]:
        """Corners of the outside, the case's where there is one."""
        if self.case is not None:
            return self.case.outside
        (x0, y0, z0), (x1, y1, z1) = self.low, self.high
        return (x0 - self.ends, y0 - self.board, z0 - self.under), (x1 + self.ends, y1 + self.board, z1 + self.over)


def _slabs(box: BoxGeometry) -> tuple[Wall, ...]:
    """Bottom, lid and four walls of a box whose pieces are not told."""
    (ax, ay, az), (bx, by, bz) = box.outside
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    return (
        Wall((ax, ay, az), (bx, by, z0)),
        Wall((ax, ay, z1), (bx, by, bz)),
        Wall((ax, ay, z0), (x0, by, z1)),
        Wall((x1, ay, z0), (bx, by, z1)),
        Wall((x0, ay, z0), (x1, y0, z1)),
        Wall((x0, y1, z0), (x1, by, z1)),
    )


def box_geometry(plan: Plan) -> BoxGeometry:
    """The box, the insert centred in it lengthwise and across, lying on its bottom."""
    inside, box = plan.interior_um, plan.box
    inner, outer = box.inner_um, box.outer_um
    room = [(inner[axis] - inside[axis]) / 2 for axis in (0, 1)]
    low, high = (-room[0], -room[1], 0.0), (inside[0] + room[0], inside[1] + room[1], float(inner[2]))
    ends, sides, ceiling = ((outer[axis] - inner[axis]) / (1 if axis == 2 else 2) for axis in range(3))
    wood = box.family == ContainerKind.WOOD
    if box.flap_layers:
        board = sides if box.board is None else box.board.caliper_um
        return _slotted(low, high, board, box.flap_gap_um, box.flap_layers)
    walls = _walls(box, low)
    if not walls:
        bare = BoxGeometry(low, high, sides, ends, ceiling / 2, ceiling / 2, 0.0, layers=0, wood=wood)
        return replace(bare, walls=_slabs(bare))
    (x0, y0, z0), (_x1, _y1, z1) = least, most = _bounds(walls)
    case = _case(box.case, box.board, least, most) if box.case and box.board else None
    return BoxGeometry(
        low, high, low[1] - y0, low[0] - x0, -z0, z1 - high[2], 0.0, layers=0, wood=wood, walls=walls, case=case
    )


def _bounds(walls: Sequence[Wall]) -> tuple[Corner, Corner]:
    x0, y0, z0 = (min(wall.low[axis] for wall in walls) for axis in range(3))
    x1, y1, z1 = (max(wall.high[axis] for wall in walls) for axis in range(3))
    return (x0, y0, z0), (x1, y1, z1)


def _walls(box: BoxPlan, low: Corner) -> tuple[Wall, ...]:
    """The pieces that stand after the last step, without the case's, moved so that the inside begins at `low`.

    Notes
    -----
    Steps are in frames of their own: lengthwise and across the inside is in the middle of all that stands, and its
    bottom is the highest face under it.
    """
    steps = [step for step in box.steps if step.plates and step.shell == Shell.BOX]
    if not steps:
        return ()
    rims = {piece.id: rim for piece in box.pieces if (rim := _rim(piece)) is not None}
    plates = [(plate.piece, Wall(plate.min_um, plate.max_um)) for plate in steps[-1].plates]
    least, most = _bounds([wall for _, wall in plates])
    corner = [(least[axis] + most[axis] - box.inner_um[axis]) / 2 for axis in (0, 1)]
    inside = Rect(corner[0], corner[1], corner[0] + box.inner_um[0], corner[1] + box.inner_um[1])
    middle = (least[2] + most[2]) / 2
    floors = [
        wall.high[2]
        for _, wall in plates
        if wall.high[2] <= middle and inside.overlaps(Rect(wall.low[0], wall.low[1], wall.high[0], wall.high[1]))
    ]
    by = (low[0] - corner[0], low[1] - corner[1], low[2] - max(floors, default=least[2]))
    cut = [part for piece, wall in plates for part in (_stepped(wall, rims[piece]) if piece in rims else [wall])]
    return tuple(Wall(_moved(wall.low, by), _moved(wall.high, by)) for wall in cut)


def _moved(point: Corner, by: Corner) -> Corner:
    return point[0] + by[0], point[1] + by[1], point[2] + by[2]


Rim = tuple[Rect, int]


def _rim(piece: PiecePlan) -> Rim | None:
    """The part of a piece's upper face that steps along its edges leave, on the piece, and their depth."""
    steps = [groove for groove in piece.grooves if groove.name == GrooveKind.STEP]
    if not steps:
        return None
    length, width = piece.size_um
    left, bottom, right, top = 0, 0, length, width
    for step in steps:
        (x0, y0), (x1, y1) = step.min_um, step.max_um
        if x1 - x0 >= length:
            bottom, top = (y1, top) if y0 <= 0 else (bottom, y0)
        else:
            left, right = (x1, right) if x0 <= 0 else (left, x0)
    return Rect(left, bottom, right, top), steps[0].depth_um


def _stepped(wall: Wall, rim: Rim) -> list[Wall]:
    """A lying piece with steps along its edges: the tongue all over, what is left above it."""
    (x0, y0, z0), (x1, y1, z1) = wall.low, wall.high
    left, depth = rim
    at = z1 - depth
    above = Wall((x0 + left.x0, y0 + left.y0, at), (x0 + left.x1, y0 + left.y1, z1))
    return [Wall((x0, y0, z0), (x1, y1, at)), above]


def _case(case: CasePlan, board: BoardPlan, least: Corner, most: Corner) -> BoxGeometry:
    """The slotted case outside a box with these corners, which stands on its bottom in its middle."""
    room = case.inner_um
    x0, y0 = ((least[axis] + most[axis] - room[axis]) / 2 for axis in (0, 1))
    high = (x0 + room[0], y0 + room[1], least[2] + room[2])
    return _slotted((x0, y0, least[2]), high, board.caliper_um, case.flap_gap_um, case.flap_layers)


def _slotted(low: Corner, high: Corner, board: float, gap: float, layers: int) -> BoxGeometry:
    """A slotted case with this inside."""
    flaps = layers * board
    return BoxGeometry(low, high, board, board, flaps, flaps, gap, layers=layers, wood=False)

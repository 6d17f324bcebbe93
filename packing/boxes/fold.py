"""Folding a blank's panels in space: the inside it gives, and pictures of the steps on the way."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from packing.boxes.design import PlacedPanel
from packing.boxes.piece import Area, CutPiece, Point, Size
from packing.measure import BadInput
from packing.plan.kinds import PanelKind

Vector = tuple[int, int, int]
TOUCH_UM = 1_000
"""Flaps that reach over one another by less than this only meet."""
Crease = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class _Frame:
    """The frame of a flat in space: point (x, y) is at origin + x · across + y · along."""

    origin: Vector
    across: Vector
    along: Vector

    @property
    def up(self) -> Vector:
        """The side that ends up inside."""
        a, b = self.across, self.along
        return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]

    def at(self, x: int, y: int) -> Vector:
        p, q, r = (o + x * a + y * b for o, a, b in zip(self.origin, self.across, self.along, strict=True))
        return p, q, r


def _scaled(vector: Vector, by: int) -> Vector:
    return vector[0] * by, vector[1] * by, vector[2] * by


def _plus(*vectors: Vector) -> Vector:
    x, y, z = (sum(values) for values in zip(*vectors, strict=True))
    return x, y, z


def _folded(frame: _Frame, axis: int, at: int, towards: int) -> _Frame:
    """The frame beyond a crease at x (axis 0) or y (axis 1) = `at`, turned up by 90 degrees; `towards` is 1 or -1."""
    turned = _scaled(frame.up, towards)
    kept = frame.across if axis == 0 else frame.along
    origin = _plus(frame.origin, _scaled(kept, at), _scaled(turned, -at))
    if axis == 0:
        return _Frame(origin, turned, frame.along)
    return _Frame(origin, frame.across, turned)


def _on(crease: Crease, axis: int, at: int, low: int, high: int) -> bool:
    (ax, ay), (bx, by) = crease
    first, second = ((ax, bx), (ay, by)) if axis == 0 else ((ay, by), (ax, bx))
    return first == (at, at) and min(second) < high and max(second) > low


def _shared(one: Area, other: Area, creases: Sequence[Crease]) -> tuple[int, int, int] | None:
    """Axis, place and direction of the crease between two panels; None where there is none."""
    for axis in (0, 1):
        cross = 1 - axis
        low = max(one.low[cross], other.low[cross])
        high = min(one.high[cross], other.high[cross])
        if low >= high:
            continue
        for at, beyond, towards in ((one.high[axis], other.low[axis], 1), (one.low[axis], other.high[axis], -1)):
            if at == beyond and any(_on(crease, axis, at, low, high) for crease in creases):
                return axis, at, towards
    return None


def _frames(
    areas: Sequence[Area], creases: Sequence[Crease], base: int, closed: Collection[int] | None
) -> list[_Frame]:
    frames: dict[int, _Frame] = {base: _Frame((0, 0, 0), (1, 0, 0), (0, 1, 0))}
    queue = [base]
    # From the base outward, as a box is folded: each panel turns about the crease it hangs on.
    while queue:
        index = queue.pop(0)
        for other, area in enumerate(areas):
            if other in frames:
                continue
            shared = _shared(areas[index], area, creases)
            if shared is None:
                continue
            # A panel that stays flat passes its parent’s place on to what hangs on it.
            turn = closed is None or other in closed
            frames[other] = _folded(frames[index], *shared) if turn else frames[index]
            queue.append(other)
    if len(frames) < len(areas):
        lost = next(area.name for place, area in enumerate(areas) if place not in frames)
        raise BadInput("creases", f"must join every panel to the others; {lost} hangs on none.")
    return [frames[place] for place in range(len(areas))]


def _areas(cut_piece: CutPiece) -> tuple[Area, ...]:
    return cut_piece.panels if cut_piece.joint is None else (*cut_piece.panels, cut_piece.joint)


def middles(cut_piece: CutPiece, *, base: int = 0, closed: Collection[int] | None = None) -> list[PlacedPanel]:
    """The middle planes of a folded blank's panels.

    Parameters
    ----------
    cut_piece
        Its panels, creases and joint are read.
    base
        Index of the panel that stays flat; the inside of the box is above it.
    closed
        Indices of the panels that are turned up at their crease, seen from the base outward; None for all.

    Returns
    -------
    list of Plate
        In the panels' order, the joint last; without thickness.

    Raises
    ------
    BadInput
        Where a panel is joined to no other by a crease.
    """
    areas = _areas(cut_piece)
    placed_panels = []
    for area, frame in zip(areas, _frames(areas, cut_piece.creases, base, closed), strict=True):
        ends = frame.at(*area.low), frame.at(*area.high)
        pairs = [sorted(pair) for pair in zip(*ends, strict=True)]
        low, high = zip(*pairs, strict=True)
        corners = (low[0], low[1], low[2]), (high[0], high[1], high[2])
        flutes = next(axis for axis in range(3) if frame.along[axis])
        placed_panels.append(PlacedPanel(area.name, *corners, kind=area.kind, flutes=flutes))
    return placed_panels


def joined(cut_pieces: tuple[CutPiece, ...]) -> CutPiece:
    """One blank from its halves: each half's panels set beside the last panel of the one before, its joint dropped."""
    first, *rest = cut_pieces
    for other in rest:
        shift = first.size_um[0] - (other.joint.high[0] if other.joint else 0)
        wall = first.panels[0]
        # The glued joint between halves folds like a crease, so it becomes one.
        crease = ((first.size_um[0], wall.low[1]), (first.size_um[0], wall.high[1]))
        first = CutPiece(
            first.id,
            first.role,
            first.material,
            (other.size_um[0] + shift, first.size_um[1]),
            1,
            first.outline,
            (*first.creases, *(_moved(line, shift) for line in other.creases), crease),
            (),
            (*first.panels, *(replace(a, low=_by(a.low, shift), high=_by(a.high, shift)) for a in other.panels)),
            first.joint,
        )
    return first


def _by(point: Point, shift: int) -> Point:
    return point[0] + shift, point[1]


def _moved(line: Crease, shift: int) -> Crease:
    return _by(line[0], shift), _by(line[1], shift)


def pictured(
    blank: CutPiece, axes: tuple[int, int, int], closed: Collection[int] | None = None, *, base: int = 0
) -> tuple[PlacedPanel, ...]:
    """Panels as plates of board's thickness, turned into the box's own axes, the lowest corner of all at the origin.

    Parameters
    ----------
    blank
        See `middles`.
    axes
        As in `Fold`.
    closed
        Indices of the panels that are turned up; None for all.
    base
        Index of the panel that stays flat.
    """
    t = blank.thickness_um
    placed_panels = []
    for placed_panel, out_um in _layered(middles(blank, base=base, closed=closed), t):
        low, high = list(placed_panel.low), list(placed_panel.high)
        normal = next(axis for axis in range(3) if low[axis] == high[axis])
        for axis in range(3):
            if axis == normal:
                low[axis], high[axis] = low[axis] + out_um - t // 2, high[axis] + out_um + t // 2
            # Half a board less at each end, or plates would run through each other at the corners; a narrow strip
            # stays.
            elif high[axis] - low[axis] > 2 * t:
                low[axis], high[axis] = low[axis] + t // 2, high[axis] - t // 2
        turned = replace(
            placed_panel,
            low=(low[axes[0]], low[axes[1]], low[axes[2]]),
            high=(high[axes[0]], high[axes[1]], high[axes[2]]),
            kind=None,
            flutes=None if placed_panel.flutes is None else axes.index(placed_panel.flutes),
        )
        placed_panels.append(turned)
    least = [min(panel.low[axis] for panel in placed_panels) for axis in range(3)]
    return tuple(replace(panel, low=_less(panel.low, least), high=_less(panel.high, least)) for panel in placed_panels)


LAST = 2
_TURN: dict[PanelKind | None, int] = {PanelKind.JOINT: -1, PanelKind.INNER_FLAP: 0, PanelKind.MIDDLE_FLAP: 1}
"""Panels that are folded in before the others; those lie innermost."""


def _layered(placed_panels: Sequence[PlacedPanel], thickness_um: int) -> list[tuple[PlacedPanel, int]]:
    """Each plate and how far it moves along its normal, so that flaps in one plane lie on one another, inner first."""
    middle = [
        sum(placed_panel.low[axis] + placed_panel.high[axis] for placed_panel in placed_panels)
        // (2 * len(placed_panels))
        for axis in range(3)
    ]
    order = sorted(range(len(placed_panels)), key=lambda place: (_TURN.get(placed_panels[place].kind, LAST), place))
    levels: dict[int, int] = {}
    for place in order:
        below = [levels[other] for other in levels if _over(placed_panels[place], placed_panels[other])]
        levels[place] = 1 + max(below, default=-1)
    answer = []
    for place, placed_panel in enumerate(placed_panels):
        axis = next(axis for axis in range(3) if placed_panel.low[axis] == placed_panel.high[axis])
        deep = max(levels[other] for other in levels if _coplanar(placed_panel, placed_panels[other], axis))
        way = 1 if placed_panel.low[axis] > middle[axis] else -1
        # Layers are centred on the plane that was folded, as layers of one face are.
        answer.append((placed_panel, way * (2 * levels[place] - deep) * thickness_um // 2))
    return answer


def _coplanar(one: PlacedPanel, other: PlacedPanel, axis: int) -> bool:
    return one.low[axis] == other.low[axis] == other.high[axis]


def _over(one: PlacedPanel, other: PlacedPanel) -> bool:
    """Tell whether two plates of one plane share more than a strip of `TOUCH_UM`."""
    axis = next(axis for axis in range(3) if one.low[axis] == one.high[axis])
    return _coplanar(one, other, axis) and all(
        min(one.high[side], other.high[side]) - max(one.low[side], other.low[side]) > TOUCH_UM
        for side in range(3)
        if side != axis
    )


def _less(point: Sequence[int], least: Sequence[int]) -> Size:
    return point[0] - least[0], point[1] - least[1], point[2] - least[2]

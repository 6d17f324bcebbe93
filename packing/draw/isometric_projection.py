"""Solids in an isometric picture: projection, drawing order, faces and their hatching.

References
----------
M. Newell, R. Newell, T. Sancha, "A solution to the hidden surface problem", 1972 (from memory): solids are painted
from the back to the front.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians

from packing.draw.canvas import FINE, THIN, WHITE, Canvas
from packing.draw.hatch import Material, broken, hatched, spots
from packing.draw.shapes import Point, Rect, around, span_inside

_COS = cos(radians(30))
"""Isometric: the two floor axes rise by 30 degrees, and all three axes are shortened alike."""
_SLANTS = (30.0, -30.0, 90.0)
"""Slants of the three axes on paper, in degrees."""
Corner = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Eye:
    """The isometric view from above the front right: x runs down to the right, y up to the right, z up.

    Lengths along the three axes are shown alike, 1 : `scale`; points are in micrometres. The picture is moved to the
    right by `right`, in mm of paper.
    """

    scale: float
    right: float = 0.0

    def at(self, x: float, y: float, z: float) -> Point:
        """A point on paper."""
        x, y, z = x / 1000, y / 1000, z / 1000
        return (x + y) * _COS / self.scale + self.right, ((x - y) / 2 - z) / self.scale


@dataclass(frozen=True, slots=True)
class Brick:
    """An upright box to be drawn, in micrometres.

    `grain` is the axis of a wooden part's longest side, `flutes` that of a panel's flutes, 0, 1 or 2.
    """

    letter: str
    name: str
    material: Material | None
    low: Corner
    high: Corner
    flutes: int = 2

    @property
    def grain(self) -> int:
        """The axis of its longest side."""
        sides = [self.high[axis] - self.low[axis] for axis in range(3)]
        return sides.index(max(sides))

    def top(self, eye: Eye) -> list[Point]:
        """Its upper face on paper."""
        (x0, y0, _), (x1, y1, z) = self.low, self.high
        return [eye.at(x0, y0, z), eye.at(x1, y0, z), eye.at(x1, y1, z), eye.at(x0, y1, z)]

    def front(self, eye: Eye) -> list[Point]:
        """Its face of least y on paper."""
        (x0, y, z0), (x1, _, z1) = self.low, self.high
        return [eye.at(x0, y, z0), eye.at(x1, y, z0), eye.at(x1, y, z1), eye.at(x0, y, z1)]

    def side(self, eye: Eye) -> list[Point]:
        """Its face of greatest x on paper."""
        (_, y0, z0), (x, y1, z1) = self.low, self.high
        return [eye.at(x, y0, z0), eye.at(x, y1, z0), eye.at(x, y1, z1), eye.at(x, y0, z1)]

    def silhouette(self, eye: Eye) -> list[Point]:
        """Its outline on paper, six corners."""
        (x0, y0, z0), (x1, y1, z1) = self.low, self.high
        return [
            eye.at(x0, y0, z0), eye.at(x1, y0, z0), eye.at(x1, y1, z0),
            eye.at(x1, y1, z1), eye.at(x0, y1, z1), eye.at(x0, y0, z1),
        ]  # fmt: skip


def behind(first: Brick, second: Brick) -> bool:
    """Tell whether the first of two bricks that share no room must be drawn before the second.

    Notes
    -----
    Towards the eye x grows, y falls and z grows. Bricks that are parted on two axes in contrary ways do not meet on
    paper, so their order is free.
    """
    return _may_precede(first, second) and not _may_precede(second, first)


def _may_precede(first: Brick, second: Brick) -> bool:
    return first.high[0] <= second.low[0] or first.low[1] >= second.high[1] or first.high[2] <= second.low[2]


def farthest_first(bricks: Sequence[Brick], eye: Eye) -> list[Brick]:
    """Bricks in drawing order, so that each hides what it should.

    Notes
    -----
    Bricks whose footprints share no area always have such an order. Stacked ones may go round in a ring; then the
    farthest middle goes first.
    """
    boxes = [around(brick.silhouette(eye)) for brick in bricks]
    waiting: dict[int, set[int]] = {index: set() for index in range(len(bricks))}
    for one, before in waiting.items():
        for other, brick in enumerate(bricks):
            if one != other and boxes[one].overlaps(boxes[other]) and behind(brick, bricks[one]):
                before.add(other)
    order: list[Brick] = []
    while waiting:
        free = [index for index, before in waiting.items() if not before] or list(waiting)
        chosen = min(free, key=lambda index: (_depth(bricks[index]), index))
        order.append(bricks[chosen])
        del waiting[chosen]
        for rest in waiting.values():
            rest.discard(chosen)
    return order


def _depth(brick: Brick) -> float:
    mid = [(brick.low[axis] + brick.high[axis]) / 2 for axis in range(3)]
    return mid[0] - mid[1] + mid[2]


def holds(corners: Sequence[Point], point: Point) -> bool:
    """Tell whether a convex figure holds a point."""
    span = span_inside(point, (1.0, 0.0), corners)
    return span is not None and span[0] <= 0.0 <= span[1]


def draw_brick(
    canvas: Canvas,
    brick: Brick,
    eye: Eye,
    *,
    width: float = 0.35,
    fill: str = WHITE,
    gaps: Sequence[Sequence[Point]] = (),
) -> None:
    """Draw a brick's three faces with its material's hatching; `gaps` are left clear of it on the upper face."""
    top, front, side = brick.top(eye), brick.front(eye), brick.side(eye)
    canvas.polygon(brick.silhouette(eye), 0, fill=fill)
    if brick.material == Material.FOAM:
        spots(canvas, top, gaps, 3.4)
        spots(canvas, front, (), 2.4)
        spots(canvas, side, (), 1.7)
    else:
        _hatch(canvas, brick, top, front, side)
    middle = eye.at(brick.high[0], brick.low[1], brick.high[2])
    ends = (
        eye.at(brick.low[0], brick.low[1], brick.high[2]),
        eye.at(brick.high[0], brick.high[1], brick.high[2]),
        eye.at(brick.high[0], brick.low[1], brick.low[2]),
    )
    canvas.lines([(middle, end) for end in ends], THIN if width > THIN else width)
    canvas.polygon(brick.silhouette(eye), width)


def _hatch(canvas: Canvas, brick: Brick, top: Sequence[Point], front: Sequence[Point], side: Sequence[Point]) -> None:
    if brick.material == Material.STEEL:
        canvas.lines(hatched(front, 90, 1.0), FINE)
        canvas.lines(hatched(side, 90, 0.6), FINE)
    elif brick.material == Material.WOOD:
        canvas.lines(broken(hatched(top, _SLANTS[brick.grain], 1.5), 9.0, 1.2), FINE)
        canvas.lines(broken(hatched(front, 30 if brick.grain == 0 else 90, 0.9), 7.0, 0.8), FINE)
        canvas.lines(broken(hatched(side, -30 if brick.grain == 1 else 90, 0.9), 7.0, 0.8), FINE)
    elif brick.material == Material.OTHER:
        canvas.lines(hatched(front, 30, 1.5), FINE)
        canvas.lines(hatched(side, -30, 1.0), FINE)
    elif brick.material == Material.BOARD:
        for face, normal, pitch in ((top, 2, 3.0), (front, 1, 2.4), (side, 0, 1.5)):
            if brick.flutes != normal:
                canvas.lines(hatched(face, _SLANTS[brick.flutes], pitch), FINE)


def bounds(bricks: Sequence[Brick], eye: Eye) -> Rect:
    """The rectangle on paper around some bricks."""
    return around(point for brick in bricks for point in brick.silhouette(eye))

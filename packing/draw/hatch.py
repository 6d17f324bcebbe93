"""Hatching that tells materials apart in black and white.

Plain lines and dots clipped by arithmetic, so that every renderer shows the same. steel: close lines at 45°. wood:
broken lines along the grain. foam: dots in staggered rows. board: a zigzag between two liners. anything else: wide
lines the other way. saddles and rests: short dashes lying; plugs and fills: short dashes
standing.
"""

from collections.abc import Sequence
from enum import StrEnum
from itertools import pairwise
from math import ceil, cos, floor, hypot, radians, sin

from packing.draw.canvas import BLUE, FINE, INK, LABEL, THIN, Anchor, Canvas, text_width
from packing.draw.shapes import Point, Rect, Segment, Span, around, edges, outside, span_inside, span_over, without


class Material(StrEnum):
    """A material that drawings tell apart, by its name in the key."""

    STEEL = "steel"
    WOOD = "wood"
    FOAM = "foam"
    BOARD = "board"
    OTHER = "tins and blocks"
    SADDLE = "saddle"
    PLUG = "plug"
    REST = "rest"
    FILL = "fill"
    NOTCH = "finger notch"
    TAPE = "lift tape"


def hatched(corners: Sequence[Point], angle: float, pitch: float, gaps: Sequence[Rect] = ()) -> list[Segment]:
    """Parallel lines in a convex figure, left out where they cross others.

    Parameters
    ----------
    corners, gaps
        A convex polygon and upright rectangles in paper mm.
    angle
        Degrees from the x axis, clockwise on paper.
    pitch
        Distance between lines. Lines of one angle and pitch fall on one raster all over the paper.
    """
    step = (cos(radians(angle)), sin(radians(angle)))
    across = (-step[1], step[0])
    reach = [x * across[0] + y * across[1] for x, y in corners]
    lines: list[Segment] = []
    for index in range(ceil(min(reach) / pitch), floor(max(reach) / pitch) + 1):
        start = (across[0] * index * pitch, across[1] * index * pitch)
        inside = span_inside(start, step, corners)
        if inside is None:
            continue
        taken = [span for gap in gaps if (span := span_over(start, step, gap)) is not None]
        for low, high in without(inside, taken):
            if high - low > 0.15:
                lines.append(
                    (
                        (start[0] + low * step[0], start[1] + low * step[1]),
                        (start[0] + high * step[0], start[1] + high * step[1]),
                    )
                )
    return lines


def broken(lines: Sequence[Segment], run: float, gap: float) -> list[Segment]:
    """Lines cut into runs with gaps between, each line starting elsewhere."""
    cut: list[Segment] = []
    for index, ((ax, ay), (bx, by)) in enumerate(lines):
        length = hypot(bx - ax, by - ay)
        ux, uy = (bx - ax) / length, (by - ay) / length
        # Each line begins elsewhere by the golden section, so that the gaps never line up into a pattern of their own.
        at = -((index * 0.618034) % 1.0) * (run + gap)
        while at < length:
            low, high = max(at, 0.0), min(at + run, length)
            # Shorter runs would print as dots.
            if high - low > 0.2:
                cut.append(((ax + low * ux, ay + low * uy), (ax + high * ux, ay + high * uy)))
            at += run + gap
    return cut


def dotted(rect: Rect, gaps: Sequence[Rect], pitch: float = 3.4) -> list[Point]:
    """Dots in staggered rows in a rectangle, none in the gaps."""
    dots: list[Point] = []
    # Rows at half the pitch and shifted by half of it: an even field of dots at 45 degrees.
    rise = pitch * 0.5
    for row in range(ceil((rect.y0 + 0.4) / rise), floor((rect.y1 - 0.4) / rise) + 1):
        y = row * rise
        taken = [(gap.x0, gap.x1) for gap in gaps if gap.y0 <= y <= gap.y1]
        dots += _row(without((rect.x0 + 0.4, rect.x1 - 0.4), taken), row, pitch)
    return dots


def fill(canvas: Canvas, material: Material, rect: Rect, gaps: Sequence[Rect] = ()) -> None:
    """Hatch a rectangle for its material, leaving gaps out; the grain of wood runs along the longer side."""
    shapes = [gap for gap in gaps if gap.overlaps(rect)]
    if any(gap.holds(rect) for gap in shapes):
        return
    if material == Material.FOAM:
        canvas.dots(dotted(rect, shapes), 0.26)
    elif material == Material.STEEL:
        canvas.lines(hatched(rect.corners, -45, 1.15, shapes), FINE)
    elif material == Material.WOOD:
        # Boards are drawn with their grain along the longer side, as they are sawn.
        grain = 0.0 if rect.width >= rect.height else 90.0
        canvas.lines(broken(hatched(rect.corners, grain, 1.3, shapes), 11.0, 0.9), FINE)
    elif material in (Material.SADDLE, Material.PLUG, Material.REST, Material.FILL):
        # What lies under a part is dashed along, what lies over it across: told apart without colour.
        way = 0.0 if material in (Material.SADDLE, Material.REST) else 90.0
        canvas.lines(broken(hatched(rect.corners, way, 1.0, shapes), 1.8, 1.0), 0.18)
    elif material == Material.BOARD:
        canvas.lines(hatched(rect.corners, 45, 0.8, shapes), FINE)
    else:
        canvas.lines(hatched(rect.corners, 45, 2.3, shapes), FINE)


def wall(canvas: Canvas, rect: Rect) -> None:
    """Corrugated board cut through: two liners and a zigzag; solid where it is too thin to show that."""
    lying = rect.width >= rect.height
    thick = rect.height if lying else rect.width
    # Below half a millimetre on paper liners and flutes run into one another.
    if thick < 0.55:
        canvas.polygon(rect.corners, FINE, fill=INK)
        return
    length = rect.width if lying else rect.height
    # As many flutes as look right at this scale; they are a sign for board and no measure.
    count = max(1, round(length / (1.1 * thick)))
    points: list[Point] = []
    for index in range(count + 1):
        run, side = length * index / count, 0.0 if index % 2 else thick
        points.append((rect.x0 + run, rect.y0 + side) if lying else (rect.x0 + side, rect.y0 + run))
    canvas.lines(pairwise(points), FINE)
    canvas.polygon(rect.corners, THIN)


def cut_through(canvas: Canvas, rects: Sequence[Rect], *, wood: bool) -> None:
    """Walls of the box cut through: sawn wood with its grain, or corrugated board; the later reach into the earlier."""
    for index, rect in enumerate(rects):
        if not wood:
            wall(canvas, rect)
            continue
        later = [other for other in rects[index + 1 :] if other.overlaps(rect)]
        fill(canvas, Material.WOOD, rect, later)
        canvas.lines((line for edge in edges(rect) for line in outside(edge, later)), THIN)


def key(canvas: Canvas, materials: Sequence[Material], at: Point, *, width: float) -> None:
    """Swatches with their names in rows of at most this width, starting at a point half up the first row.

    Rows hold equally many, as nearly as can be, so that none stands alone under a full one.
    """
    (x, y), start, end = at, at[0], at[0] + width
    whole = sum(13 + text_width(material.value, LABEL) for material in materials) - 4
    # Equally many in each row, so that no sign stands alone under a full row.
    most = ceil(len(materials) / max(1, ceil(whole / width))) if materials else 1
    for index, material in enumerate(materials):
        words = material.value
        if x > start and (index % most == 0 or x + 9 + text_width(words, LABEL) > end):
            x, y = start, y + 5.2
        swatch = Rect(x, y - 1.7, x + 7.5, y + 1.7)
        if material == Material.BOARD:
            wall(canvas, Rect(x, y - 0.9, x + 7.5, y + 0.9))
        elif material in (Material.NOTCH, Material.TAPE):
            canvas.polygon(swatch.grown(-0.4).corners, THIN, colour=BLUE if material == Material.TAPE else INK)
        else:
            fill(canvas, material, swatch)
            canvas.polygon(swatch.corners, THIN)
        canvas.text(x + 9, y, words, size=LABEL, anchor=Anchor.START)
        x = canvas.labels.last.x1 + 4


def spots(canvas: Canvas, corners: Sequence[Point], gaps: Sequence[Sequence[Point]] = (), pitch: float = 3.4) -> None:
    """Dot a convex face, foam's mark in a picture in space; none in the gaps, convex too."""
    dots: list[Point] = []
    rise, box = pitch * 0.5, around(corners)
    for row in range(ceil((box.y0 + 0.4) / rise), floor((box.y1 - 0.4) / rise) + 1):
        start = (0.0, row * rise)
        whole = span_inside(start, (1.0, 0.0), corners)
        if whole is None:
            continue
        taken = [span for gap in gaps if (span := span_inside(start, (1.0, 0.0), gap)) is not None]
        dots += _row(without((whole[0] + 0.4, whole[1] - 0.4), taken), row, pitch)
    canvas.dots(dots, 0.26)


def _row(spans: Sequence[Span], row: int, pitch: float) -> list[Point]:
    """The dots of one row in some spans of it, every second row shifted by half a pitch."""
    shift, y = pitch / 2 if row % 2 else 0.0, row * pitch * 0.5
    return [
        (index * pitch + shift, y)
        for low, high in spans
        for index in range(ceil((low - shift) / pitch), floor((high - shift) / pitch) + 1)
    ]

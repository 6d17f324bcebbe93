"""Pictures of the closed box: with its outside sizes, and with every strip of tape from above and turned over."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

from packing.draw.canvas import FINE, TEXT, THIN, WHITE, Anchor, Canvas, Drawing, text_width
from packing.draw.hatch import Material
from packing.draw.isometric_projection import Brick, Corner, Eye, bounds, draw_brick, farthest_first
from packing.draw.placed_panels import draw_pulls, panel_bricks, pulls_of
from packing.draw.scale import Paper, length_text
from packing.draw.shapes import Point
from packing.plan import BoxPlan, Plan
from packing.plan.kinds import Packaging, PanelKind
from packing.plan.rows import Size

_HALF_TAPE = 30_000
"""Half the width of closing tape, 60 mm, in micrometres."""
_SEAM = "1.6 .8"
"""Dashes for an edge that is there and not seen."""

Run = tuple[Size, ...]


def small_box(plan: Plan, *, unit: str = "mm", paper: Paper = (60.0, 45.0), ground: str | None = None) -> Drawing:
    """The closed box as it stands, taped where it is taped, with length, width and height outside.

    Parameters
    ----------
    plan
        Whose box it is.
    unit, ground
        See `plan_view`.
    paper
        Room for the picture in mm.

    Returns
    -------
    Drawing
        Not to scale; the figures carry no unit, the title does.
    """
    box, (length, width, height) = plan.box, plan.box.outer_um
    bricks = _standing(box)
    unit_size = bounds([_whole(box)], Eye(1.0))
    scale = max(unit_size.width / (paper[0] - 10.0), unit_size.height / (paper[1] - 10.0))
    eye, canvas = Eye(scale), Canvas()
    _closed(canvas, box, bricks, _strips(box), eye)
    draw_pulls(canvas, pulls_of(box), eye)
    words = [length_text(side, unit) for side in (length, width, height)]
    _along(canvas, eye.at(0, 0, 0), eye.at(length, 0, 0), words[0], 30)
    _along(canvas, eye.at(length, 0, 0), eye.at(length, width, 0), words[1], -30)
    x, y = eye.at(0, 0, height / 2)
    if text_width(words[2]) <= height / 1000 / scale:
        canvas.text(x - 3.0, y, words[2], turn=-90)
    else:
        canvas.text(x - 1.6, y, words[2], anchor=Anchor.END)
    sizes = " × ".join(words)
    return canvas.finish(
        f"Order {plan.order}: the closed box, {sizes} {unit}", f"Outside {sizes} {unit}.", None, ground
    )


def tape_picture(
    plan: Plan, *, unit: str = "mm", paper: Paper = (160.0, 60.0), ground: str | None = None
) -> Drawing | None:
    """Every strip of tape on the closed box, seen as it stands and turned over end for end, with the strips to cut.

    Parameters
    ----------
    plan
        Whose box it is.
    unit, ground
        See `plan_view`.
    paper
        Room for both pictures in mm.

    Returns
    -------
    Drawing or None
        Not to scale; None where the box is closed without tape.
    """
    box, strips = plan.box, _strips(plan.box)
    if not strips:
        return None
    one = bounds([_whole(box)], Eye(1.0))
    scale = max(one.width / (paper[0] / 2 - 4.0), one.height / (paper[1] - 14.0))
    eye, canvas = Eye(scale), Canvas()
    _closed(canvas, box, _standing(box), strips, eye)
    first = canvas.extent
    apart = first.width + 8.0
    turned = Eye(scale, apart)
    _closed(
        canvas,
        box,
        [_turned_brick(brick, box.outer_um) for brick in _standing(box)],
        [_turned(strip, box.outer_um) for strip in strips],
        turned,
    )
    y = canvas.extent.y1 + TEXT + 1.0
    canvas.text(first.x0 + first.width / 2, y, "as it stands")
    canvas.text(first.x0 + first.width / 2 + apart, y, "turned over, end for end")
    canvas.text(first.x0, y + 1.7 * TEXT, f"Strips to cut: {_cuts(strips, unit)} {unit}.", anchor=Anchor.START)
    return canvas.finish(f"Order {plan.order}: how the box is taped", f"Strips: {_cuts(strips, unit)}.", None, ground)


def _cuts(strips: Sequence[Run], unit: str) -> str:
    """Lengths to cut from the roll, alike ones counted."""
    lengths = sorted((length_text(length_of(strip), unit) for strip in strips), reverse=True)
    return ", ".join(f"{len(list(alike))} × {words}" for words, alike in groupby(lengths))


def length_of(strip: Run) -> int:
    """Length of a strip, in micrometres."""
    return sum(abs(a - b) for one, two in pairwise(strip) for a, b in zip(one, two, strict=True))


def _whole(box: BoxPlan) -> Brick:
    return Brick("", "box", None, (0, 0, 0), box.outer_um)


def _strips(box: BoxPlan) -> list[Run]:
    return [strip.points_um for strip in box.closing.strips]


def _standing(box: BoxPlan) -> list[Brick]:
    """Its panels after the last step, the lower corner outside at the origin; the whole where none are told."""
    wood = box.packaging != Packaging.CORRUGATED
    plates = [plate for plate in (box.steps[-1].plates if box.steps else ()) if plate.name != PanelKind.JOINT]
    if not plates:
        return [replace(_whole(box), material=Material.WOOD if wood else Material.BOARD)]
    return panel_bricks(plates, Material.WOOD if wood else Material.BOARD)


def _turned(strip: Run, outer_um: Size) -> Run:
    """A strip on the box turned over about its width."""
    return tuple((outer_um[0] - x, y, outer_um[2] - z) for x, y, z in strip)


def _turned_brick(brick: Brick, outer_um: Size) -> Brick:
    (x0, y0, z0), (x1, y1, z1) = brick.low, brick.high
    return replace(brick, low=(outer_um[0] - x1, y0, outer_um[2] - z1), high=(outer_um[0] - x0, y1, outer_um[2] - z0))


def _closed(canvas: Canvas, box: BoxPlan, bricks: Sequence[Brick], strips: Sequence[Run], eye: Eye) -> None:
    for brick in farthest_first(bricks, eye):
        draw_brick(canvas, brick, eye, width=0.25)
    canvas.polygon(_whole(box).silhouette(eye), 0.4)
    for strip in strips:
        for one, two in pairwise(strip):
            for band, seam in _bands(one, two, box.outer_um):
                canvas.polygon([eye.at(*corner) for corner in band], THIN, fill=WHITE)
                if seam is not None:
                    canvas.lines([(eye.at(*seam[0]), eye.at(*seam[1]))], FINE, dash=_SEAM)


def _bands(one: Size, two: Size, outer_um: Size) -> Iterator[tuple[list[Corner], tuple[Corner, Corner] | None]]:
    """The visible parts of a straight run of tape: on each face its band, and its middle line where that is inside.

    A run along an edge lies half on either face; what would stand over the edge of a face is left off.
    """
    along = next(axis for axis in range(3) if one[axis] != two[axis])
    for face, at in ((2, outer_um[2]), (1, 0), (0, outer_um[0])):
        if face == along or one[face] != at:
            continue
        across = 3 - along - face
        low, high = max(0, one[across] - _HALF_TAPE), min(outer_um[across], one[across] + _HALF_TAPE)
        corners = []
        for start, side in ((one, low), (one, high), (two, high), (two, low)):
            corner: list[float] = list(start)
            corner[across] = side
            corners.append((corner[0], corner[1], corner[2]))
        inside = 0 < one[across] < outer_um[across]
        yield corners, ((one[0], one[1], one[2]), (two[0], two[1], two[2])) if inside else None


def _along(canvas: Canvas, start: Point, end: Point, words: str, turn: int) -> None:
    """A figure under a slanting lower edge."""
    way = 1.0 if turn > 0 else -1.0
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    canvas.text(x - way * 1.5, y + 2.6, words, turn=turn)

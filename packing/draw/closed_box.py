"""A small picture of the closed box with its outside sizes."""

from packing.boxes.tape import TAPE_OVERLAP_UM
from packing.draw.canvas import FINE, THIN, WHITE, Canvas, Drawing, text_width
from packing.draw.hatch import Material, hatched
from packing.draw.isometric_projection import Brick, Eye, bounds, draw_brick
from packing.draw.scale import Paper, length_text
from packing.draw.shapes import Point
from packing.plan import BoxPlan, Plan
from packing.plan.kinds import FoldName, Packaging, TapePattern

_TAPE = 60_000


def small_box(plan: Plan, *, unit: str = "mm", paper: Paper = (60.0, 45.0), ground: str | None = None) -> Drawing:
    """The closed box, taped as it is closed or of wood, with length, width and height outside.

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
    wood = box.packaging != Packaging.CORRUGATED
    brick = Brick("", "box", Material.WOOD if wood else None, (0, 0, 0), box.outer_um)
    unit_size = bounds([brick], Eye(1.0))
    scale = max(unit_size.width / (paper[0] - 10.0), unit_size.height / (paper[1] - 10.0))
    eye, canvas = Eye(scale), Canvas()
    draw_brick(canvas, brick, eye, width=0.4)
    if not wood:
        canvas.lines(hatched(brick.side(eye), 90, 1.6), FINE)
        _lid_edge(canvas, box, brick, eye)
        if box.closing.pattern == TapePattern.H:
            _h_tape(canvas, brick, eye)
        else:
            _bands(canvas, brick, eye)
    words = [length_text(side, unit) for side in (length, width, height)]
    _along(canvas, eye.at(0, 0, 0), eye.at(length, 0, 0), words[0], 30)
    _along(canvas, eye.at(length, 0, 0), eye.at(length, width, 0), words[1], -30)
    x, y = eye.at(0, 0, height / 2)
    if text_width(words[2]) <= height / 1000 / scale:
        canvas.text(x - 3.0, y, words[2], turn=-90)
    else:
        canvas.text(x - 1.6, y, words[2], anchor="end")
    sizes = " × ".join(words)
    return canvas.finish(
        f"Order {plan.order}: the closed box, {sizes} {unit}", f"Outside {sizes} {unit}.", None, ground
    )


def _lid_edge(canvas: Canvas, box: BoxPlan, brick: Brick, eye: Eye) -> None:
    """How far down the lid of a telescope reaches."""
    if not box.steps or not any(fold.name == FoldName.LID for fold in box.folds):
        return
    plates, slipped_over = box.steps[-1].plates, box.steps[-1].new
    length, width, _height = brick.high
    lid = min(plate.min_um[2] for plate in plates if plate.name in slipped_over)
    at = lid - min(plate.min_um[2] for plate in plates)
    corner = eye.at(length, 0, at)
    canvas.lines([(eye.at(0, 0, at), corner), (corner, eye.at(length, width, at))], THIN)


def _bands(canvas: Canvas, brick: Brick, eye: Eye) -> None:
    """A band of tape round the box near each end."""
    length, width, height = brick.high
    half = min(_TAPE / 2, length / 12)
    for middle in (length / 6, length * 5 / 6):
        low, high = middle - half, middle + half
        band = [
            eye.at(low, 0, 0), eye.at(low, 0, height), eye.at(low, width, height),
            eye.at(high, width, height), eye.at(high, 0, height), eye.at(high, 0, 0),
        ]  # fmt: skip
        canvas.polygon(band, THIN, fill=WHITE)
        canvas.lines([(eye.at(low, 0, height), eye.at(high, 0, height))], FINE)


def _h_tape(canvas: Canvas, brick: Brick, eye: Eye) -> None:
    """The seam where the outer flaps meet, taped over and down the end, and a strip along either end."""
    length, width, height = brick.high
    half = min(_TAPE / 2, width / 4)
    strip, fold = min(_TAPE / 2, length / 12), height - min(TAPE_OVERLAP_UM, height / 3)
    canvas.polygon(
        [eye.at(x, y, height) for x, y in ((0, 0), (strip, 0), (strip, width), (0, width))], THIN, fill=WHITE
    )
    end = [
        eye.at(length - strip, 0, height), eye.at(length, 0, height), eye.at(length, 0, fold),
        eye.at(length, width, fold), eye.at(length, width, height), eye.at(length - strip, width, height),
    ]  # fmt: skip
    canvas.polygon(end, THIN, fill=WHITE)
    down = height - min(TAPE_OVERLAP_UM, height / 2)
    low, mid, high = width / 2 - half, width / 2, width / 2 + half
    over = [
        eye.at(0, low, height), eye.at(length, low, height), eye.at(length, low, down),
        eye.at(length, high, down), eye.at(length, high, height), eye.at(0, high, height),
    ]  # fmt: skip
    canvas.polygon(over, THIN, fill=WHITE)
    canvas.lines([(eye.at(0, mid, height), eye.at(length, mid, height))], FINE, dash="1.6 .8")
    canvas.lines([(eye.at(length, low, height), eye.at(length, high, height))], FINE)


def _along(canvas: Canvas, start: Point, end: Point, words: str, turn: int) -> None:
    """A figure under a slanting lower edge."""
    way = 1.0 if turn > 0 else -1.0
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    canvas.text(x - way * 1.5, y + 2.6, words, turn=turn)

"""The run of a sliding lid enlarged: side, groove, tongue, every clearance, and the hollow it is pulled by."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from packing.draw.canvas import RING, TEXT, WIDE, Anchor, Canvas, Drawing
from packing.draw.hatch import Material, fill
from packing.draw.scale import Paper, View, length_text
from packing.draw.shapes import Point, Rect
from packing.measure import BadInput
from packing.plan import GroovePlan, PiecePlan, Plan
from packing.plan.kinds import GrooveKind, PieceRole
from packing.units import LengthUnit

SCALES = (0.5, 1.0, 2.0)
"""2 : 1 where there is room for it."""
_BELOW, _IN = 22_000, 38_000
"""Extent shown of the wall below the groove and of the lid inside the wall, in micrometres."""
_APART = 14.0
"""Millimetres on paper between the two ends, so that their notes do not meet."""
_LETTERS = "abcdefghijk"
_COLUMN = 82.0
"""Width of the notes beside the drawing: two fit on a page with its margins."""

Note = tuple[Point, Point, str]


@dataclass(frozen=True, slots=True)
class LidRun:
    """Every figure of a sliding lid's run, read off its pieces, in micrometres.

    Parameters
    ----------
    wall, rim
        Thickness of the side; what is left of it above the groove.
    groove, depth
        Width and depth of the groove.
    lid, tongue, step
        Thickness of the lid and of its tongue; the step above that.
    reach
        How far the tongue goes into the groove.
    above, end, side
        Play above the tongue, at its end, and of the lid's upper part beside the wall.
    pull
        The hollow in the lid.
    near
        How far the near end reaches up: the height inside.
    """

    wall: int
    rim: int
    groove: int
    depth: int
    lid: int
    tongue: int
    step: int
    reach: int
    above: int
    end: int
    side: int
    pull: GroovePlan
    near: int


def lid_run(plan: Plan) -> LidRun:
    """Read the run of a sliding lid off the pieces of a plan.

    Raises
    ------
    BadInput
        The box has no sliding lid.
    """
    box = plan.box
    roles = {piece.role: piece for piece in box.pieces}
    side, lid = roles.get(PieceRole.SIDE), roles.get(PieceRole.LID)
    groove = None if side is None else _groove(side, GrooveKind.GROOVE)
    pull = None if lid is None else _groove(lid, GrooveKind.FINGER_PULL)
    if side is None or lid is None or groove is None or pull is None:
        raise BadInput("section", "must be of a box with a sliding lid.")
    step = _groove(lid, GrooveKind.STEP)
    width = groove.max_um[1] - groove.min_um[1]
    reach = (lid.size_um[1] - box.inner_um[1]) // 2
    shoulder = step.max_um[1] - step.min_um[1] if step else 0
    deep = step.depth_um if step else 0
    return LidRun(
        wall=side.thickness_um,
        rim=side.size_um[1] - groove.max_um[1],
        groove=width,
        depth=groove.depth_um,
        lid=lid.thickness_um,
        tongue=lid.thickness_um - deep,
        step=deep,
        reach=reach,
        above=width - (lid.thickness_um - deep),
        end=groove.depth_um - reach,
        side=shoulder - reach,
        pull=pull,
        near=box.inner_um[2],
    )


def _groove(piece: PiecePlan, kind: GrooveKind) -> GroovePlan | None:
    return next((groove for groove in piece.grooves if groove.name == kind), None)


def lid_section(plan: Plan, *, unit: str = "mm", paper: Paper = (180.0, 100.0), ground: str | None = None) -> Drawing:
    """The run of a sliding lid at 2 : 1 where the paper takes it: through a side, and along through the near end.

    Parameters
    ----------
    plan
        Whose box it is.
    unit, paper, ground
        See `plan_view`.

    Returns
    -------
    Drawing
        Letters in rings lead to the figures below it.

    Raises
    ------
    BadInput
        The box has no sliding lid.
    """
    run = lid_run(plan)
    for scale in SCALES:
        view = View(scale, unit)
        canvas = _draw(run, view)
        box = canvas.extent.grown(1.0)
        if (box.width <= paper[0] and box.height <= paper[1]) or scale == SCALES[-1]:
            break
    words = f"Groove {length_text(run.groove, unit)} wide, {length_text(run.depth, unit)} deep; tongue "
    words += f"{length_text(run.tongue, unit)} thick."
    return canvas.finish(f"Order {plan.order}: section of the sliding lid", words, scale, ground)


def _draw(run: LidRun, view: View) -> Canvas:
    canvas = Canvas()
    notes = _across(canvas, run, view)
    right = canvas.extent.x1 + _APART
    notes += _along(canvas, run, view, right, len(notes))
    y = canvas.extent.y1 + 2.0 * TEXT
    left = canvas.extent.x0
    scale = f"{1 / view.scale:g} : 1" if view.scale < 1 else f"1 : {view.scale:g}"
    canvas.text(
        left,
        y,
        f"A–A through a side (the far end alike), and along through the near end · {scale} · {view.unit}",
        anchor=Anchor.START,
    )
    for index, note in enumerate(notes):
        column, line = divmod(index, -(-len(notes) // 2))
        canvas.text(
            left + column * _COLUMN, y + (line + 1.2) * 1.6 * TEXT, f"{_LETTERS[index]}  {note}", anchor=Anchor.START
        )
    return canvas


def _across(canvas: Canvas, run: LidRun, view: View) -> list[str]:
    """The side cut through with the edge of the lid in its groove; returns what the letters mean."""
    top = run.groove + run.rim
    wall = [
        Rect(-run.wall, -_BELOW, 0, 0),
        Rect(-run.wall, 0, -run.depth, run.groove),
        Rect(-run.wall, run.groove, 0, top),
    ]
    lid = [Rect(-run.reach, 0, _IN, run.tongue)]
    if run.step:
        lid.append(Rect(run.side, run.tongue, _IN, run.lid))
    for rect in (*wall, *lid):
        fill(canvas, Material.WOOD, view.rect(rect))
    outline = [(-run.wall, -_BELOW), (-run.wall, top), (0, top), (0, run.groove), (-run.depth, run.groove)]
    outline += [(-run.depth, 0), (0, 0), (0, -_BELOW)]
    edge = [(_IN, 0), (-run.reach, 0), (-run.reach, run.tongue)]
    edge += [(run.side, run.tongue), (run.side, run.lid), (_IN, run.lid)] if run.step else [(_IN, run.tongue)]
    for points in (outline, edge):
        canvas.lines(pairwise([view.point(point) for point in points]), WIDE)
    at = view.length
    frame = Rect(-at(run.wall) - 9.0, -at(top) - 8.0, at(_IN) + 2.0, at(_BELOW) + 2.0)
    return _lettered(canvas, [(view.point(spot), way, words) for spot, way, words in _notes(run, view)], frame, 0)


def _notes(run: LidRun, view: View) -> list[Note]:
    """Notes on the section through a side: where, which way its letter stands, the words."""
    figure, top = view.figure, run.groove + run.rim
    notes: list[Note] = [
        ((-run.wall, run.groove + run.rim / 2), (-1, -1), f"side {figure(run.wall)} thick"),
        ((-run.depth, run.groove / 2), (-1, 0), f"groove {figure(run.groove)} wide, {figure(run.depth)} deep"),
        ((-run.depth / 2, top), (-0.4, -1), f"{figure(run.rim)} of the side above the groove"),
        (
            (-run.depth + run.end / 2, run.tongue / 2),
            (-1, 0.75),
            f"tongue ends {_fine(view, run.end)} before the bottom",
        ),
        (
            (-run.reach / 3, run.tongue + run.above / 2),
            (0.35, -1),
            f"{_fine(view, run.above)} of play above the tongue",
        ),
        ((-run.reach / 2, 0), (-0.3, 1), f"tongue {figure(run.tongue)} thick, {figure(run.reach)} in the groove"),
    ]
    if run.step:
        beside = f"{_fine(view, run.side)} of room beside the lid"
        notes.append(((run.side / 2, run.lid - run.step / 2), (0.9, -1), beside))
    thick = f"lid {figure(run.lid)} thick, {figure(run.step)} of it above the tongue"
    return [*notes, ((_IN * 0.75, run.lid), (0.5, -1), thick)]


def _along(canvas: Canvas, run: LidRun, view: View, right: float, first: int) -> list[str]:
    """The near end cut through with the lid over it and the hollow in that; returns what the letters mean."""
    (x0, low), (x1, high) = run.pull.min_um, run.pull.max_um
    end, deep = max(x1 + 12_000, run.wall + 25_000), run.pull.depth_um
    figure, length = view.figure, view.length

    def at(x: float, y: float) -> Point:
        px, py = view.point((x, y))
        return px + right, py

    parts = (Rect(0, 0, x0, run.lid), Rect(x0, 0, x1, run.lid - deep), Rect(x1, 0, end, run.lid))
    for rect in (*parts, Rect(0, -_BELOW, run.wall, 0)):
        on_paper = view.rect(rect)
        fill(canvas, Material.WOOD, Rect(on_paper.x0 + right, on_paper.y0, on_paper.x1 + right, on_paper.y1))
    outline = [(end, 0), (0, 0), (0, run.lid), (x0, run.lid), (x0, run.lid - deep), (x1, run.lid - deep)]
    outline += [(x1, run.lid), (end, run.lid)]
    for points in (outline, [(0, -_BELOW), (0, 0)], [(run.wall, -_BELOW), (run.wall, 0)]):
        canvas.lines(pairwise([at(*point) for point in points]), WIDE)
    hollow = f"finger pull {figure(x1 - x0)} × {figure(high - low)}, {figure(deep)} deep"
    notes: list[Note] = [
        (at((x0 + x1) / 2, run.lid - deep), (0.4, -1), f"{hollow}, {figure(x0)} from the near end"),
        (at(run.wall / 2, -_BELOW / 2), (-1, 0.4), f"near end, {figure(run.near)} high; the lid slides over it"),
    ]
    frame = Rect(right - 9.0, -length(run.lid) - 9.0, right + length(end), length(_BELOW) + 2.0)
    return _lettered(canvas, notes, frame, first)


def _fine(view: View, um: int) -> str:
    """A clearance, which sixteenths are too coarse for: in inches to a hundredth."""
    return view.figure(um) if view.unit == LengthUnit.MM else f"{um / 25_400:.2f}"


def _lettered(canvas: Canvas, notes: Sequence[Note], frame: Rect, first: int) -> list[str]:
    """A letter in a ring at the frame for each note, a leader from it to its place."""
    for index, ((x, y), (dx, dy), _words) in enumerate(notes):
        run = min(_reaches((x, y), (dx, dy), frame))
        cx, cy = x + dx * run, y + dy * run
        next_to = (2 * RING + 0.8, 0.0) if abs(dy) >= abs(dx) else (0.0, 2 * RING + 0.8)
        tries = [(cx + next_to[0] * n, cy + next_to[1] * n) for n in range(5)]
        cx, cy = next((spot for spot in tries if canvas.free(_ring(*spot))), tries[0])
        canvas.leader((x, y), (cx, cy))
        canvas.ring(cx, cy, _LETTERS[first + index])
    return [words for _at, _way, words in notes]


def _ring(x: float, y: float) -> Rect:
    return Rect(x - RING, y - RING, x + RING, y + RING)


def _reaches(at: Point, way: Point, frame: Rect) -> list[float]:
    """Count how often a way goes from a point to each side of the frame that it leads to."""
    sides = ((frame.x0, frame.x1), (frame.y0, frame.y1))
    return [
        (high if step > 0 else low) / step - start / step
        for start, step, (low, high) in zip(at, way, sides, strict=True)
        if step
    ]

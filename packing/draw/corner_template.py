"""Corners of a wooden box in full size: laid on a piece, every screw or nail near its end is pricked through.

A template saves measuring each place four times (common practice, no source). Its corner is the piece's corner; what
does not fit the paper is left off.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packing.draw.canvas import BLUE, FINE, TEXT, THIN, WIDE, Anchor, Canvas, Drawing, text_width
from packing.draw.fasteners import HOLDS_POINTS
from packing.draw.hole_marks import LEAST_HOLE
from packing.draw.scale import Paper, View, said
from packing.draw.shapes import Point
from packing.draw.worked_face import DRILLED_UM, worked_face
from packing.plan import HolePlan, PiecePlan, Plan
from packing.plan.kinds import FastenerKind, StockKind

REACH_UM = 70_000
"""Length of a template along the piece: past the first screw or nail of each side."""
GAP, WORDS = 8.0, 3 * 1.5 * TEXT
"""Millimetres between two templates and over them."""
_ARM = 4.0


@dataclass(frozen=True, slots=True)
class CornerTemplate:
    """The lower corner of a piece at one of its ends.

    Parameters
    ----------
    piece
        Whose corner, seen as its working drawing shows it.
    right
        Whether it is the right-hand end.
    both
        Whether the other end is its mirror image, so that the template is turned over for it.
    """

    piece: PiecePlan
    right: bool
    both: bool

    @property
    def holes(self) -> tuple[Point, ...]:
        """Holes in its face within reach, from its corner, in micrometres; to the left where it is a right-hand end."""
        length = self.piece.size_um[0]
        places = (hole.at_um for hole in _face(self.piece))
        from_end = ((length - x if self.right else x, y) for x, y in places)
        return tuple(sorted((x, y) for x, y in from_end if x <= REACH_UM))


def _face(piece: PiecePlan) -> list[HolePlan]:
    return [hole for hole in piece.holes if not hole.edge]


def corner_templates(plan: Plan) -> tuple[CornerTemplate, ...]:
    """Find the corners to mark with templates.

    Parameters
    ----------
    plan
        Whose box it is.

    Returns
    -------
    tuple of CornerTemplate
        For each piece of wood with holes in its face its left end, and its right end where that is no mirror image;
        none for a box without any.
    """
    found = []
    for piece in plan.box.pieces:
        if piece.stock is None or piece.stock.kind != StockKind.TIMBER or not _screwed(plan, piece):
            continue
        shown = worked_face(plan.box, piece).piece
        left, right = (CornerTemplate(shown, end, both=False) for end in (False, True))
        if _alike(left.holes, right.holes):
            found.append(CornerTemplate(shown, right=False, both=True))
        else:
            found += [left, right]
    return tuple(one for one in found if one.holes)


def _screwed(plan: Plan, piece: PiecePlan) -> bool:
    """Tell whether heads of screws or nails lie in its face: points come out there; a rope's holes are measured."""
    rows = plan.box.hardware
    return piece.role not in HOLDS_POINTS and any(rows[hole.row].kind != FastenerKind.HANDLE for hole in _face(piece))


def _alike(one: Sequence[Point], other: Sequence[Point]) -> bool:
    return len(one) == len(other) and all(
        abs(a - c) <= DRILLED_UM and abs(b - d) <= DRILLED_UM for (a, b), (c, d) in zip(one, other, strict=True)
    )


def corner_pages(
    plan: Plan, *, unit: str = "mm", paper: Paper, stretch: float = 1.0, ground: str | None = None
) -> list[Drawing]:
    """Draw the corner templates in full size, as many on a page as go beside each other.

    Parameters
    ----------
    plan
        Whose box it is.
    unit, ground
        See `plan_view`.
    paper
        Room of a page in mm.
    stretch
        What lengths are multiplied by, so that a printer that prints too small or too large comes out true.

    Returns
    -------
    list of Drawing
        At 1 : 1; none where no piece has screws or nails in its face.
    """
    pages = []
    for group in _grouped(corner_templates(plan), paper[0], stretch):
        canvas, x = Canvas(), 0.0
        for template in group:
            x = _template(canvas, template, x, paper[1] - WORDS - 2.0, View(1.0 / stretch, unit)) + GAP
        names = ", ".join(dict.fromkeys(template.piece.id for template in group))
        pages.append(canvas.finish(f"Order {plan.order}: corner templates {names}", "Full size.", 1.0, ground))
    return pages


def _grouped(templates: Sequence[CornerTemplate], width: float, stretch: float) -> Iterator[list[CornerTemplate]]:
    each = REACH_UM / 1000 * stretch + GAP
    count = max(1, int((width + GAP - 2.0) / each))
    for start in range(0, len(templates), count):
        yield list(templates[start : start + count])


def _template(canvas: Canvas, template: CornerTemplate, left: float, height: float, view: View) -> float:
    """One template with its lower left corner at `left` on the base line; returns its right edge."""
    piece = template.piece
    wide = view.length(min(REACH_UM, piece.size_um[0]))
    tall = min(view.length(piece.size_um[1]), height)
    right = left + wide
    edge = right if template.right else left
    whole = tall >= view.length(piece.size_um[1]) - 0.01
    canvas.lines([((edge, 0.0), (edge, -tall)), ((left, 0.0), (right, 0.0))], WIDE)
    canvas.lines([((left, -tall), (right, -tall))], WIDE if whole else THIN, dash="" if whole else "3 1.5")
    other = left if template.right else right
    canvas.lines([((other, 0.0), (other, -tall))], THIN, dash="3 1.5")
    for x, y in template.holes:
        px = edge - view.length(x) if template.right else edge + view.length(x)
        py = -view.length(y)
        if -py > tall:
            continue
        canvas.lines([((px - _ARM, py), (px + _ARM, py)), ((px, py - _ARM), (px, py + _ARM))], FINE, colour=BLUE)
        canvas.circle(px, py, LEAST_HOLE, THIN, colour=BLUE)
    _words(canvas, template, (left, right), tall, view)
    return right


def _words(canvas: Canvas, template: CornerTemplate, ends: tuple[float, float], tall: float, view: View) -> None:
    """The words over a template: its piece, and how it is turned."""
    piece = template.piece
    side = "right end" if template.right else "left end"
    lines = [f"{piece.id} {said(piece.what, view.unit)}", side]
    if template.both:
        lines[1:] = ["left end; turn it over for the right"]
    lines = [line for line in lines if text_width(line) <= ends[1] - ends[0] + GAP - 1.0]
    for index, line in enumerate(reversed(lines)):
        canvas.text(ends[0], -tall - 3.0 - index * 1.5 * TEXT, line, anchor=Anchor.START, bold=index == len(lines) - 1)

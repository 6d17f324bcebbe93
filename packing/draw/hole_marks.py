"""Screws and nails on the working drawing of a piece: a mark for each, its places as figures, what each mark means."""

from collections.abc import Sequence
from itertools import pairwise

from packing.draw.canvas import BLUE, FINE, THIN, Canvas
from packing.draw.scale import View
from packing.draw.shapes import Rect
from packing.plan import HardwarePlan, HolePlan, PiecePlan
from packing.plan.kinds import FastenerKind

LEAST_HOLE = 0.6
"""A hole is drawn with at least this radius, in mm of paper, so that a print shows it."""
MOST_PLACES = 6
"""More places along an edge than this are not told one by one where they are uneven."""
_ARM = 0.7
"""Reach of a cross beyond the hole that it marks."""


def draw_holes(canvas: Canvas, holes: Sequence[HolePlan], view: View) -> None:
    """A ring with a cross for each screw or nail, as large as its drill; a square for one in the edge."""
    for hole in holes:
        (x, y), reach = view.point(hole.at_um), max(LEAST_HOLE, view.length(hole.drill_um) / 2)
        arm = reach + _ARM
        canvas.lines([((x - arm, y), (x + arm, y)), ((x, y - arm), (x, y + arm))], FINE, colour=BLUE)
        if hole.edge:
            canvas.polygon(Rect(x - reach, y - reach, x + reach, y + reach).corners, FINE, colour=BLUE)
        elif hole.drill_um:
            canvas.circle(x, y, reach, THIN, colour=BLUE)


def hole_places(piece: PiecePlan) -> tuple[set[int], set[int]]:
    """Places across and along a piece of the holes in its face."""
    face = [hole.at_um for hole in piece.holes if not hole.edge]
    return {x for x, _y in face}, {y for _x, y in face}


def hole_notes(piece: PiecePlan, hardware: Sequence[HardwarePlan], view: View) -> list[str]:
    """Explain each kind of mark: fastener, drill, spacing; for those in an edge also where along it."""
    counted: dict[tuple[str, str], int] = {}
    for hole in piece.holes:
        row = hardware[hole.row]
        drill = f", drill {view.drill(hole.drill_um)}" if hole.drill_um else ""
        if row.kind == FastenerKind.HANDLE:
            key = ("cross", f"hole for {view.said(row.what)}{drill}")
        elif hole.edge:
            alike = sorted(
                _along(other, piece) for other in piece.holes if other.edge and _same_edge(other, hole, piece)
            )
            key = ("square", f"{view.said(row.what)} into the edge{drill}, {_row_words(alike, view)}")
        else:
            apart = f", {view.figure(row.spacing_um)} apart" if row.spacing_um else ""
            key = ("cross", f"{view.said(row.what)}{drill}{apart}")
        counted[key] = counted.get(key, 0) + 1
    return [f"{mark}: {count} × {words}" for (mark, words), count in counted.items()]


def _across_edge(hole: HolePlan, piece: PiecePlan) -> int:
    """The axis of the piece along which its fastener runs: that on which it lies on the rim."""
    return 0 if hole.at_um[0] in (0, piece.size_um[0]) else 1


def _along(hole: HolePlan, piece: PiecePlan) -> int:
    return hole.at_um[1 - _across_edge(hole, piece)]


def _same_edge(one: HolePlan, other: HolePlan, piece: PiecePlan) -> bool:
    """Tell whether two fasteners of one row go into the same edge."""
    axis = _across_edge(one, piece)
    alike = axis == _across_edge(other, piece) and one.row == other.row
    return alike and one.at_um[axis] == other.at_um[axis]


def _row_words(places: Sequence[int], view: View) -> str:
    """Places along an edge: all of them, or the first and the step where they stand evenly."""
    steps = {high - low for low, high in pairwise(places)}
    if len(places) > 2 and len(steps) == 1:
        return f"at {view.figure(places[0])}, then every {view.figure(steps.pop())} to {view.figure(places[-1])}"
    if len(places) > MOST_PLACES:
        return "as the piece that is fastened there has them"
    return "at " + ", ".join(view.figure(place) for place in places)

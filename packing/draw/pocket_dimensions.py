"""Running dimensions of pockets on all four sides of a sheet, each pocket's on the nearer ones."""

from collections.abc import Sequence

from packing.draw.canvas import Canvas
from packing.draw.dimension import PITCH, Edge, Mark, across, merged, running, side_of, upright
from packing.draw.scale import View
from packing.draw.shapes import Rect, Segment
from packing.plan.rows import Point


def mark_pockets(
    canvas: Canvas, groups: Sequence[Sequence[Segment]], view: View, *, floor: Rect, outer: Rect, holes: Sequence[Rect]
) -> None:
    """Running dimensions for the outline of each group of pockets.

    Parameters
    ----------
    groups
        Edges of pockets in micrometres of the sheet; those of a group are one figure.
    floor
        The sheet on paper; its lower left corner is the datum.
    outer
        The outermost lines on paper.
    holes
        What extension lines stay out of, on paper.
    """
    marks: dict[Edge, list[Mark]] = {edge: [] for edge in Edge}
    for group in groups:
        for (ax, ay), (bx, by) in group:
            # A side along an axis has one figure, a slanted one two for each of its ends.
            for xs, ys in (((ax, bx), (ay, by)),) if ax == bx or ay == by else (((ax,), (ay,)), ((bx,), (by,))):
                if len(set(xs)) == 1:
                    side = Edge.BOTTOM if view.length(sum(ys) / len(ys)) < floor.height / 2 else Edge.TOP
                    end = min(ys) if side == Edge.BOTTOM else max(ys)
                    marks[side].append(Mark(xs[0], view.length(xs[0]), -view.length(end)))
                if len(set(ys)) == 1:
                    side = Edge.LEFT if view.length(sum(xs) / len(xs)) < floor.width / 2 else Edge.RIGHT
                    end = min(xs) if side == Edge.LEFT else max(xs)
                    marks[side].append(Mark(ys[0], -view.length(ys[0]), view.length(end)))
    for first, second, room in ((Edge.BOTTOM, Edge.TOP, outer.width), (Edge.LEFT, Edge.RIGHT, outer.height)):
        marks[first], marks[second] = _balanced(
            merged(marks[first], first, view), merged(marks[second], second, view), int(room / PITCH) + 1, view
        )
    for name, kept in marks.items():
        running(canvas, side_of(outer, name), kept, view, holes=holes)


def _balanced(first: list[Mark], second: list[Mark], most: int, view: View) -> tuple[list[Mark], list[Mark]]:
    """Two sides of at most so many figures each, where that can be: first no figure on both, then some moved over."""
    if max(len(first), len(second)) <= most:
        return first, second
    shown = {view.figure(mark.value_um) for mark in first}
    second = [mark for mark in second if view.figure(mark.value_um) not in shown]
    for fuller, emptier in ((first, second), (second, first)):
        while len(fuller) > most and len(fuller) > len(emptier) + 1:
            emptier.append(fuller.pop(len(fuller) // 2))
    return first, second


def overall(canvas: Canvas, floor: Rect, outer: Rect, size_um: Point, view: View) -> None:
    """Length above and width at the right, beyond whatever stands there."""
    box = canvas.extent
    top, right = min(box.y0, outer.y0) - 5.0, max(box.x1, outer.x1) + 6.0
    across(canvas, (floor.x0, floor.x1), top, view.figure(size_um[0]), foot=outer.y0)
    upright(canvas, (floor.y0, floor.y1), right, view.figure(size_um[1]), foot=outer.x1)

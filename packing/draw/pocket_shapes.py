"""Pockets as they are cut: rectangles or outlines, those of one item that meet as one figure."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from packing.draw.outlines import union_loops, union_outline
from packing.draw.scale import View
from packing.draw.shapes import Point, Rect, Segment
from packing.draw.solids import rect_of
from packing.plan import PocketPlan
from packing.polygon import union_loops as figure_loops

STRIPS = 40
"""Into so many strips a figure is cut where what is drawn round it only knows rectangles."""


def figure_of(pocket: PocketPlan, *, traced: bool = False) -> tuple[tuple[int, int], ...]:
    """The corners of a pocket counter-clockwise, in micrometres; all that were traced where that is asked for."""
    (x0, y0), (x1, y1) = pocket.min_um, pocket.max_um
    return (traced and pocket.traced_um) or pocket.outline_um or ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def pocket_loops(pockets: Sequence[PocketPlan], *, traced: bool = False) -> list[tuple[Point, ...]]:
    """The edges of pockets taken as one figure, in micrometres.

    Parameters
    ----------
    pockets
        Of one item, in one sheet.
    traced
        With every point that was traced, as a machine cuts it, instead of the knife's straight sides.

    Returns
    -------
    list of tuple of Point
        Corners counter-clockwise, clockwise round what is left standing.
    """
    if not any(pocket.outline_um for pocket in pockets):
        return union_loops([rect_of(pocket) for pocket in pockets])
    return list(figure_loops(tuple(figure_of(pocket, traced=traced) for pocket in pockets)))


def sides_of(loops: Iterable[Sequence[Point]]) -> list[Segment]:
    """The sides of closed figures."""
    return [side for loop in loops for side in pairwise([*loop, loop[0]])]


def pocket_lines(pockets: Sequence[PocketPlan], view: View) -> list[Segment]:
    """The edges of one item's pockets on paper."""
    if not any(pocket.outline_um for pocket in pockets):
        return union_outline([view.rect(rect_of(pocket)) for pocket in pockets])
    return [(view.point(a), view.point(b)) for a, b in sides_of(pocket_loops(pockets))]


def grouped(pockets: Iterable[PocketPlan]) -> dict[str, list[PocketPlan]]:
    """Pockets gathered by item."""
    gathered: dict[str, list[PocketPlan]] = {}
    for pocket in pockets:
        gathered.setdefault(pocket.letter, []).append(pocket)
    return gathered


def strips(figure: Sequence[Point], *, inside: bool) -> list[Rect]:
    """Narrow rectangles that make up a figure, or what its least rectangle has besides."""
    xs, ys = [x for x, _ in figure], [y for _, y in figure]
    low, high, bottom, top = min(xs), max(xs), min(ys), max(ys)
    found = []
    for number in range(STRIPS):
        left, right = (low + (high - low) * at / STRIPS for at in (number, number + 1))
        crossed = sorted(_crossings(figure, (left + right) / 2))
        ends = crossed if inside else [bottom, *crossed, top]
        found += [Rect(left, y0, right, y1) for y0, y1 in zip(ends[::2], ends[1::2], strict=True) if y0 < y1]
    return found


def _crossings(figure: Sequence[Point], x: float) -> Iterator[float]:
    """The points where an upright line meets the sides of a figure."""
    for (ax, ay), (bx, by) in sides_of([figure]):
        if (ax < x) != (bx < x):
            yield ay + (by - ay) * (x - ax) / (bx - ax)


def holes_of(pockets: Iterable[PocketPlan]) -> list[Rect]:
    """The open parts of a sheet, in rectangles alone: those of an outline are narrow strips."""
    found: list[Rect] = []
    for pocket in pockets:
        found += strips(pocket.outline_um, inside=True) if pocket.outline_um else [rect_of(pocket)]
    return found


def dimensioned_edges(pockets: Sequence[PocketPlan]) -> list[Segment]:
    """The edges that one item's pockets are dimensioned by.

    Parameters
    ----------
    pockets
        Of one item, in one sheet.

    Returns
    -------
    list of Segment
        In micrometres.
    """
    if any(pocket.outline_um for pocket in pockets):
        return sides_of(pocket_loops(pockets))
    return union_outline([rect_of(pocket) for pocket in pockets])

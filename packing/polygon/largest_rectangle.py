"""The largest upright rectangle inside a figure."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations

from packing.polygon.figure import Polygon, Rect, extent, holds

_PARTS = 12
"""A figure's length is divided into so many parts besides its corners: the rectangle's ends stand at these."""


@lru_cache(maxsize=2048)
def largest_rectangle(figure: Polygon, ends_um: tuple[int, int] | None = None, axis: int = 0) -> Rect | None:
    """The largest rectangle with sides along the axes that lies inside a figure.

    Parameters
    ----------
    figure
        Counter-clockwise, simple.
    ends_um
        From where to where along the axis it must reach; None to choose.
    axis
        Along x (0) or y (1).

    Returns
    -------
    tuple of int, or None
        x0, y0, x1, y1; None where nothing lies inside.

    Notes
    -----
    Between two ends it is exact; the ends are the best of the figure's corners and `_PARTS` equal parts.
    """
    turned = tuple((y, x) for x, y in figure) if axis else figure
    low, _, high, _ = extent(turned)
    places = sorted({x for x, _ in turned} | {low + (high - low) * part // _PARTS for part in range(1, _PARTS)})
    best: Rect | None = None
    for x0, x1 in combinations(places, 2) if ends_um is None else [ends_um]:
        for y0, y1 in _free(turned, x0, x1):
            if best is None or (x1 - x0) * (y1 - y0) > (best[2] - best[0]) * (best[3] - best[1]):
                best = (x0, y0, x1, y1)
    return best if best is None or not axis else (best[1], best[0], best[3], best[2])


def _free(figure: Polygon, x0: int, x1: int) -> Iterator[tuple[int, int]]:
    """From where to where a strip between two x lies inside a figure along its whole length."""
    spans = []
    for (ax, ay), (bx, by) in zip(figure, [*figure[1:], figure[0]], strict=True):
        left, right = max(x0, min(ax, bx)), min(x1, max(ax, bx))
        if left < right:
            ends = [ay + (by - ay) * (x - ax) / (bx - ax) for x in (left, right)]
            spans.append((min(ends), max(ends)))
        elif ax == bx and x0 < ax < x1:
            spans.append((min(ay, by), max(ay, by)))
    spans.sort()
    reached = None
    for low, high in spans:
        if reached is not None and low > reached + 1:
            # Rounded inwards: not a micrometre of it is foam.
            y0, y1 = -int(-reached // 1), int(low // 1)
            if y0 < y1 and holds(figure, ((x0 + x1) / 2, (y0 + y1) / 2)):
                yield y0, y1
        reached = high if reached is None else max(reached, high)

"""Regions in which one shape of one or two rectangles keeps off another, compiled.

References
----------
E. K. Burke, R. S. R. Hellier, G. Kendall, G. Whitwell, "Complete and robust no-fit polygon generation for the
irregular stock cutting problem", European Journal of Operational Research 179 (2007), 27-49,
doi:10.1016/j.ejor.2006.03.011 (from memory): the places at which one shape would overlap another.
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled

Ints = NDArray[np.int64]

FAR = 1 << 50
"""As in the search that uses the relations: no bound on that side."""
MOST_RELATIONS = 100
"""Two shapes of two rectangles have four forbidden ones, four relations beside them and at most so few notches between
that this is never reached."""


@compiled
def _avoids_all(nfp: Ints, m: int, x0: int, x1: int, y0: int, y1: int) -> bool:
    """Tell whether a closed rectangle of differences meets none of the open forbidden ones."""
    for k in range(m):  # noqa: SIM110 - numba compiles no generator expressions
        if x0 < nfp[k, 2] and x1 > nfp[k, 0] and y0 < nfp[k, 3] and y1 > nfp[k, 1]:
            return False
    return True


@compiled
def _single(a: Ints) -> bool:
    return bool(a[0, 0] == a[1, 0] and a[0, 1] == a[1, 1] and a[0, 2] == a[1, 2] and a[0, 3] == a[1, 3])


@compiled
def _forbidden(a: Ints, b: Ints, nfp: Ints) -> int:
    """Open rectangles of differences at which a rectangle of b meets one of a; their number."""
    m = 0
    for i in range(1 if _single(a) else 2):
        for j in range(1 if _single(b) else 2):
            nfp[m, 0] = a[i, 0] - b[j, 2]
            nfp[m, 1] = a[i, 1] - b[j, 3]
            nfp[m, 2] = a[i, 2] - b[j, 0]
            nfp[m, 3] = a[i, 3] - b[j, 1]
            m += 1
    return m


@compiled
def _write(out: Ints, r: int, x0: int, x1: int, y0: int, y1: int) -> None:
    out[r, 0] = x0
    out[r, 1] = x1
    out[r, 2] = y0
    out[r, 3] = y1


@compiled
def _keep_largest(out: Ints, n: int, x0: int, x1: int, y0: int, y1: int) -> int:
    """Add a notch unless another holds it, and drop those that it holds; the new number of relations."""
    for r in range(4, n):
        if out[r, 0] <= x0 and x1 <= out[r, 1] and out[r, 2] <= y0 and y1 <= out[r, 3]:
            return n
    kept = 4
    for r in range(4, n):
        if not (x0 <= out[r, 0] and out[r, 1] <= x1 and y0 <= out[r, 2] and out[r, 3] <= y1):
            _write(out, kept, out[r, 0], out[r, 1], out[r, 2], out[r, 3])
            kept += 1
    _write(out, kept, x0, x1, y0, y1)
    return kept + 1


@compiled
def relations(a: Ints, b: Ints, out: Ints) -> int:
    """Relations that keep shape b off shape a.

    Parameters
    ----------
    a, b
        Rectangles (2, 4) as x0, y0, x1, y1; the same twice for one rectangle.
    out
        Receives (count, 4): least and greatest x_b - x_a, least and greatest y_b - y_a. The first four are disjoint:
        right of, left of, and between those above, below. Notches lie between all four and may meet one another. At
        least `MOST_RELATIONS` rows.

    Returns
    -------
    int
        Their number.

    Notes
    -----
    A notch is a largest closed rectangle of differences, between the first four, that meets no forbidden one. Each of
    its sides lies on a side of a forbidden rectangle or of the space between, which leaves 5^4 to try.
    """
    nfp = np.empty((4, 4), np.int64)
    m = _forbidden(a, b, nfp)
    left, low, right, high = nfp[0, 0], nfp[0, 1], nfp[0, 2], nfp[0, 3]
    for k in range(1, m):
        left = min(left, nfp[k, 0])
        low = min(low, nfp[k, 1])
        right = max(right, nfp[k, 2])
        high = max(high, nfp[k, 3])
    _write(out, 0, right, FAR, -FAR, FAR)
    _write(out, 1, -FAR, left, -FAR, FAR)
    # Above and below without what lies beside, so that the first four are disjoint and no place is looked at twice.
    _write(out, 2, left + 1, right - 1, high, FAR)
    _write(out, 3, left + 1, right - 1, -FAR, low)
    n = 4
    for code in range(5**4 if m > 1 else 0):
        i, j, k, q = code // 125 - 1, code // 25 % 5 - 1, code // 5 % 5 - 1, code % 5 - 1
        if max(i, j, k, q) >= m:
            continue
        x0 = left + 1 if i < 0 else nfp[i, 2]
        x1 = right - 1 if j < 0 else nfp[j, 0]
        y0 = low + 1 if k < 0 else nfp[k, 3]
        y1 = high - 1 if q < 0 else nfp[q, 1]
        inner = left < x0 <= x1 < right and low < y0 <= y1 < high
        if inner and _avoids_all(nfp, m, x0, x1, y0, y1):
            n = _keep_largest(out, n, x0, x1, y0, y1)
    return n

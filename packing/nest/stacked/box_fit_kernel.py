"""The compiled inner loop of exact placing in space: whether boxes fit a larger box, each in one of its ways up.

As in `exact.layer_fit_kernel`: each pair of boxes keeps apart in one of six relations, right, left, behind, before,
above, below, made disjoint by asking each axis only where the boxes overlap on those before it. What follows from the
relations chosen so far is kept as least differences between all pairs of places, an exact square for each axis.

References
----------
S. P. Fekete, J. Schepers, "A combinatorial characterization of higher-dimensional orthogonal packing", 2004 (title
read on arXiv, cs/0310032).
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled
from packing.nest.exact.layer_fit_kernel import FAR, FITS, FITS_NOT, UNKNOWN, add_item, require_difference

Ints = NDArray[np.int64]


@compiled
def _relation(r: int, a: Ints, b: Ints, out: Ints) -> None:
    """Least and greatest differences of places, (3, 2), of boxes with sides a and b in relation r = 2 axis + side."""
    axis = r // 2
    for q in range(3):
        # Off by one on purpose: on the axes before, the boxes overlap by a micrometre at least.
        out[q, 0], out[q, 1] = (1 - b[q], a[q] - 1) if q < axis else (-FAR, FAR)
    if r % 2:
        out[axis, 1] = -b[axis]
    else:
        out[axis, 0] = a[axis]


@compiled
def _require(d: Ints, t: int, i: int, j: int, span: Ints) -> bool:
    """Keep the places of boxes i and j within these differences; False where that cannot be."""
    for q in range(3):
        if not (
            require_difference(d[q], t, i + 1, j + 1, span[q, 0])
            and require_difference(d[q], t, j + 1, i + 1, -span[q, 1])
        ):
            return False
    return True


@compiled
def _possible(d: Ints, i: int, j: int, span: Ints) -> bool:
    for q in range(3):  # noqa: SIM110 - numba compiles no generator expressions
        if span[q, 0] > -d[q, j + 1, i + 1] or span[q, 1] < d[q, i + 1, j + 1]:
            return False
    return True


@compiled
def _narrow(d: Ints, t: int, i: int, j: int, a: Ints, b: Ints, span: Ints, hull: Ints) -> int:
    """Keep boxes i and j within the hull of their possible relations; how many, negated where that brought news."""
    alive = 0
    for q in range(3):
        hull[q, 0], hull[q, 1] = FAR, -FAR
    for r in range(6):
        _relation(r, a, b, span)
        if not _possible(d, i, j, span):
            continue
        alive += 1
        whole = True
        for q in range(3):
            low, high = d[q, i + 1, j + 1], -d[q, j + 1, i + 1]
            whole = whole and span[q, 0] <= low and span[q, 1] >= high
            hull[q, 0] = min(hull[q, 0], max(low, span[q, 0]))
            hull[q, 1] = max(hull[q, 1], min(high, span[q, 1]))
        if whole:
            return 1
    if alive == 0:
        return 0
    new = False
    for q in range(3):
        new = new or hull[q, 0] > d[q, i + 1, j + 1] or hull[q, 1] < -d[q, j + 1, i + 1]
    if not new:
        return alive
    return -alive if _require(d, t, i, j, hull) else 0


@compiled
def _propagate(d: Ints, t: int, sides: Ints, orientation: Ints, done: Ints, pick: Ints, span: Ints, hull: Ints) -> bool:
    """Draw every consequence of the relations so far; False at a contradiction. `pick`: see `layer_fit_kernel`."""
    changed = True
    while changed:
        changed = False
        pick[0] = -1
        pick[2] = FAR
        for j in range(1, t):
            for i in range(j):
                if done[i, j]:
                    continue
                alive = _narrow(d, t, i, j, sides[orientation[i]], sides[orientation[j]], span, hull)
                if alive == 0:
                    return False
                if alive < 0:
                    changed = True
                    alive = -alive
                if alive == 1:
                    done[i, j] = 1
                elif alive < pick[2]:
                    pick[0] = i
                    pick[1] = j
                    pick[2] = alive
    return True


@compiled
def _crowded(d: Ints, t: int, sides: Ints, orientation: Ints, axis: int, room: int) -> bool:
    """Tell whether some plane across `axis` is bound to cut more area than `room` of the boxes placed so far."""
    for i in range(t):
        at = -d[axis, i + 1, 0]
        if at >= d[axis, 0, i + 1] + sides[orientation[i], axis]:
            continue
        total = 0
        for j in range(t):
            if -d[axis, j + 1, 0] <= at < d[axis, 0, j + 1] + sides[orientation[j], axis]:
                total += sides[orientation[j], (axis + 1) % 3] * sides[orientation[j], (axis + 2) % 3]
        if total > room:
            return True
    return False


@compiled
def _copy(d: Ints, orientation: Ints, done: Ints, old: int, t: int) -> None:
    """Copy the first t boxes of state `old` to the next."""
    new = old + 1
    for q in range(3):
        for a in range(t + 1):
            for b in range(t + 1):
                d[new, q, a, b] = d[old, q, a, b]
    for a in range(t):
        orientation[new, a] = orientation[old, a]
        for b in range(t):
            done[new, a, b] = done[old, a, b]


@compiled
def place_boxes(
    first: Ints, count: Ints, sides: Ints, twin: Ints, halved: bool, room: Ints, limit: int, out: Ints
) -> tuple[int, int]:
    """Place boxes in a box, or prove that it cannot be done.

    Parameters
    ----------
    first, count, sides
        Box k may stand with the sides in rows first[k] ... (count[k] of them).
    twin
        The box before k that is its equal, or -1; equal boxes have their rows in the same order.
    halved
        Whether box 0 need only be looked for in the nearest eighth; not where others equal it.
    room
        The sides of the box around them.
    limit
        Most nodes to look at.
    out
        Receives row, x, y, z per box.

    Returns
    -------
    (answer, nodes)
        `FITS`, `FITS_NOT` or `UNKNOWN` where the limit ended the search.
    """
    n = len(first)
    deep = n + n * (n - 1) // 2 + 2
    d, done = np.zeros((deep, 3, n + 1, n + 1), np.int64), np.zeros((deep, n, n), np.int64)
    orientation, branch = np.zeros((deep, n), np.int64), np.full((deep, 3), -1, np.int64)
    state = np.zeros((deep, 2), np.int64)
    span, hull = np.zeros((3, 2), np.int64), np.zeros((3, 2), np.int64)
    nodes, old = 0, 0
    while old >= 0:
        t, k = state[old, 0], state[old, 1]
        i, j = branch[old, 0], branch[old, 1]
        if k == (count[t] if i < 0 else 6):
            old -= 1
            continue
        state[old, 1] += 1
        new = old + 1
        if i < 0:
            w, fellow = first[t] + k, twin[t]
            if min(room[0] - sides[w, 0], room[1] - sides[w, 1], room[2] - sides[w, 2]) < 0:
                continue
            if fellow >= 0 and k < orientation[old, fellow] - first[fellow]:
                continue
            _copy(d, orientation, done, old, t)
            for q in range(3):
                add_item(d[new, q], t, (room[q] - sides[w, q]) // (2 if t == 0 and halved else 1))
            orientation[new, t] = w
            for a in range(t + 1):
                done[new, a, t] = 0
            t += 1
            same = fellow >= 0 and orientation[new, fellow] - first[fellow] == k
            good = not same or require_difference(d[new, 0], t, fellow + 1, t, 0)
        else:
            _relation(k, sides[orientation[old, i]], sides[orientation[old, j]], span)
            if not _possible(d[old], i, j, span):
                continue
            _copy(d, orientation, done, old, t)
            good = _require(d[new], t, i, j, span)
            done[new, i, j] = 1
        nodes += 1
        if nodes > limit:
            return UNKNOWN, nodes
        if not (good and _propagate(d[new], t, sides, orientation[new], done[new], branch[new], span, hull)):
            continue
        for q in range(3):
            good = good and not _crowded(d[new], t, sides, orientation[new], q, room[(q + 1) % 3] * room[(q + 2) % 3])
        if not good:
            continue
        if branch[new, 0] < 0 and t == n:
            for a in range(n):
                out[a, 0] = orientation[new, a]
                for q in range(3):
                    out[a, 1 + q] = d[new, q, 0, a + 1]
            return FITS, nodes
        state[new, 0], state[new, 1] = t, 0
        old = new
    return FITS_NOT, nodes

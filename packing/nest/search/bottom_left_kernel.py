"""The compiled inner loop of the nesting: places one layer's grown T shapes in sequence, each against a corner.

Places are whole micrometres in 32 bits, so that the loops over rectangles compile to vector code.

References
----------
B. S. Baker, E. G. Coffman, R. L. Rivest, "Orthogonal packings in two dimensions", SIAM Journal on Computing 9 (1980),
846-855, doi:10.1137/0209064 (from memory): placing each rectangle as low, then as far left, as it goes.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled, inlined

Ints = NDArray[np.int64] | NDArray[np.int32]
Whole = int | np.signedinteger[Any]
"""A whole number as the kernels have it: Python's own, or one of 32 or 64 bits."""


class Shapes(NamedTuple):
    """All orientations of all items, int64, micrometres.

    Per item (n,) its `first` row and how many `rows` it has; per row two grown rectangles `rects` (rows, 2, 4),
    extents `size` (rows, 2), the layer height `level` it needs, and what it needs beyond the wall, `reach` (rows, 4),
    towards low x, low y, high x and high y.
    """

    first: Ints
    rows: Ints
    rects: Ints
    size: Ints
    level: Ints
    reach: Ints


class Scratch(NamedTuple):
    """Rectangles `placed` and as `seen` from the corner in use, (4, 2n + WIDE) int32; the `shape` to place (2, 4)."""

    placed: Ints
    seen: Ints
    shape: Ints


class Threshold(NamedTuple):
    """The cost at which a layer that is being placed is given up.

    `most` that the whole may cost, over its height; length and width of the longest and widest of the other layers, and
    the sums of theirs; what the sides add; the shares of the volume that count at once, and per whole length or width.
    """

    most: float
    long: float
    wide: float
    sum_long: float
    sum_wide: float
    side: float
    once: float
    each: float


SEQUENCE, LAYER, SHAPE, CORNER, ROOM = range(5)
"""Rows of a state, see `place_layer`."""

FAR_END, FAR_SIDE, Y_FIRST = 1, 2, 4
"""Bits of a state's corners: against the far end, against the far side, least y before least x."""

X0, Y0, X1, Y1 = range(4)
"""Rows of placed rectangles, columns of shapes."""

WIDE = 8
"""Eight numbers of 32 bits fill a vector register of 256 bits, which nearly all processors have."""
FAR = np.int32(1 << 30)
"""A kilometre in micrometres: beyond every place, and twice of it still fits into 32 bits."""
NO_THRESHOLD = Threshold(np.inf, 1.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0)
"""Never too much: for placing a plan that is already chosen."""


@inlined
def scratch_for(n: Whole) -> Scratch:
    """Room for placing `n` items."""
    room = 2 * n + WIDE
    return Scratch(np.empty((4, room), np.int32), np.empty((4, room), np.int32), np.empty((2, 4), np.int64))


@compiled
def _find(seen: Ints, m: Whole, p0: Ints, p1: Ints, w: Whole, h: Whole, limit: Whole) -> tuple[Whole, Whole]:
    """Least x, then least y, of a shape among `m` placed rectangles.

    Parameters
    ----------
    seen
        Placed rectangles, rows x0, y0, x1, y1; from column `m` to the next multiple of `WIDE` empty ones.
    p0, p1
        The shape's rectangles (4,); the same twice for one rectangle.
    w, h
        Its extents.
    limit
        Room along y; a shape higher than that is put at y 0.

    Returns
    -------
    (x, y)

    Notes
    -----
    For every height at which the shape would rest on a rectangle, x goes to the end of whatever is met until nothing
    is. The loop over rectangles has no branches and whole multiples of `WIDE`, so that it compiles to vector code.
    """
    a0, a1, a2, a3 = seen[X0], seen[Y0], seen[X1], seen[Y1]
    full = (m + WIDE - 1) // WIDE * WIDE
    best_x = FAR
    best_y = np.int32(0)
    top = np.int32(max(0, limit - h))
    # -1 is the floor itself; then each rectangle, once under each of the two rectangles of the shape.
    for k in range(-1, 2 * m):
        y = np.int32(0)
        if k >= 0:
            y = np.int32(a3[k >> 1] - (p1[Y0] if k & 1 else p0[Y0]))
            if y <= 0 or y > top:
                continue
        # Nothing lies further left than 0, so only a lower place could still be better.
        if best_x == 0 and y >= best_y:
            continue
        low0 = np.int32(y + p0[Y0])
        low1 = np.int32(y + p1[Y0])
        high0 = np.int32(y + p0[Y1])
        high1 = np.int32(y + p1[Y1])
        x = np.int32(-1)
        to = np.int32(0)
        # Pushed to the right until nothing is met; given up once beyond the best place that is known.
        while x < to <= best_x:
            x = to
            begin0 = np.int32(x + p0[X0])
            begin1 = np.int32(x + p1[X0])
            end0 = np.int32(x + p0[X1])
            end1 = np.int32(x + p1[X1])
            for r in range(full):
                meets0 = (low0 < a3[r]) & (a1[r] < high0) & (begin0 < a2[r]) & (a0[r] < end0)
                meets1 = (low1 < a3[r]) & (a1[r] < high1) & (begin1 < a2[r]) & (a0[r] < end1)
                to0 = np.int32(a2[r] - p0[X0]) if meets0 else x
                to1 = np.int32(a2[r] - p1[X0]) if meets1 else x
                to = max(to, to0, to1)
        if to < best_x or (to == best_x and y < best_y):
            best_x = to
            best_y = y
    return np.int64(best_x), np.int64(best_y)


@inlined
def _axis_from(low: Ints, high: Ints, m: Whole, cap: Whole, far: Whole, out_low: Ints, out_high: Ints) -> None:
    """Copy `m` intervals along an axis as they are seen from its near end, or from its far one at `cap`."""
    if far:
        for r in range(m):
            out_low[r] = cap - high[r]
            out_high[r] = cap - low[r]
    else:
        for r in range(m):
            out_low[r] = low[r]
            out_high[r] = high[r]


@inlined
def _seen_from(placed: Ints, m: Whole, cap_x: Whole, cap_y: Whole, how: Whole, out: Ints) -> None:
    """Copy `m` rectangles as they are seen from the corner that `how` names, in a frame of this length and width."""
    a = 1 if how & Y_FIRST else 0
    b = 1 - a
    _axis_from(placed[X0], placed[X1], m, cap_x, how & FAR_END, out[a], out[a + 2])
    _axis_from(placed[Y0], placed[Y1], m, cap_y, how & FAR_SIDE, out[b], out[b + 2])
    for r in range(m, (m + WIDE - 1) // WIDE * WIDE):
        # The empty columns up to a whole vector: rectangles that begin after they end meet nothing.
        out[:2, r] = FAR
        out[2:, r] = -FAR


@inlined
def _shape_from(rects: Ints, w: Whole, h: Whole, how: Whole, out: Ints) -> None:
    """Copy a shape's two rectangles as they are seen from that corner."""
    for r in range(2):
        x0 = rects[r, X0]
        y0 = rects[r, Y0]
        x1 = rects[r, X1]
        y1 = rects[r, Y1]
        if how & FAR_END:
            x0, x1 = w - x1, w - x0
        if how & FAR_SIDE:
            y0, y1 = h - y1, h - y0
        if how & Y_FIRST:
            x0, y0, x1, y1 = y0, x0, y1, x1
        out[r, X0] = x0
        out[r, Y0] = y0
        out[r, X1] = x1
        out[r, Y1] = y1


@compiled
def _choose(
    m: Whole, shape: Ints, w: Whole, h: Whole, how: Whole, cap_x: Whole, cap_y: Whole, scratch: Scratch
) -> tuple[Whole, Whole]:
    """Place a shape among `m` placed rectangles, by its mode; see `place_layer`."""
    p = scratch.shape
    _shape_from(shape, w, h, how, p)
    _seen_from(scratch.placed, m, np.int32(cap_x), np.int32(cap_y), how, scratch.seen)
    if how & Y_FIRST:
        y, x = _find(scratch.seen, m, p[0], p[1], h, w, cap_x)
    else:
        x, y = _find(scratch.seen, m, p[0], p[1], w, h, cap_y)
    if how & FAR_END:
        x = cap_x - w - x
    if how & FAR_SIDE:
        y = cap_y - h - y
    return x, y


@inlined
def _beyond(threshold: Threshold, long: float, wide: float) -> bool:
    """Tell whether a layer of this length and width so far makes the whole cost too much: both can only grow."""
    t = threshold
    x = max(long, t.long)
    y = max(wide, t.wide)
    shares = t.once + t.each * ((t.sum_long + long) / x + (t.sum_wide + wide) / y)
    return (x + t.side) * (y + t.side) * shares > t.most


@compiled
def place_layer(
    which: Whole, n: Whole, start: Whole, state: Ints, shapes: Shapes, out: Ints, scratch: Scratch, threshold: Threshold
) -> tuple[Whole, Whole, Whole]:
    """Place one layer's items in sequence.

    Parameters
    ----------
    which
        The layer.
    start
        Index in the sequence before which items keep the place that `out` has for them.
    state
        (5, n + 2) int64. Rows: `SEQUENCE` of all items; per item its `LAYER`, its row in `shapes` (`SHAPE`) and how it
        is placed (`CORNER`), the sum of `FAR_END`, `FAR_SIDE` and `Y_FIRST`; last, in the first two columns, the length
        and width that the items try to keep within (`ROOM`).
    shapes
        See `Shapes`.
    out
        Holds and receives x, y per item.
    scratch, threshold
        See `Scratch` and `Threshold`.

    Returns
    -------
    (length, width, height) of what was placed; zeros for an empty layer, a length of -1 for one that costs too much.
    """
    rects, size, reach = shapes.rects, shapes.size, shapes.reach
    placed = scratch.placed
    cap_x = state[ROOM, 0]
    cap_y = state[ROOM, 1]
    # As the type that it stays: a literal 0 would have what is called with it compiled twice.
    m: Whole = np.int64(0)
    # Beyond every place, so that the first item sets all four ends.
    low_x = np.int64(1) << np.int64(60)
    low_y = low_x
    high_x = -low_x
    high_y = -low_x
    tall = np.int64(0)
    for k in range(n):
        i = state[SEQUENCE, k]
        if state[LAYER, i] != which:
            continue
        g = state[SHAPE, i]
        w = size[g, 0]
        h = size[g, 1]
        # Nothing before the change in the sequence has another place than before.
        if k < start:
            x = out[i, 0]
            y = out[i, 1]
        else:
            x, y = _choose(m, rects[g], w, h, state[CORNER, i], cap_x, cap_y, scratch)
            out[i, 0] = x
            out[i, 1] = y
        # A single rectangle stands twice in its row; placed twice it would be met twice, at twice the time.
        for q in range(2):
            if (
                q == 1
                and rects[g, 1, X0] == rects[g, 0, X0]
                and rects[g, 1, X1] == rects[g, 0, X1]
                and rects[g, 1, Y0] == rects[g, 0, Y0]
                and rects[g, 1, Y1] == rects[g, 0, Y1]
            ):
                break
            placed[X0, m] = x + rects[g, q, X0]
            placed[Y0, m] = y + rects[g, q, Y0]
            placed[X1, m] = x + rects[g, q, X1]
            placed[Y1, m] = y + rects[g, q, Y1]
            m += 1
        low_x = min(low_x, x - reach[g, 0])
        low_y = min(low_y, y - reach[g, 1])
        tall = max(tall, shapes.level[g])
        high_x = max(high_x, x + w + reach[g, 2])
        high_y = max(high_y, y + h + reach[g, 3])
        if _beyond(threshold, float(high_x - low_x), float(high_y - low_y)):
            return np.int64(-1), np.int64(0), np.int64(0)
    if m == 0:
        return np.int64(0), np.int64(0), np.int64(0)
    return high_x - low_x, high_y - low_y, tall

"""The compiled inner loop: places sequences of grown T shapes in layers and anneals over them.

Every number that decides is an integer number of micrometres or a sum and product of doubles in a fixed order, and
chance comes from our own generator, so that the same seed and steps give the same plan on any machine.
"""

from typing import Any, NamedTuple

import numpy as np

from packing.nest.compiled import compiled, inlined


class Shapes(NamedTuple):
    """All ways of all items, int64, micrometres.

    `first` row and number of `ways` per item (n,); per row two grown rectangles `rects` (rows, 2, 4), extents `size`
    (rows, 2), the layer height `level` it needs, and what it needs beyond the wall, `reach` (rows, 4), towards low x,
    low y, high x and high y.
    """

    first: Any
    ways: Any
    rects: Any
    size: Any
    level: Any
    reach: Any


class Limits(NamedTuple):
    """What turns extents into a cost.

    `side` is what length and width add to the extents; base and top `pads`; the pad `between` layers; the largest
    interior `cap` (3,), 0 for none; `weight` per item and the `most_weight` of a layer, 0 for none; the `pull` on the
    shorter layers.
    """

    side: int
    pads: int
    between: int
    cap: Any
    weight: Any
    most_weight: int
    pull: float


class Scratch(NamedTuple):
    """Rectangles `placed` and as `seen` from the corner in use (2n, 4), the `shape` to place (2, 4), `bars` (4n, 2)."""

    placed: Any
    seen: Any
    shape: Any
    bars: Any


@inlined
def _next(rng):
    """A 64-bit xorshift* step; `rng` holds one uint64."""
    x = rng[0]
    x ^= x >> np.uint64(12)
    x ^= x << np.uint64(25)
    x ^= x >> np.uint64(27)
    rng[0] = x
    return (x * np.uint64(2685821657736338717)) >> np.uint64(33)


@inlined
def _below(rng, n):
    return np.int64(_next(rng) % np.uint64(n))


@compiled
def _find(a, m, p0, p1, w, h, limit, bars):
    """Least x, then least y, of a shape among `m` placed rectangles.

    Parameters
    ----------
    a
        Placed rectangles (m, 4) as x0, y0, x1, y1.
    p0, p1
        The shape's rectangles (4,); the same twice for one rectangle.
    w, h
        Its extents.
    limit
        Room along y; a shape higher than that is put at y 0.
    bars
        Scratch (2m, 2): where along x the shape may not begin.

    Returns
    -------
    (x, y)
    """
    best_x = np.int64(1) << np.int64(60)
    best_y = np.int64(0)
    top = limit - h
    if top < 0:
        top = np.int64(0)
    for k in range(-1, 2 * m):
        if k < 0:
            y = np.int64(0)
        else:
            r = k >> 1
            if k & 1:
                y = a[r, 3] - p1[1]
            else:
                y = a[r, 3] - p0[1]
            if y <= 0 or y > top:
                continue
        if best_x == 0 and y >= best_y:
            continue
        low0 = y + p0[1]
        low1 = y + p1[1]
        high0 = y + p0[3]
        high1 = y + p1[3]
        c = 0
        for r in range(m):
            if low0 < a[r, 3] and a[r, 1] < high0:
                bars[c, 0] = a[r, 0] - p0[2]
                bars[c, 1] = a[r, 2] - p0[0]
                c += 1
            if low1 < a[r, 3] and a[r, 1] < high1:
                bars[c, 0] = a[r, 0] - p1[2]
                bars[c, 1] = a[r, 2] - p1[0]
                c += 1
        x = np.int64(0)
        moved = True
        while moved and x <= best_x:
            moved = False
            for r in range(c):
                if bars[r, 0] < x < bars[r, 1]:
                    x = bars[r, 1]
                    moved = True
        if x < best_x or (x == best_x and y < best_y):
            best_x = x
            best_y = y
    return best_x, best_y


@inlined
def _seen_from(rects, count, length, width, how, out):
    """Copy rectangles as they are seen from the corner that `how` names, in a frame of this length and width."""
    for r in range(count):
        x0 = rects[r, 0]
        y0 = rects[r, 1]
        x1 = rects[r, 2]
        y1 = rects[r, 3]
        if how & 1:
            x0, x1 = length - x1, length - x0
        if how & 2:
            y0, y1 = width - y1, width - y0
        if how & 4:
            x0, y0, x1, y1 = y0, x0, y1, x1
        out[r, 0] = x0
        out[r, 1] = y0
        out[r, 2] = x1
        out[r, 3] = y1


@compiled
def _choose(m, shape, w, h, how, cap_x, cap_y, scratch):
    """Where a shape goes among `m` placed rectangles, by its mode; see `place_layer`."""
    seen, p, bars = scratch.seen, scratch.shape, scratch.bars
    _seen_from(shape, 2, w, h, how, p)
    _seen_from(scratch.placed, m, cap_x, cap_y, how, seen)
    if how & 4:
        y, x = _find(seen, m, p[0], p[1], h, w, cap_x, bars)
    else:
        x, y = _find(seen, m, p[0], p[1], w, h, cap_y, bars)
    if how & 1:
        x = cap_x - w - x
    if how & 2:
        y = cap_y - h - y
    return x, y


@compiled
def place_layer(which, n, start, state, shapes, out, scratch):
    """Place one layer's items in sequence.

    Parameters
    ----------
    which
        The layer.
    start
        Index in the sequence before which items keep the place that `out` has for them.
    state
        (5, n + 2) int64. Rows: the sequence of all items; per item its layer; its row in `shapes`; how it is placed,
        the sum of 1 (against the far end), 2 (against the far side) and 4 (least y before least x); last, in the first
        two columns, the length and width that the items try to keep within.
    shapes
        See `Shapes`.
    out
        Holds and receives x, y per item.
    scratch
        See `Scratch`.

    Returns
    -------
    (length, width, height) of what was placed; zeros for an empty layer.
    """
    rects, size, reach = shapes.rects, shapes.size, shapes.reach
    placed = scratch.placed
    cap_x = state[4, 0]
    cap_y = state[4, 1]
    m = 0
    low_x = np.int64(1) << np.int64(60)
    low_y = low_x
    high_x = -low_x
    high_y = -low_x
    tall = np.int64(0)
    for k in range(n):
        i = state[0, k]
        if state[1, i] != which:
            continue
        g = state[2, i]
        w = size[g, 0]
        h = size[g, 1]
        if k < start:
            x = out[i, 0]
            y = out[i, 1]
        else:
            x, y = _choose(m, rects[g], w, h, state[3, i], cap_x, cap_y, scratch)
            out[i, 0] = x
            out[i, 1] = y
        for q in range(2):
            if (
                q == 1
                and rects[g, 1, 0] == rects[g, 0, 0]
                and rects[g, 1, 2] == rects[g, 0, 2]
                and rects[g, 1, 1] == rects[g, 0, 1]
                and rects[g, 1, 3] == rects[g, 0, 3]
            ):
                break
            placed[m, 0] = x + rects[g, q, 0]
            placed[m, 1] = y + rects[g, q, 1]
            placed[m, 2] = x + rects[g, q, 2]
            placed[m, 3] = y + rects[g, q, 3]
            m += 1
        low_x = min(low_x, x - reach[g, 0])
        low_y = min(low_y, y - reach[g, 1])
        tall = max(tall, shapes.level[g])
        high_x = max(high_x, x + w + reach[g, 2])
        high_y = max(high_y, y + h + reach[g, 3])
    if m == 0:
        return np.int64(0), np.int64(0), np.int64(0)
    return high_x - low_x, high_y - low_y, tall


@compiled
def overload(n, k, state, limits):
    """How far the heaviest layers are beyond `limits.most_weight` (0 = none), as a share of it, added up."""
    over = 0.0
    if limits.most_weight > 0:
        for q in range(k):
            load = np.int64(0)
            for i in range(n):
                if state[1, i] == q:
                    load += limits.weight[i]
            over += max(0.0, float(load) / float(limits.most_weight) - 1.0)
    return over


@compiled
def cost_of(n, k, state, extent, limits):
    """Interior volume, with a small pull on the shorter layers and a penalty beyond the limits.

    Parameters
    ----------
    extent
        (3, k): length, width and height of each layer, zeros where it is empty.
    limits
        See `Limits`.

    Returns
    -------
    (cost, volume, excess)
        `excess` is 0 where every limit is kept, else by how much they are broken, as shares of them.
    """
    big_x = np.int64(0)
    big_y = np.int64(0)
    used = 0
    height = limits.pads - limits.between
    for q in range(k):
        if extent[0, q] > 0:
            used += 1
            big_x = max(big_x, extent[0, q])
            big_y = max(big_y, extent[1, q])
            height += extent[2, q] + limits.between
    slack = 0.0
    for q in range(k):
        if extent[0, q] > 0:
            slack += float(extent[0, q]) / float(big_x) + float(extent[1, q]) / float(big_y)
    x = float(big_x + limits.side)
    y = float(big_y + limits.side)
    z = float(height)
    volume = x * y * z
    excess = overload(n, k, state, limits)
    cap = limits.cap
    if cap[2] > 0:
        excess += max(0.0, z / float(cap[2]) - 1.0)
    if cap[0] > 0:
        a = max(0.0, x / float(cap[0]) - 1.0) + max(0.0, y / float(cap[1]) - 1.0)
        b = max(0.0, x / float(cap[1]) - 1.0) + max(0.0, y / float(cap[0]) - 1.0)
        excess += min(a, b)
    cost = volume * (1.0 + limits.pull * (slack / (2.0 * used) - 1.0)) * (1.0 + 8.0 * excess)
    return cost, volume, excess


@compiled
def _changed(rng, n, k, shapes, state, extent, touched):
    """Change a state by one random move; marks the layers to place anew and returns from where in the sequence."""
    start = np.int64(0)
    dice = _below(rng, 100)
    if dice < 44:
        a = _below(rng, n)
        b = _below(rng, n)
        start = min(a, b)
        i = state[0, a]
        touched[state[1, i]] = True
        if dice < 22:
            j = state[0, b]
            state[0, a] = j
            state[0, b] = i
            touched[state[1, j]] = True
            state[1, i], state[1, j] = state[1, j], state[1, i]
            return start
        while a < b:
            state[0, a] = state[0, a + 1]
            a += 1
        while a > b:
            state[0, a] = state[0, a - 1]
            a -= 1
        state[0, b] = i
        if dice < 32:
            state[1, i] = _below(rng, k)
            touched[state[1, i]] = True
        if dice & 1:
            state[2, i] = shapes.first[i] + _below(rng, shapes.ways[i])
        if dice & 2:
            state[3, i] = _below(rng, 8)
    elif dice < 88:
        start = _below(rng, n)
        i = state[0, start]
        touched[state[1, i]] = True
        if dice < 68:
            state[2, i] = shapes.first[i] + _below(rng, shapes.ways[i])
        if dice >= 84:
            state[1, i] = _below(rng, k)
            touched[state[1, i]] = True
        elif dice >= 68 or dice & 1:
            state[3, i] = _below(rng, 8)
    else:
        big_x = np.int64(0)
        big_y = np.int64(0)
        for q in range(k):
            big_x = max(big_x, extent[0, q])
            big_y = max(big_y, extent[1, q])
            touched[q] = True
        if dice < 92:
            state[4, 0] = big_x
            state[4, 1] = big_y
        by = (_below(rng, 2001) - 1000) * (1 + 7 * _below(rng, 2)) * 10
        side = 1 - (dice & 1)
        state[4, side] = max(np.int64(1000), state[4, side] + state[4, side] * by // 1000000)
    return start


@compiled
def anneal(steps, hot, fall, rng, chance, k, shapes, limits, kept, best, best_value):
    """Anneal for `steps` moves, the temperature (relative to the cost) beginning at `hot` and falling by `fall` each.

    Parameters
    ----------
    rng
        One uint64, advanced.
    chance
        Table of 4096 values of -ln(u), for accepting.
    k
        Most layers.
    shapes, limits
        See `Shapes` and `Limits`.
    kept, best
        States, see `place_layer`: `kept` is advanced, `best` keeps the best.
    best_value
        (2,) float64: least volume so far (times 1000 and more where it exceeds a limit), its excess.
    """
    n = len(shapes.first)
    state = kept.copy()
    scratch = Scratch(
        np.empty((2 * n + 2, 4), np.int64),
        np.empty((2 * n + 2, 4), np.int64),
        np.empty((2, 4), np.int64),
        np.empty((4 * n + 4, 2), np.int64),
    )
    out = np.zeros((n, 2), np.int64)
    extent = np.zeros((3, k), np.int64)
    touched = np.ones(k, np.bool_)
    next_state, next_out, next_extent = state.copy(), out.copy(), extent.copy()
    cost = np.inf
    start = np.int64(0)
    heat = hot
    for step in range(steps + 1):
        if step > 0:
            heat *= fall
            next_state[:, :] = state
            next_out[:, :] = out
            next_extent[:, :] = extent
            touched[:] = False
            start = _changed(rng, n, k, shapes, next_state, extent, touched)
        for q in range(k):
            if touched[q]:
                next_extent[0, q], next_extent[1, q], next_extent[2, q] = place_layer(
                    q, n, start, next_state, shapes, next_out, scratch
                )
        next_cost, value, excess = cost_of(n, k, next_state, next_extent, limits)
        if next_cost <= cost or next_cost - cost < cost * heat * chance[_below(rng, 4096)]:
            cost = next_cost
            state, next_state = next_state, state
            out, next_out = next_out, out
            extent, next_extent = next_extent, extent
            if excess > 0.0:
                value *= 1000.0 * (1.0 + excess)
            if value < best_value[0]:
                best_value[0] = value
                best_value[1] = excess
                best[:, :] = state
    kept[:, :] = state

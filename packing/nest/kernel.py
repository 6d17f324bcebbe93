"""The compiled inner loop: places sequences of grown T shapes in layers and anneals over them.

Every number that decides is an integer number of micrometres or a sum and product of doubles in a fixed order, and
chance comes from our own generator, so that the same seed and steps give the same plan on any machine.
"""

import numpy as np

from packing.nest.compiled import compiled, inlined


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


@compiled
def _choose(m, shape, w, h, how, cap_x, cap_y, placed, seen, p, bars):
    """Where a shape goes among `m` placed rectangles, by its mode; see `place_layer`."""
    swap = how & 4
    for q in range(2):
        x0 = shape[q, 0]
        y0 = shape[q, 1]
        x1 = shape[q, 2]
        y1 = shape[q, 3]
        if how & 1:
            x0, x1 = w - x1, w - x0
        if how & 2:
            y0, y1 = h - y1, h - y0
        if swap:
            p[q, 0] = y0
            p[q, 1] = x0
            p[q, 2] = y1
            p[q, 3] = x1
        else:
            p[q, 0] = x0
            p[q, 1] = y0
            p[q, 2] = x1
            p[q, 3] = y1
    for r in range(m):
        x0 = placed[r, 0]
        y0 = placed[r, 1]
        x1 = placed[r, 2]
        y1 = placed[r, 3]
        if how & 1:
            x0, x1 = cap_x - x1, cap_x - x0
        if how & 2:
            y0, y1 = cap_y - y1, cap_y - y0
        if swap:
            seen[r, 0] = y0
            seen[r, 1] = x0
            seen[r, 2] = y1
            seen[r, 3] = x1
        else:
            seen[r, 0] = x0
            seen[r, 1] = y0
            seen[r, 2] = x1
            seen[r, 3] = y1
    if swap:
        y, x = _find(seen, m, p[0], p[1], h, w, cap_x, bars)
    else:
        x, y = _find(seen, m, p[0], p[1], w, h, cap_y, bars)
    if how & 1:
        x = cap_x - w - x
    if how & 2:
        y = cap_y - h - y
    return x, y


@compiled
def place_layer(which, n, start, perm, layer, way, mode, rects, size, level, cap_x, cap_y, out, placed, seen, p, bars):
    """Place one layer's items in sequence.

    Parameters
    ----------
    which
        The layer.
    start
        Index in the sequence before which items keep the place that `out` has for them.
    perm, layer, way, mode
        The sequence of all items; per item its layer, its row in `rects`, and how it is placed: the sum of 1 (against
        the far end), 2 (against the far side) and 4 (least y before least x).
    rects, size, level
        Per way two grown rectangles (ways, 2, 4), extents (ways, 2) and the layer height it needs.
    cap_x, cap_y
        Room that the items try to keep within.
    out
        Holds and receives x, y per item.
    placed, seen, p, bars
        Scratch: (2n, 4), (2n, 4), (2, 4).

    Returns
    -------
    (length, width, height) of what was placed; zeros for an empty layer.
    """
    m = 0
    low_x = np.int64(1) << np.int64(60)
    low_y = low_x
    high_x = -low_x
    high_y = -low_x
    tall = np.int64(0)
    for k in range(n):
        i = perm[k]
        if layer[i] != which:
            continue
        g = way[i]
        w = size[g, 0]
        h = size[g, 1]
        if k < start:
            x = out[i, 0]
            y = out[i, 1]
        else:
            x, y = _choose(m, rects[g], w, h, mode[i], cap_x, cap_y, placed, seen, p, bars)
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
        low_x = min(low_x, x)
        low_y = min(low_y, y)
        tall = max(tall, level[g])
        high_x = max(high_x, x + w)
        high_y = max(high_y, y + h)
    if m == 0:
        return np.int64(0), np.int64(0), np.int64(0)
    return high_x - low_x, high_y - low_y, tall


@compiled
def cost_of(k, length, width, tall, side, pads, between, cap, pull):
    """Interior volume, with a small pull on the shorter layers and a penalty beyond `cap` (L, W, H; 0 = none).

    Returns
    -------
    (cost, volume, excess)
    """
    big_x = np.int64(0)
    big_y = np.int64(0)
    used = 0
    height = pads - between
    slack = 0.0
    for q in range(k):
        if length[q] == 0:
            continue
        used += 1
        big_x = max(big_x, length[q])
        big_y = max(big_y, width[q])
        height += tall[q] + between
    for q in range(k):
        if length[q] > 0:
            slack += float(length[q]) / float(big_x) + float(width[q]) / float(big_y)
    x = float(big_x + side)
    y = float(big_y + side)
    z = float(height)
    volume = x * y * z
    excess = 0.0
    if cap[2] > 0:
        excess += max(0.0, z / float(cap[2]) - 1.0)
    if cap[0] > 0:
        a = max(0.0, x / float(cap[0]) - 1.0) + max(0.0, y / float(cap[1]) - 1.0)
        b = max(0.0, x / float(cap[1]) - 1.0) + max(0.0, y / float(cap[0]) - 1.0)
        excess += min(a, b)
    cost = volume * (1.0 + pull * (slack / (2.0 * used) - 1.0)) * (1.0 + 8.0 * excess)
    return cost, volume, excess


@compiled
def anneal(
    steps,
    hot,
    cold,
    rng,
    chance,
    n,
    k,
    first_way,
    ways,
    rects,
    size,
    level,
    side,
    pads,
    between,
    cap,
    pull,
    state,
    best,
    best_value,
):
    """Anneal for `steps` moves, the temperature falling geometrically from `hot` to `cold` (relative to the cost).

    Parameters
    ----------
    rng
        One uint64, advanced.
    chance
        Table of 4096 values of -ln(u), for accepting.
    first_way, ways
        Per item its first row in `rects` and its number of rows.
    state, best
        (5, n + 2) int64: rows sequence, layer, way, mode, and in the last row cap_x, cap_y. `state` is advanced;
        `best` keeps the best.
    best_value
        (2,) float64: least volume so far (times 1000 and more where it exceeds `cap`), its excess.
    """
    perm = state[0].copy()
    layer = state[1].copy()
    way = state[2].copy()
    mode = state[3].copy()
    cap_x = state[4, 0]
    cap_y = state[4, 1]
    out = np.zeros((n, 2), np.int64)
    c_out = np.zeros((n, 2), np.int64)
    placed = np.empty((2 * n + 2, 4), np.int64)
    seen = np.empty((2 * n + 2, 4), np.int64)
    p = np.empty((2, 4), np.int64)
    bars = np.empty((4 * n + 4, 2), np.int64)
    length = np.zeros(k, np.int64)
    width = np.zeros(k, np.int64)
    tall = np.zeros(k, np.int64)
    for q in range(k):
        length[q], width[q], tall[q] = place_layer(
            q, n, 0, perm, layer, way, mode, rects, size, level, cap_x, cap_y, out, placed, seen, p, bars
        )
    cost, volume, excess = cost_of(k, length, width, tall, side, pads, between, cap, pull)
    value = volume
    if excess > 0.0:
        value = volume * 1000.0 * (1.0 + excess)
    if value < best_value[0]:
        best_value[0] = value
        best_value[1] = excess
        best[:, :] = state
    c_perm = perm.copy()
    c_layer = layer.copy()
    c_way = way.copy()
    c_mode = mode.copy()
    c_length = length.copy()
    c_width = width.copy()
    c_tall = tall.copy()
    touched = np.zeros(k, np.bool_)
    heat = hot
    fall = (cold / hot) ** (1.0 / max(1, steps))
    for _ in range(steps):
        heat *= fall
        for i in range(n):
            c_perm[i] = perm[i]
            c_layer[i] = layer[i]
            c_way[i] = way[i]
            c_mode[i] = mode[i]
            c_out[i, 0] = out[i, 0]
            c_out[i, 1] = out[i, 1]
        start = np.int64(0)
        for q in range(k):
            c_length[q] = length[q]
            c_width[q] = width[q]
            c_tall[q] = tall[q]
            touched[q] = False
        c_cap_x = cap_x
        c_cap_y = cap_y
        dice = _below(rng, 100)
        if dice < 22 and n > 1:
            a = _below(rng, n)
            b = _below(rng, n)
            i = c_perm[a]
            j = c_perm[b]
            if i == j:
                continue
            c_perm[a] = j
            c_perm[b] = i
            start = min(a, b)
            if c_layer[i] != c_layer[j]:
                q = c_layer[i]
                c_layer[i] = c_layer[j]
                c_layer[j] = q
            touched[c_layer[i]] = True
            touched[c_layer[j]] = True
        elif dice < 44:
            a = _below(rng, n)
            b = _below(rng, n)
            i = c_perm[a]
            start = min(a, b)
            touched[c_layer[i]] = True
            while a < b:
                c_perm[a] = c_perm[a + 1]
                a += 1
            while a > b:
                c_perm[a] = c_perm[a - 1]
                a -= 1
            c_perm[b] = i
            touched[c_layer[i]] = True
            if k > 1 and dice < 32:
                c_layer[i] = _below(rng, k)
                touched[c_layer[i]] = True
            if dice & 1:
                c_way[i] = first_way[i] + _below(rng, ways[i])
            if dice & 2:
                c_mode[i] = _below(rng, 8)
        elif dice < 68:
            start = _below(rng, n)
            i = c_perm[start]
            c_way[i] = first_way[i] + _below(rng, ways[i])
            if dice & 1:
                c_mode[i] = _below(rng, 8)
            touched[c_layer[i]] = True
        elif dice < 84:
            start = _below(rng, n)
            i = c_perm[start]
            c_mode[i] = _below(rng, 8)
            touched[c_layer[i]] = True
        elif dice < 88 and k > 1:
            start = _below(rng, n)
            i = c_perm[start]
            touched[c_layer[i]] = True
            c_layer[i] = _below(rng, k)
            touched[c_layer[i]] = True
        else:
            big_x = np.int64(0)
            big_y = np.int64(0)
            for q in range(k):
                big_x = max(big_x, length[q])
                big_y = max(big_y, width[q])
                touched[q] = True
            if dice < 92:
                c_cap_x = big_x
                c_cap_y = big_y
            span = _below(rng, 2001) - 1000
            by = span * (1 + 7 * _below(rng, 2)) * 10
            if dice & 1:
                c_cap_x = max(np.int64(1000), c_cap_x + c_cap_x * by // 1000000)
            else:
                c_cap_y = max(np.int64(1000), c_cap_y + c_cap_y * by // 1000000)
        for q in range(k):
            if touched[q]:
                c_length[q], c_width[q], c_tall[q] = place_layer(
                    q,
                    n,
                    start,
                    c_perm,
                    c_layer,
                    c_way,
                    c_mode,
                    rects,
                    size,
                    level,
                    c_cap_x,
                    c_cap_y,
                    c_out,
                    placed,
                    seen,
                    p,
                    bars,
                )
        c_cost, c_volume, c_excess = cost_of(k, c_length, c_width, c_tall, side, pads, between, cap, pull)
        if c_cost <= cost or c_cost - cost < cost * heat * chance[_below(rng, 4096)]:
            cost = c_cost
            perm, c_perm = c_perm, perm
            layer, c_layer = c_layer, layer
            way, c_way = c_way, way
            mode, c_mode = c_mode, mode
            out, c_out = c_out, out
            length, c_length = c_length, length
            width, c_width = c_width, width
            tall, c_tall = c_tall, tall
            cap_x = c_cap_x
            cap_y = c_cap_y
            value = c_volume
            if c_excess > 0.0:
                value = c_volume * 1000.0 * (1.0 + c_excess)
            if value < best_value[0]:
                best_value[0] = value
                best_value[1] = c_excess
                for i in range(n):
                    best[0, i] = perm[i]
                    best[1, i] = layer[i]
                    best[2, i] = way[i]
                    best[3, i] = mode[i]
                best[4, 0] = cap_x
                best[4, 1] = cap_y
    for i in range(n):
        state[0, i] = perm[i]
        state[1, i] = layer[i]
        state[2, i] = way[i]
        state[3, i] = mode[i]
    state[4, 0] = cap_x
    state[4, 1] = cap_y

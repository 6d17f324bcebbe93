"""The compiled inner loop of exact placing: whether shapes fit a rectangle.

Shapes are one or two rectangles, as in `Way.rects`. Two shapes keep apart in one of a few relations, each an interval
for the difference of their places along x and one along y: right of, left of, above, below, and the notches where a T
reaches into the corner of another. The search gives each item a way and each pair a relation; what follows from the
relations chosen so far is kept as least differences between all pairs of places, which is exact.
"""

import numpy as np
from numpy.typing import NDArray

from packing.nest.compiled import compiled
from packing.nest.relations import relations

Ints = NDArray[np.int64]

FITS, FITS_NOT, UNKNOWN = 1, 0, -1
FAR = 1 << 50


@compiled
def relate(rows_a: Ints, rows_b: Ints, rects: Ints, reg_at: Ints, reg_n: Ints, regs: Ints, filled: int) -> int:
    """Write the relations of each way in `rows_a` to each in `rows_b` into `regs`; from one free row to the next."""
    for a in rows_a:
        for b in rows_b:
            reg_at[a, b] = filled
            reg_n[a, b] = relations(rects[a], rects[b], regs[filled:])
            filled += reg_n[a, b]
    return filled


@compiled
def _apart(d: Ints, t: int, i: int, j: int, v: int) -> bool:
    """Require place j - place i >= v and draw the consequences; False where that cannot be.

    `d` is the square of the least differences: d[i, j] <= place j - place i for i, j up to t, place 0 being the origin.
    """
    if d[i, j] >= v:
        return True
    if v > -d[j, i]:
        return False
    for a in range(t + 1):
        w = d[a, i] + v
        for b in range(t + 1):
            d[a, b] = max(d[a, b], w + d[j, b])
    return True


@compiled
def _between(dx: Ints, dy: Ints, t: int, i: int, j: int, x0: int, x1: int, y0: int, y1: int) -> bool:
    """Require x0 <= x_j - x_i <= x1 and y0 <= y_j - y_i <= y1 of items i and j; False where that cannot be."""
    return (
        _apart(dx, t, i + 1, j + 1, x0)
        and _apart(dx, t, j + 1, i + 1, -x1)
        and _apart(dy, t, i + 1, j + 1, y0)
        and _apart(dy, t, j + 1, i + 1, -y1)
    )


@compiled
def _narrow(dx: Ints, dy: Ints, t: int, i: int, j: int, first: int, count: int, regs: Ints) -> int:
    """Keep items i and j within the hull of their relations that are still possible.

    Returns
    -------
    int
        How many are possible; 0 at a contradiction, negated where the hull brought something new.
    """
    lx, ux = dx[i + 1, j + 1], -dx[j + 1, i + 1]
    ly, uy = dy[i + 1, j + 1], -dy[j + 1, i + 1]
    hx0, hx1 = FAR, -FAR
    hy0, hy1 = FAR, -FAR
    alive = 0
    for r in range(first, first + count):
        x0, x1, y0, y1 = regs[r, 0], regs[r, 1], regs[r, 2], regs[r, 3]
        if x0 > ux or x1 < lx or y0 > uy or y1 < ly:
            continue
        if x0 <= lx and x1 >= ux and y0 <= ly and y1 >= uy:
            return 1
        alive += 1
        hx0 = min(hx0, max(lx, x0))
        hx1 = max(hx1, min(ux, x1))
        hy0 = min(hy0, max(ly, y0))
        hy1 = max(hy1, min(uy, y1))
    if alive == 0 or (hx0 <= lx and hx1 >= ux and hy0 <= ly and hy1 >= uy):
        return alive
    return -alive if _between(dx, dy, t, i, j, hx0, hx1, hy0, hy1) else 0


@compiled
def _settle(
    dx: Ints, dy: Ints, t: int, way: Ints, done: Ints, reg_at: Ints, reg_n: Ints, regs: Ints, pick: Ints
) -> bool:
    """Draw every consequence of the relations so far; False at a contradiction.

    Parameters
    ----------
    way, done
        Each item's way; 1 for each pair of items that surely keep apart.
    pick
        Receives the pair with the fewest relations left, and their number; -1 first where no pair is open.
    """
    changed = True
    while changed:
        changed = False
        pick[0] = -1
        pick[2] = FAR
        for j in range(1, t):
            for i in range(j):
                if done[i, j]:
                    continue
                alive = _narrow(dx, dy, t, i, j, reg_at[way[i], way[j]], reg_n[way[i], way[j]], regs)
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
def _crowded(d: Ints, t: int, way: Ints, rects: Ints, axis: int, room: int) -> bool:
    """Whether some line across `axis` is bound to cut more than `room` of the shapes placed so far."""
    for i in range(t):
        for p in range(2):
            at = -d[i + 1, 0] + rects[way[i], p, axis]
            if at >= d[0, i + 1] + rects[way[i], p, axis + 2]:
                continue
            total = 0
            for j in range(t):
                for q in range(2):
                    if -d[j + 1, 0] + rects[way[j], q, axis] <= at < d[0, j + 1] + rects[way[j], q, axis + 2]:
                        total += rects[way[j], q, 3 - axis] - rects[way[j], q, 1 - axis]
            if total > room:
                return True
    return False


@compiled
def _enter(d: Ints, t: int, far: int) -> None:
    """Take item t in: its place is from 0 to `far`, whatever the others do."""
    for a in range(t + 1):
        d[a, t + 1] = d[a, 0]
        d[t + 1, a] = d[0, a] - far
    d[t + 1, t + 1] = 0


@compiled
def _copy(dx: Ints, dy: Ints, way: Ints, done: Ints, old: int, t: int) -> None:
    """Copy the first t items of state `old` to the next."""
    new = old + 1
    for a in range(t + 1):
        for b in range(t + 1):
            dx[new, a, b] = dx[old, a, b]
            dy[new, a, b] = dy[old, a, b]
    for a in range(t):
        way[new, a] = way[old, a]
        for b in range(t):
            done[new, a, b] = done[old, a, b]


@compiled
def _possible(dx: Ints, dy: Ints, i: int, j: int, regs: Ints, r: int) -> bool:
    """Whether relation r of items i and j is still possible."""
    i += 1
    j += 1
    return bool(
        regs[r, 0] <= -dx[j, i] and regs[r, 1] >= dx[i, j] and regs[r, 2] <= -dy[j, i] and regs[r, 3] >= dy[i, j]
    )


@compiled
def least_areas(
    first: Ints, count: Ints, level: Ints, size: Ints, area: Ints, levels: Ints, room_x: int, room_y: int, found: Ints
) -> None:
    """Lower `found`, (kinds, levels), to the least area of a way of each kind at each level that fits the rectangle."""
    for kind in range(len(first)):
        for row in range(first[kind], first[kind] + count[kind]):
            if size[row, 0] <= room_x and size[row, 1] <= room_y:
                for c in range(len(levels)):
                    if level[row] <= levels[c]:
                        found[kind, c] = min(found[kind, c], area[row])


@compiled
def in_order(
    kinds: Ints, first: Ints, count: Ints, level: Ints, size: Ints, area: Ints, highest: int, room: Ints
) -> Ints:
    """The items by least area, the largest first, and what that leaves.

    Returns
    -------
    Ints
        (items + 1, 2): kind of each item, equal ones adjoining, and the least area of it and those after it. The last
        row has -1 where some item has no way to lie, and else 0.
    """
    n = len(kinds)
    found = np.zeros((n + 1, 2), np.int64)
    for k in range(n):
        kind, least = kinds[k], FAR
        for row in range(first[kind], first[kind] + count[kind]):
            if level[row] <= highest and size[row, 0] <= room[0] and size[row, 1] <= room[1]:
                least = min(least, area[row])
        if least == FAR:
            found[n, 0] = -1
        at = k
        while at > 0 and (found[at - 1, 1] < least or (found[at - 1, 1] == least and found[at - 1, 0] > kind)):
            found[at, 0], found[at, 1] = found[at - 1, 0], found[at - 1, 1]
            at -= 1
        found[at, 0], found[at, 1] = kind, least
    for k in range(n - 1, -1, -1):
        found[k, 1] += found[k + 1, 1]
    return found


@compiled
def _usable_mirrors(kinds: Ints, first: Ints, mirror: Ints) -> int:
    """Which bits of `mirror` may be used for the first item: none, 4, or 1, 2 and 4; see the notes of `place`."""
    n = len(kinds) - 1
    for k in range(n):
        if mirror[first[kinds[k, 0]]] & 8:
            return 0
    return 7 if n == 1 or kinds[1, 0] != kinds[0, 0] else 4


@compiled
def place(
    kinds: Ints,
    first: Ints,
    count: Ints,
    level: Ints,
    size: Ints,
    area: Ints,
    split: Ints,
    mirror: Ints,
    reg_at: Ints,
    reg_n: Ints,
    regs: Ints,
    highest: int,
    room: Ints,
    limit: int,
    out: Ints,
) -> tuple[int, int]:
    """Place items in a rectangle, or prove that it cannot be done.

    Parameters
    ----------
    kinds
        The items' kinds, equal ones adjoining, with least areas as from `in_order`.
    first, count
        A kind's ways are the rows first[kind] ... (count[kind] of them).
    level, size, area, split
        Per way its level, extents, area, and its rectangles without common area, (ways, 2, 4); the second may be empty.
    mirror
        Per way: 1 where it equals its own mirror image along x, + 2 along y, + 4 where another image of it does
        instead, + 8 where some image is no way of its kind.
    reg_at, reg_n, regs
        Relations of each pair of ways: first row and count in `regs`.
    highest
        The highest level allowed.
    room
        The rectangle's sides.
    limit
        Most nodes to look at.
    out
        Receives way, x, y per item.

    Returns
    -------
    (answer, nodes)
        `FITS`, `FITS_NOT` or `UNKNOWN` where the limit ended the search.

    Notes
    -----
    A rectangle's mirror images are the same problem, so of the first item's ways that mirror each other one will do,
    and where a way is its own image its place need only be in the nearer half; the latter not where other items equal
    the first, for equal items are put in an order of their own: by way, then by x.
    """
    n = len(kinds) - 1
    usable = _usable_mirrors(kinds, first, mirror)
    deep = n + n * (n - 1) // 2 + 2
    dx, dy = np.zeros((deep, n + 1, n + 1), np.int64), np.zeros((deep, n + 1, n + 1), np.int64)
    way, done = np.zeros((deep, n), np.int64), np.zeros((deep, n, n), np.int64)
    branch, state = np.full((deep, 3), -1, np.int64), np.zeros((deep, 3), np.int64)
    nodes, old = 0, 0
    while old >= 0:
        t, used, k = state[old, 0], state[old, 1], state[old, 2]
        i, j = branch[old, 0], branch[old, 1]
        if k == (count[kinds[t, 0]] if i < 0 else reg_n[way[old, i], way[old, j]]):
            old -= 1
            continue
        state[old, 2] += 1
        new = old + 1
        if i < 0:
            w = first[kinds[t, 0]] + k
            far_x, far_y = room[0] - size[w, 0], room[1] - size[w, 1]
            if level[w] > highest or min(far_x, far_y) < 0 or used + area[w] + kinds[t + 1, 1] > room[0] * room[1]:
                continue
            twin = t > 0 and kinds[t - 1, 0] == kinds[t, 0]
            image = mirror[w] & usable if t == 0 else 0
            if (twin and w < way[old, t - 1]) or image & 4:
                continue
            _copy(dx, dy, way, done, old, t)
            _enter(dx[new], t, far_x // 2 if image & 1 else far_x)
            _enter(dy[new], t, far_y // 2 if image & 2 else far_y)
            way[new, t] = w
            for a in range(t + 1):
                done[new, a, t] = 0
            used += area[w]
            t += 1
            good = not twin or way[new, t - 2] != w or _apart(dx[new], t, t - 1, t, 0)
        else:
            r = reg_at[way[old, i], way[old, j]] + k
            if not _possible(dx[old], dy[old], i, j, regs, r):
                continue
            _copy(dx, dy, way, done, old, t)
            good = _between(dx[new], dy[new], t, i, j, regs[r, 0], regs[r, 1], regs[r, 2], regs[r, 3])
            done[new, i, j] = 1
        nodes += 1
        if nodes > limit:
            return UNKNOWN, nodes
        if not (good and _settle(dx[new], dy[new], t, way[new], done[new], reg_at, reg_n, regs, branch[new])):
            continue
        if _crowded(dx[new], t, way[new], split, 0, room[1]) or _crowded(dy[new], t, way[new], split, 1, room[0]):
            continue
        if branch[new, 0] < 0 and t == n:
            for a in range(n):
                out[a, 0], out[a, 1], out[a, 2] = way[new, a], dx[new, 0, a + 1], dy[new, 0, a + 1]
            return FITS, nodes
        state[new, 0], state[new, 1], state[new, 2] = t, used, 0
        old = new
    return FITS_NOT, nodes

"""The compiled inner loop of exact placing: whether shapes fit a rectangle.

Shapes are one or two rectangles, as in `GrownOrientation.rects`. Two shapes keep apart in one of a few relations, each
an interval for the difference of their places along x and one along y: right of, left of, above, below, and the notches
where a T reaches into the corner of another. The search gives each item an orientation and each pair a relation; what
follows from the relations chosen so far is kept as least differences between all pairs of places, which is exact.

References
----------
S. P. Fekete, J. Schepers, "A combinatorial characterization of higher-dimensional orthogonal packing", Mathematics of
Operations Research 29 (2004), 353-368 (title read on arXiv, cs/0310032; journal from memory): searching over how
pairs keep apart, not over places.
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled
from packing.nest.exact.no_fit_regions_kernel import relations

Ints = NDArray[np.int64]

FITS, FITS_NOT, UNKNOWN = 1, 0, -1
FAR = 1 << 50
"""Beyond every difference of places, and a few of them still add up within 64 bits."""


@compiled
def relate(
    rows_a: Ints, rows_b: Ints, rects: Ints, region_first: Ints, region_count: Ints, regions: Ints, filled: int
) -> int:
    """Write the relations of each way in `rows_a` to each in `rows_b` into `regions`; from one free row to the next."""
    for a in rows_a:
        for b in rows_b:
            region_first[a, b] = filled
            region_count[a, b] = relations(rects[a], rects[b], regions[filled:])
            filled += region_count[a, b]
    return filled


@compiled
def require_difference(d: Ints, t: int, i: int, j: int, v: int) -> bool:
    """Require place j - place i >= v and draw the consequences; False where that cannot be.

    `d` is the square of the least differences: d[i, j] <= place j - place i for i, j up to t, place 0 being the origin.
    """
    if d[i, j] >= v:
        return True
    # The opposite difference already allows less than is asked for: a cycle of positive length.
    if v > -d[j, i]:
        return False
    # All pairs at once through the new arc: with the square closed before, one round keeps it closed.
    for a in range(t + 1):
        w = d[a, i] + v
        for b in range(t + 1):
            d[a, b] = max(d[a, b], w + d[j, b])
    return True


@compiled
def _between(dx: Ints, dy: Ints, t: int, i: int, j: int, x0: int, x1: int, y0: int, y1: int) -> bool:
    """Require x0 <= x_j - x_i <= x1 and y0 <= y_j - y_i <= y1 of items i and j; False where that cannot be."""
    return (
        require_difference(dx, t, i + 1, j + 1, x0)
        and require_difference(dx, t, j + 1, i + 1, -x1)
        and require_difference(dy, t, i + 1, j + 1, y0)
        and require_difference(dy, t, j + 1, i + 1, -y1)
    )


@compiled
def _narrow(dx: Ints, dy: Ints, t: int, i: int, j: int, first: int, count: int, regions: Ints) -> int:
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
        x0, x1, y0, y1 = regions[r, 0], regions[r, 1], regions[r, 2], regions[r, 3]
        if x0 > ux or x1 < lx or y0 > uy or y1 < ly:
            continue
        if x0 <= lx and x1 >= ux and y0 <= ly and y1 >= uy:
            # What the places already force needs no branching any more.
            return 1
        alive += 1
        hx0 = min(hx0, max(lx, x0))
        hx1 = max(hx1, min(ux, x1))
        hy0 = min(hy0, max(ly, y0))
        hy1 = max(hy1, min(uy, y1))
    if alive == 0 or (hx0 <= lx and hx1 >= ux and hy0 <= ly and hy1 >= uy):
        return alive
    # The hull of the possible relations holds whichever is taken, so it may be drawn before branching.
    return -alive if _between(dx, dy, t, i, j, hx0, hx1, hy0, hy1) else 0


@compiled
def _propagate(
    dx: Ints,
    dy: Ints,
    t: int,
    orientation: Ints,
    done: Ints,
    region_first: Ints,
    region_count: Ints,
    regions: Ints,
    pick: Ints,
) -> bool:
    """Draw every consequence of the relations so far; False at a contradiction.

    Parameters
    ----------
    orientation, done
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
                alive = _narrow(
                    dx,
                    dy,
                    t,
                    i,
                    j,
                    region_first[orientation[i], orientation[j]],
                    region_count[orientation[i], orientation[j]],
                    regions,
                )
                if alive == 0:
                    return False
                if alive < 0:
                    changed = True
                    alive = -alive
                if alive == 1:
                    done[i, j] = 1
                # The pair with the fewest relations left makes the fewest branches, and contradictions come early.
                elif alive < pick[2]:
                    pick[0] = i
                    pick[1] = j
                    pick[2] = alive
    return True


@compiled
def _crowded(d: Ints, t: int, orientation: Ints, rects: Ints, axis: int, room: int) -> bool:
    """Tell whether some line across `axis` is bound to cut more than `room` of the shapes placed so far."""
    for i in range(t):
        for p in range(2):
            # Whatever its place, the shape is cut here by the line: between its last beginning and its first end.
            at = -d[i + 1, 0] + rects[orientation[i], p, axis]
            if at >= d[0, i + 1] + rects[orientation[i], p, axis + 2]:
                continue
            total = 0
            for j in range(t):
                for q in range(2):
                    if (
                        -d[j + 1, 0] + rects[orientation[j], q, axis]
                        <= at
                        < d[0, j + 1] + rects[orientation[j], q, axis + 2]
                    ):
                        total += rects[orientation[j], q, 3 - axis] - rects[orientation[j], q, 1 - axis]
            if total > room:
                return True
    return False


@compiled
def add_item(d: Ints, t: int, far: int) -> None:
    """Take item t in: its place is from 0 to `far`, whatever the others do."""
    for a in range(t + 1):
        d[a, t + 1] = d[a, 0]
        d[t + 1, a] = d[0, a] - far
    d[t + 1, t + 1] = 0


@compiled
def _copy(dx: Ints, dy: Ints, orientation: Ints, done: Ints, old: int, t: int) -> None:
    """Copy the first t items of state `old` to the next."""
    new = old + 1
    for a in range(t + 1):
        for b in range(t + 1):
            dx[new, a, b] = dx[old, a, b]
            dy[new, a, b] = dy[old, a, b]
    for a in range(t):
        orientation[new, a] = orientation[old, a]
        for b in range(t):
            done[new, a, b] = done[old, a, b]


@compiled
def _begin(orientation: Ints, done: Ints, t: int, w: int) -> None:
    """Give item t a way, all its relations open."""
    orientation[t] = w
    for a in range(t + 1):
        done[a, t] = 0


@compiled
def _possible(dx: Ints, dy: Ints, i: int, j: int, regions: Ints, r: int) -> bool:
    """Tell whether relation r of items i and j is still possible."""
    i += 1
    j += 1
    return bool(
        regions[r, 0] <= -dx[j, i]
        and regions[r, 1] >= dx[i, j]
        and regions[r, 2] <= -dy[j, i]
        and regions[r, 3] >= dy[i, j]
    )


@compiled
def in_order(item_types: Ints, area: Ints) -> Ints:
    """The items by least area of their kind, the largest first, equal items adjoining."""
    found = item_types.copy()
    for k in range(len(found)):
        item_type, at = found[k], k
        while at > 0:
            other = found[at - 1]
            # Large items first: they leave the fewest places, and the small ones then fill what is left.
            if area[other] > area[item_type] or (area[other] == area[item_type] and other <= item_type):
                break
            found[at] = other
            at -= 1
        found[at] = item_type
    return found


@compiled
def remaining(order: Ints, least: Ints, level: int, chosen: Ints) -> Ints:
    """Per chosen measure the least value of the items from the k-th on together, (measures, items + 1)."""
    found = np.zeros((len(chosen), len(order) + 1), np.int64)
    for q in range(len(chosen)):
        for k in range(len(order) - 1, -1, -1):
            found[q, k] = found[q, k + 1] + least[chosen[q], order[k], level]
    return found


@compiled
def _usable_mirrors(item_types: Ints, first: Ints, mirror: Ints) -> int:
    """Bits of `mirror` that may be used for the first item: none, 4, or 1, 2 and 4; see the notes of `place`."""
    for item_type in item_types:
        # With one shape whose mirror image is no way of its own, the mirrored rectangle is another problem.
        if mirror[first[item_type]] & 8:
            return 0
    return 7 if len(item_types) == 1 or item_types[1] != item_types[0] else 4


@compiled
def _fill(used: Ints, old: int, values: Ints, caps: Ints, chosen: Ints, rest: Ints, t: int, w: int) -> bool:
    """Add item t in way w to the measures of what is placed; False where with all others they exceed a cap."""
    for q in range(len(chosen)):
        m = chosen[q]
        used[old + 1, q] = used[old, q] + values[m, w]
        # Items still to come count with their least: they have to lie in the same rectangle.
        if used[old + 1, q] + rest[q, t + 1] > caps[m]:
            return False
    return True


@compiled
def place(
    item_types: Ints,
    first: Ints,
    count: Ints,
    rank: Ints,
    size: Ints,
    split: Ints,
    mirror: Ints,
    values: Ints,
    caps: Ints,
    chosen: Ints,
    rest: Ints,
    region_first: Ints,
    region_count: Ints,
    regions: Ints,
    highest: int,
    room: Ints,
    limit: int,
    out: Ints,
) -> tuple[int, int]:
    """Place items in a rectangle, or prove that it cannot be done.

    Parameters
    ----------
    item_types
        Of the items, equal ones adjoining.
    first, count
        A kind's ways are the rows first[kind] ... (count[kind] of them).
    rank, size, split
        Per way the index of its level, its extents, and its rectangles without common area, (ways, 2, 4), the second of
        which may be empty.
    mirror
        Per way: 1 where it equals its own mirror image along x, + 2 along y, + 4 where another image of it does
        instead, + 8 where some image is no way of its kind.
    values, caps, chosen, rest
        Measures of ways and of the room, as from `dual_feasible_kernel`; those to use; and what is left of them, as
        from `remaining`.
    region_first, region_count, regions
        Relations of each pair of ways: first row and count in `regions`.
    highest
        The index of the highest level allowed.
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
    the first, for equal items are put in an order of their own: by way, then by x, since any other order is the same
    plan under other numbers. Each item and each pair is decided at most once on the way down, which bounds the depth.
    """
    n = len(item_types)
    usable = _usable_mirrors(item_types, first, mirror)
    deep = n + n * (n - 1) // 2 + 2
    dx, dy = np.zeros((deep, n + 1, n + 1), np.int64), np.zeros((deep, n + 1, n + 1), np.int64)
    orientation, done = np.zeros((deep, n), np.int64), np.zeros((deep, n, n), np.int64)
    branch, state = np.full((deep, 3), -1, np.int64), np.zeros((deep, 2), np.int64)
    used = np.zeros((deep, len(chosen)), np.int64)
    nodes, old = 0, 0
    while old >= 0:
        t, k, i, j = state[old, 0], state[old, 1], branch[old, 0], branch[old, 1]
        if k == (count[item_types[t]] if i < 0 else region_count[orientation[old, i], orientation[old, j]]):
            old -= 1
            continue
        state[old, 1] += 1
        new = old + 1
        if i < 0:
            w = first[item_types[t]] + k
            far_x, far_y = room[0] - size[w, 0], room[1] - size[w, 1]
            if rank[w] > highest or min(far_x, far_y) < 0 or not _fill(used, old, values, caps, chosen, rest, t, w):
                continue
            twin = t > 0 and item_types[t - 1] == item_types[t]
            image = mirror[w] & usable if t == 0 else 0
            if (twin and w < orientation[old, t - 1]) or image & 4:
                continue
            _copy(dx, dy, orientation, done, old, t)
            add_item(dx[new], t, far_x // 2 if image & 1 else far_x)
            add_item(dy[new], t, far_y // 2 if image & 2 else far_y)
            _begin(orientation[new], done[new], t, w)
            t += 1
            good = not twin or orientation[new, t - 2] != w or require_difference(dx[new], t, t - 1, t, 0)
        else:
            r = region_first[orientation[old, i], orientation[old, j]] + k
            if not _possible(dx[old], dy[old], i, j, regions, r):
                continue
            _copy(dx, dy, orientation, done, old, t)
            good = _between(dx[new], dy[new], t, i, j, regions[r, 0], regions[r, 1], regions[r, 2], regions[r, 3])
            done[new, i, j] = 1
            for q in range(len(chosen)):
                used[new, q] = used[old, q]
        nodes += 1
        if nodes > limit:
            return UNKNOWN, nodes
        if not (
            good
            and _propagate(
                dx[new], dy[new], t, orientation[new], done[new], region_first, region_count, regions, branch[new]
            )
        ):
            continue
        if _crowded(dx[new], t, orientation[new], split, 0, room[1]) or _crowded(
            dy[new], t, orientation[new], split, 1, room[0]
        ):
            continue
        if branch[new, 0] < 0 and t == n:
            for a in range(n):
                out[a, 0], out[a, 1], out[a, 2] = orientation[new, a], dx[new, 0, a + 1], dy[new, 0, a + 1]
            return FITS, nodes
        state[new, 0], state[new, 1] = t, 0
        old = new
    return FITS_NOT, nodes

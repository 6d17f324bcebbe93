"""Filling one sheet with parts one after the other, compiled: by cuts from edge to edge, or freely.

Parts are grown by the saw cut to the right and upwards, and so is the sheet: then parts that touch are a saw cut apart,
and the last one needs none beyond it. Both fillings take the parts in the order given and leave out what does not fit.

Edge to edge, a part goes into the lower left corner of a free rectangle, and what is left of that is cut in two, the
first cut along one or the other edge of the part. Now and then a free rectangle is cut at a sum of a few sides before
anything is laid in it: without that, no pattern would be found whose first cut runs beside no part in the corner.
Freely, the free rectangles are the largest ones that hold no part, and overlap.

References
----------
J. Jylänki, "A thousand ways to pack the bin", 2010 (from memory): the rules by which a free rectangle is chosen, and
the largest free rectangles.
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled

Ints = NDArray[np.int64]
Random = NDArray[np.uint64]

EDGE_TO_EDGE, FREELY = 0, 1
"""Ways to cut a sheet."""
SHORT_SIDE, LONG_SIDE, LEAST_AREA, LOWEST, ANY = range(5)
"""Ways to choose a part's free rectangle: least short or long side left over, area, place; or any."""
RULES = 5
FAR = 1 << 62


@compiled
def draw(rng: Random, below: int) -> int:
    """A random number from 0 to less than `below`: one step of xorshift64* of the state in `rng`."""
    x = rng[0]
    x ^= x >> np.uint64(12)
    x ^= x << np.uint64(25)
    x ^= x >> np.uint64(27)
    rng[0] = x
    return int(((x * np.uint64(2685821657736338717)) >> np.uint64(33)) % np.uint64(below))


@compiled
def _score(rule: int, x: int, y: int, left: int, over: int, area: int, rng: Random) -> int:
    """The score of a part in a free rectangle with so much left beside and over it; less is better."""
    if rule == SHORT_SIDE:
        return min(left, over)
    if rule == LONG_SIDE:
        return max(left, over)
    if rule == LEAST_AREA:
        return area
    if rule == LOWEST:
        return x + y
    return draw(rng, 1 << 30)


@compiled
def _choose(free: Ints, many: int, w: int, h: int, turns: int, rule: int, rng: Random, found: Ints) -> None:
    """The best free rectangle for a part and whether it is turned there; -1 where it fits none."""
    best = FAR
    found[0] = -1
    for f in range(many):
        for turned in range(1 + turns):
            a, b = (h, w) if turned else (w, h)
            left, over = free[f, 2] - a, free[f, 3] - b
            if left < 0 or over < 0:
                continue
            score = _score(rule, free[f, 0], free[f, 1], left, over, free[f, 2] * free[f, 3], rng)
            if score < best:
                best, found[0], found[1] = score, f, turned


@compiled
def _pre_cut(free: Ints, many: int, sides: Ints, order: Ints, count: int, rng: Random) -> int:
    """Cut the last free rectangle in two at a sum of up to three sides of parts; how many there are then."""
    f = many - 1
    axis = draw(rng, 2)
    at = 0
    for _ in range(1 + draw(rng, 3)):
        at += sides[order[draw(rng, count)], draw(rng, 2)]
    if at <= 0 or at >= free[f, 2 + axis]:
        return many
    for q in range(4):
        free[many, q] = free[f, q]
    free[many, axis] += at
    free[many, 2 + axis] -= at
    free[f, 2 + axis] = at
    return many + 1


@compiled
def _split(free: Ints, many: int, f: int, a: int, b: int, along: int) -> int:
    """Take a part of sides a, b from the corner of a free rectangle; what is beside it is as high as the first cut."""
    x, y, w, h = free[f, 0], free[f, 1], free[f, 2], free[f, 3]
    many -= 1
    for q in range(4):
        free[f, q] = free[many, q]
    # along 0: the first cut runs up the part's side, so that what is left beside it is as high as the rectangle.
    if w > a:
        free[many, 0], free[many, 1], free[many, 2] = x + a, y, w - a
        free[many, 3] = h if along == 0 else b
        many += 1
    if h > b:
        free[many, 0], free[many, 1], free[many, 3] = x, y + b, h - b
        free[many, 2] = a if along == 0 else w
        many += 1
    return many


@compiled
def _along(rule: int, left: int, over: int, rng: Random) -> int:
    """The direction of the first cut beside a part."""
    if rule == 0:
        return 0 if left > over else 1
    if rule == 1:
        return 0 if left <= over else 1
    return draw(rng, 2)


@compiled
def fill_edge_to_edge(
    room: Ints, sides: Ints, turns: Ints, order: Ints, count: int, spots: Ints, free: Ints, rng: Random
) -> int:
    """Fill a sheet by cuts from edge to edge.

    Parameters
    ----------
    room
        Sides of the sheet, (2,).
    sides, turns
        Of all parts, (parts, 2) and (parts,): 1 where a part may be turned.
    order, count
        The parts to lay, the first `count` of them.
    spots
        Receives x, y and whether it is turned for each part laid, (parts, 3); x is -1 for one left out.
    free
        Room for so many free rectangles as there are parts and pre-cuts, and one more; holds what is left in the end.
    rng
        State of the random numbers.

    Returns
    -------
    int
        How many free rectangles are left.
    """
    free[0, 0], free[0, 1], free[0, 2], free[0, 3] = 0, 0, room[0], room[1]
    many = 1
    rule, first = draw(rng, RULES), draw(rng, 3)
    cut_often = draw(rng, 3) == 0
    found = np.zeros(2, np.int64)
    for k in range(count):
        part = order[k]
        spots[part, 0] = -1
        if cut_often and many > 0 and many < free.shape[0] - 2 and draw(rng, 4) == 0:
            many = _pre_cut(free, many, sides, order, count, rng)
        _choose(free, many, sides[part, 0], sides[part, 1], turns[part], rule, rng, found)
        f = found[0]
        if f < 0:
            continue
        a, b = (sides[part, 1], sides[part, 0]) if found[1] else (sides[part, 0], sides[part, 1])
        spots[part, 0], spots[part, 1], spots[part, 2] = free[f, 0], free[f, 1], found[1]
        many = _split(free, many, f, a, b, _along(first, free[f, 2] - a, free[f, 3] - b, rng))
    return many


@compiled
def _carve(free: Ints, many: int, x: int, y: int, a: int, b: int) -> int:
    """Take a rectangle out of all largest free ones; how many there are then."""
    old = many
    f = 0
    while f < old:
        fx, fy, fw, fh = free[f, 0], free[f, 1], free[f, 2], free[f, 3]
        if x >= fx + fw or x + a <= fx or y >= fy + fh or y + b <= fy:
            f += 1
            continue
        if many + 4 >= free.shape[0]:
            return -1
        if x > fx:
            free[many, 0], free[many, 1], free[many, 2], free[many, 3] = fx, fy, x - fx, fh
            many += 1
        if x + a < fx + fw:
            free[many, 0], free[many, 1], free[many, 2], free[many, 3] = x + a, fy, fx + fw - x - a, fh
            many += 1
        if y > fy:
            free[many, 0], free[many, 1], free[many, 2], free[many, 3] = fx, fy, fw, y - fy
            many += 1
        if y + b < fy + fh:
            free[many, 0], free[many, 1], free[many, 2], free[many, 3] = fx, y + b, fw, fy + fh - y - b
            many += 1
        # The last old one takes this one's place, and the last new one that one's.
        old -= 1
        many -= 1
        for q in range(4):
            free[f, q] = free[old, q]
            free[old, q] = free[many, q]
    return many


@compiled
def _thin_out(free: Ints, many: int) -> int:
    """Drop free rectangles that lie within another."""
    f = 0
    while f < many:
        inside = False
        for g in range(many):
            if g != f and (
                free[g, 0] <= free[f, 0]
                and free[g, 1] <= free[f, 1]
                and free[g, 0] + free[g, 2] >= free[f, 0] + free[f, 2]
                and free[g, 1] + free[g, 3] >= free[f, 1] + free[f, 3]
            ):
                inside = True
                break
        if inside:
            many -= 1
            for q in range(4):
                free[f, q] = free[many, q]
        else:
            f += 1
    return many


@compiled
def fill_freely(
    room: Ints, sides: Ints, turns: Ints, order: Ints, count: int, spots: Ints, free: Ints, rng: Random
) -> int:
    """Fill a sheet that is cut along any line; parameters and answer as `fill_edge_to_edge`."""
    free[0, 0], free[0, 1], free[0, 2], free[0, 3] = 0, 0, room[0], room[1]
    many = 1
    rule = draw(rng, RULES)
    found = np.zeros(2, np.int64)
    for k in range(count):
        part = order[k]
        spots[part, 0] = -1
        _choose(free, many, sides[part, 0], sides[part, 1], turns[part], rule, rng, found)
        f = found[0]
        if f < 0:
            continue
        a, b = (sides[part, 1], sides[part, 0]) if found[1] else (sides[part, 0], sides[part, 1])
        x, y = free[f, 0], free[f, 1]
        spots[part, 0], spots[part, 1], spots[part, 2] = x, y, found[1]
        many = _thin_out(free, _carve(free, many, x, y, a, b))
    return many

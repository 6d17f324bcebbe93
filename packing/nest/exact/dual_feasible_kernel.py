"""Bounds on the area that shapes are bound to take up, measured in more ways than one, compiled.

Every line across a rectangle cuts the shapes that lie in it in pieces whose lengths sum up to no more than the line's.
A dual feasible function f keeps that true of any lengths: if they sum up to at most 1, so do their values. So the sum
over all shapes of f(length of the piece cut), integrated across the rectangle, is at most the rectangle's other side,
and where it is more the shapes do not fit. With f(x) = x this compares areas; other functions see that three pieces of
0.3 leave a gap which nothing fills, or that two pieces above 0.5 do not share a line.

The functions: f_k of G. S. Lueker, "Bin packing with items uniformly distributed over intervals" (1983), and U and phi
of S. Fekete, J. Schepers, "New classes of fast lower bounds for bin packing problems", Math. Programming 91 (2001),
each scaled to whole numbers.
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled

Ints = NDArray[np.int64]

STAIRS = 14
"""The functions f_k for k from 1 to so many: a bound gained by a larger k would need items less than a fifteenth of the
floor."""
CUTS = 8
"""Sizes that are tried for U and for phi along each side: each is one more sum for every set of items."""
MEASURES = 1 + 2 * (STAIRS + 2 * CUTS)
"""Area, and along each side the stairs and the cuts of two families."""


@compiled
def value(family: int, size: int, piece: int, line: int) -> int:
    """A scaled dual feasible function of a piece of a line, both in micrometres, 0 < piece <= line.

    Parameters
    ----------
    family, size
        0: f_k for k = `size`. 1: U, 2: phi, both for pieces of at least `size`, 0 < size <= line / 2.
    """
    if family == 0:
        steps = (size + 1) * piece // line
        # At a whole share the function steps: there the piece counts for itself, else for the share above it.
        return int(size * steps if steps * line == (size + 1) * piece else (size + 1) * steps)
    if piece < size:
        return 0
    if family == 1:
        return line if piece > line - size else piece
    if 2 * piece > line:
        return int(line // size - (line - piece) // size)
    return 1


@compiled
def whole(family: int, size: int, line: int) -> int:
    """The value of the whole line."""
    if family == 0:
        return size * (size + 1)
    return line if family == 1 else int(line // size)


@compiled
def measure(slices: Ints, fitting: NDArray[np.bool_], room: Ints, cuts: Ints, values: Ints, caps: Ints) -> None:
    """Take every measure of every way.

    Parameters
    ----------
    slices
        (ways, 2, 3, 2): per way and direction up to three slices, each its breadth and the piece it cuts of a line;
        first those of lines along y, then those of lines along x. Breadth 0 for none.
    fitting
        The ways that fit the room alone; others are given more than any cap.
    room
        The rectangle's sides.
    cuts
        (2, `CUTS`): sizes for U and phi along y and along x; 0 for none.
    values, caps
        Receive (`MEASURES`, ways) and, per measure, the most that fits. The first measure is area.
    """
    m = 0
    for axis in range(2):
        line, across = room[1 - axis], room[axis]
        for number in range(STAIRS + 2 * CUTS + (1 - axis)):
            area = axis == 0 and number == 0
            at = number - (1 - axis)
            family = 1 if area else (0 if at < STAIRS else (1 if at < STAIRS + CUTS else 2))
            size = 1 if area else (at + 1 if at < STAIRS else cuts[axis, (at - STAIRS) % CUTS])
            # Both families are dual feasible up to half a line alone: a larger size would prove what is not so.
            if 2 * size > line and family:
                size = 0
            caps[m] = across * whole(family, size, line) if size else 1
            for w in range(len(fitting)):
                # A way that does not fit alone exceeds every cap, so that no measure ever allows it.
                total = 0 if fitting[w] else caps[m] + 1
                if fitting[w] and size:
                    for q in range(3):
                        breadth = slices[w, axis, q, 0]
                        if breadth:
                            total += breadth * value(family, size, slices[w, axis, q, 1], line)
                values[m, w] = total
            m += 1


@compiled
def least_measures(values: Ints, caps: Ints, first: Ints, count: Ints, rank: Ints, found: Ints) -> None:
    """Per measure, kind and level the least value of a way that is allowed; more than the cap where there is none.

    Parameters
    ----------
    values, caps
        From `measure`.
    first, count
        A kind's ways are the rows first[kind] ... (count[kind] of them).
    rank
        Per way the index of its level.
    found
        Receives (measures, kinds, levels).
    """
    levels = found.shape[2]
    for m in range(len(caps)):
        for item_type in range(len(first)):
            for c in range(levels):
                found[m, item_type, c] = caps[m] + 1
            for row in range(first[item_type], first[item_type] + count[item_type]):
                found[m, item_type, rank[row]] = min(found[m, item_type, rank[row]], values[m, row])
            for c in range(1, levels):
                found[m, item_type, c] = min(found[m, item_type, c], found[m, item_type, c - 1])


@compiled
def tightest(least: Ints, caps: Ints, item_types: Ints, level: int, chosen: Ints) -> bool:
    """Choose the measures in which items come nearest to filling the room, the fullest first, area before others.

    Parameters
    ----------
    least
        From `least_measures`.
    item_types
        Of the items.
    level
        The index of the highest level allowed.
    chosen
        Receives measures.

    Returns
    -------
    bool
        False where the items exceed one of all measures and so do not fit.
    """
    full, fits = np.zeros(len(chosen)), True
    for m in range(len(caps)):
        total = 0
        for k in range(len(item_types)):
            total += least[m, item_types[k], level]
        fits = fits and total <= caps[m]
        # Area is always among the chosen: it is the one measure that tells how much room is left.
        share = 1e9 if m == 0 else total / caps[m]
        at = len(chosen) - 1
        if m >= len(chosen) and share <= full[at]:
            continue
        while at > 0 and full[at - 1] < share:
            full[at], chosen[at] = full[at - 1], chosen[at - 1]
            at -= 1
        full[at], chosen[at] = share, m
    return fits

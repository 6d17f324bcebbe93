"""Lower bounds on the sheets that parts need: by area, by dual feasible functions, by parts that share no sheet.

A dual feasible function f keeps true of any lengths that if they sum up to at most the line, so do their values to that
of the line. So a sheet whose parts are measured by f of their length times g of their width holds no more than f times
g of its own sides; a part that may be turned counts for the less of its two ways. With f(x) = x and g(x) = x that is
the area. Parts of which no two lie side by side or one over the other need a sheet each.

References
----------
S. Fekete, J. Schepers, "A general framework for bounds for higher-dimensional orthogonal packing problems", Math.
Methods of Operations Research 60 (2004), 311-329, and G. S. Lueker, "Bin packing with items uniformly distributed over
intervals", FOCS 1983 (both from memory).
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
STAIRS = 12
"""Lueker's functions for so many steps; more gain for parts under a thirteenth of the sheet alone."""
CUTS = 32
"""Sizes below half the sheet that the other functions are tried for, spread over those there are."""
MOST_COMPARED = 150
"""Parts up to which each is compared with each."""
SMALLEST = 40_000
"""Lines are scaled down to this where they are longer, so that sums of products stay whole numbers of 64 bits."""


def sheets_needed(parts: Sequence[tuple[int, int]], turns: Sequence[bool], sheet: tuple[int, int]) -> int:
    """Bound the number of alike sheets from below.

    Parameters
    ----------
    parts
        Sides, greater than 0; each fits the sheet in one of its ways.
    turns
        Whether each may be turned.
    sheet
        Its sides.

    Returns
    -------
    int
        No laying needs fewer; 0 for no parts. One may need more: the bound is not exact.
    """
    if not parts:
        return 0
    sides = np.array(parts, np.int64)
    either = np.array(turns, np.bool_)
    by_measure = _by_measure(sides, either, sheet)
    return by_measure if len(parts) > MOST_COMPARED else max(by_measure, _by_conflict(parts, turns, sheet))


def _by_measure(sides: Ints, turns: NDArray[np.bool_], sheet: tuple[int, int]) -> int:
    """The greatest bound over all pairs of functions."""
    across, across_whole = _values(sides, sheet[0])
    up, up_whole = _values(sides, sheet[1])
    n = len(sides)
    lying = (sides[:, 0] <= sheet[0]) & (sides[:, 1] <= sheet[1])
    standing = turns & (sides[:, 1] <= sheet[0]) & (sides[:, 0] <= sheet[1])
    never = np.int64(1) << 58
    best = 0
    for at, whole in enumerate(across_whole):
        # Rows are the functions along the other side, columns the parts.
        as_is = np.where(lying, across[at, :n] * up[:, n:], never)
        turned = np.where(standing, across[at, n:] * up[:, :n], never)
        sums = np.minimum(as_is, turned).sum(axis=1)
        best = max(best, int(np.max(-(-sums // (int(whole) * up_whole)))))
    return best


def _values(sides: Ints, line: int) -> tuple[Ints, Ints]:
    """Each function of every length and every width, lengths first, and of the whole line."""
    pieces = np.minimum(np.concatenate([sides[:, 0], sides[:, 1]]), line)
    scaled, whole = _scaled(pieces, line)
    rows, wholes = [scaled], [whole]
    for k in range(1, STAIRS + 1):
        steps = (k + 1) * pieces // line
        exact = steps * line == (k + 1) * pieces
        rows.append(np.where(exact, k * steps, (k + 1) * steps))
        wholes.append(k * (k + 1))
    small = np.unique(pieces[2 * pieces <= line])
    for size in small[:: max(1, len(small) // CUTS)]:
        rows.append(np.where(pieces < size, 0, np.where(pieces > line - size, whole, scaled)))
        wholes.append(whole)
        most = int(line // size)
        many = np.where(2 * pieces > line, most - (line - pieces) // size, np.where(pieces < size, 0, 1))
        rows.append(many)
        wholes.append(most)
    return np.array(rows, np.int64), np.array(wholes, np.int64)


def _scaled(pieces: Ints, line: int) -> tuple[Ints, int]:
    """Lengths by whole shares of the line, rounded down, so that what fits the line still does."""
    whole = min(line, SMALLEST)
    return pieces * whole // line, whole


def _by_conflict(parts: Sequence[tuple[int, int]], turns: Sequence[bool], sheet: tuple[int, int]) -> int:
    """So many parts, found greedily, of which no two share a sheet."""
    ways = [
        [way for way in ((a, b), (b, a))[: 1 + turn] if way[0] <= sheet[0] and way[1] <= sheet[1]]
        for (a, b), turn in zip(parts, turns, strict=True)
    ]
    shared = [[_share(one, other, sheet) for other in ways] for one in ways]
    order = sorted(range(len(parts)), key=lambda part: (sum(shared[part]), -parts[part][0] * parts[part][1]))
    best = 1
    for first in range(len(order)):
        apart = [order[first]]
        for part in order:
            if part not in apart and not any(shared[part][other] for other in apart):
                apart.append(part)
        best = max(best, len(apart))
    return best


def _share(one: Sequence[tuple[int, int]], other: Sequence[tuple[int, int]], sheet: tuple[int, int]) -> bool:
    return any(a[0] + b[0] <= sheet[0] or a[1] + b[1] <= sheet[1] for a in one for b in other)

"""The compiled inner loop of the bounds: the least height of layers that hold all items on a floor of given size.

Equal items are counted, not told apart. A set is a number of items of each kind, written as one number in mixed radix:
the sum of count * weight over the kinds, where the weights are 1, m0 + 1, (m0 + 1) (m1 + 1), ... for m0, m1, ... items.

References
----------
R. Bellman, "Dynamic programming treatment of the travelling salesman problem", and M. Held, R. M. Karp, "A dynamic
programming approach to sequencing problems", both 1962, doi:10.1145/321105.321111 and 10.1137/0110015 (from memory):
dynamic programming over subsets, here over counts of equal items.
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled

Ints = NDArray[np.int64]

NONE = 1 << 60
"""Dearer than any sum of layers, and two of them still add up within 64 bits."""


@compiled
def digits(most: Ints, sets: int) -> Ints:
    """The number of items of each kind in each set, (sets, kinds)."""
    found = np.zeros((sets, len(most)), np.int64)
    for s in range(1, sets):
        rest = s
        for i in range(len(most)):
            found[s, i] = rest % (most[i] + 1)
            rest //= most[i] + 1
    return found


@compiled
def parts(has: Ints, weight: Ints, start: Ints, found: NDArray[np.int32]) -> int:
    """The parts of each set that hold the first of its items: those of set s are found[start[s] : start[s + 1]].

    With an empty `found` they are only counted. Returns how many there are in all.
    """
    total, item_types = 0, len(weight)
    took = np.zeros(item_types, np.int64)
    for s in range(1, len(has)):
        start[s] = total
        first = 0
        # The part must hold the first item of the set: else each sharing would come up once for every order of its
        # layers.
        while has[s, first] == 0:
            first += 1
        took[:] = 0
        took[first] = 1
        t, i = weight[first], first
        while i < item_types:
            if len(found):
                found[total] = t
            total += 1
            i = first
            while i < item_types:
                if took[i] < has[s, i]:
                    took[i] += 1
                    t += weight[i]
                    break
                floor = 1 if i == first else 0
                # Counting with a base of its own for each kind, as a mileage counter does: no set is built, only its
                # number.
                t -= (took[i] - floor) * weight[i]
                took[i] = floor
                i += 1
    start[len(has)] = total
    return total


@compiled
def _within(has: Ints, least: Ints, caps: Ints, chosen: Ints, level: int) -> bool:
    """Tell whether a set keeps within the floor by all chosen measures."""
    for m in chosen:
        total = 0
        for i in range(len(has)):
            if has[i]:
                total += has[i] * least[m, i, level]
        if total > caps[m]:
            return False
    return True


@compiled
def lowest_levels(has: Ints, weight: Ints, least: Ints, caps: Ints, chosen: Ints, clashes: Ints, at: Ints) -> None:
    """The lowest level at which each set may fit one layer, as far as is known.

    Parameters
    ----------
    has, weight
        As from `digits`; the weight of each kind.
    least, caps, chosen
        Least measures of each kind at each level and of the floor, from `dual_feasible_kernel`, and those to use.
    clashes
        (count, 2): sets known not to fit a layer, and the index of the highest level this is known for.
    at
        Levels known so far, as indices; raised. The number of levels where a set fits none.
    """
    item_types, levels = least.shape[1:]
    for k in range(len(clashes)):
        at[clashes[k, 0]] = max(at[clashes[k, 0]], clashes[k, 1] + 1)
    for s in range(1, len(at)):
        c = at[s]
        for i in range(item_types):
            if has[s, i]:
                # A set needs at least the level of each set that it holds, so much is known before anything is
                # measured.
                c = max(c, at[s - weight[i]])
        while c < levels and not _within(has[s], least, caps, chosen, c):
            c += 1
        at[s] = c


@compiled
def partition_into_layers(cost: Ints, at: Ints, start: Ints, parted: NDArray[np.int32], best: Ints, pick: Ints) -> int:
    """The least sum of costs over layers that share out all items.

    Parameters
    ----------
    cost
        Of a layer by the index of its level.
    at
        From `lowest_levels`.
    start, parted
        From `parts`.
    best, pick
        Receive, per set, the least sum and the first layer's set.

    Returns
    -------
    int
        The least sum for all items; `NONE` or more where there is none.

    Notes
    -----
    The first layer holds the first item of the set, so that the order of layers is not tried.
    """
    alone = np.full(len(at), NONE, np.int64)
    for s in range(1, len(at)):
        if at[s] < len(cost):
            alone[s] = cost[at[s]]
    best[0] = 0
    for s in range(1, len(at)):
        least, chosen = NONE, 0
        for k in range(start[s], start[s + 1]):
            # The rest is smaller than the set and so was solved before: sets are numbered by what they hold.
            value = best[s - parted[k]] + alone[parted[k]]
            if value < least:
                least, chosen = value, parted[k]
        best[s], pick[s] = least, chosen
    return int(best[len(at) - 1])

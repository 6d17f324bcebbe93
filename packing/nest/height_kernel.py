"""The compiled inner loop of the bounds: the least height of layers that hold all items on a floor of given size.

Equal items are counted, not told apart. A set is a number of items of each kind, written as one number in mixed radix:
the sum of count * weight over the kinds, where the weights are 1, m0 + 1, (m0 + 1) (m1 + 1), ... for m0, m1, ... items.
"""

import numpy as np
from numpy.typing import NDArray

from packing.nest.compiled import compiled

Ints = NDArray[np.int64]

NONE = 1 << 60


@compiled
def lowest_levels(most: Ints, weight: Ints, area: Ints, room: int, clashes: Ints, at: Ints) -> None:
    """The lowest level at which each set may fit one layer, as far as is known.

    Parameters
    ----------
    most, weight
        Items and weight of each kind.
    area
        (kinds, levels): least area of an item in a layer of that level; more than `room` where it cannot lie there.
    room
        Area of the floor.
    clashes
        (count, 2): sets known not to fit a layer, and the index of the highest level this is known for.
    at
        Receives the index of the level per set; the number of levels where a set fits none.
    """
    kinds, levels = area.shape
    for s in range(len(at)):
        at[s] = 0
    for k in range(len(clashes)):
        at[clashes[k, 0]] = max(at[clashes[k, 0]], clashes[k, 1] + 1)
    for s in range(1, len(at)):
        c = at[s]
        for i in range(kinds):
            if s // weight[i] % (most[i] + 1):
                c = max(c, at[s - weight[i]])
        while c < levels:
            total = 0
            for i in range(kinds):
                total += s // weight[i] % (most[i] + 1) * area[i, c]
            if total <= room:
                break
            c += 1
        at[s] = c


@compiled
def share_out(most: Ints, weight: Ints, cost: Ints, at: Ints, best: Ints, pick: Ints, has: Ints, took: Ints) -> int:
    """The least sum of costs over layers that share out all items.

    Parameters
    ----------
    most, weight
        Items and weight of each kind.
    cost
        Of a layer by the index of its level.
    at
        From `lowest_levels`.
    best, pick
        Receive, per set, the least sum and the first layer's set.
    has, took
        Scratch, one entry a kind.

    Returns
    -------
    int
        The least sum for all items; `NONE` where there is none.

    Notes
    -----
    The first layer holds the first item of the set, so that the order of layers is not tried.
    """
    kinds = len(most)
    best[0] = 0
    for s in range(1, len(at)):
        first = -1
        for i in range(kinds):
            has[i] = s // weight[i] % (most[i] + 1)
            took[i] = 0
            if first < 0 and has[i]:
                first = i
        took[first] = 1
        t = weight[first]
        least, chosen = NONE, 0
        i = first
        while i < kinds:
            if at[t] < len(cost) and best[s - t] + cost[at[t]] < least:
                least, chosen = best[s - t] + cost[at[t]], t
            i = first
            while i < kinds:
                if took[i] < has[i]:
                    took[i] += 1
                    t += weight[i]
                    break
                floor = 1 if i == first else 0
                t -= (took[i] - floor) * weight[i]
                took[i] = floor
                i += 1
        best[s], pick[s] = least, chosen
    return int(best[len(at) - 1])

"""The bounded knapsack behind column generation, compiled: the dearest pattern that fits a bar.

Depth-first over the kinds of lengths, those dearest for their length first, with the bound that the rest of the bar is
filled at the best price still to come: R. S. Garfinkel, G. L. Nemhauser, "Integer Programming" (1972, from memory).
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled

Ints = NDArray[np.int64]


@compiled
def best_pattern(sizes: Ints, prices: Ints, demand: Ints, bar: int, column: Ints, steps: int) -> int:
    """Find the pattern of the highest price.

    Parameters
    ----------
    sizes, prices, demand
        Of each kind; whole numbers, sizes greater than 0, prices 0 or more.
    bar
        What all lengths of a pattern sum up to at most.
    column
        Receives how many of each kind there are in it.
    steps
        How many ways are looked at, at most.

    Returns
    -------
    int
        Its price; where the steps ran out, one that no pattern is above.
    """
    kinds = sizes.shape[0]
    order = np.argsort(-(prices / sizes))
    taken, best_taken = np.zeros(kinds, np.int64), np.zeros(kinds, np.int64)
    best, worth, room, depth = 0, 0, bar, 0
    down = True
    for _ in range(steps):
        if down:
            if depth == kinds or prices[order[depth]] == 0:
                if worth > best:
                    best = worth
                    best_taken[:] = taken
                down = False
            elif worth + room * prices[order[depth]] // sizes[order[depth]] <= best:
                down = False
            else:
                k = order[depth]
                taken[k] = min(demand[k], room // sizes[k])
                room -= taken[k] * sizes[k]
                worth += taken[k] * prices[k]
                depth += 1
        else:
            depth -= 1
            while depth >= 0 and taken[order[depth]] == 0:
                depth -= 1
            if depth < 0:
                column[:] = best_taken
                return best
            k = order[depth]
            taken[k] -= 1
            room += sizes[k]
            worth -= prices[k]
            depth += 1
            down = True
    column[:] = best_taken
    # No pattern is above a bar full of what is dearest for its length.
    return int(max(best, -((-bar * prices[order[0]]) // sizes[order[0]])))

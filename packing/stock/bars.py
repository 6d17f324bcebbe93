"""Bars: lengths cut one after the other from bars of one length, on as few as can be.

The bound is that of linear programming over all patterns, by column generation; what it says is worked out again in
whole numbers, so that rounding never raises it. The layout takes whole multiples of the patterns found and searches for
the rest, with fewer of them again and again where it finds none on the bound. Instances of which the least number lies
above the rounded bound are rare; on these the answer stands unproven.

References
----------
P. Gilmore, R. Gomory, "A linear programming approach to the cutting-stock problem", Operations Research 9 (1961),
849-859, doi:10.1287/opre.9.6.849 (from memory).
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from packing.stock.fill_kernel import EDGE_TO_EDGE, Ints, Random
from packing.stock.pattern_kernel import best_pattern
from packing.stock.search_kernel import UNLAID, Reals, search

PRICES = 1_000_000
"""Dual prices are whole numbers of this share of a bar."""
EPSILON = 1e-9
MOST_COLUMNS = 400
"""Patterns that are priced at most; a bound from fewer than all is still a bound, only weaker."""
KNAPSACK_STEPS = 2_000_000
"""Steps for one pattern: beyond, the best value possible there is taken for the bound."""
BACK = 6
"""Times that whole patterns are taken back where the rest does not go on the bars left for it."""


@dataclass(frozen=True)
class _Relaxation:
    """Patterns, how often each is cut at the optimum of linear programming, and the prices of lengths."""

    patterns: Ints
    times: Reals
    prices: Reals


def bars_needed(lengths: Sequence[int], bar: int) -> int:
    """Bound the number of bars from below.

    Parameters
    ----------
    lengths
        In whole units, greater than 0 and at most `bar`, grown by the saw cut.
    bar
        Its length, grown by the saw cut.

    Returns
    -------
    int
        The rounded bound of linear programming; no layout needs fewer.
    """
    if not lengths:
        return 0
    sizes, demand = _kinds(lengths)
    return _bound(sizes, demand, bar, _relax(sizes, demand, bar))


def lay_bars(lengths: Sequence[int], bar: int, *, least: int, effort: int, rng: Random) -> list[list[int]]:
    """Lay lengths on bars.

    Parameters
    ----------
    lengths, bar
        As in `bars_needed`.
    least
        A bound from below, at which the search ends.
    effort
        Steps for each rest that is searched for.
    rng
        State of the random numbers.

    Returns
    -------
    list of list of int
        For each bar the indices of its lengths, longest first; every index once.
    """
    if not lengths:
        return []
    sizes, demand = _kinds(lengths)
    relaxed = _relax(sizes, demand, bar)
    whole = np.floor(relaxed.times + EPSILON).astype(np.int64)
    many = least
    while True:
        for back in range(BACK):
            taken = np.maximum(0, whole - back)
            bars = _with_rest(sizes, demand, bar, relaxed.patterns, taken, many, effort, rng)
            if bars is not None:
                return _indices(lengths, sizes, bars)
            if not taken.any():
                break
        many += 1


def _kinds(lengths: Sequence[int]) -> tuple[Ints, Ints]:
    """Different lengths, longest first, and how many there are of each."""
    counts = Counter(lengths)
    sizes = sorted(counts, reverse=True)
    return np.array(sizes, np.int64), np.array([counts[size] for size in sizes], np.int64)


def _relax(sizes: Ints, demand: Ints, bar: int) -> _Relaxation:
    """Linear programming over patterns: of one length alone to begin with, then whichever is dearer than a bar."""
    kinds = len(sizes)
    patterns = np.diag(np.minimum(bar // sizes, demand)).astype(float)
    times = np.linalg.solve(patterns, demand.astype(float))
    prices = np.zeros(kinds)
    for _ in range(MOST_COLUMNS):
        prices = np.linalg.solve(patterns.T, np.ones(kinds))
        column = np.zeros(kinds, np.int64)
        scaled = np.maximum(0, np.floor(prices * PRICES + 0.5)).astype(np.int64)
        best_pattern(sizes, scaled, demand, bar, column, KNAPSACK_STEPS)
        if float(prices @ column) <= 1 + EPSILON:
            break
        direction = np.linalg.solve(patterns, column.astype(float))
        ratios = np.where(direction > EPSILON, times / np.where(direction > EPSILON, direction, 1.0), np.inf)
        leaves = int(np.argmin(ratios))
        if not np.isfinite(ratios[leaves]):
            break
        patterns[:, leaves] = column
        times = np.maximum(0.0, np.linalg.solve(patterns, demand.astype(float)))
    return _Relaxation(np.rint(patterns).astype(np.int64), times, prices)


def _bound(sizes: Ints, demand: Ints, bar: int, relaxed: _Relaxation) -> int:
    """The bound that prices give, in whole numbers: what all lengths cost by what the dearest bar costs at most."""
    scaled = np.maximum(0, np.floor(relaxed.prices * PRICES)).astype(np.int64)
    column = np.zeros(len(sizes), np.int64)
    dearest = best_pattern(sizes, scaled, demand, bar, column, KNAPSACK_STEPS)
    by_price = -(-int(scaled @ demand) // dearest) if dearest else 0
    return max(by_price, -(-int(sizes @ demand) // bar))


def _with_rest(
    sizes: Ints,
    demand: Ints,
    bar: int,
    patterns: Ints,
    taken: Ints,
    many: int,
    effort: int,
    rng: Random,
) -> list[list[int]] | None:
    """So many bars: the patterns taken, and the rest of the lengths searched on the others; None where it fails."""
    wanted = demand.copy()
    bars: list[list[int]] = []
    for at, times in enumerate(taken):
        for _ in range(int(times)):
            pattern = np.minimum(patterns[:, at], wanted)
            if not pattern.any():
                break
            wanted -= pattern
            bars.append([int(size) for size, count in zip(sizes, pattern, strict=True) for _ in range(int(count))])
    rest = [int(size) for size, count in zip(sizes, wanted, strict=True) for _ in range(int(count))]
    left = many - len(bars)
    if left < 0 or sum(rest) > left * bar:
        return None
    if not rest:
        return bars
    sides = np.array([(size, 1) for size in rest], np.int64)
    sheet_of, spots = np.full(len(rest), UNLAID, np.int64), np.zeros((len(rest), 3), np.int64)
    rooms, turns = np.array([(bar, 1)] * left, np.int64), np.zeros(len(rest), np.int64)
    search(EDGE_TO_EDGE, rooms, sides, turns, sheet_of, spots, rng, effort, False)
    if (sheet_of == UNLAID).any():
        return None
    return bars + [[rest[at] for at in np.flatnonzero(sheet_of == index)] for index in range(left)]


def _indices(lengths: Sequence[int], sizes: Ints, bars: Sequence[Sequence[int]]) -> list[list[int]]:
    """Bars of lengths as bars of the indices of those lengths; empty bars go."""
    waiting: dict[int, list[int]] = {int(size): [] for size in sizes}
    for index in range(len(lengths) - 1, -1, -1):
        waiting[lengths[index]].append(index)
    return [[waiting[length].pop() for length in sorted(bar, reverse=True)] for bar in bars if bar]

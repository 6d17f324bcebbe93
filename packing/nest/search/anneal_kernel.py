"""The compiled search: anneals over sequences of grown T shapes and the layers that they make.

Every number that decides is an integer number of micrometres or a sum and product of doubles in a fixed order, and
random numbers come from our own generator, so that the same seed and steps give the same plan on any machine.

References
----------
N. Metropolis and others, "Equation of state calculations by fast computing machines", Journal of Chemical Physics 21
(1953), 1087-1092, doi:10.1063/1.1699114 (from memory): the rule by which a worse state is taken.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled, inlined
from packing.nest.search.bottom_left_kernel import (
    CORNER,
    LAYER,
    ROOM,
    SEQUENCE,
    SHAPE,
    Ints,
    Scratch,
    Shapes,
    Threshold,
    Whole,
    place_layer,
    scratch_for,
)

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Words = NDArray[np.uint64]

ROUNDING = 1.0 + 1e-9
"""Slack for the bound on a trial’s cost, which is summed up in another order than the cost itself: a trial that is
exactly as good must not be lost to rounding."""

LENGTH, WIDTH, HEIGHT = range(3)
"""Rows of the layers' extents."""

SWAP = 22
REINSERT_ELSEWHERE = SWAP + 10
REINSERT = REINSERT_ELSEWHERE + 12
TURN = REINSERT + 24
OTHER_CORNER = TURN + 16
OTHER_LAYER = OTHER_CORNER + 4
FIT_ROOM = OTHER_LAYER + 4
RESIZE_ROOM = FIT_ROOM + 8
"""Moves: a number below 100 is drawn, and the move is the first one whose limit is greater.

| move | probability | what changes |
|---|---|---|
| `SWAP` | 22 % | two items change places in the sequence, and layers |
| `REINSERT_ELSEWHERE` | 10 % | an item goes to another place in the sequence and to any layer |
| `REINSERT` | 12 % | an item goes to another place in the sequence and stays in its layer |
| `TURN` | 24 % | an item lies another way; every second time it goes against another corner, too |
| `OTHER_CORNER` | 16 % | an item goes against another corner |
| `OTHER_LAYER` | 4 % | an item goes to any layer |
| `FIT_ROOM` | 4 % | the room to keep within becomes that of the largest layers, one side of it changed at random |
| `RESIZE_ROOM` | 8 % | one side of the room to keep within changes at random |

With either reinsertion an item also lies another way, and goes against another corner, each about every second time:
the bits of the same draw decide, one random number less for each move.
"""


class Limits(NamedTuple):
    """Figures that turn extents into a cost.

    `side` is what length and width add to the extents; base and top `pads`; the pad `between` layers; the largest
    interior `cap` (3,), 0 for none; `weight` per item and the `most_weight` of a layer, 0 for none; the
    `balance_weight` that draws the shorter layers to the longest.
    """

    side: int
    pads: int
    between: int
    cap: Ints
    weight: Ints
    most_weight: int
    balance_weight: float


@inlined
def _next_random(rng: Words) -> Any:
    """A 64-bit xorshift* step; `rng` holds one uint64."""
    x = rng[0]
    # Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (14), 2003 (from memory), with the multiplier that
    # Vigna gives for xorshift64*; the upper bits are the good ones.
    x ^= x >> np.uint64(12)
    x ^= x << np.uint64(25)
    x ^= x >> np.uint64(27)
    rng[0] = x
    return (x * np.uint64(2685821657736338717)) >> np.uint64(33)


@inlined
def random_below(rng: Words, n: Whole) -> Whole:
    """A whole number from 0 to n - 1."""
    return np.int64(_next_random(rng) % np.uint64(n))


@inlined
def _other(rng: Words, now: Whole, n: Whole) -> Whole:
    """Another of n, where there is one."""
    if n < 2:
        return now
    return (now + 1 + random_below(rng, n - 1)) % n


@inlined
def _least_of(which: Whole, n: Whole, state: Ints, shapes: Shapes) -> tuple[Whole, Whole, Whole]:
    """The least need of a layer before anything is placed: length, width and height; zeros where it is empty."""
    long = np.int64(0)
    wide = np.int64(0)
    tall = np.int64(0)
    for i in range(n):
        if state[LAYER, i] == which:
            g = state[SHAPE, i]
            long = max(long, shapes.size[g, 0] + shapes.reach[g, 0] + shapes.reach[g, 2])
            wide = max(wide, shapes.size[g, 1] + shapes.reach[g, 1] + shapes.reach[g, 3])
            tall = max(tall, shapes.level[g])
    return long, wide, tall


@compiled
def overload(n: Whole, k: Whole, state: Ints, limits: Limits) -> float:
    """The excess of the heaviest layers over `limits.most_weight` (0 = none), as a share of it, added up."""
    over = 0.0
    if limits.most_weight > 0:
        for q in range(k):
            load = np.int64(0)
            for i in range(n):
                if state[LAYER, i] == q:
                    load += limits.weight[i]
            over += max(0.0, float(load) / float(limits.most_weight) - 1.0)
    return over


@compiled
def cost_of(n: Whole, k: Whole, state: Ints, extent: Ints, limits: Limits) -> tuple[float, float, float]:
    """Interior volume, with a small weight on balanced layers and a penalty beyond the limits.

    Parameters
    ----------
    extent
        (3, k): length, width and height of each layer, zeros where it is empty.
    limits
        See `Limits`.

    Returns
    -------
    (cost, volume, excess)
        `excess` is 0 where every limit is kept, else by how much they are broken, as shares of them.
    """
    big_x = np.int64(0)
    big_y = np.int64(0)
    used = 0
    height = limits.pads - limits.between
    for q in range(k):
        if extent[LENGTH, q] > 0:
            used += 1
            big_x = max(big_x, extent[LENGTH, q])
            big_y = max(big_y, extent[WIDTH, q])
            height += extent[HEIGHT, q] + limits.between
    # How much of the common floor each layer uses along x and along y, added up: at most two a layer.
    slack = 0.0
    for q in range(k):
        if extent[LENGTH, q] > 0:
            slack += float(extent[LENGTH, q]) / float(big_x) + float(extent[WIDTH, q]) / float(big_y)
    # Multiplied as floats: three sides in micrometres may be beyond 64 bits, which would not be noticed here.
    x = float(big_x + limits.side)
    y = float(big_y + limits.side)
    z = float(height)
    volume = x * y * z
    excess = overload(n, k, state, limits)
    cap = limits.cap
    if cap[2] > 0:
        excess += max(0.0, z / float(cap[2]) - 1.0)
    if cap[0] > 0:
        a = max(0.0, x / float(cap[0]) - 1.0) + max(0.0, y / float(cap[1]) - 1.0)
        # The plan may be turned to fit, so the better of both ways counts.
        b = max(0.0, x / float(cap[1]) - 1.0) + max(0.0, y / float(cap[0]) - 1.0)
        excess += min(a, b)
    # Eight per whole excess: a plan beyond a limit by an eighth costs as much as one twice as large, so the search
    # passes through such plans but does not stay.
    cost = volume * (1.0 + limits.balance_weight * (slack / (2.0 * used) - 1.0)) * (1.0 + 8.0 * excess)
    return cost, volume, excess


@compiled
def _changed(rng: Words, n: Whole, k: Whole, shapes: Shapes, state: Ints, extent: Ints, touched: Flags) -> Whole:
    """Change a state by one random move; marks the layers to place anew and returns from where in the sequence."""
    start: Whole = np.int64(0)
    move_kind = random_below(rng, RESIZE_ROOM)
    if move_kind < REINSERT:
        a = random_below(rng, n)
        # Never a itself: a move that changes nothing would cost a placing all the same.
        b = (a + 1 + random_below(rng, n - 1)) % n
        start = min(a, b)
        i = state[SEQUENCE, a]
        touched[state[LAYER, i]] = True
        if move_kind < SWAP:
            j = state[SEQUENCE, b]
            state[SEQUENCE, a] = j
            state[SEQUENCE, b] = i
            touched[state[LAYER, j]] = True
            state[LAYER, i], state[LAYER, j] = state[LAYER, j], state[LAYER, i]
            return start
        while a < b:
            state[SEQUENCE, a] = state[SEQUENCE, a + 1]
            a += 1
        while a > b:
            state[SEQUENCE, a] = state[SEQUENCE, a - 1]
            a -= 1
        state[SEQUENCE, b] = i
        if move_kind < REINSERT_ELSEWHERE:
            state[LAYER, i] = random_below(rng, k)
            touched[state[LAYER, i]] = True
        if move_kind & 1:
            state[SHAPE, i] = _other(rng, state[SHAPE, i] - shapes.first[i], shapes.rows[i]) + shapes.first[i]
        if move_kind & 2:
            state[CORNER, i] = _other(rng, state[CORNER, i], 8)
    elif move_kind < OTHER_LAYER:
        start = random_below(rng, n)
        i = state[SEQUENCE, start]
        touched[state[LAYER, i]] = True
        if move_kind < TURN:
            state[SHAPE, i] = _other(rng, state[SHAPE, i] - shapes.first[i], shapes.rows[i]) + shapes.first[i]
        if move_kind >= OTHER_CORNER:
            state[LAYER, i] = random_below(rng, k)
            touched[state[LAYER, i]] = True
        elif move_kind >= TURN or move_kind & 1:
            state[CORNER, i] = _other(rng, state[CORNER, i], 8)
    else:
        big_x = np.int64(0)
        big_y = np.int64(0)
        for q in range(k):
            big_x = max(big_x, extent[LENGTH, q])
            big_y = max(big_y, extent[WIDTH, q])
            touched[q] = True
        if move_kind < FIT_ROOM:
            state[ROOM, 0] = big_x
            state[ROOM, 1] = big_y
        # Up to 1 % or, every second time, up to 8 %: the small change fits a room to what lies in it, the large one
        # leaves a trap.
        by = (random_below(rng, 2001) - 1000) * (1 + 7 * random_below(rng, 2)) * 10
        side = 1 - (move_kind & 1)
        # A room of less than a millimetre would never grow again, since it changes by a share of itself.
        state[ROOM, side] = max(np.int64(1000), state[ROOM, side] + state[ROOM, side] * by // 1000000)
    return start


@compiled
def _tried(
    n: Whole, k: Whole, start: Whole, state: Ints, shapes: Shapes, limits: Limits, most: float, touched: Flags,
    out: Ints, extent: Ints, scratch: Scratch,
) -> bool:  # fmt: skip
    """Place the touched layers anew; False as soon as the cost is known to be beyond `most`.

    A layer's height is known before it is placed, and what it needs at least; its length and width only grow as it is
    filled, and the cost with them.
    """
    used = 0
    height = limits.pads - limits.between
    long: Whole = np.int64(0)
    wide: Whole = np.int64(0)
    sum_long = np.int64(0)
    sum_wide = np.int64(0)
    for q in range(k):
        if touched[q]:
            extent[LENGTH, q], extent[WIDTH, q], extent[HEIGHT, q] = _least_of(q, n, state, shapes)
        if extent[LENGTH, q] > 0:
            used += 1
            height += extent[HEIGHT, q] + limits.between
            long = max(long, extent[LENGTH, q])
            wide = max(wide, extent[WIDTH, q])
            sum_long += extent[LENGTH, q]
            sum_wide += extent[WIDTH, q]
    once, each = 1.0 - limits.balance_weight, limits.balance_weight / (2.0 * used)
    over = most / float(height) * ROUNDING
    # The layer of the first changed item is the likeliest to cost too much, so it is placed first.
    first = state[LAYER, state[SEQUENCE, start]]
    for turn in range(k):
        q = (first + turn) % k
        if not touched[q] or extent[LENGTH, q] == 0:
            continue
        others_long = float(sum_long - extent[LENGTH, q])
        others_wide = float(sum_wide - extent[WIDTH, q])
        threshold = Threshold(
            over, float(long), float(wide), others_long, others_wide, float(limits.side), once, each
        )  # fmt: skip
        x, y, _ = place_layer(q, n, start, state, shapes, out, scratch, threshold)
        if x < 0:
            return False
        sum_long += x - extent[LENGTH, q]
        sum_wide += y - extent[WIDTH, q]
        extent[LENGTH, q] = x
        extent[WIDTH, q] = y
        long = max(long, x)
        wide = max(wide, y)
    return True


@compiled
def _copy(of: Ints, to: Ints) -> None:
    """Copy a whole array: an assignment of slices would have the compiler make its message about shapes, for 3 s."""
    for row in range(of.shape[0]):
        for column in range(of.shape[1]):
            to[row, column] = of[row, column]


@compiled
def anneal(
    steps: Whole, hot: float, cooling: float, rng: Words, minus_log_u: Floats, k: Whole, shapes: Shapes,
    limits: Limits, kept: Ints, best: Ints, best_value: Floats,
) -> None:  # fmt: skip
    """Anneal for `steps` moves, the temperature (relative to the cost) from `hot` on, times `cooling` for each move.

    Parameters
    ----------
    rng
        One uint64, advanced.
    minus_log_u
        Table of 4096 values of -ln(u), for accepting.
    k
        Most layers.
    shapes, limits
        See `Shapes` and `Limits`.
    kept, best
        States, see `place_layer`: `kept` is advanced, `best` keeps the best.
    best_value
        (2,) float64: least volume so far (times 1000 and more where it exceeds a limit), its excess.
    """
    n = len(shapes.first)
    state = kept.copy()
    scratch = scratch_for(n)
    out = np.zeros((n, 2), np.int64)
    extent = np.zeros((3, k), np.int64)
    touched = np.ones(k, np.bool_)
    next_state, next_out, next_extent = state.copy(), out.copy(), extent.copy()
    cost = np.inf
    most = np.inf
    start: Whole = np.int64(0)
    temperature = hot
    # Step 0 places the state as it came: its cost is what the first move is held against.
    for step in range(steps + 1):
        if step > 0:
            temperature *= cooling
            _copy(state, next_state)
            _copy(out, next_out)
            _copy(extent, next_extent)
            for q in range(k):
                touched[q] = False
            start = _changed(rng, n, k, shapes, next_state, extent, touched)
            # The threshold is drawn before the trial is placed: a trial can then be given up as soon as it is known to
            # miss it.
            most = cost * (1.0 + temperature * minus_log_u[random_below(rng, 4096)])
        if not _tried(n, k, start, next_state, shapes, limits, most, touched, next_out, next_extent, scratch):
            continue
        next_cost, value, excess = cost_of(n, k, next_state, next_extent, limits)
        if next_cost <= most:
            cost = next_cost
            # Exchanged, not copied: the arrays are the larger part of a step.
            state, next_state = next_state, state
            out, next_out = next_out, out
            extent, next_extent = next_extent, extent
            if excess > 0.0:
                # Any plan within the limits is better than every one beyond them; among those the excess decides.
                value *= 1000.0 * (1.0 + excess)
            if value < best_value[0]:
                best_value[0] = value
                best_value[1] = excess
                _copy(state, best)
    # The state accepted last, not the best one: the chain goes on from where it is.
    _copy(state, kept)

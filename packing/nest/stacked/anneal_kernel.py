"""The compiled inner loop for blocks that stand on each other freely: piles them in sequence and anneals over that.

References
----------
As in `search.anneal_kernel` and `search.bottom_left_kernel`, with a third dimension.
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled
from packing.nest.search.anneal_kernel import random_below

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

SEQUENCE, ORIENTATION, MODE, ROOM = range(4)
"""Rows of a state, see `anneal_piles`."""

MIRROR_X, MIRROR_Y, Y_FIRST = 1, 2, 4
"""Bits of how a block is put: against the far end, against the far side, least y before least x."""
FAR = 1 << 50
"""Beyond every place, and a few of them still add up within 64 bits."""

SWAP = 25
REINSERT = SWAP + 20
TURN_AND_MODE = REINSERT + 10
TURN = TURN_AND_MODE + 15
OTHER_MODE = TURN + 12
RESIZE_ROOM = OTHER_MODE + 18
"""Moves: a number below 100 is drawn, and the move is the first one whose limit is greater.

| move | probability | what changes |
|---|---|---|
| `SWAP` | 25 % | two blocks change places in the sequence |
| `REINSERT` | 20 % | a block goes to another place in the sequence |
| `TURN_AND_MODE` | 10 % | a block stands another way and is put another way |
| `TURN` | 15 % | a block stands another way |
| `OTHER_MODE` | 12 % | a block is put another way |
| `RESIZE_ROOM` | 18 % | length or width to keep within changes at random |
"""


@compiled
def _lower(at: Ints, size: Ints, seq: Ints, m: int, x: int, y: int, w: int, d: int, most: int) -> int:
    """Height at which a footprint at x, y comes to rest on the first m blocks; anything above `most` where above it."""
    z = 0
    for k in range(m):
        r = seq[k]
        if at[r, 0] < x + w and x < at[r, 0] + size[r, 0] and at[r, 1] < y + d and y < at[r, 1] + size[r, 1]:
            z = max(z, at[r, 2] + size[r, 2])
            # Higher than the best place so far: how much higher does not matter.
            if z > most:
                break
    return int(z)


@compiled
def _edge(at: Ints, size: Ints, seq: Ints, k: int, axis: int, own: int, cap: int, mirrored: bool) -> int:
    """The place along an axis beside block k of the sequence (-1: the wall), or -1 where it is out of bounds."""
    if mirrored:
        place = cap - own if k < 0 else at[seq[k], axis] - own
    else:
        place = 0 if k < 0 else at[seq[k], axis] + size[seq[k], axis]
    if k < 0:
        return int(max(place, 0))
    return int(place) if 0 <= place <= cap - own else -1


@compiled
def pile(seq: Ints, orientation: Ints, mode: Ints, sides: Ints, cap: Ints, at: Ints, size: Ints) -> None:
    """Let blocks down one after another where they come to rest lowest.

    Parameters
    ----------
    seq, orientation, mode
        The sequence of blocks; per block its row in `sides`, and how it is put: `MIRROR_X` against the far end,
        `MIRROR_Y` against the far side, `Y_FIRST` least y before least x.
    sides
        (ways, 3): grown sides of each way of each block.
    cap
        Length and width to keep within where a block can.
    at, size
        Receive each block's place and sides.
    """
    for m in range(len(seq)):
        b = seq[m]
        for q in range(3):
            size[b, q] = sides[orientation[b], q]
        w, d = size[b, 0], size[b, 1]
        from_x, from_y = (mode[b] & MIRROR_X) != 0, (mode[b] & MIRROR_Y) != 0
        low, first, second = FAR, FAR, FAR
        for i in range(-1, m):
            x = _edge(at, size, seq, i, 0, w, cap[0], from_x)
            if x < 0:
                continue
            far_x = cap[0] - w - x if from_x else x
            for j in range(-1, m):
                y = _edge(at, size, seq, j, 1, d, cap[1], from_y)
                if y < 0:
                    continue
                far_y = cap[1] - d - y if from_y else y
                one, other = (far_y, far_x) if mode[b] & Y_FIRST else (far_x, far_y)
                z = _lower(at, size, seq, m, x, y, w, d, low)
                if z < low or (z == low and (one < first or (one == first and other < second))):
                    low, first, second = z, one, other
                    at[b, 0], at[b, 1], at[b, 2] = x, y, z


@compiled
def pile_cost(at: Ints, size: Ints, add: Ints, most: Ints) -> tuple[float, float]:
    """Interior volume of a pile, and how far it is beyond the largest interior (L, W, H; 0 = none), relatively.

    `add` is what walls and pads add to length, width and height.
    """
    side = np.zeros(3)
    for q in range(3):
        low, high = FAR, -FAR
        for b in range(len(at)):
            low, high = min(low, at[b, q]), max(high, at[b, q] + size[b, q])
        side[q] = float(high - low + add[q])
    excess = 0.0
    if most[2] > 0:
        x, y = side[0], side[1]
        # The case may be turned to fit, so the better of both ways counts.
        straight = max(0.0, x / most[0] - 1.0) + max(0.0, y / most[1] - 1.0)
        turned = max(0.0, x / most[1] - 1.0) + max(0.0, y / most[0] - 1.0)
        excess = min(straight, turned) + max(0.0, side[2] / most[2] - 1.0)
    return side[0] * side[1] * side[2], excess


@compiled
def _change(rng: NDArray[np.uint64], state: Ints, first: Ints, count: Ints) -> None:
    """Change a state (sequence, way, mode, caps in rows 0 to 3) a little."""
    n = len(first)
    move_kind = random_below(rng, RESIZE_ROOM)
    a, b = random_below(rng, n), random_below(rng, n)
    if move_kind < SWAP:
        state[SEQUENCE, a], state[SEQUENCE, b] = state[SEQUENCE, b], state[SEQUENCE, a]
    elif move_kind < REINSERT:
        moved = state[SEQUENCE, a]
        step = 1 if a < b else -1
        while a != b:
            state[SEQUENCE, a] = state[SEQUENCE, a + step]
            a += step
        state[SEQUENCE, b] = moved
    elif move_kind < TURN:
        state[ORIENTATION, a] = first[a] + random_below(rng, count[a])
        if move_kind < TURN_AND_MODE:
            state[MODE, a] = random_below(rng, 8)
    elif move_kind < OTHER_MODE:
        state[MODE, a] = random_below(rng, 8)
    else:
        axis = move_kind & 1
        # Twice the changes of layers: a pile has no common floor that would break by them.
        by = (random_below(rng, 2001) - 1000) * (1 + 7 * random_below(rng, 2)) * 20
        state[ROOM, axis] = max(1, state[ROOM, axis] + state[ROOM, axis] * by // 1_000_000)


@compiled
def anneal_piles(
    steps: int,
    hot: float,
    cooling: float,
    rng: NDArray[np.uint64],
    minus_log_u: Floats,
    first: Ints,
    count: Ints,
    sides: Ints,
    add: Ints,
    most: Ints,
    state: Ints,
    best: Ints,
    value: Floats,
) -> None:
    """Anneal over piles for `steps` moves, the temperature (relative to the cost) falling from `hot` by `cooling` each.

    Parameters
    ----------
    rng, minus_log_u
        One uint64, advanced; a table of 4096 values of -ln(u), for accepting.
    first, count, sides
        Per block its first row in `sides` and its number of rows.
    add, most
        As in `pile_cost`.
    state, best
        (4, n) int64, at least two columns: sequence, way, mode, and length and width to keep within. `state` is
        advanced, `best` keeps the best.
    value
        (2,): least volume, a pile beyond the largest interior counted dearer, and how far that is beyond.
    """
    n = len(first)
    given = state
    at, size, new = np.zeros((n, 3), np.int64), np.zeros((n, 3), np.int64), state.copy()
    pile(state[SEQUENCE, :n], state[ORIENTATION], state[MODE], sides, state[ROOM], at, size)
    volume, excess = pile_cost(at, size, add, most)
    # What is beyond a limit is as dear as with layers, see `search.anneal_kernel.cost_of`.
    cost = volume * (1.0 + 8.0 * excess)
    temperature = hot
    for _ in range(steps):
        temperature *= cooling
        for q in range(4):
            for k in range(state.shape[1]):
                new[q, k] = state[q, k]
        _change(rng, new, first, count)
        pile(new[SEQUENCE, :n], new[ORIENTATION], new[MODE], sides, new[ROOM], at, size)
        volume, excess = pile_cost(at, size, add, most)
        trial = volume * (1.0 + 8.0 * excess)
        # Metropolis with the logarithm from the table; a pile that is no worse is always taken.
        if trial > cost and trial - cost >= cost * temperature * minus_log_u[random_below(rng, 4096)]:
            continue
        cost = trial
        state, new = new, state
        if cost < value[0]:
            value[0], value[1] = cost, excess
            for q in range(4):
                for k in range(state.shape[1]):
                    best[q, k] = state[q, k]
    for q in range(4):
        for k in range(given.shape[1]):
            given[q, k] = state[q, k]

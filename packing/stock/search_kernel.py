"""The compiled search for parts on a given number of sheets.

Some sheets are emptied and filled anew from their parts and those that have no sheet yet, in another order. What is
sought is that no part is left over; what guides the search is the area left over, by weights that grow for parts that
are left over again and again, and beyond that sheets that are as full as can be beside others as empty as can be.

References
----------
N. Metropolis and others, "Equation of state calculations by fast computing machines", Journal of Chemical Physics 21
(1953), 1087-1092, doi:10.1063/1.1699114 (from memory): the rule by which a worse state is taken. G. Schrimpf and
others, "Record breaking optimization results using the ruin and recreate principle", Journal of Computational Physics
159 (2000), 139-171 (from memory): emptying and filling anew.
"""

import numpy as np
from numpy.typing import NDArray

from packing.jit import compiled
from packing.stock.fill_kernel import FREELY, Ints, Random, draw, fill_edge_to_edge, fill_freely

Reals = NDArray[np.float64]
UNLAID = -1
FULLNESS = 0.15
"""Worth of full sheets beside empty ones against area left over."""
HEAT = 0.012
"""Excess of a state that is taken about every third time, in sheets."""
EACH = 0.02
"""Cost of a part left over beside its area, in sheets."""
PATIENCE = 400
"""Steps after which the parts left over gain weight."""


@compiled
def _key(sort: int, a: int, b: int) -> float:
    """The key that parts are laid by, the greatest first."""
    if sort == 0:
        return float(a) * float(b)
    if sort == 1:
        return float(max(a, b))
    if sort == 2:
        return float(min(a, b))
    return float(a + b)


@compiled
def _shuffle(order: Ints, count: int, sides: Ints, weight: Reals, keys: Reals, rng: Random) -> None:
    """Put parts in an order by size, more or less."""
    sort, noise = draw(rng, 4), draw(rng, 4) * 0.25
    for k in range(count):
        part = order[k]
        chance = 1.0 + noise * (draw(rng, 1000) / 500.0 - 1.0)
        keys[k] = _key(sort, sides[part, 0], sides[part, 1]) * chance * weight[part]
    for k in range(1, count):
        part, key = order[k], keys[k]
        j = k - 1
        while j >= 0 and keys[j] < key:
            order[j + 1], keys[j + 1] = order[j], keys[j]
            j -= 1
        order[j + 1], keys[j + 1] = part, key


@compiled
def fill(
    mode: int, room: Ints, sides: Ints, turns: Ints, order: Ints, count: int, spots: Ints, free: Ints, rng: Random
) -> int:
    """Fill a sheet; freely, a filling by cuts from edge to edge is one of many, and quick."""
    if mode == FREELY and draw(rng, 4) > 0:
        return fill_freely(room, sides, turns, order, count, spots, free, rng)
    return fill_edge_to_edge(room, sides, turns, order, count, spots, free, rng)


@compiled
def _pick(m: int, picked: Ints, rng: Random) -> int:
    """Pick up to three different sheets; how many."""
    many = 0
    for _ in range(1 + (draw(rng, 3) > 0) + (draw(rng, 6) == 0)):
        s = draw(rng, m)
        known = False
        for j in range(many):
            known = known or picked[j] == s
        if not known:
            picked[many] = s
            many += 1
    return many


@compiled
def _take_out(sheet_of: Ints, picked: Ints, many: int, order: Ints) -> int:
    """The parts of some sheets and those that lie nowhere; how many."""
    count = 0
    for i in range(sheet_of.shape[0]):
        taken = sheet_of[i] == UNLAID
        for k in range(many):
            taken = taken or sheet_of[i] == picked[k]
        if taken:
            order[count] = i
            count += 1
    return count


@compiled
def _parted(order: Ints, count: int, trial: Ints, rest: Ints) -> int:
    """Move the parts that were laid behind those that were not, each in their order; how many were not."""
    kept, laid = 0, 0
    for j in range(count):
        part = order[j]
        if trial[part, 0] >= 0:
            rest[laid] = part
            laid += 1
        else:
            order[kept] = part
            kept += 1
    for j in range(laid):
        order[kept + j] = rest[j]
    return kept


@compiled
def _cost(order: Ints, total: int, of: Ints, picked: Ints, many: int, area: Reals, weight: Reals, used: Reals) -> float:
    """The area left over of some parts, by weight, less the worth of full sheets; `used` receives their fullness."""
    cost = 0.0
    for k in range(many):
        used[picked[k]] = 0.0
    for j in range(total):
        i = order[j]
        if of[i] == UNLAID:
            # Beside its area each part left over counts for itself.
            cost += weight[i] * (area[i] + EACH)
        else:
            used[of[i]] += area[i]
    for k in range(many):
        cost -= FULLNESS * used[picked[k]] ** 2
    return cost


@compiled
def search(
    mode: int,
    rooms: Ints,
    sides: Ints,
    turns: Ints,
    sheet_of: Ints,
    spots: Ints,
    rng: Random,
    steps: int,
    gather: bool,
) -> int:
    """Lay parts on sheets, as many as can be.

    Parameters
    ----------
    mode
        `EDGE_TO_EDGE` or `FREELY`.
    rooms, sides, turns
        Sides of the sheets, (sheets, 2), and of the parts, grown by the saw cut, (parts, 2); 1 where a part may be
        turned.
    sheet_of, spots
        The state to begin with and to go on from, changed in place: for each part its sheet, -1 for none; its place
        there and whether it is turned.
    rng
        State of the random numbers.
    steps
        How many times sheets are emptied at most.
    gather
        Go on where no part is left over, for fuller sheets beside emptier ones.

    Returns
    -------
    int
        Steps taken; fewer than `steps` where every part was laid.
    """
    n, m = sides.shape[0], rooms.shape[0]
    products = sides[:, 0].astype(np.float64) * sides[:, 1]
    area = products / (rooms[:, 0].astype(np.float64) * rooms[:, 1]).mean()
    left = int((sheet_of == UNLAID).sum())
    weight, keys, used = np.ones(n), np.empty(n), np.zeros(m)
    trial, free = np.empty((n, 3), np.int64), np.empty((16 * n + 64, 4), np.int64)
    to, order, rest, picked = np.empty(n, np.int64), np.empty(n, np.int64), np.empty(n, np.int64), np.empty(3, np.int64)
    for step in range(steps):
        if left == 0 and not gather:
            return step
        many = _pick(m, picked, rng)
        total = _take_out(sheet_of, picked, many, order)
        before = _cost(order, total, sheet_of, picked, many, area, weight, used)
        _shuffle(order, total, sides, weight, keys, rng)
        count = total
        for k in range(many):
            fill(mode, rooms[picked[k]], sides, turns, order, count, trial, free, rng)
            kept = _parted(order, count, trial, rest)
            for j in range(kept, count):
                to[order[j]] = picked[k]
            count = kept
        for j in range(count):
            to[order[j]] = UNLAID
        after = _cost(order, total, to, picked, many, area, weight, used)
        chance = draw(rng, 1 << 20) / float(1 << 20)
        if after <= before or chance < np.exp((before - after) / HEAT):
            for j in range(total):
                i = order[j]
                left += int(to[i] == UNLAID) - int(sheet_of[i] == UNLAID)
                sheet_of[i] = to[i]
                spots[i] = trial[i]
        if step % PATIENCE == PATIENCE - 1:
            weight[sheet_of == UNLAID] *= 1.1
    return steps

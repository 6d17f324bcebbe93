"""A search that needs nothing compiled: shapes placed in sequence, each against a corner, annealed in plain Python.

Some hundred times slower than the compiled search, it answers while that one is being compiled. Layers, ways, corners
and the room to keep within mean the same.

References
----------
As in `anneal` and `bottom_left_kernel`: S. Kirkpatrick and others, doi:10.1126/science.220.4598.671; B. S. Baker and
others, doi:10.1137/0209064 (from memory).
"""

import math
import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from packing.nest.problem import Problem
from packing.nest.result import Placement

HOT, COLD = 0.06, 0.0005
"""As in `anneal`; less cold at the end, since a short run never settles so far."""
BALANCE_WEIGHT, EXCESS_WEIGHT = 0.1, 8.0
"""As in the compiled search: shorter layers are drawn to the longest; an eighth beyond a limit costs as much as twice
the volume."""
RUN = 400
"""Steps of a run for each item: then it starts again."""
MOST_KNOWN = 50_000
"""So many placed layers are remembered: a few ten megabytes at most."""

CORNERS = 8
FAR_END, FAR_SIDE, Y_FIRST = 1, 2, 4
"""Bits of a corner: against the far end, against the far side, least y before least x."""
Rect = tuple[int, int, int, int]


class Lying(NamedTuple):
    """An item in a layer's sequence: the index of the way it lies, and the corner it goes against."""

    item: int
    way: int
    corner: int


Row = tuple[Lying, ...]
Room = tuple[int, int]
"""Length and width to keep within."""


@dataclass(frozen=True, slots=True)
class _Placed:
    """A layer as it was placed: extents, the height it needs, and each item's least corner."""

    length_um: int
    width_um: int
    level_um: int
    places: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class _State:
    """Layers, and the room that each tries to keep within."""

    rows: tuple[Row, ...]
    room: Room


def _seen(rects: Iterable[Rect], corner: int, room: Room) -> list[Rect]:
    """Rectangles within a room as they are seen from a corner."""
    length, width = room
    if corner & FAR_END:
        rects = [(length - x1, y0, length - x0, y1) for x0, y0, x1, y1 in rects]
    if corner & FAR_SIDE:
        rects = [(x0, width - y1, x1, width - y0) for x0, y0, x1, y1 in rects]
    return [(y0, x0, y1, x1) for x0, y0, x1, y1 in rects] if corner & Y_FIRST else list(rects)


def _leftmost(rects: Sequence[Rect], shape: Sequence[Rect], top: int) -> tuple[int, int]:
    """Least x, then least y up to `top`, of a shape that rests on the floor or on a placed rectangle."""
    # A shape as far to the corner as it goes rests on the floor or on another: heights between need no try.
    heights = {0} | {y for rect in rects for own in shape if 0 < (y := rect[3] - own[1]) <= top}
    best: tuple[int, int] | None = None
    for y in sorted(heights):
        # What lies beside it at this height forbids an open interval of x each.
        beside = sorted(
            (rect[0] - own[2], rect[2] - own[0])
            for own in shape
            for rect in rects
            if rect[1] < y + own[3] and y + own[1] < rect[3]
        )
        x = 0
        for low, high in beside:
            if low >= x:
                break
            x = max(x, high)
        if best is None or x < best[0]:
            best = x, y
    return best or (0, 0)


class _Search:
    def __init__(self, problem: Problem, seed: int) -> None:
        self._problem = problem
        self._random = random.Random(seed)
        self._known: dict[tuple[Row, Room], _Placed] = {}

    def start(self) -> _State:
        """Items at random in a few layers, on a floor about as long as wide."""
        items = len(self._problem.orientations)
        layers = self._random.randint(1, max(1, -(-items // 3)))
        rows: list[list[Lying]] = [[] for _ in range(layers)]
        for item in self._random.sample(range(items), items):
            rows[self._random.randrange(layers)].append(self._turned(item))
        area = sum(min(g.length_um * g.width_um for g in own) for own in self._problem.orientations)
        side = math.isqrt(area // layers)
        return _State(tuple(tuple(row) for row in rows if row), (side * 5 // 4, side * 4 // 5))

    def _turned(self, item: int) -> Lying:
        way = self._random.randrange(len(self._problem.orientations[item]))
        return Lying(item, way, self._random.randrange(CORNERS))

    def log_of_chance(self) -> float:
        """The logarithm of a number drawn between 0 and 1."""
        # The number drawn may be 0 but never 1, and 0 has no logarithm.
        return math.log(1 - self._random.random())

    def placed(self, row: Row, room: Room) -> _Placed:
        """One layer, placed in sequence; remembered."""
        found = self._known.get((row, room))
        if found is not None:
            return found
        rects: list[Rect] = []
        places: list[tuple[int, int]] = []
        ends: list[Rect] = []
        for item, way, corner in row:
            grown = self._problem.orientations[item][way]
            size = (grown.length_um, grown.width_um)
            across = 0 if corner & Y_FIRST else 1
            x, y = _leftmost(
                _seen(rects, corner, room), _seen(grown.rects, corner, size), max(0, room[across] - size[across])
            )
            if corner & Y_FIRST:
                x, y = y, x
            x = room[0] - size[0] - x if corner & FAR_END else x
            y = room[1] - size[1] - y if corner & FAR_SIDE else y
            rects += [(x + r[0], y + r[1], x + r[2], y + r[3]) for r in grown.rects]
            places.append((x, y))
            reach = grown.reach_um
            ends.append((x - reach[0], y - reach[1], x + size[0] + reach[2], y + size[1] + reach[3]))
        level = max(self._problem.orientations[item][way].level_um for item, way, _ in row)
        length, width = (max(end[q + 2] for end in ends) - min(end[q] for end in ends) for q in (0, 1))
        # All at once: to keep account of which were used last would cost more than to place some again.
        if len(self._known) >= MOST_KNOWN:
            self._known.clear()
        self._known[row, room] = _Placed(length, width, level, tuple(places))
        return self._known[row, room]

    def cost(self, state: _State) -> tuple[float, float]:
        """The cost that is annealed, and the volume, a thousandfold and more where a limit is broken."""
        problem = self._problem
        layers = [self.placed(row, state.room) for row in state.rows]
        long, wide = max(one.length_um for one in layers), max(one.width_um for one in layers)
        # By what the layers really take: the room is only what they try to keep within.
        sides = (long + problem.side_um, wide + problem.side_um, problem.height_um([one.level_um for one in layers]))
        volume = float(sides[0]) * sides[1] * sides[2]
        used = sum(one.length_um / long + one.width_um / wide for one in layers) / (2 * len(layers))
        excess = self._excess(state, sides)
        cost = volume * (1 + BALANCE_WEIGHT * (used - 1)) * (1 + EXCESS_WEIGHT * excess)
        return cost, volume * 1000 * (1 + excess) if excess else volume

    def _excess(self, state: _State, sides: tuple[int, int, int]) -> float:
        """By how much limits are broken, as shares of them."""
        demands, excess = self._problem.demands, 0.0
        if demands.most_um is not None:
            # A box may be turned on its floor: the longer side is held against the longer limit.
            have = (max(sides[:2]), min(sides[:2]), sides[2])
            excess += sum(max(0.0, a / b - 1) for a, b in zip(have, demands.most_um, strict=True))
        if demands.most_layer_mg is not None:
            items = self._problem.order.items
            loads = [sum(items[one.item].weight_mg for one in row) for row in state.rows]
            excess += sum(max(0.0, load / demands.most_layer_mg - 1) for load in loads)
        return excess

    def changed(self, state: _State) -> _State:
        """A neighbour: an item turned, moved or exchanged for another, or the room changed by up to 8 %."""
        # Of twenty steps three change the room, four turn an item, five exchange two, eight move one.
        kind = self._random.randrange(20)
        if kind < 3:
            return _State(state.rows, self._resized(state, kind))
        rows = [list(row) for row in state.rows]
        a = self._anywhere(rows)
        lying = rows[a[0]][a[1]]
        if kind < 7:
            other = self._turned(lying.item)
            rows[a[0]][a[1]] = other if kind < 5 else lying._replace(corner=other.corner)
        elif kind < 12:
            b = self._anywhere(rows)
            rows[a[0]][a[1]], rows[b[0]][b[1]] = rows[b[0]][b[1]], lying
        else:
            del rows[a[0]][a[1]]
            # Every now and then into a layer of its own.
            rows.append([])
            to = rows[a[0]] if kind < 16 else rows[self._random.randrange(len(rows))]
            to.insert(self._random.randint(0, len(to)), self._turned(lying.item) if kind & 1 else lying)
        return _State(tuple(tuple(row) for row in rows if row), state.room)

    def _anywhere(self, rows: Sequence[Sequence[Lying]]) -> tuple[int, int]:
        """A layer and a place in its sequence."""
        return self._random.choice([(q, k) for q, row in enumerate(rows) for k in range(len(row))])

    def _resized(self, state: _State, kind: int) -> Room:
        """The room, or that of the largest layers, one side changed by up to 8 %."""
        room = list(state.room)
        if kind == 0:
            layers = [self.placed(row, state.room) for row in state.rows]
            room = [max(one.length_um for one in layers), max(one.width_um for one in layers)]
        by = self._random.randrange(-1000, 1001) * self._random.choice((1, 8))
        side = self._random.randrange(2)
        room[side] = max(1000, room[side] + room[side] * by // 100_000)
        return room[0], room[1]

    def layers(self, state: _State) -> list[list[Placement]]:
        """A state's layers in frames of their own."""
        return [
            [
                Placement(item, self._problem.orientations[item][way].orientation, *place)
                for (item, way, _), place in zip(row, self.placed(row, state.room).places, strict=True)
            ]
            for row in state.rows
        ]


def anneal_uncompiled(problem: Problem, *, seed: int, spent: Callable[[], float]) -> list[list[Placement]]:
    """Search for layers without anything compiled.

    Parameters
    ----------
    problem
        Two items or more.
    seed
        Any integer.
    spent
        Asked before each step: the share of the time that is used; from 1 on the search ends.

    Returns
    -------
    list of list of Placement
        The layers of the least volume met; beyond a limit where no state within all of them was met.
    """
    search = _Search(problem, seed)
    run = RUN * len(problem.orientations)
    best, least = search.start(), math.inf
    used = spent()
    # One run at least, however little time there is: an answer is owed in any case.
    while used < 1 or least == math.inf:
        state = search.start()
        cost, value = search.cost(state)
        step, begun = 0, used
        while True:
            if value < least:
                best, least = state, value
            used = spent()
            # The last run ends with the time, whatever its length.
            done = max(step / run, (used - begun) / (1 - begun))
            if done >= 1:
                break
            step += 1
            trial = search.changed(state)
            trial_cost, value = search.cost(trial)
            if trial_cost <= cost * (1 - HOT * (COLD / HOT) ** done * search.log_of_chance()):
                state, cost = trial, trial_cost
            else:
                # Else the value of the refused trial would be booked to the state that stays.
                value = math.inf
    return search.layers(best)

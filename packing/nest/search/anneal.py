"""The anytime search: populations of annealed sequences, two lanes at a time.

Each lane keeps a population that cools together; every third stage the worst members start again from copies of the
best. In a search bounded by effort the lanes share the steps evenly, so that the answer depends on the order, the seed
and the effort alone.
"""

import math
import random
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from packing.nest.problem import Problem
from packing.nest.search import anneal_kernel, bottom_left_kernel

LANES = 2
STAGES = 40
RENEW_EVERY = 3
HOT, COLD = 0.06, 0.0003
PULL = 0.1
FRONT_WITHIN, FRONT_SIZE = 1.6, 12
LONG_SECONDS, LONG_STEPS = 10.0, 10_000_000
CHUNK_SECONDS = 0.04
CHUNK_STEPS = 20_000

SAME_DIGITS = 14
"""Powers differ in their last digits from one machine's library to another's: they are rounded before they are used."""

CHANCE: NDArray[np.float64] = np.array([round(-math.log((i + 0.5) / 4096), 9) for i in range(4096)])
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Tables:
    """A problem as the kernel takes it."""

    items: int
    shapes: bottom_left_kernel.Shapes
    limits: anneal_kernel.Limits


def tables_of(problem: Problem) -> Tables:
    """Flatten a problem for the kernel."""
    rows = [way for ways in problem.ways for way in ways]
    count = [len(ways) for ways in problem.ways]
    rects = [way.rects * 2 if len(way.rects) == 1 else way.rects for way in rows]
    shapes = bottom_left_kernel.Shapes(
        first=_ints([sum(count[:index]) for index in range(len(count))]),
        ways=_ints(count),
        rects=_ints(rects),
        size=_ints([(way.length_um, way.width_um) for way in rows]),
        level=_ints([way.level_um for way in rows]),
        reach=_ints([way.reach_um for way in rows]),
    )
    limits = anneal_kernel.Limits(
        side=problem.side_um,
        pads=problem.pads_um,
        between=problem.between_um,
        cap=_ints(problem.rules.max_interior_um or (0, 0, 0)),
        weight=_ints([item.weight_mg for item in problem.order.items]),
        most_weight=problem.rules.max_layer_mg or 0,
        pull=PULL,
    )
    return Tables(len(count), shapes, limits)


def _ints(values: Sequence[Any]) -> Ints:
    return np.array(values, np.int64)


class Budget:
    """How far a search has come: by steps, or by a monotonic clock.

    Parameters
    ----------
    seconds, steps
        One of them bounds the search; the other is None.
    stop
        Asked often; True ends the search.
    """

    def __init__(self, seconds: float | None, steps: int | None, stop: Callable[[], bool] | None) -> None:
        self.seconds, self.steps = seconds, steps
        self.begun = time.monotonic()
        self._stop = stop
        self._halted = False

    def spent(self, steps_done: int) -> float:
        """The share of the budget that is used, from 0 to 1."""
        if self.steps is not None:
            return min(1.0, steps_done / self.steps)
        return min(1.0, (time.monotonic() - self.begun) / max(1e-9, self.seconds or 0.0))

    def over(self, steps_done: int) -> bool:
        """Whether the search must end."""
        if self._stop is not None and self._stop():
            self._halted = True
        return self._halted or self.spent(steps_done) >= 1.0

    def halt(self) -> None:
        """End the search at its next look."""
        self._halted = True


@dataclass
class Member:
    """One annealed state, and the best that came of it."""

    layers: int
    state: Ints
    best: Ints
    value: NDArray[np.float64]
    rng: NDArray[np.uint64]


@dataclass
class Lane:
    """One population with its own chance; `best_value` counts plans beyond `max_interior` a thousandfold."""

    tables: Tables
    seed: int
    budget: Budget
    members: int
    best_value: float = math.inf
    best_excess: float = 0.0
    best: Ints | None = None
    steps: int = 0
    rate: float = 0.0
    population: list[Member] = field(default_factory=list)
    front: dict[tuple[int, ...], tuple[float, Ints]] = field(default_factory=dict)

    def run(self) -> None:
        """Anneal until the budget is used; the best so far can be read at any time."""
        chance = random.Random(self.seed)
        self.population = [self._start(index, chance) for index in range(self.members)]
        for member in self.population:
            self._advance(member, 60, HOT, HOT)
        stage = 0
        while not self.budget.over(self.steps):
            spent = self.budget.spent(self.steps)
            hot = round(HOT * (COLD / HOT) ** min(1.0, spent / 0.9), SAME_DIGITS)
            cold = round(HOT * (COLD / HOT) ** min(1.0, (spent + 1 / STAGES) / 0.9), SAME_DIGITS)
            share = self._share()
            for member in self.population:
                member.value[0] = math.inf
                over = self._advance(member, share, hot, cold)
                self._keep(member)
                if over:
                    return
            if stage >= 2 and stage % RENEW_EVERY == 0:
                self._renew(chance, cold)
            stage += 1

    def warm_up(self) -> None:
        """Load the kernel, or compile it where that was not done at set-up, before the clock starts."""
        member = self._start(0, random.Random(self.seed))
        self._advance(member, 1, HOT, HOT)
        self.steps, self.rate, self.best, self.best_value = 0, 0.0, None, math.inf

    def _share(self) -> int:
        if self.budget.steps is not None:
            return max(20, self.budget.steps // (STAGES * self.members))
        whole = self.rate * (self.budget.seconds or 0.0)
        return max(20, int(whole / (STAGES * self.members)))

    def _start(self, index: int, chance: random.Random) -> Member:
        tables = self.tables
        n = tables.items
        limited = bool(tables.limits.cap[2] or tables.limits.most_weight)
        layers = layer_counts(n, self.members, limited=limited)[index]
        state = np.zeros((5, n + 2), np.int64)
        state[0, :n] = chance.sample(range(n), n)
        area, longest = 0, 0
        for item in range(n):
            rows = range(int(tables.shapes.first[item]), int(tables.shapes.first[item] + tables.shapes.ways[item]))
            state[1, item] = chance.randrange(layers)
            state[2, item] = chance.choice(rows)
            state[3, item] = chance.randrange(8)
            area += min(int(tables.shapes.size[row, 0] * tables.shapes.size[row, 1]) for row in rows)
            longest = max(longest, min(int(max(tables.shapes.size[row])) for row in rows))
        area = area * 4 // (5 * layers)
        length = max(longest, math.isqrt(area) * chance.randrange(100, 160) // 100)
        state[4, 0], state[4, 1] = length, max(1000, area // length)
        start = (self.seed * 1_000_003 + index * 7919 + 88172645463325252) % 2**64
        return Member(layers, state, state.copy(), np.array([math.inf, 0.0]), np.array([start or 1], np.uint64))

    def _advance(self, member: Member, steps: int, hot: float, cold: float) -> bool:
        """Anneal one member; True where the budget ended meanwhile."""
        t = self.tables
        while steps > 0:
            chunk = min(steps, CHUNK_STEPS)
            if self.rate:
                chunk = min(chunk, max(20, int(self.rate * CHUNK_SECONDS)))
            steps -= chunk
            begun = time.monotonic()
            fall = round((cold / hot) ** (1.0 / chunk), SAME_DIGITS)
            anneal_kernel.anneal(
                chunk, hot, fall, member.rng, CHANCE, member.layers, t.shapes, t.limits, member.state, member.best,
                member.value,
            )  # fmt: skip
            if self.budget.steps is None:
                self.rate = chunk / max(1e-6, time.monotonic() - begun)
            self.steps += chunk
            if member.value[0] < self.best_value:
                self.best_value, self.best_excess = float(member.value[0]), float(member.value[1])
                self.best = member.best.copy()
            if self.budget.over(self.steps):
                return True
        return False

    def _keep(self, member: Member) -> None:
        """Keep the least volume found for each stack of layer heights, for choosing among different boxes."""
        value = float(member.value[0])
        if value > FRONT_WITHIN * self.best_value:
            return
        tall: dict[int, int] = {}
        for item in range(self.tables.items):
            layer, row = int(member.best[1, item]), int(member.best[2, item])
            tall[layer] = max(tall.get(layer, 0), int(self.tables.shapes.level[row]))
        stack = tuple(sorted(tall.values()))
        if value < self.front.get(stack, (math.inf,))[0]:
            self.front[stack] = (value, member.best.copy())

    def _renew(self, chance: random.Random, heat: float) -> None:
        ranked = sorted(range(self.members), key=lambda index: (self.population[index].value[0], index))
        quarter, third = self.members // 4, max(1, self.members // 3)
        for loser in ranked[self.members - quarter :]:
            winner = self.population[ranked[chance.randrange(third)]]
            member = self.population[loser]
            if member.value[0] > winner.value[0] * (1 + 2 * heat):
                member.layers, member.state = winner.layers, winner.state.copy()


@dataclass(frozen=True)
class Found:
    """What a search found.

    Parameters
    ----------
    best
        The state of the least interior; None where the search was stopped before its first.
    front
        The least of each stack of layer heights that was met, least volume first.
    steps
        Steps of all lanes.
    """

    best: Ints | None
    front: list[Ints]
    steps: int


def layer_counts(items: int, members: int, *, limited: bool) -> list[int]:
    """How many layers each member starts with; layers that run empty fall away.

    Parameters
    ----------
    items, members
        2 or more; 1 or more.
    limited
        Whether a largest interior or a heaviest layer may ask for as many layers as there are items.
    """
    fewest, most = max(1, items // 8), min(items, max(3, items // 3 + 1))
    if not limited:
        return [fewest + index % (most - fewest + 1) for index in range(members)]
    return [fewest + (items - fewest) * index // max(1, members - 1) for index in range(members)]


def population_size(items: int, seconds: float | None, effort: int | None) -> int:
    """Members of a lane's population: many items want long runs of few members first, and more members after that."""
    long = (seconds or 0.0) >= LONG_SECONDS or (effort or 0) >= LONG_STEPS
    return 12 if items <= 12 or long else 6


def search(
    problem: Problem,
    *,
    seconds: float | None,
    effort: int | None,
    seed: int,
    stop: Callable[[], bool] | None,
    watch: Callable[[float, int], bool] | None = None,
) -> Found:
    """Anneal in two lanes and return what both found.

    Parameters
    ----------
    problem
        Two items or more.
    seconds, effort
        One bounds the search, in seconds or in steps over both lanes.
    seed
        Any integer.
    stop
        Ends the search where it returns True.
    watch
        Called often with the least value so far and the steps done; True ends a search bounded by seconds.
    """
    tables = tables_of(problem)
    share = None if effort is None else max(1, -(-effort // LANES))
    budgets = [Budget(seconds, share, stop) for _ in range(LANES)]
    members = population_size(tables.items, seconds, effort)
    lanes = [Lane(tables, seed * LANES + index, budgets[index], members) for index in range(LANES)]
    lanes[0].warm_up()
    for budget in budgets:
        budget.begun = time.monotonic()
    with ThreadPoolExecutor(LANES) as pool:
        waiting = [pool.submit(lane.run) for lane in lanes]
        while not all(future.done() for future in waiting):
            time.sleep(0.02)
            if watch is not None:
                enough = watch(min(lane.best_value for lane in lanes), sum(lane.steps for lane in lanes))
                if enough and effort is None:
                    for budget in budgets:
                        budget.halt()
        for future in waiting:
            future.result()
    best = min(lanes, key=lambda lane: lane.best_value)
    front: dict[tuple[int, ...], tuple[float, Ints]] = {}
    for lane in lanes:
        for stack, kept in lane.front.items():
            if stack not in front or kept[0] < front[stack][0]:
                front[stack] = kept
    ranked = sorted((value, stack) for stack, (value, _) in front.items() if value <= FRONT_WITHIN * best.best_value)
    states = [front[stack][1] for _, stack in ranked[:FRONT_SIZE]]
    return Found(best.best, states, sum(lane.steps for lane in lanes))

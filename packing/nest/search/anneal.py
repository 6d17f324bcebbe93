"""The anytime search: populations of annealed sequences, two workers at a time.

Each worker keeps a population of chains that cool together; every third stage the worst chains start again from copies
of the best. In a search bounded by effort the workers share the steps evenly, so that the answer depends on the order,
the seed and the effort alone.

References
----------
S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, "Optimization by simulated annealing", Science 220 (1983), 671-680,
doi:10.1126/science.220.4598.671 (from memory). Starting the worst chains again from copies of the best is our own
choice, found by trial.
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
from packing.nest.search.bottom_left_kernel import CORNER, LAYER, ROOM, SEQUENCE, SHAPE

WORKERS = 2
"""A fixed number, not that of the processors: with a bounded effort the answer may not depend on the machine."""
STAGES = 40
"""Between two stages the chains are compared: often enough to drop a bad one, seldom enough for each to settle."""
RENEW_EVERY = 3
"""Stages that a copy has to become another plan than the one it was copied from."""
HOT, COLD = 0.06, 0.0003
"""Temperatures as shares of the cost: at the first a plan 6 % worse is taken once in e times, at the last only what
differs by parts of a thousandth."""
BALANCE_WEIGHT = 0.1
"""Weight of shorter layers: enough to draw the search towards layers that all use the floor, too little to make up
for a larger one."""
PARETO_WITHIN, PARETO_SIZE = 1.6, 12
"""Of the stacks of layer heights that were met, those within so many times the least volume, and so many of them, are
handed on: each costs an insert and a box to compare."""
LONG_SECONDS, LONG_STEPS = 10.0, 10_000_000
"""From here on more chains pay even for many items."""
CHUNK_SECONDS = 0.04
"""Time of the kernel between two looks at the clock and at the stop: no delay that a person notices."""
CHUNK_STEPS = 20_000
"""The same for a search bounded by steps, where the chunks must not depend on the machine."""

MANY_ITEMS = 60
"""Of more items one step may take so long that the clock is asked after each."""

SAME_DIGITS = 14
"""Powers differ in their last digits from one machine's library to another's: they are rounded before they are used."""

MINUS_LOG_U: NDArray[np.float64] = np.array([round(-math.log((i + 0.5) / 4096), 9) for i in range(4096)])
"""Thresholds of acceptance from a table: the logarithm of the machine may differ in its last digit, 4096 rounded ones
do not. Each stands for the middle of its interval, so that none is infinite."""
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Tables:
    """A problem as the kernel takes it."""

    items: int
    shapes: bottom_left_kernel.Shapes
    limits: anneal_kernel.Limits
    most_layers: int | None


def tables_of(problem: Problem) -> Tables:
    """Flatten a problem for the kernel."""
    rows = [grown for own in problem.orientations for grown in own]
    count = [len(own) for own in problem.orientations]
    # One rectangle stands twice, so that the kernel need not ask how many there are.
    rects = [grown.rects * 2 if len(grown.rects) == 1 else grown.rects for grown in rows]
    shapes = bottom_left_kernel.Shapes(
        first=_ints([sum(count[:index]) for index in range(len(count))]),
        rows=_ints(count),
        rects=_ints(rects),
        size=_ints([(grown.length_um, grown.width_um) for grown in rows]),
        level=_ints([grown.level_um for grown in rows]),
        reach=_ints([grown.reach_um for grown in rows]),
    )
    limits = anneal_kernel.Limits(
        side=problem.side_um,
        pads=problem.pads_um,
        between=problem.between_um,
        cap=_ints(problem.demands.most_um or (0, 0, 0)),
        weight=_ints([item.weight_mg for item in problem.order.items]),
        most_weight=problem.demands.most_layer_mg or 0,
        balance_weight=BALANCE_WEIGHT,
    )
    return Tables(len(count), shapes, limits, most_layers(problem))


def _ints(values: Sequence[Any]) -> Ints:
    return np.array(values, np.int64)


class Budget:
    """The bounds of a search: by steps, or by a monotonic clock.

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
        # A time of nothing is all spent at once; it must not divide.
        return min(1.0, (time.monotonic() - self.begun) / max(1e-9, self.seconds or 0.0))

    def over(self, steps_done: int) -> bool:
        """Tell whether the search must end."""
        if self._stop is not None and self._stop():
            self._halted = True
        return self._halted or self.spent(steps_done) >= 1.0

    def halt(self) -> None:
        """End the search at its next look."""
        self._halted = True


@dataclass
class Chain:
    """One annealed state, and the best that came of it."""

    layers: int
    state: Ints
    best: Ints
    value: NDArray[np.float64]
    rng: NDArray[np.uint64]


@dataclass
class Worker:
    """One population with random numbers of its own; `best_value` counts plans beyond `max_interior` a thousandfold."""

    tables: Tables
    seed: int
    budget: Budget
    chains: int
    best_value: float = math.inf
    best_excess: float = 0.0
    best: Ints | None = None
    steps: int = 0
    rate: float = 0.0
    population: list[Chain] = field(default_factory=list)
    pareto_front: dict[tuple[int, ...], tuple[float, Ints]] = field(default_factory=dict)

    def run(self) -> None:
        """Anneal until the budget is used; the best so far can be read at any time."""
        rng = random.Random(self.seed)
        self.population = [self._start(index, rng) for index in range(self.chains)]
        for chain in self.population:
            # A few steps each at first: whatever the clock does, there is a plan, and the speed is known.
            if self._advance(chain, 60, HOT, HOT) and self.budget.steps is None:
                return
        stage = 0
        while not self.budget.over(self.steps):
            spent = self.budget.spent(self.steps)
            # The last tenth of the budget stays cold: it only improves what is there.
            hot = round(HOT * (COLD / HOT) ** min(1.0, spent / 0.9), SAME_DIGITS)
            cold = round(HOT * (COLD / HOT) ** min(1.0, (spent + 1 / STAGES) / 0.9), SAME_DIGITS)
            share = self._share()
            for chain in self.population:
                # Each stage reports its own best, so that chains are compared by what they are now, not by what they
                # once were.
                chain.value[0] = math.inf
                over = self._advance(chain, share, hot, cold)
                self._keep(chain)
                if over:
                    return
            # Not in the first stages, where luck decides which chain is ahead.
            if stage >= 2 and stage % RENEW_EVERY == 0:
                self._renew(rng, cold)
            stage += 1

    def warm_up(self) -> None:
        """Load the kernel, or compile it where that was not done at set-up, before the clock starts."""
        chain = self._start(0, random.Random(self.seed))
        self._advance(chain, 1, HOT, HOT)
        self.steps, self.rate, self.best, self.best_value = 0, 0.0, None, math.inf

    def _share(self) -> int:
        if self.budget.steps is not None:
            return max(20, self.budget.steps // (STAGES * self.chains))
        whole = self.rate * (self.budget.seconds or 0.0)
        return max(20, int(whole / (STAGES * self.chains)))

    def _start(self, index: int, rng: random.Random) -> Chain:
        tables = self.tables
        n = tables.items
        layers = layer_counts(n, self.chains, most=tables.most_layers)[index]
        state = np.zeros((5, n + 2), np.int64)
        state[SEQUENCE, :n] = rng.sample(range(n), n)
        area, longest = 0, 0
        for item in range(n):
            first = int(tables.shapes.first[item])
            rows = range(first, first + int(tables.shapes.rows[item]))
            state[LAYER, item] = rng.randrange(layers)
            state[SHAPE, item] = rng.choice(rows)
            state[CORNER, item] = rng.randrange(8)
            area += min(int(tables.shapes.size[row, 0] * tables.shapes.size[row, 1]) for row in rows)
            longest = max(longest, min(int(max(tables.shapes.size[row])) for row in rows))
        # Four fifths of an even share: too small a floor grows by itself, too large a one is seldom left again.
        area = area * 4 // (5 * layers)
        # From square to 1.6 times as long as wide, the shapes that orders of tools end in; the search may leave them.
        length = max(longest, math.isqrt(area) * rng.randrange(100, 160) // 100)
        state[ROOM, 0], state[ROOM, 1] = length, max(1000, area // length)
        # Large odd factors keep neighbouring seeds and chains from beginning alike; the generator must not start at 0.
        start = (self.seed * 1_000_003 + index * 7919 + 88172645463325252) % 2**64
        return Chain(layers, state, state.copy(), np.array([math.inf, 0.0]), np.array([start or 1], np.uint64))

    def _advance(self, chain: Chain, steps: int, hot: float, cold: float) -> bool:
        """Anneal one chain; True where the budget ended meanwhile."""
        t = self.tables
        while steps > 0:
            chunk = min(steps, CHUNK_STEPS)
            if self.budget.steps is None and (self.rate or t.items > MANY_ITEMS):
                # The kernel has a cost of its own for each call, which a handful of steps would not be worth.
                least = 20 if t.items <= MANY_ITEMS else 1
                chunk = min(chunk, max(least, int(self.rate * CHUNK_SECONDS)))
            steps -= chunk
            begun = time.monotonic()
            # The same fall over the stage, whatever number of steps it is cut into.
            cooling = round((cold / hot) ** (1.0 / chunk), SAME_DIGITS)
            anneal_kernel.anneal(
                chunk, hot, cooling, chain.rng, MINUS_LOG_U, chain.layers, t.shapes, t.limits, chain.state, chain.best,
                chain.value,
            )  # fmt: skip
            if self.budget.steps is None:
                self.rate = chunk / max(1e-6, time.monotonic() - begun)
            self.steps += chunk
            if chain.value[0] < self.best_value:
                self.best_value, self.best_excess = float(chain.value[0]), float(chain.value[1])
                self.best = chain.best.copy()
            if self.budget.over(self.steps):
                return True
        return False

    def _keep(self, chain: Chain) -> None:
        """Keep the least volume found for each stack of layer heights, for choosing among different boxes."""
        value = float(chain.value[0])
        if value > PARETO_WITHIN * self.best_value:
            return
        tall: dict[int, int] = {}
        for item in range(self.tables.items):
            layer, row = int(chain.best[LAYER, item]), int(chain.best[SHAPE, item])
            tall[layer] = max(tall.get(layer, 0), int(self.tables.shapes.level[row]))
        stack = tuple(sorted(tall.values()))
        if value < self.pareto_front.get(stack, (math.inf,))[0]:
            self.pareto_front[stack] = (value, chain.best.copy())

    def _renew(self, rng: random.Random, temperature: float) -> None:
        ranked = sorted(range(self.chains), key=lambda index: (self.population[index].value[0], index))
        # A quarter of the chains begins again from the best third: fewer would change little, more would make all
        # alike.
        quarter, third = self.chains // 4, max(1, self.chains // 3)
        for loser in ranked[self.chains - quarter :]:
            winner = self.population[ranked[rng.randrange(third)]]
            chain = self.population[loser]
            # A chain that is only as much worse as the temperature allows may still catch up.
            if chain.value[0] > winner.value[0] * (1 + 2 * temperature):
                chain.layers, chain.state = winner.layers, winner.state.copy()


@dataclass(frozen=True)
class Found:
    """The findings of a search.

    Parameters
    ----------
    best
        The state of the least interior; None where the search was stopped before its first.
    pareto_front
        The least of each stack of layer heights that was met, least volume first.
    steps
        Steps of all workers.
    """

    best: Ints | None
    pareto_front: list[Ints]
    steps: int


def layer_counts(items: int, chains: int, *, most: int | None) -> list[int]:
    """Choose the number of layers that each chain starts with; layers that run empty fall away.

    Parameters
    ----------
    items, chains
        2 or more; 1 or more.
    most
        So many layers, from 1 on, a largest interior or a heaviest layer may ask for or leave; None without limits.
    """
    if most is None:
        # From eight items a layer to three: what plans of tools come to. Chains that start outside find their way by
        # emptying layers.
        fewest, usual = max(1, items // 8), min(items, max(3, items // 3 + 1))
        return [fewest + index % (usual - fewest + 1) for index in range(chains)]
    return [1 + (most - 1) * index // max(1, chains - 1) for index in range(chains)]


def most_layers(problem: Problem) -> int | None:
    """The most layers that the limits leave, at most one for each item; None where there are no limits."""
    if not problem.demands.limited:
        return None
    items, most = len(problem.orientations), problem.demands.most_um
    if most is None:
        return items
    left = most[2] - problem.pads_um
    layers = 0
    for lowest in sorted(min(grown.level_um for grown in own) for own in problem.orientations):
        left -= lowest + (problem.between_um if layers else 0)
        if left < 0:
            break
        layers += 1
    return max(1, layers)


def population_size(items: int, seconds: float | None, effort: int | None) -> int:
    """Chains of a worker's population: many items want long runs of few chains first, and more chains after that."""
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
    """Anneal with two workers and return what both found.

    Parameters
    ----------
    problem
        Two items or more.
    seconds, effort
        One bounds the search, in seconds or in steps over both workers.
    seed
        Any integer.
    stop
        Ends the search where it returns True.
    watch
        Called often with the least value so far and the steps done; True ends a search bounded by seconds.
    """
    tables = tables_of(problem)
    share = None if effort is None else max(1, -(-effort // WORKERS))
    budgets = [Budget(seconds, share, stop) for _ in range(WORKERS)]
    chains = population_size(tables.items, seconds, effort)
    workers = [Worker(tables, seed * WORKERS + index, budgets[index], chains) for index in range(WORKERS)]
    # Before the clocks: loading the compiled code must not eat the seconds that were asked for.
    workers[0].warm_up()
    for budget in budgets:
        budget.begun = time.monotonic()
    with ThreadPoolExecutor(WORKERS) as pool:
        waiting = [pool.submit(worker.run) for worker in workers]
        while not all(future.done() for future in waiting):
            time.sleep(0.02)
            if watch is not None:
                enough = watch(min(worker.best_value for worker in workers), sum(worker.steps for worker in workers))
                # A search bounded by steps must not end early, or its answer would depend on the speed of the proof.
                if enough and effort is None:
                    for budget in budgets:
                        budget.halt()
        for future in waiting:
            future.result()
    best = min(workers, key=lambda worker: worker.best_value)
    pareto_front: dict[tuple[int, ...], tuple[float, Ints]] = {}
    for worker in workers:
        for stack, kept in worker.pareto_front.items():
            if stack not in pareto_front or kept[0] < pareto_front[stack][0]:
                pareto_front[stack] = kept
    most = PARETO_WITHIN * best.best_value
    ranked = sorted((value, stack) for stack, (value, _) in pareto_front.items() if value <= most)
    states = [pareto_front[stack][1] for _, stack in ranked[:PARETO_SIZE]]
    return Found(best.best, states, sum(worker.steps for worker in workers))

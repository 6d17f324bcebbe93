"""Annealing over piles: runs of growing length from random starts."""

import math
import random

import numpy as np
from numpy.typing import NDArray

from packing.nest.search.anneal import MINUS_LOG_U, SAME_DIGITS
from packing.nest.stacked.anneal_kernel import MODE, ORIENTATION, ROOM, SEQUENCE, anneal_piles, pile
from packing.nest.stacked.blocks import StackingProblem
from packing.nest.stacked.pile import Pile, pushed

HOT, COLD = 0.08, 0.001
"""As shares of the cost; hotter than for layers, since one block more on top changes the height at once."""


FIRST_RUN = 1_500
"""Steps of the first run: a good pile early, then runs that grow by a quarter each."""


CHUNK = 150
"""Steps between two looks at the clock, for up to `CHUNK_ITEMS` blocks."""


CHUNK_ITEMS = 30
"""Of more blocks fewer steps are made between two looks at the clock: a step's cost grows with the fourth power."""


class Annealer:
    """Runs of growing length from random starts; keeps the best pile."""

    def __init__(self, boxes: StackingProblem, seed: int) -> None:
        self._boxes = boxes
        self._random = random.Random(seed)
        count = [len(own) for own in boxes.sides]
        self._first = np.array([sum(count[:k]) for k in range(len(count))], np.int64)
        self._count = np.array(count, np.int64)
        self.sides = np.array([side for own in boxes.sides for side in own], np.int64)
        self._add = np.array(boxes.add, np.int64)
        self._most = np.array(boxes.most or (0, 0, 0), np.int64)
        self._rng = np.array([self._random.getrandbits(63) or 1], np.uint64)
        self.value = np.array([math.inf, 0.0])
        self.best: NDArray[np.int64] | None = None
        self.steps, self._run, self._left = 0, FIRST_RUN, 0
        self._state = np.zeros((4, max(2, len(count))), np.int64)

    def _restart(self) -> None:
        n = len(self._count)
        # Growing runs: nobody knows how long the right one is, and all shorter ones together cost little more.
        self._run = self._run * 5 // 4 if self.best is not None else self._run
        self._left = self._run
        state = np.zeros_like(self._state)
        state[SEQUENCE, :n] = self._random.sample(range(n), n)
        for k in range(n):
            state[ORIENTATION, k] = self._first[k] + self._random.randrange(int(self._count[k]))
            state[MODE, k] = self._random.randrange(8)
        volume = sum(math.prod(own[0]) for own in self._boxes.sides)
        # The cube of the blocks’ volume, from 0.6 to 2.2 times as long and as wide; rounded, for the root may differ in
        # its last digit.
        edge = int(round(volume ** (1 / 3), 3))
        state[ROOM, :2] = [max(1, edge * self._random.randrange(60, 220) // 100) for _ in range(2)]
        self._state = state

    def go(self) -> None:
        """Anneal one chunk."""
        if self._left <= 0:
            self._restart()
        n = len(self._count)
        chunk = min(self._left, max(1, CHUNK * CHUNK_ITEMS**4 // max(CHUNK_ITEMS, n) ** 4))
        done = 1 - self._left / self._run
        hot = round(HOT * (COLD / HOT) ** done, SAME_DIGITS)
        cooling = round((COLD / HOT) ** (1 / self._run), SAME_DIGITS)
        best, before = self._state.copy(), self.value[0]
        anneal_piles(
            chunk, hot, cooling, self._rng, MINUS_LOG_U, self._first, self._count, self.sides, self._add, self._most,
            self._state, best, self.value,
        )  # fmt: skip
        if self.value[0] < before:
            self.best = best
        self._left -= chunk
        self.steps += chunk


def piled(annealer: Annealer) -> Pile | None:
    """The annealer's best pile; None where it is beyond the largest interior, or there is none."""
    if annealer.best is None or annealer.value[1] > 0:
        return None
    state = annealer.best
    n = len(annealer._count)
    at, size = np.zeros((n, 3), np.int64), np.zeros((n, 3), np.int64)
    pile(state[SEQUENCE, :n], state[ORIENTATION], state[MODE], annealer.sides, state[ROOM], at, size)
    places, sides = (tuple((x, y, z) for x, y, z in rows.tolist()) for rows in (at, size))
    return pushed(Pile(places, sides))

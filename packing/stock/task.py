"""A task of laying parts on sheets, and running the search for it."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from packing.stock.fill_kernel import EDGE_TO_EDGE, FREELY, Ints, Random
from packing.stock.model import Cutting, Keeping, Part, StockSheet
from packing.stock.search_kernel import UNLAID, search

MANY, MOST_TIMES = 60, 4
"""With fewer than so many parts there are more steps, up to so many times as many."""


@dataclass
class Sheets:
    """One choice of sheets and where the parts lie on them, as far as they do."""

    stock: list[StockSheet]
    sheet_of: Ints
    spots: Ints

    @property
    def complete(self) -> bool:
        """True where every part lies somewhere."""
        return bool((self.sheet_of != UNLAID).all())


@dataclass
class Task:
    """Parts and sheets of one task, and the way to cut them."""

    parts: Sequence[Part]
    cutting: Cutting
    kerf_um: int
    keeping: Keeping
    effort: int
    rng: Random
    sides: Ints = field(init=False)
    turns: Ints = field(init=False)

    def __post_init__(self) -> None:
        grown = [(one.size_um[0] + self.kerf_um, one.size_um[1] + self.kerf_um) for one in self.parts]
        self.sides = np.array(grown, np.int64).reshape(-1, 2)
        self.turns = np.array([int(one.turns) for one in self.parts], np.int64)

    def rooms(self, stock: Sequence[StockSheet]) -> Ints:
        """Sides of sheets within the trim, grown by the saw cut."""
        rooms = [(one.room_um[0] + self.kerf_um, one.room_um[1] + self.kerf_um) for one in stock]
        return np.array(rooms, np.int64).reshape(-1, 2)

    @property
    def steps(self) -> int:
        """Steps for one number of sheets: a step with few parts is quick, so there are more of them."""
        return self.effort * min(MOST_TIMES, max(1, MANY // len(self.parts)))

    def run(self, sheets: Sheets, steps: int, *, gather: bool = False) -> Sheets:
        """Search on from what lies there."""
        mode = EDGE_TO_EDGE if self.cutting is Cutting.EDGE_TO_EDGE else FREELY
        found = Sheets(sheets.stock, sheets.sheet_of.copy(), sheets.spots.copy())
        rooms = self.rooms(found.stock)
        search(mode, rooms, self.sides, self.turns, found.sheet_of, found.spots, self.rng, max(1, steps), gather)
        return found

    def empty(self, stock: Sequence[StockSheet]) -> Sheets:
        """Sheets on which nothing lies yet."""
        n = len(self.parts)
        return Sheets(list(stock), np.full(n, UNLAID, np.int64), np.zeros((n, 3), np.int64))

    def without(self, sheets: Sheets, index: int) -> Sheets:
        """The same without one sheet; what lay there lies nowhere."""
        kept = [one for at, one in enumerate(sheets.stock) if at != index]
        of = sheets.sheet_of.copy()
        of[sheets.sheet_of == index] = UNLAID
        of[sheets.sheet_of > index] -= 1
        return Sheets(kept, of, sheets.spots.copy())

"""Items of an order that equal each other, and sets of items as numbers.

References
----------
F. Margot, "Symmetry in integer linear programming", in "50 Years of Integer Programming", 2010,
doi:10.1007/978-3-540-68279-0_17 (from memory): equal items are counted, not told apart.
"""

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from packing.nest.exact.layer_partition_kernel import digits, parts
from packing.nest.problem import GrownOrientation

Ints = NDArray[np.int64]


class ItemTypes:
    """Items that equal each other, and sets of them as numbers in mixed radix (see `layer_partition_kernel`).

    Parameters
    ----------
    orientations
        Per item, the ways it may lie.
    """

    def __init__(self, orientations: Sequence[Sequence[GrownOrientation]]) -> None:
        found: dict[frozenset[tuple[object, int]], int] = {}
        # Equal is what may lie in the same shapes, whatever else tells two items apart.
        self.of = [
            found.setdefault(frozenset((grown.rects, grown.level_um) for grown in own), len(found))
            for own in orientations
        ]
        first = [orientations[self.of.index(item_type)] for item_type in range(len(found))]
        self.orientations = [list({(grown.rects, grown.level_um): grown for grown in own}.values()) for own in first]
        self.most = [self.of.count(item_type) for item_type in range(len(found))]
        self.weight = [1]
        for most in self.most:
            self.weight.append(self.weight[-1] * (most + 1))
        self.sets = self.weight.pop()

    @cached_property
    def has(self) -> Ints:
        """The number of items of each kind in each set."""
        return digits(np.array(self.most, np.int64), self.sets)

    @cached_property
    def weights(self) -> Ints:
        """The weight of each kind in a set's number."""
        return np.array(self.weight, np.int64)

    @cached_property
    def start(self) -> Ints:
        """The beginning of each set's parts in `parted`."""
        start = np.zeros(self.sets + 1, np.int64)
        parts(self.has, self.weights, start, np.zeros(0, np.int32))
        return start

    @cached_property
    def parted(self) -> NDArray[np.int32]:
        """The parts of each set that hold the first of its items."""
        found = np.zeros(int(self.start[-1]), np.int32)
        parts(self.has, self.weights, self.start, found)
        return found

    @property
    def work(self) -> int:
        """The number of pairs of a set and a part of it: the work of sharing out."""
        work = 1
        for most in self.most:
            work *= (most + 1) * (most + 2) // 2
        return work

    def count(self, items: int, item_type: int) -> int:
        """The number of items of a kind in a set."""
        return items // self.weight[item_type] % (self.most[item_type] + 1)

    def listed(self, items: int) -> list[int]:
        """A set as a list of kinds."""
        return [item_type for item_type in range(len(self.most)) for _ in range(self.count(items, item_type))]

"""A pile: boxes that stand on each other freely, and pushing them together.

References
----------
As in `arrange.separation`: difference constraints along each axis, from memory of textbooks on algorithms.
"""

from dataclasses import dataclass

import numpy as np

from packing.nest.stacked.branch_and_bound import Sides


@dataclass(frozen=True)
class Pile:
    """A plan as grown boxes: per block its place and sides, x, y and z in micrometres."""

    at: tuple[Sides, ...]
    sides: tuple[Sides, ...]

    def extent(self) -> Sides:
        """The greatest end along each axis."""
        x, y, z = (max(at[q] + side[q] for at, side in zip(self.at, self.sides, strict=True)) for q in range(3))
        return x, y, z


def pushed(found: Pile) -> Pile:
    """The same plan pushed together: to the left, to the front, and last let down, as long as anything moves.

    Each block then meets a wall or another block on its least side along every axis, the bottom or a block below.
    """
    at = [list(place) for place in found.at]
    for axis in range(3):
        least = min(place[axis] for place in at)
        for place in at:
            place[axis] -= least
    before: list[list[int]] = []
    # A push along one axis may open room along another.
    while before != at:
        before = [list(place) for place in at]
        for axis in range(3):
            _push(at, found.sides, axis)
    return Pile(tuple((x, y, z) for x, y, z in at), found.sides)


def _push(at: list[list[int]], sides: tuple[Sides, ...], axis: int) -> None:
    """Push every block along one axis until it meets the wall or another block."""
    low, size = np.array(at, np.int64), np.array(sides, np.int64)
    others = [q for q in range(3) if q != axis]
    # From the wall outwards: whoever is met has been pushed already.
    order = sorted(range(len(at)), key=lambda k: at[k][axis])
    for m, k in enumerate(order):
        before = np.array(order[:m], np.int64)
        beside = np.ones(m, np.bool_)
        for q in others:
            beside &= (low[before, q] < low[k, q] + size[k, q]) & (low[k, q] < low[before, q] + size[before, q])
        met = before[beside]
        at[k][axis] = int((low[met, axis] + size[met, axis]).max(initial=0))
        low[k, axis] = at[k][axis]

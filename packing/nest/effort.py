"""Shares of a search's effort, and the time that tidying takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

TIDYING_SECONDS_A_CUBE, TIDYING_SECONDS_A_SQUARE = 5e-5, 1e-4
"""Time of tidying (measured on one slow core): times the cube of each layer's items, times the square of all.

Separations of a layer are looked at for each exchange of two of its items, hence the cube.
"""


def tidying_seconds(layer_sizes: Sequence[int]) -> float:
    """The time it takes to tidy layers of so many items."""
    items = sum(layer_sizes)
    return TIDYING_SECONDS_A_CUBE * sum(size**3 for size in layer_sizes) + TIDYING_SECONDS_A_SQUARE * items * items


@dataclass(frozen=True, slots=True)
class Progress:
    """The progress of a search: volumes in cubic micrometres, 0 where there is none yet."""

    volume_um3: int
    lower_bound_um3: int
    seconds: float
    steps: int

    @property
    def gap(self) -> float | None:
        """Volume over bound, less one; None while either is unknown."""
        return self.volume_um3 / self.lower_bound_um3 - 1 if self.volume_um3 and self.lower_bound_um3 else None


BRIEF_SECONDS, BRIEF_STEPS = 2, 1_000_000
"""Below either nothing was seen to be proved about more than six items."""


UNCOMPILED_SHARE, UNCOMPILED_SECONDS = 0.85, 10.0
"""Of the time, and at a stretch, for a search without kernels: then it starts anew, or they are there."""

LOOK_SECONDS = 0.05
"""Time between two looks at whether the kernels are compiled."""

WORTH_LOADING_S = 1.5
"""With less time left, kernels that have just been compiled are not loaded: that alone takes half a second."""

HURRIED_SHARES = (0.85, 0.0, 0.0)
"""As `shares`, for an order that is too large to be tidied and proved in time."""


def shares(items: int, *, brief: bool) -> tuple[float, float, float]:
    """Share the effort: annealing, proving, and annealing again where nothing was proved.

    Parameters
    ----------
    items
        2 or more.
    brief
        Whether the effort is too small to prove anything about more than six items.
    """
    # Up to six items the proof usually ends, so it gets the largest part.
    if items <= 6:
        return 0.3, 0.4, 0.3
    if items <= 12 and not brief:
        return 0.7, 0.3, 0.0
    # Of many items nothing is proved, but the bound still rises a little, and a rising bound is worth a tenth.
    return 0.9, 0.1, 0.0

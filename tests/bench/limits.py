"""What is asked of the search: every figure that a run is held against, in one place."""

from collections.abc import Mapping
from dataclasses import dataclass

SEED = 1
SHORT_S, MIDDLE_S, LONG_S, VERY_LONG_S = 0.1, 1.0, 5.0, 60.0
PROOF_S = 20.0
PILE_S = 10.0
PUBLISHED_S = 10.0
GROWTH_S = 5.0
WITHIN = 1.05

SMALL, MEDIUM, LARGE = "up to 6 items", "7 to 12 items", "above 12 items"
GROUPS = (SMALL, MEDIUM, LARGE)


def group_of(items: int) -> str:
    """The group that an order of so many items is judged in."""
    return SMALL if items <= 6 else MEDIUM if items <= 12 else LARGE


@dataclass(frozen=True, slots=True)
class Limit:
    """The largest ratio to the best known volume that is allowed: on average over a group, and of any order."""

    mean: float
    worst: float


RATIOS: Mapping[tuple[str, float], Limit] = {
    (SMALL, MIDDLE_S): Limit(1.005, 1.03),
    (MEDIUM, MIDDLE_S): Limit(1.02, 1.06),
    (MEDIUM, LONG_S): Limit(1.01, 1.04),
    (LARGE, LONG_S): Limit(1.02, 1.05),
}
VERY_LONG = Limit(1.0, 1.01)
"""At `VERY_LONG_S`, over all orders: small ones are proven and cannot be beaten, large ones are to be."""
GAPS: Mapping[str, float] = {SMALL: 0.15, MEDIUM: 0.30}
"""The largest gap to the bound within `PROOF_S`, on average over a group."""
PROVEN_UP_TO, UNPROVEN_ALLOWED = 4, 1
"""Orders of so many items are proven within `PROOF_S`, all but so many of them."""
BOXES_MARGIN: Mapping[str, float] = {SMALL: 1.24, MEDIUM: 1.40, LARGE: 1.48}
PILE_MARGIN: Mapping[str, float] = {SMALL: 1.31, MEDIUM: 1.52, LARGE: 1.71}
"""For scale: how many times the best known volume the two rivals were found to need, on average."""
PEAK_MB = 500.0
STRESS_ITEMS, STRESS_S = 48, 10.0
START_S = 0.5

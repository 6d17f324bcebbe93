"""The expected reading of the scale under a closed box, and how far it may be off.

References
----------
JCGM 100:2008, "Guide to the expression of uncertainty in measurement": 5.1.2 (independent components add by squares),
F.2.2.1 (a reading rounded to a step has a standard deviation of step / √12), 6.2.1 and table G.1 (coverage factors);
from memory.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, sqrt

from packing.plan import WeightPlan
from packing.plan.model import SPREADS

SCALE_STEP_MG = 5_000
"""Step of a scale that takes closed boxes, where the shop says nothing of its own (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Expectation:
    """The reading that is expected, in milligrams, and its standard deviation."""

    gross_mg: int
    sd_mg: float

    @property
    def tolerance_mg(self) -> int:
        """2.6 standard deviations: of 100 good boxes 99 lie within it."""
        return ceil(SPREADS * self.sd_mg)

    def fits(self, reading_mg: int) -> bool:
        """Tell whether a reading is within the tolerance, its ends included."""
        return abs(reading_mg - self.gross_mg) <= self.tolerance_mg


def combined_sd(deviations: Iterable[float]) -> float:
    """The standard deviation of a sum of independent parts.

    Parameters
    ----------
    deviations
        Of the parts, all in one unit.

    Returns
    -------
    float
        In the same unit.

    References
    ----------
    JCGM 100:2008, 5.1.2, equation 10 with sensitivities of 1.
    """
    return sqrt(sum(one * one for one in deviations))


def expectation(weight: WeightPlan, *, empty_mg: int | None = None, step_mg: int = SCALE_STEP_MG) -> Expectation:
    """The expected reading of a scale under the closed box of a plan.

    Parameters
    ----------
    weight
        Of the plan.
    empty_mg
        The empty box with its insert as weighed, in milligrams; None where it was not: then its reckoned weight counts,
        with all that is unsure of it.
    step_mg
        Step of the scale that reads, 0 or more.

    Returns
    -------
    Expectation
    """
    # The empty box as weighed stands in for the empty box as reckoned; what goes into it stays as planned.
    gross_mg = weight.gross_mg if empty_mg is None else weight.gross_mg - weight.empty_mg + empty_mg
    parts = [row.sd_mg for row in weight.tolerance if empty_mg is None or not row.empty]
    # An empty box that was weighed brings the doubt of a second reading.
    readings = 1 if empty_mg is None else 2
    return Expectation(gross_mg, combined_sd([*parts, *readings * [step_mg / sqrt(12)]]))

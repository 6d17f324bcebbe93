"""The weight of the shop's own foam and boards beside what is reckoned, from empty boxes that were weighed.

References
----------
Bayesian linear regression with normal prior and noise: C. M. Bishop, "Pattern Recognition and Machine Learning", 2006,
3.3.1, equations 3.50 and 3.51; from memory. JCGM 100:2008, F.2.2.1, for the scale's step; from memory.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from packing.weighing.tolerance import SCALE_STEP_MG

LEAST_READINGS = 5
"""So many empty boxes are weighed before a factor is shown: fewer say little (common practice, no source)."""
SURE = 2.0
"""Standard deviations that a factor differs from 1 by before it is worth accepting."""
PIECE_SPREAD = 0.02
"""Spread from sheet to sheet of one stuff (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class TarePart:
    """A stuff of an empty box and what it weighs as reckoned: a foam or a board by its row's name.

    Parameters
    ----------
    stuff
        The row's name.
    weight_mg
        As reckoned with the row's density, in milligrams.
    spread
        Relative standard deviation that the row gives it.
    """

    stuff: str
    weight_mg: int
    spread: float


@dataclass(frozen=True, slots=True)
class EmptyReading:
    """One empty box with its insert on the scale: its parts as reckoned, what else is in it, what it weighed."""

    parts: tuple[TarePart, ...]
    other_mg: int
    weighed_mg: int


@dataclass(frozen=True, slots=True)
class TareFactor:
    """A stuff weighs so many times what is reckoned.

    Parameters
    ----------
    stuff
        The row's name.
    factor, sd
        1 where the row is right, and how unsure that is.
    readings
        How many empty boxes it comes from.
    """

    stuff: str
    factor: float
    sd: float
    readings: int

    @property
    def worth_accepting(self) -> bool:
        """True where the row is wrong by more than the readings are unsure."""
        return self.readings >= LEAST_READINGS and abs(self.factor - 1) > SURE * self.sd

    @property
    def spread(self) -> float:
        """The relative standard deviation that the row should have once the factor is accepted."""
        return sqrt(self.sd**2 + PIECE_SPREAD**2)


def sharpened(readings: Sequence[EmptyReading], *, step_mg: int = SCALE_STEP_MG) -> tuple[TareFactor, ...]:
    """Work out from empty boxes how much heavier or lighter each stuff is than its row says.

    Parameters
    ----------
    readings
        Empty boxes as weighed; those whose weighing was doubted are better left out.
    step_mg
        Step of the scale.

    Returns
    -------
    tuple of TareFactor
        One for each stuff, by name.

    Notes
    -----
    Each row's own spread is where the guess begins, so that one box says little and many say much, and what two stuffs
    weigh together is shared out by how unsure each is.
    """
    spreads: dict[str, float] = {}
    for reading in readings:
        # A row that claims to be surer than sheets are alike could not be taught otherwise by any reading.
        spreads |= {part.stuff: max(part.spread, PIECE_SPREAD) for part in reading.parts}
    stuffs = sorted(spreads)
    if not stuffs:
        return ()
    rows, off = _system(readings, stuffs, step_mg)
    # Each row counts as one more reading, as sure as its spread.
    prior = np.diag([1 / spreads[stuff] ** 2 for stuff in stuffs])
    covariance = np.linalg.inv(prior + rows.T @ rows)
    change = covariance @ rows.T @ off
    seen = _counts(readings)
    return tuple(
        TareFactor(stuff, 1 + float(change[place]), float(sqrt(covariance[place, place])), seen[stuff])
        for place, stuff in enumerate(stuffs)
    )


def _system(
    readings: Sequence[EmptyReading], stuffs: Sequence[str], step_mg: int
) -> tuple[np.ndarray[tuple[int, int], np.dtype[np.float64]], np.ndarray[tuple[int], np.dtype[np.float64]]]:
    """Weights by reading and stuff, and by how much each reading is off, both over the reading's own noise."""
    rows, off = np.zeros((len(readings), len(stuffs))), np.zeros(len(readings))
    for place, reading in enumerate(readings):
        # The 1 keeps a box without parts on a scale without a step from dividing by nothing.
        noise = sqrt(step_mg**2 / 12 + 1 + sum((PIECE_SPREAD * part.weight_mg) ** 2 for part in reading.parts))
        for part in reading.parts:
            rows[place, stuffs.index(part.stuff)] += part.weight_mg / noise
        reckoned = reading.other_mg + sum(part.weight_mg for part in reading.parts)
        off[place] = (reading.weighed_mg - reckoned) / noise
    return rows, off


def _counts(readings: Sequence[EmptyReading]) -> Mapping[str, int]:
    counts: dict[str, int] = {}
    for reading in readings:
        for stuff in {part.stuff for part in reading.parts}:
            counts[stuff] = counts.get(stuff, 0) + 1
    return counts

"""Pressure under a rigid thing on a bed that presses and never pulls: the footing of foundation engineering."""

from collections.abc import Sequence
from dataclasses import dataclass

GRAVITY_UM_S2 = 9_806_650
"""Standard gravity."""


@dataclass(frozen=True, slots=True)
class Patch:
    """A part of the bed that the thing touches.

    Parameters
    ----------
    start_um, end_um
        Where it begins and ends along the thing, in micrometres.
    width_um
        Across the thing.
    """

    start_um: int
    end_um: int
    width_um: float

    @property
    def area_um2(self) -> float:
        """Square micrometres."""
        return (self.end_um - self.start_um) * self.width_um


def static_stress_pa(weight_mg: float, area_um2: float) -> float:
    """Weight over area, in pascals.

    Parameters
    ----------
    weight_mg, area_um2
        Milligrams and square micrometres; the area is greater than 0.

    Returns
    -------
    float
        1 kg on a face of 36 by 36 mm is 7567 Pa.
    """
    return weight_mg * GRAVITY_UM_S2 / area_um2


def pressures_pa(weight_mg: float, centre_um: float, patches: Sequence[Patch]) -> list[float]:
    """Greatest pressure under each patch of a rigid thing that lies on springs which press and never pull.

    Parameters
    ----------
    weight_mg
        Of the thing, in milligrams.
    centre_um
        Where its centre of gravity is along it.
    patches
        What it touches, not over each other; the bed is equally stiff everywhere.

    Returns
    -------
    list of float
        Pascals, in the order of the patches; 0 under one that lifts off.

    Raises
    ------
    ValueError
        The centre of gravity is beyond the patches: the thing tips over whatever the bed.

    Notes
    -----
    The pressure runs in a straight line, p = a + b x, and is nothing where that is negative. Force and moment give a
    and b by Newton's method on two equations; the contact changes with them. For one rectangle it is the textbook's
    answer: W / A (1 + 6 e / L) up to e = L / 6, beyond that 2 W / (3 B (L / 2 - e)).

    References
    ----------
    Eccentrically loaded rectangular footings, Meyerhof's and Terzaghi's textbooks of soil mechanics (from memory).
    """
    first, last = min(one.start_um for one in patches), max(one.end_um for one in patches)
    if not first < centre_um < last:
        raise ValueError(f"the centre of gravity, {centre_um:g}, is not over the bed from {first} to {last}")
    span = last - first
    # Lengths in shares of the whole and pressures in shares of the mean, so that the steps are of one size.
    parts = [((one.start_um - first) / span, (one.end_um - first) / span, one.width_um) for one in patches]
    area = sum((end - start) * width for start, end, width in parts)
    parts = [(start, end, width / area) for start, end, width in parts]
    line = _balanced(parts, (centre_um - first) / span)
    mean = static_stress_pa(weight_mg, sum(one.area_um2 for one in patches))
    return [mean * max(0.0, *(line[0] + line[1] * end for end in (start, stop))) for start, stop, _ in parts]


_Part = tuple[float, float, float]
"""Start, end, width."""


def _balanced(parts: Sequence[_Part], centre: float) -> tuple[float, float]:
    """Pressure at 0 and its slope that carry a unit weight at the centre."""
    a, b = 1.0, 0.0
    for _ in range(200):
        force, moment, first, second, third = _sums(parts, a, b)
        miss = (1.0 - force, centre - moment)
        if max(map(abs, miss)) < 1e-12:
            break
        determinant = first * third - second * second
        step = (
            (miss[0] * third - miss[1] * second) / determinant,
            (miss[1] * first - miss[0] * second) / determinant,
        )
        share = 1.0
        # A whole step can lift everything off; half of it does not, at the latest after some halvings.
        while _sums(parts, a + share * step[0], b + share * step[1])[2] < 1e-9:
            share /= 2
        a, b = a + share * step[0], b + share * step[1]
    return a, b


def _sums(parts: Sequence[_Part], a: float, b: float) -> tuple[float, float, float, float, float]:
    """Force and moment of the pressure, and area, first and second moment of what is pressed."""
    force = moment = area = first = second = 0.0
    for start, end, width in parts:
        low, high = _pressed(start, end, a, b)
        if low >= high:
            continue
        one, two, three = high - low, (high**2 - low**2) / 2, (high**3 - low**3) / 3
        area, first, second = area + width * one, first + width * two, second + width * three
        force += width * (a * one + b * two)
        moment += width * (a * two + b * three)
    return force, moment, area, first, second


def _pressed(start: float, end: float, a: float, b: float) -> tuple[float, float]:
    """The part of a patch where the pressure is not negative."""
    if b == 0.0:
        return (start, end) if a > 0 else (start, start)
    zero = -a / b
    return (max(start, zero), end) if b > 0 else (start, min(end, zero))

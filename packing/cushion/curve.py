"""A maker's cushion curve: peak stress against energy in the foam, fitted to measured drops."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

from packing.measure import BadInput


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One measured drop.

    Parameters
    ----------
    height_um, thickness_um
        Height of fall and thickness of the foam, in micrometres.
    stress_pa
        Static stress in pascals.
    peak_g
        Peak acceleration in units of gravity.
    """

    height_um: int
    thickness_um: int
    stress_pa: float
    peak_g: float

    @property
    def energy(self) -> float:
        """Energy in the foam by its volume, joules per cubic metre: static stress by height over thickness."""
        return self.stress_pa * self.height_um / self.thickness_um

    @property
    def peak_pa(self) -> float:
        """Greatest stress in pascals: peak acceleration by static stress."""
        return self.peak_g * self.stress_pa


@dataclass(frozen=True, slots=True)
class CushionCurve:
    """Peak stress a e^(b E) for energies within those that were measured.

    Parameters
    ----------
    a_pa, b
        Stress in pascals; cubic metres per joule.
    least, most
        Energies that were measured, joules per cubic metre.
    """

    a_pa: float
    b: float
    least: float
    most: float

    def peak_g(self, stress_pa: float, height_um: int, thickness_um: int) -> float | None:
        """Peak acceleration of a drop on this foam, in units of gravity.

        Parameters
        ----------
        stress_pa, height_um, thickness_um
            Static stress, height of fall, thickness of the foam.

        Returns
        -------
        float or None
            None where the energy lies outside those that were measured: the curve says nothing there.
        """
        energy = stress_pa * height_um / thickness_um
        if not self.least <= energy <= self.most:
            return None
        return self.a_pa * exp(self.b * energy) / stress_pa


def fit_curve(points: Sequence[CurvePoint]) -> CushionCurve:
    """Fit a maker's points.

    Parameters
    ----------
    points
        At least three, of different energies.

    Returns
    -------
    CushionCurve
        By least squares on the logarithm of the stress.

    Raises
    ------
    BadInput
        Fewer than three points; a figure not greater than 0; points of one energy; stress that falls with energy.

    References
    ----------
    The stress-energy method: M. Daum, "A simplified process for determining cushion curves: the stress-energy method",
    2006 (from memory).
    """
    if len(points) < 3:
        raise BadInput("curve", f"must have at least three points, not {len(points)}.")
    for number, one in enumerate(points, 1):
        if min(one.height_um, one.thickness_um, one.stress_pa, one.peak_g) <= 0:
            raise BadInput("curve", f"must have figures greater than 0; point {number} has one that is not.")
    xs, ys = [one.energy for one in points], [log(one.peak_pa) for one in points]
    mean_x, mean_y = sum(xs) / len(xs), sum(ys) / len(ys)
    spread = sum((x - mean_x) ** 2 for x in xs)
    # As a share of the energies, whatever their size: equal ones differ by rounding alone.
    if spread <= 1e-12 * mean_x**2:
        raise BadInput("curve", "must have points of different energies (stress by height over thickness).")
    b = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / spread
    if b <= 0:
        raise BadInput("curve", "must have a stress that rises with energy; that of these points falls.")
    return CushionCurve(exp(mean_y - b * mean_x), b, min(xs), max(xs))

"""Sheet foam that an insert is cut from."""

from dataclasses import dataclass

from packing.cushion import CushionCurve
from packing.units import half_up


@dataclass(frozen=True, slots=True)
class Foam:
    """Sheet foam for inserts.

    Parameters
    ----------
    name
        As on the cut list.
    density_g_m3
        Whole grams per cubic metre, so that weights stay exact; 27 kg/m³ is 27000.
    fit_um
        Room cut around a part on each side, from 0 (snug, for soft foam) up to the clearance.
    spread
        Relative standard deviation of the density, for the weight's tolerance.
    source
        Where the values come from and how sure they are.
    pocket_um
        Thickest sheet that pockets are cut through where it can be helped: a knife does not cut 50 mm square (common
        practice, no source).
    stress_pa
        Least and greatest static pressure, in pascals, that it is meant for; None where not known.
    snug_um
        Room cut round a part's outline on each side: less than 0 where foam is to hold it, greater where wood has to
        let it in (0 to -2 mm and 1.5 to 3 mm across are common practice, no source).
    curve
        Its maker's, fitted to measured drops; None where there is none.
    """

    name: str
    density_g_m3: int
    fit_um: int
    spread: float
    source: str
    pocket_um: int = 26_000
    stress_pa: tuple[int, int] | None = None
    snug_um: int = -500
    curve: CushionCurve | None = None

    def weight_mg(self, volume_um3: int) -> int:
        """Weight of a volume in whole milligrams, half a milligram up."""
        return half_up(volume_um3 * self.density_g_m3, 10**15)

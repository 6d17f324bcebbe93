"""Wood of boxes: species by handbook gravity, sawn boards and panels by actual size."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from packing.measure import BadInput
from packing.sureness import Sureness
from packing.units import half_up

MOIST = Fraction("1.12")
"""Oven-dry mass with 12 % of water: what wood in a dry shop weighs."""
UM_PER_INCH = 25_400


@dataclass(frozen=True, slots=True)
class Wood:
    """A species by its handbook specific gravity.

    Parameters
    ----------
    name
        As in the handbook.
    gravity
        Oven-dry mass over volume at 12 % moisture, to that of water.
    source, sureness
        Where the gravity was read; "primary", "secondary", "memory" or "practice".
    """

    name: str
    gravity: Decimal
    source: str
    sureness: str

    @property
    def density_g_m3(self) -> int:
        """Weight of a cubic metre at 12 % moisture: 1000 kg × gravity × 1.12, in whole grams."""
        return round(Fraction(self.gravity) * MOIST * 1_000_000)


@dataclass(frozen=True, slots=True)
class Timber:
    """Sawn boards or panels as bought; sizes are the actual ones.

    Parameters
    ----------
    name, nominal
        As on the cut list, and the size it is sold under ("1×6", "12 mm").
    thickness_um, width_um, length_um
        Actual; the grain, on plywood that of the face, runs along the length.
    density_g_m3
        Whole grams per cubic metre.
    processed
        Plywood and other wood made with glue, heat and pressure; False for raw wood.
    kerf_um
        What a saw cut takes.
    nominal_in
        Nominal thickness and width in inches, for board feet; None for panels.
    spread
        Relative standard deviation of the density.
    price, per
        Price in the shop's currency for one "m2" or one "board foot"; None where not known.
    thickness_tolerance_um
        How far a piece may be off its thickness.
    cut_by
        How the shop may cut it.
    source
        Where sizes and weight come from.
    sureness
        How sure they are; None where the row does not say.
    """

    name: str
    nominal: str
    thickness_um: int
    width_um: int
    length_um: int
    density_g_m3: int
    processed: bool
    kerf_um: int = 3_200
    nominal_in: tuple[Fraction, Fraction] | None = None
    spread: float = 0.1
    price: Decimal | None = None
    per: str = "m2"
    thickness_tolerance_um: int = 500
    cut_by: tuple[str, ...] = ("saw",)
    source: str = ""
    sureness: Sureness | None = None

    def weight_mg(self, volume_um3: int) -> int:
        """Weight of a volume in whole milligrams, half a milligram up."""
        return half_up(volume_um3 * self.density_g_m3, 10**15)


def board_feet(thickness_in: Fraction, width_in: Fraction, length_um: int) -> Fraction:
    """Board feet of one board: thickness × width in inches × length in feet / 12, on nominal size.

    Parameters
    ----------
    thickness_in, width_in
        Nominal inches, greater than 0; actual ones give the wood there is.
    length_um
        Its length, greater than 0.

    Returns
    -------
    Fraction
        Exact.

    Raises
    ------
    BadInput
        Where a size is not greater than zero.
    """
    if thickness_in <= 0 or width_in <= 0 or length_um <= 0:
        raise BadInput("board", f"must be greater than zero each way, not {thickness_in} × {width_in} in.")
    return thickness_in * width_in * Fraction(length_um, 12 * UM_PER_INCH) / 12

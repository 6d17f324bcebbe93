"""A stiff plate between a thing and foam: how large so that the foam bears it, how thick so that it does not break."""

from dataclasses import dataclass
from math import ceil, sqrt

PLY_BENDING_PA = 30_000_000
"""Bending stress that plywood of softwood bears for a moment (from memory; birch bears about twice as much)."""
PLATES_UM = (3_000, 4_000, 6_000, 9_000, 12_000, 18_000)
"""Thicknesses that plywood is sold in (common practice, no source)."""
SIDE_STEP_UM = 5_000
"""Plates are cut to 5 mm: what is asked for is an estimate."""


@dataclass(frozen=True, slots=True)
class Plate:
    """A plate of plywood, in micrometres."""

    length_um: int
    width_um: int
    thickness_um: int


def bending_thickness_um(overhang_um: float, pressure_pa: float, bending_pa: float = PLY_BENDING_PA) -> float:
    """Least thickness of a plate that foam bends where it reaches out beyond what presses on it.

    Parameters
    ----------
    overhang_um
        How far it reaches out, in micrometres.
    pressure_pa
        Even pressure of the foam under it.
    bending_pa
        Stress that it bears.

    Returns
    -------
    float
        Micrometres.

    Notes
    -----
    A cantilever under an even load: the moment for each width is p a² / 2, the section modulus t² / 6, so that
    t = a √(3 p / f).

    References
    ----------
    Bending of a cantilever, textbooks of the strength of materials.
    """
    return overhang_um * sqrt(3 * pressure_pa / bending_pa)


def plate_for(sides_um: tuple[float, float], share: float, times: float, peak_pa: float) -> Plate | None:
    """The least plate that brings the pressure of a thing down to what foam is meant for.

    Parameters
    ----------
    sides_um
        Of the rectangle that the thing presses with.
    share
        How much of the rectangle touches.
    times
        How many times what the foam is meant for its pressure is, more than 1.
    peak_pa
        Pressure under the plate at the peak of a fall.

    Returns
    -------
    Plate or None
        Sides up to the next `SIDE_STEP_UM`, as much beyond the rectangle all round; None where none of `PLATES_UM` is
        thick enough.
    """
    first, second = sides_um
    # What touches, times what the pressure is too much, is the area that the foam needs.
    need = max(share * times, 1.0) * first * second
    beyond = (sqrt((first - second) ** 2 + 4 * need) - first - second) / 4
    length, width = (ceil((side + 2 * beyond) / SIDE_STEP_UM) * SIDE_STEP_UM for side in (first, second))
    overhang = max((whole - side * sqrt(share)) / 2 for whole, side in ((length, first), (width, second)))
    least = bending_thickness_um(overhang, peak_pa)
    thickness = next((one for one in PLATES_UM if one >= least), None)
    return None if thickness is None else Plate(max(length, width), min(length, width), thickness)


def upright_plate(sides_um: tuple[int, int], share: float, times: float, peak_pa: float) -> Plate | None:
    """The least plate as high as what presses on it, wider than that where the foam needs more.

    Parameters
    ----------
    sides_um
        Across and up, of the rectangle that the thing presses with.
    share, times, peak_pa
        See `plate_for`.

    Returns
    -------
    Plate or None
        `length_um` across, up to the next `SIDE_STEP_UM` where it is more than the thing's, `width_um` up; None where
        none of `PLATES_UM` is thick enough.
    """
    across, up = sides_um
    need = share * times * across
    wide = across if need <= across else ceil(need / SIDE_STEP_UM) * SIDE_STEP_UM
    overhang = max((whole - side * sqrt(share)) / 2 for whole, side in ((wide, across), (up, up)))
    least = bending_thickness_um(overhang, peak_pa)
    thickness = next((one for one in PLATES_UM if one >= least), None)
    return None if thickness is None else Plate(wide, up, thickness)

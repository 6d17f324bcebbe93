"""From what height a parcel is expected to fall, and how deep it sinks into what catches it."""

from fractions import Fraction

MG_PER_LB = 453_592.37
UM_PER_INCH = 25_400

DROP_ROWS: tuple[tuple[int, int], ...] = ((21, 30), (41, 24), (61, 18), (100, 12), (150, 8))
"""Below so many pounds a parcel is dropped from so many inches: ISTA procedure 1A (read on two secondary pages that
agree, 2026); 150 lb belongs to the last row."""

FRAGILITY_G = 115
"""Peak acceleration that machinery and other rugged things bear (a handbook's class, from memory)."""

USABLE_STRAIN = Fraction(6, 10)
"""Share of its thickness that soft polyethylene foam may be pressed to (0.5 to 0.6; from memory)."""


def drop_height_um(gross_mg: int) -> int | None:
    """Height of fall that a parcel of this weight is tested with.

    Parameters
    ----------
    gross_mg
        Gross weight in milligrams, greater than 0.

    Returns
    -------
    int or None
        Micrometres; None beyond 150 lb, for which the table has no row.

    References
    ----------
    ISTA procedure 1A, free-fall drop heights by weight; see `DROP_ROWS`.
    """
    pounds = gross_mg / MG_PER_LB
    for below_lb, height_in in DROP_ROWS:
        if pounds < below_lb or (below_lb == DROP_ROWS[-1][0] and pounds <= below_lb):
            return height_in * UM_PER_INCH
    return None


def fall_depth_um(height_um: int, peak_g: int) -> Fraction:
    """The depth to which a thing sinks into a cushion that stops it as a linear spring, with a peak of so many g.

    Parameters
    ----------
    height_um
        Height of fall in micrometres.
    peak_g
        Peak acceleration in units of gravity, greater than 2.

    Returns
    -------
    Fraction
        Micrometres.

    Raises
    ------
    ValueError
        A peak of 2 g or less, which no spring under a falling weight stays below.

    Notes
    -----
    Exact: the energy of the fall, which goes on while the cushion yields, is what the spring takes up, G x / 2 = h + x.
    """
    if peak_g <= 2:
        raise ValueError(f"peak_g must be greater than 2, not {peak_g}")
    return Fraction(2 * height_um, peak_g - 2)


def thickness_um(height_um: int, peak_g: int = FRAGILITY_G, strain: Fraction = USABLE_STRAIN) -> Fraction:
    """Compute the least thickness of a cushion that may be pressed to a share of itself.

    Parameters
    ----------
    height_um
        Of the fall, in micrometres.
    peak_g
        Greatest deceleration allowed, in multiples of gravity.
    strain
        Share of its thickness that the cushion may be pressed by.

    Returns
    -------
    Fraction
        Micrometres; `fall_depth_um` divided by the strain.
    """
    return fall_depth_um(height_um, peak_g) / strain

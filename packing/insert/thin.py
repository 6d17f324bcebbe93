"""Thin stock in whole thicknesses that fills a gap."""

from functools import lru_cache

OPEN_UM = 1_500
"""A filled gap is open by no more than this, where thin stock allows it (common practice, no source)."""


@lru_cache(maxsize=4096)
def thin_stack(gap_um: int, thin_um: tuple[int, ...], give_um: int) -> tuple[int, ...]:
    """The pieces of thin stock that fill a gap.

    Parameters
    ----------
    gap_um
        Height to fill, greater than 0.
    thin_um
        Thicknesses there are.
    give_um
        How far foam gives: the pieces may be thicker than the gap by no more.

    Returns
    -------
    tuple of int
        Thicknesses, thickest first: the fewest pieces that leave no more than `OPEN_UM` open, of those the nearest to
        the gap; where none do, the pieces that leave least open. Empty where even one piece is too thick.

    Notes
    -----
    Exact, by dynamic programming over the sums of thicknesses (the change-making problem); cost is the number of sums
    up to the gap times the number of thicknesses.
    """
    most = gap_um + give_um
    fewest: dict[int, tuple[int, ...]] = {0: ()}
    reached = [0]
    # By number of pieces, so that the first way to a sum is one with the fewest.
    while reached:
        following = []
        for total in reached:
            for thickness in sorted(thin_um, reverse=True):
                higher = total + thickness
                if higher <= most and higher not in fewest:
                    fewest[higher] = (*fewest[total], thickness)
                    following.append(higher)
        reached = following
    close = [total for total in fewest if gap_um - total <= OPEN_UM]
    # Where no sum comes close enough, the highest leaves least open.
    best = min(close, key=lambda total: (len(fewest[total]), abs(gap_um - total), total)) if close else max(fewest)
    return tuple(sorted(fewest[best], reverse=True))

"""Closing tape: how much an H on lid and bottom takes."""

TAPE_OVERLAP_UM = 65_000
"""How far closing tape runs over an edge, at each of its ends (common practice, no source)."""


def closing_tape_um(outer_um: tuple[int, int, int]) -> int:
    """Closing tape for one box, laid as an H on its lid and on its bottom.

    Parameters
    ----------
    outer_um
        Length, width, height outside, length along the middle seam.

    Returns
    -------
    int
        Micrometres: on each of the two faces one strip along the seam and one along each end, all run over the edges
        by `TAPE_OVERLAP_UM`.
    """
    length, width, _ = outer_um
    return 2 * (length + 2 * width + 6 * TAPE_OVERLAP_UM)

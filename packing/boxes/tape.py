"""Closing tape: where each strip lies on the closed box; length, weight, words and picture all go by it."""

from packing.boxes.design import Strip
from packing.boxes.piece import Size

TAPE_OVERLAP_UM = 65_000
"""The run of closing tape over an edge, at each of its ends, or over its own beginning (common practice)."""
BAND_SHARE = 6
"""Bands lie this part of the length off the ends."""


def overlap_um(side_um: int) -> int:
    """The run of tape over a side: no further than the side is long."""
    return min(TAPE_OVERLAP_UM, side_um)


def along_strip(outer_um: Size, y: int, z: int) -> Strip:
    """A strip along the length on a face at height z, at y across it, run over both ends."""
    length, _width, height = outer_um
    turned = z - overlap_um(height) if z else overlap_um(height)
    return ((0, y, turned), (0, y, z), (length, y, z), (length, y, turned)) if height else ()


def across_strip(outer_um: Size, x: int, z: int) -> Strip:
    """A strip across the box on a face at height z, at x along it, run over both sides."""
    _length, width, height = outer_um
    turned = z - overlap_um(height) if z else overlap_um(height)
    return ((x, 0, turned), (x, 0, z), (x, width, z), (x, width, turned)) if height else ()


def h_strips(outer_um: Size, *, seam_at_edge: bool = False) -> tuple[Strip, ...]:
    """An H on lid and bottom: one strip along the seam, one along each end.

    Parameters
    ----------
    outer_um
        Length, width, height outside.
    seam_at_edge
        The seam is not in the middle but where the outer flap ends: at the long edge, over which the tape is folded.
    """
    length, width, height = outer_um
    seams = {height: width if seam_at_edge else width // 2, 0: 0 if seam_at_edge else width // 2}
    return tuple(
        strip
        for z, seam in seams.items()
        for strip in (along_strip(outer_um, seam, z), across_strip(outer_um, 0, z), across_strip(outer_um, length, z))
    )


def bands(outer_um: Size) -> tuple[Strip, ...]:
    """A band right round the box near each end, over its own beginning where it closes."""
    length, width, height = outer_um
    strips = []
    for x in (length // BAND_SHARE, length - length // BAND_SHARE):
        over = overlap_um(width)
        strips.append(
            ((x, 0, 0), (x, width, 0), (x, width, height), (x, 0, height), (x, 0, 0), (x, over, 0)),
        )
    return tuple(strips)


def wrap_strips(outer_um: Size) -> tuple[Strip, ...]:
    """The long seam of a wrap over both ends, each end across, a band near each end."""
    length, width, height = outer_um
    side = overlap_um(length)
    ends = []
    for x, inward in ((0, side), (length, length - side)):
        middle = height // 2
        ends.append(((inward, 0, middle), (x, 0, middle), (x, width, middle), (inward, width, middle)))
    return (along_strip(outer_um, 0, height), *ends, *bands(outer_um))

"""Swaps that the scale cannot see: only the stamped number guards against them."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.weighing.causes import Weighed


@dataclass(frozen=True, slots=True)
class UnseenSwap:
    """A thing of the box, and what of its like weighs so much the same that the scale does not tell them apart."""

    item: Weighed
    others: tuple[Weighed, ...]


def unseen_swaps(
    items: Sequence[Weighed], rack: Sequence[Weighed], tolerance_mg: int, *, alike: bool = True
) -> tuple[UnseenSwap, ...]:
    """Find what could lie in a pocket in place of the right thing without the scale showing it.

    Parameters
    ----------
    items
        What is packed by the plan.
    rack
        What lies about, pieces held for others included.
    tolerance_mg
        Of the closed box, in milligrams.
    alike
        Only those of the same kind.

    Returns
    -------
    tuple of UnseenSwap
        Those that differ by no more than twice the tolerance, nearest first; such a swap may pass. Where it is more,
        the scale shows it in 99 boxes of 100.
    """
    found = []
    for item in items:
        # A good box may be off by the whole tolerance one way, and after the swap by as much the other way: both pass.
        near = [
            other
            for other in rack
            if abs(other.weight_mg - item.weight_mg) <= 2 * tolerance_mg and (not alike or other.kind == item.kind)
        ]
        if near:
            near.sort(key=lambda other: (abs(other.weight_mg - item.weight_mg), other.name))
            found.append(UnseenSwap(item, tuple(near)))
    return tuple(found)

"""Which sheets make a pad or a layer, and in which order."""

from collections.abc import Callable, Sequence

GAP_UM = 3_000
"""A gap up to this is left open: foam gives that much (common practice, no source)."""

_Cost = tuple[int, int]


def _shortest(height_um: int, stock_um: Sequence[int], edge: Callable[[int, int], _Cost]) -> tuple[int, ...] | None:
    """Cheapest sequence of stock sheets up to a height, bottom first; None where no sum of them gives it.

    Among equals the one with the thickest sheet lowest.
    """
    thick_first = sorted(set(stock_um), reverse=True)
    reached = {0}
    frontier = [0]
    while frontier:
        low = frontier.pop()
        new = {low + thickness for thickness in thick_first if low + thickness <= height_um} - reached
        reached |= new
        frontier += new
    upward: dict[int, tuple[_Cost, int]] = {height_um: ((0, 0), 0)}
    for low in sorted(reached - {height_um}, reverse=True):
        for thickness in thick_first:
            if low + thickness in upward:
                cost, tiny = upward[low + thickness][0]
                more, more_tiny = edge(low, low + thickness)
                total = (cost + more, tiny + more_tiny)
                if low not in upward or total < upward[low][0]:
                    upward[low] = (total, thickness)
    if 0 not in upward:
        return None
    sheets: list[int] = []
    while sum(sheets) < height_um:
        sheets.append(upward[sum(sheets)][1])
    return tuple(sheets)


def pad_sheets(thickness_um: int, stock_um: Sequence[int]) -> tuple[int, ...] | None:
    """The fewest stock sheets that make a pad.

    Parameters
    ----------
    thickness_um
        The pad's thickness; 0 needs no sheet.
    stock_um
        Thicknesses there are.

    Returns
    -------
    tuple of int, or None
        Thicknesses from the bottom up, empty for no pad; None where no sum of stock sheets gives it.
    """
    return _shortest(thickness_um, stock_um, lambda _low, _high: (1, 0))


def layer_sheets(
    height_um: int, stock_um: Sequence[int], undersides_um: Sequence[int], *, gap_um: int = GAP_UM
) -> tuple[int, ...] | None:
    """Stock sheets for a layer, in the order that brings a joint under what does not stand on its floor.

    Parameters
    ----------
    height_um
        The layer's height.
    stock_um
        Thicknesses there are.
    undersides_um
        Height above the layer's floor of the underside of each part that hangs, greater than 0.
    gap_um
        How far a part may hang above a joint without a saddle.

    Returns
    -------
    tuple of int, or None
        Thicknesses from the bottom up; None where no sum of stock sheets gives the height.

    Notes
    -----
    A shortest path over the heights that sums of sheets reach. A sheet costs 1, and 1 more for each part it leaves
    hanging by more than `gap_um`, since that part needs a saddle; among equals the one with the least hanging in all.
    Every part hangs over exactly one sheet, the lowest one cut for it, so the costs add up along the path and the
    answer is the best there is.
    """

    def edge(low: int, high: int) -> _Cost:
        hanging = [under - low for under in undersides_um if low <= under < high]
        return 1 + sum(1 for hang in hanging if hang > gap_um), sum(hanging)

    return _shortest(height_um, stock_um, edge)

"""An order as the search sees it: every orientation as grown rectangles, every height as a sum of sheets."""

from dataclasses import dataclass, replace
from functools import cached_property

from packing.measure import Item, Order, Tool
from packing.nest.demands import Demands, Reach, demands_of
from packing.pose import Orientation, orientations_of


@dataclass(frozen=True)
class GrownOrientation:
    """One orientation of one item for the search: rectangles grown by clearance + web / 2, least corner at 0, 0.

    `reach_um` is what it needs beyond the wall, towards low x, low y, high x and high y.
    """

    orientation: Orientation
    rects: tuple[tuple[int, int, int, int], ...]
    length_um: int
    width_um: int
    level_um: int
    reach_um: Reach = (0, 0, 0, 0)


@dataclass(frozen=True)
class Problem:
    """All ways of all items, and what the order's rules ask.

    Parameters
    ----------
    order
        The order.
    orientations
        Per item, its distinct orientations, a dominated one left out (same footprint, higher layer).
    demands
        Gaps, pads and limits.
    """

    order: Order
    orientations: tuple[tuple[GrownOrientation, ...], ...]
    demands: Demands

    @cached_property
    def side_um(self) -> int:
        """See `Demands.side_um`."""
        return self.demands.side_um

    @cached_property
    def pads_um(self) -> int:
        """See `Demands.pads_um`."""
        return self.demands.pads_um

    @cached_property
    def between_um(self) -> int:
        """See `Demands.between_um`."""
        return self.demands.between_um

    def height_um(self, levels_um: list[int]) -> int:
        """Interior height of layers of these heights."""
        return self.pads_um + sum(levels_um) + self.between_um * (len(levels_um) - 1)


def cheeks_alike(item: Item) -> bool:
    """Tell whether a lying tool has the same shape on either cheek."""
    return isinstance(item, Tool) and 2 * item.eye_offset_um == item.head_length_um


def _lying(item: Item, demands: Demands) -> list[Orientation]:
    """Every orientation that differs in shape, or in where a sharp end needs a thicker wall."""
    found = list(orientations_of(item))
    if cheeks_alike(item):
        over = [(orientation, replace(orientation, flipped=not orientation.flipped)) for orientation in found]
        found += [other for one, other in over if demands.reach_um(item, one) != demands.reach_um(item, other)]
    return found


def problem_of(order: Order) -> Problem:
    """Lay an order out for the search.

    Parameters
    ----------
    order
        As read by `read_order`.

    Returns
    -------
    Problem
        Each orientation as rectangles grown by clearance + web / 2, in micrometres.

    Notes
    -----
    Two items keep clearances and web if and only if their grown rectangles do not overlap: the search and the proofs
    see rectangles alone.
    """
    demands = demands_of(order)
    grow = demands.grown_um
    all_orientations = []
    for item in order.items:
        distinct: dict[tuple[tuple[int, int, int, int], ...], GrownOrientation] = {}
        for orientation in _lying(item, demands):
            rects = tuple((p.x0, p.y0, p.x1 + 2 * grow, p.y1 + 2 * grow) for p in orientation.parts)
            length, width = orientation.length_um + 2 * grow, orientation.width_um + 2 * grow
            reach, level = demands.reach_um(item, orientation), demands.level_um(demands.need_um(orientation))
            grown = GrownOrientation(orientation, rects, length, width, level, reach)
            known = distinct.get((*rects, reach))
            if known is None or grown.level_um < known.level_um:
                distinct[*rects, reach] = grown
        all_orientations.append(tuple(distinct.values()))
    return Problem(order, tuple(all_orientations), demands)

"""An order as the search sees it: every orientation as grown rectangles, every height as a sum of sheets."""

from dataclasses import dataclass, replace
from functools import cached_property, reduce
from math import gcd

from packing.measure import Item, Order, Rules, Sharp, Tool
from packing.plan.kinds import Pose
from packing.pose import Orientation, orientations_of


@dataclass(frozen=True)
class Levels:
    """Which layer heights sheets can make.

    Parameters
    ----------
    sheets_um
        Stock thicknesses.
    """

    sheets_um: tuple[int, ...]

    @cached_property
    def _unit(self) -> int:
        return reduce(gcd, self.sheets_um)

    def reaching(self, need_um: int) -> int:
        """The smallest sum of sheets, in micrometres, that is at least `need_um` (greater than 0)."""
        unit = self._unit
        steps = [sheet // unit for sheet in self.sheets_um]
        least = -(-need_um // unit)
        # Sums of sheets as bits of one number: adding a sheet to all sums at once is a shift.
        mask = (1 << (least + max(steps) + 1)) - 1
        sums = 1
        while True:
            grown = sums
            for step in steps:
                grown |= (grown << step) & mask
            if grown == sums:
                break
            sums = grown
        above = sums >> least
        return (least + (above & -above).bit_length() - 1) * unit


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
    reach_um: tuple[int, int, int, int] = (0, 0, 0, 0)


@dataclass(frozen=True)
class Problem:
    """All ways of all items, and what the gaps and pads add to the interior.

    Parameters
    ----------
    order
        The order.
    orientations
        Per item, its distinct orientations, a dominated one left out (same footprint, higher layer).
    side_um
        What length and width add to the extent of the grown rectangles: 2 wall - web.
    pads_um
        Base pad + top pad.
    between_um
        Layer pad.
    """

    order: Order
    orientations: tuple[tuple[GrownOrientation, ...], ...]
    side_um: int
    pads_um: int
    between_um: int

    @property
    def rules(self) -> Rules:
        """The order's rules."""
        return self.order.rules

    def height_um(self, levels_um: list[int]) -> int:
        """Interior height of layers of these heights."""
        return self.pads_um + sum(levels_um) + self.between_um * (len(levels_um) - 1)


def need_um(orientation: Orientation, rules: Rules) -> int:
    """Least height of a layer for an orientation: where there are pads above, foam gives and steel sinks into them."""
    padded = min(rules.layer_pad_um, rules.top_pad_um) > rules.give_um
    return max(1, orientation.need_um - (rules.give_um if padded else 0))


def reach_um(item: Item, orientation: Orientation, rules: Rules) -> tuple[int, int, int, int]:
    """What a lying tool's sharp ends need beyond the wall; see `GrownOrientation`."""
    if (
        not isinstance(item, Tool)
        or orientation.pose is not Pose.FLAT
        or item.sharp is Sharp.NONE
        or rules.sharp_wall_um is None
    ):
        return (0, 0, 0, 0)
    extra = max(0, rules.sharp_wall_um - rules.wall_um)
    reach = [0, 0, 0, 0]
    around = (3, 0, 1, 2)  # where the side of high y comes to lie after each quarter turn
    quarter = orientation.turn // 90 + (2 if orientation.flipped else 0)
    reach[around[quarter % 4]] = extra
    if item.sharp is Sharp.BOTH:
        reach[around[(quarter + 2) % 4]] = extra
    return (reach[0], reach[1], reach[2], reach[3])


def cheeks_alike(item: Item) -> bool:
    """Tell whether a lying tool has the same shape on either cheek."""
    return isinstance(item, Tool) and 2 * item.eye_offset_um == item.head_length_um


def _lying(item: Item, rules: Rules) -> list[Orientation]:
    """Every orientation that differs in shape, or in where a sharp end needs a thicker wall."""
    found = list(orientations_of(item))
    if cheeks_alike(item):
        over = [(orientation, replace(orientation, flipped=not orientation.flipped)) for orientation in found]
        found += [other for one, other in over if reach_um(item, one, rules) != reach_um(item, other, rules)]
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
    rules = order.rules
    grow = rules.clearance_um + rules.web_um // 2
    levels = Levels(rules.sheets_um)
    reached: dict[int, int] = {}
    all_orientations = []
    for item in order.items:
        distinct: dict[tuple[tuple[int, int, int, int], ...], GrownOrientation] = {}
        for orientation in _lying(item, rules):
            need = need_um(orientation, rules)
            if need not in reached:
                reached[need] = levels.reaching(need)
            rects = tuple((p.x0, p.y0, p.x1 + 2 * grow, p.y1 + 2 * grow) for p in orientation.parts)
            length, width = orientation.length_um + 2 * grow, orientation.width_um + 2 * grow
            reach = reach_um(item, orientation, rules)
            grown = GrownOrientation(orientation, rects, length, width, reached[need], reach)
            known = distinct.get((*rects, reach))
            if known is None or grown.level_um < known.level_um:
                distinct[*rects, reach] = grown
        all_orientations.append(tuple(distinct.values()))
    side = 2 * rules.wall_um - 2 * (rules.web_um // 2)
    return Problem(order, tuple(all_orientations), side, rules.base_pad_um + rules.top_pad_um, rules.layer_pad_um)

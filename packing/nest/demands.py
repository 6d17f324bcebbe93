"""The geometry that an order's rules ask of its nesting: the one module of the nesting that reads them.

The search, its bounds and proofs, the arranging of layers, stacked blocks and refusals all ask here. A new rule that
grows all pieces, walls, layers or reaches by one number is a line below; what others touch is in `packing/README.md`
("What honours a rule").
"""

from dataclasses import dataclass
from functools import cached_property, reduce
from math import gcd

from packing.measure import Item, Order, Rules, Sharp, Step, Tool
from packing.plan.kinds import Pose
from packing.pose import Orientation

Reach = tuple[int, int, int, int]
"""Towards low x, low y, high x and high y."""


@dataclass(frozen=True)
class Levels:
    """Layer heights that sheets can make.

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
class Demands:
    """Demands of rules on a nesting, in micrometres and milligrams.

    Parameters
    ----------
    rules
        Of the order; nothing but this class looks into them.
    """

    rules: Rules

    @property
    def in_layers(self) -> bool:
        """True where pieces lie in layers; else blocks stand on each other freely."""
        return self.rules.layered

    @property
    def half_web_um(self) -> int:
        """Half of the material between two pieces, which each of them brings along."""
        return self.rules.web_um // 2

    @property
    def grown_um(self) -> int:
        """The growth of a piece's rectangles on each side: two keep their gaps where the grown ones do not overlap."""
        return self.rules.clearance_um + self.half_web_um

    @property
    def edge_um(self) -> int:
        """The least distance from the insert's edge to a piece."""
        return self.rules.wall_um + self.rules.clearance_um

    @property
    def side_um(self) -> int:
        """The difference between the insert's length or width and the extent of grown rectangles; may be negative."""
        return 2 * (self.edge_um - self.grown_um)

    @property
    def base_um(self) -> int:
        """The height at which the lowest layer lies."""
        return self.rules.base_pad_um

    @property
    def pads_um(self) -> int:
        """The pads below the lowest layer and above the highest."""
        return self.rules.base_pad_um + self.rules.top_pad_um

    @property
    def between_um(self) -> int:
        """The pad between two layers."""
        return self.rules.layer_pad_um

    @cached_property
    def most_um(self) -> tuple[int, int, int] | None:
        """The largest interior, its longer side first, since a plan may be turned; None where there is none."""
        most = self.rules.max_interior_um
        return None if most is None else (max(most[:2]), min(most[:2]), most[2])

    @property
    def most_layer_mg(self) -> int | None:
        """The most that the pieces of a layer weigh; None for any weight."""
        return self.rules.max_layer_mg

    @property
    def limited(self) -> bool:
        """True where there may be no plan at all."""
        return self.most_um is not None or self.most_layer_mg is not None

    @property
    def whole_step(self) -> Step | None:
        """The step of which length and width are whole multiples; None for any size."""
        return self.rules.step

    def need_um(self, orientation: Orientation) -> int:
        """Least height of a layer for an orientation: where there are pads above, foam gives and steel sinks in."""
        give_um = self.rules.give_um
        padded = min(self.rules.layer_pad_um, self.rules.top_pad_um) > give_um
        return max(1, orientation.need_um - (give_um if padded else 0))

    @cached_property
    def _levels(self) -> Levels:
        return Levels(self.rules.sheets_um)

    @cached_property
    def _known_levels(self) -> dict[int, int]:
        return {}

    def level_um(self, need_um: int) -> int:
        """The height of a layer that needs so much: the least sum of sheets that reaches it."""
        if need_um not in self._known_levels:
            self._known_levels[need_um] = self._levels.reaching(need_um)
        return self._known_levels[need_um]

    def reach_um(self, item: Item, orientation: Orientation) -> Reach:
        """An item's need beyond the wall on each side: the sharp ends of a lying tool want a thicker wall."""
        if (
            not isinstance(item, Tool)
            or orientation.pose is not Pose.FLAT
            or item.sharp is Sharp.NONE
            or self.rules.sharp_wall_um is None
        ):
            return (0, 0, 0, 0)
        extra = max(0, self.rules.sharp_wall_um - self.rules.wall_um)
        reach = [0, 0, 0, 0]
        around = (3, 0, 1, 2)  # where the side of high y comes to lie after each quarter turn
        quarter = orientation.turn // 90 + (2 if orientation.flipped else 0)
        reach[around[quarter % 4]] = extra
        if item.sharp is Sharp.BOTH:
            reach[around[(quarter + 2) % 4]] = extra
        return (reach[0], reach[1], reach[2], reach[3])


def demands_of(order: Order) -> Demands:
    """Read an order's rules as demands.

    Parameters
    ----------
    order
        Its rules alone count.

    Returns
    -------
    Demands
        In micrometres and milligrams.
    """
    return Demands(order.rules)

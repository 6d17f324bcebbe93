"""An order of blocks as the search for piles sees it: grown boxes, and what walls and pads add."""

from dataclasses import dataclass
from functools import cached_property

from packing.measure import BadInput, Block, Order
from packing.nest.demands import Demands, demands_of
from packing.nest.stacked.branch_and_bound import Sides
from packing.pose import Orientation, orientations_of


@dataclass(frozen=True)
class StackingProblem:
    """An order as grown boxes: each block's orientations and sides; what its rules ask."""

    order: Order
    orientations: tuple[tuple[Orientation, ...], ...]
    sides: tuple[tuple[Sides, ...], ...]
    demands: Demands

    @cached_property
    def add(self) -> Sides:
        """The sum of walls and of pads that the extent of the grown boxes gains."""
        asked = self.demands
        return asked.side_um, asked.side_um, asked.pads_um - 2 * asked.half_web_um

    @cached_property
    def most(self) -> Sides | None:
        """The largest interior; None where there is none."""
        return self.demands.most_um


def stacking_problem_of(order: Order) -> StackingProblem:
    """Lay an order of blocks out for the search.

    Raises
    ------
    BadInput
        An item is no block.
    """
    demands = demands_of(order)
    # Blocks stand on each other with the web alone between them: foam has no clearance upwards.
    grow = (2 * demands.grown_um, 2 * demands.grown_um, 2 * demands.half_web_um)
    own_orientations, own_sides = [], []
    for index, item in enumerate(order.items):
        if not isinstance(item, Block):
            raise BadInput(f"items[{index}]", f"must be a block where rules.layered is false; {item.id} is a tool.")
        orientations = orientations_of(item)
        own_orientations.append(orientations)
        own_sides.append(
            tuple((o.length_um + grow[0], o.width_um + grow[1], o.need_um + grow[2]) for o in orientations)
        )
    return StackingProblem(order, tuple(own_orientations), tuple(own_sides), demands)

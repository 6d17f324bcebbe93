"""An order of blocks as the search for piles sees it: grown boxes, and what walls and pads add."""

from dataclasses import dataclass

from packing.measure import BadInput, Block, Order
from packing.nest.stacked.branch_and_bound import Sides
from packing.pose import Orientation, orientations_of


@dataclass(frozen=True)
class StackingProblem:
    """An order as grown boxes: each block's orientations and sides; what walls and pads add; the largest interior."""

    order: Order
    orientations: tuple[tuple[Orientation, ...], ...]
    sides: tuple[tuple[Sides, ...], ...]
    add: Sides
    most: Sides | None


def stacking_problem_of(order: Order) -> StackingProblem:
    """Lay an order of blocks out for the search.

    Raises
    ------
    BadInput
        An item is no block.
    """
    rules = order.rules
    half = rules.web_um // 2
    grow = (2 * (rules.clearance_um + half), 2 * (rules.clearance_um + half), 2 * half)
    own_orientations, own_sides = [], []
    for index, item in enumerate(order.items):
        if not isinstance(item, Block):
            raise BadInput(f"items[{index}]", f"must be a block where rules.layered is false; {item.id} is a tool.")
        orientations = orientations_of(item)
        own_orientations.append(orientations)
        own_sides.append(
            tuple((o.length_um + grow[0], o.width_um + grow[1], o.need_um + grow[2]) for o in orientations)
        )
    walls = 2 * rules.wall_um - 2 * half
    add = (walls, walls, rules.base_pad_um + rules.top_pad_um - 2 * half)
    most = rules.max_interior_um
    if most is not None:
        # Length is the longer side of an interior by definition.
        most = (max(most[:2]), min(most[:2]), most[2])
    return StackingProblem(order, tuple(own_orientations), tuple(own_sides), add, most)

"""One whole box for one nesting: its style, board, weights, bill, cost and what its wood asks for."""

from dataclasses import dataclass
from fractions import Fraction

from packing.boxes import BoxDesign
from packing.insert import Insert
from packing.materials import (
    WoodVerdict,
)
from packing.measure import Block, Item
from packing.nest import Nesting, Placement
from packing.plan.kinds import Mark, Pose
from packing.planning.cost import Cost
from packing.planning.terms import Billed
from packing.planning.weight import Weights
from packing.strength import BoardChoice


@dataclass(frozen=True)
class Candidate:
    """A box that could be made for a nesting.

    Parameters
    ----------
    nesting, insert
        What it is made round; `which` is the nesting's index among those handed in.
    design, weights
        The box; everything weighed.
    boards
        Which board was chosen and by which checks; None for bare wood.
    billed, most_billed, grown_billed
        None where no billing was handed in; the second for the box in the thickest stock allowed, the third for that
        grown by `EXPECTED_GROWTH_UM` besides. What the second is not taken for is in `billed.over` too.
    cost, wood
        Material and minutes; whether treated wood is needed.
    money
        What sending and making cost together, in the currency of `cost`, as far as prices are known for all boxes of
        the order (see `compared_alike`); or in minutes of work where the shop says how many of them billed weight is
        worth and has no price for both. None where it says neither.
    in_money
        True where that is money.
    """

    which: int
    nesting: Nesting
    insert: Insert
    design: BoxDesign
    weights: Weights
    boards: BoardChoice | None
    billed: Billed | None
    cost: Cost
    wood: WoodVerdict
    most_billed: Billed | None = None
    grown_billed: Billed | None = None
    money: Fraction | None = None
    in_money: bool = False


def marked_up(item: Item, placed: Placement) -> bool | None:
    """Tell whether an item's marked cheek is up.

    Parameters
    ----------
    item, placed
        The item, and how it lies.

    Returns
    -------
    bool or None
        None where nothing is marked or the piece stands.
    """
    if isinstance(item, Block) or item.mark is None or placed.orientation.pose is not Pose.FLAT:
        return None
    return placed.orientation.flipped == (item.mark is Mark.FACE_RIGHT)

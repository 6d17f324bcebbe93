"""The weight of the closed box, from the measured pieces up, and its tolerance.

References
----------
JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2 (independent components add by squares)
and F.2.2.1 (a reading rounded to a step), from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import isqrt, sqrt

from packing.boxes import BoxDesign
from packing.insert import Insert
from packing.materials import ShopMaterials
from packing.measure import Order, Tool
from packing.plan import Message, Percent, Weight
from packing.plan.kinds import ContainerKind, SundryKind
from packing.planning.sundries import SundryLine, foam_line, usual_sundries
from packing.strength import Load
from packing.units import to_tenth_g

SCALE_STEP_MG = 1_000
"""A bench scale's step."""
HANDLE_SD_MG = 4_000
"""A wooden handle gains and loses about 10 g of water over weeks: 2.6 deviations (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class UncertaintyComponent:
    """One source of the weight's uncertainty: its name, its standard deviation in milligrams, a sentence.

    `empty` says whether weighing the empty box settles it.
    """

    source: Message
    sd_mg: int
    why: Message
    empty: bool = False


@dataclass(frozen=True, slots=True)
class Weights:
    """The weight of one closed box, in milligrams; each part to a tenth of a gram, so that what is shown adds up.

    Parameters
    ----------
    pieces_mg, insert_mg, box_mg
        Measured pieces and blocks; foam as cut; board.
    sundries
        Everything else, line by line.
    uncertainty
        Where the tolerance comes from.
    """

    pieces_mg: int
    insert_mg: int
    box_mg: int
    sundries: tuple[SundryLine, ...]
    uncertainty: tuple[UncertaintyComponent, ...]

    @property
    def sundries_mg(self) -> int:
        """All sundries together."""
        return sum(line.weight_mg for line in self.sundries)

    @property
    def gross_mg(self) -> int:
        """Everything."""
        return self.pieces_mg + self.insert_mg + self.box_mg + self.sundries_mg

    @property
    def tolerance_mg(self) -> int:
        """2.6 standard deviations of the gross weight, up to the next milligram: 99 boxes of 100 lie within it."""
        # 2.6 squared is 6.76: in whole numbers the root comes out exactly to the milligram.
        squares = 676 * sum(component.sd_mg**2 for component in self.uncertainty)
        return isqrt((squares - 1) // 100) + 1 if squares else 0


def _share(share: float) -> Percent:
    """A share of 1 in whole hundredths."""
    return Percent(Decimal(f"{100 * share:.0f}"))


def _box_component(box: BoxDesign) -> UncertaintyComponent:
    sd_mg = round(box.spread * box.weight_mg)
    if box.family is ContainerKind.WOOD:
        why = Message("weight of the wood within {share}", share=_share(box.spread))
        return UncertaintyComponent(Message("wood"), sd_mg, why, empty=True)
    why = Message("grammage within {share}", share=_share(box.spread))
    return UncertaintyComponent(Message("board"), sd_mg, why, empty=True)


def _scale_component(pieces: int, step_mg: int) -> UncertaintyComponent:
    sd_mg = round(step_mg * sqrt(pieces / 12))
    if pieces == 1:
        why = Message("one weighing to {step}", step=Weight(step_mg))
    else:
        why = Message("{pieces} weighings to {step}", pieces=pieces, step=Weight(step_mg))
    return UncertaintyComponent(Message("scale"), sd_mg, why)


def weigh(
    order: Order, insert: Insert, box: BoxDesign, sundries: Sequence[SundryLine], *, scale_step_mg: int = SCALE_STEP_MG
) -> Weights:
    """The gross weight of a closed box and where its tolerance comes from.

    Parameters
    ----------
    order
        Pieces as weighed.
    insert, box
        Foam and board with the spread of their makers' densities.
    sundries
        Usually `usual_sundries`.
    scale_step_mg
        Step of the scale the pieces were weighed on, greater than 0.

    Returns
    -------
    Weights
        Exact sums of parts that are rounded to the tenth of a gram they are shown with.

    Notes
    -----
    The doubts are independent of each other, so their squares add up. A reading rounded to a step is spread evenly over
    it: a standard deviation of step / √12 each (JCGM 100:2008, F.2.2.1, from memory). One roll of tape or one batch of
    foam is too heavy or too light throughout.
    """
    pieces = len(order.items)
    tools = sum(1 for item in order.items if isinstance(item, Tool))
    small = round(sqrt(sum((line.sundry.spread * line.weight_mg) ** 2 for line in sundries)))
    foam = insert.foam
    uncertainty = (
        _scale_component(pieces, scale_step_mg),
        UncertaintyComponent(
            Message("foam"),
            round(foam.spread * insert.weight_mg),
            Message("density of {foam} within {share}", foam=foam.name, share=_share(foam.spread)),
            empty=True,
        ),
        _box_component(box),
        UncertaintyComponent(
            Message("sundries"), small, Message("tape, papers, wraps and guards, each within what its own row says")
        ),
        UncertaintyComponent(
            Message("handles"),
            round(HANDLE_SD_MG * sqrt(tools)),
            Message(
                "water in wooden handles, {each} for each of {tools} (common practice, no source)",
                each=Weight(HANDLE_SD_MG),
                tools=tools,
            ),
        ),
    )
    return Weights(
        # Each part is rounded and then added, so that the figures on the paper add up.
        pieces_mg=to_tenth_g(sum(item.weight_mg for item in order.items)),
        insert_mg=to_tenth_g(insert.weight_mg),
        box_mg=to_tenth_g(box.weight_mg),
        sundries=tuple(sundries),
        uncertainty=tuple(component for component in uncertainty if component.sd_mg),
    )


def gross_problem(order: Order, weights: Weights) -> Message | None:
    """Say by how much a box is heavier than `max_gross_g` allows.

    Parameters
    ----------
    order
        As read by `read_order`.
    weights
        Of the closed box, in milligrams.

    Returns
    -------
    Message or None
        None where it is not heavier; exactly the limit is allowed.
    """
    limit = order.rules.max_gross_mg
    if limit is None or weights.gross_mg <= limit:
        return None
    return Message(
        "The closed box weighs {gross}, {by} more than a closed box may weigh ({limit}): split the order into several "
        "parcels.",
        gross=Weight(to_tenth_g(weights.gross_mg)),
        by=Weight(to_tenth_g(weights.gross_mg - limit)),
        limit=Weight(limit),
    )


def load_of_box(design: BoxDesign, weights: Weights) -> Load:
    """State what a closed box has to stand, by the published rules, piled as high as is usual.

    Parameters
    ----------
    design, weights
        The box and what it weighs.

    Returns
    -------
    Load
        A wooden box inside a case is a part of the contents: the case's walls carry what is piled on it.
    """
    return Load(
        gross_mg=weights.gross_mg,
        inner_um=design.outermost_inner_um,
        outer_um=design.outer_um,
        contents_mg=weights.gross_mg - to_tenth_g(design.outer_mg),
        slotted=design.slotted,
    )


def weigh_design(order: Order, insert: Insert, design: BoxDesign, materials: ShopMaterials) -> Weights:
    """Weigh everything: pieces, insert, box, sundries and, in a stock carton, the foam that fills it.

    Parameters
    ----------
    order, insert, design
        What is packed, in what.
    materials
        Its supplies and its foam count.

    Returns
    -------
    Weights
        In milligrams.
    """
    sundries = usual_sundries(order, insert, design, materials.supplies)
    if design.fill_mg:
        foam = materials.foam
        what = Message("{foam} that fills the carton", foam=foam.name)
        fill = foam_line(SundryKind.CARTON_FILL, what, design.fill_mg, foam)
        sundries = (*sundries, SundryLine(fill, 1))
    return weigh(order, insert, design, sundries)

"""The boxes that are offered for an order."""

from dataclasses import dataclass
from fractions import Fraction

from packing.boxes import Infeasible
from packing.plan import Message
from packing.plan.kinds import ContainerKind, Purpose
from packing.planning.candidate import Candidate
from packing.planning.objective import height_um, tie_share

FLATTER, FLATTER_UM = Fraction(8, 10), 20_000
"""The flattest is offered where it has at most so much of the cheapest's height and is thinner by so much."""


def _paid(one: Candidate) -> Fraction:
    """Money where it is known, else the billed or the gross weight."""
    if one.money is not None:
        return one.money
    return Fraction(one.weights.gross_mg) if one.billed is None else one.billed.amount


def _met(one: Candidate) -> tuple[int, int]:
    """Count the carrier's surcharges and limits that a box meets."""
    return (0, 0) if one.billed is None else (len(one.billed.flags), len(one.billed.over))


FEWER_MINUTES = 5
"""Least work is offered where it saves at least so many of the cheapest's minutes, the insert's included."""


def near_equal(one: Candidate, other: Candidate) -> bool:
    """Tell whether two boxes differ in nothing that anybody would choose by.

    Parameters
    ----------
    one, other
        Candidates of one order, both with their bill or both without.

    Returns
    -------
    bool
        Both are of wood or neither is; they meet as many surcharges and limits; money, billed or gross weight differ
        by `tie_share` at most, minutes by less than `FEWER_MINUTES`, the least side outside by less than `FLATTER_UM`.
    """
    if (one.design.family is ContainerKind.WOOD) is not (other.design.family is ContainerKind.WOOD):
        return False
    if _met(one) != _met(other):
        return False
    low, high = sorted(_paid(box) for box in (one, other))
    return (
        high <= low * (1 + tie_share(one))
        and abs(one.cost.minutes - other.cost.minutes) < FEWER_MINUTES
        and abs(height_um(one) - height_um(other)) < FLATTER_UM
    )


@dataclass(frozen=True)
class Offer:
    """A box offered for what it is best at.

    Parameters
    ----------
    purposes
        None for a box that is among the offers because it is taken.
    candidate
        The box.
    beside
        The alternative side by side: a wooden box bare and in an outer case; None where there is none.
    taken
        Whether this is the box of the plan.
    """

    purposes: tuple[Purpose, ...]
    candidate: Candidate
    beside: Message | None = None
    taken: bool = False


@dataclass(frozen=True)
class Offers:
    """Boxes that can be offered for an order.

    Parameters
    ----------
    offers
        One to four, the cheapest to send first; empty where no style can be made.
    refused
        Every style that cannot be made, with its reason, once for each nesting.
    candidates
        Everything that was compared.
    """

    offers: tuple[Offer, ...]
    refused: tuple[Infeasible, ...]
    candidates: tuple[Candidate, ...]

    @property
    def never_made(self) -> tuple[Infeasible, ...]:
        """The styles that no nesting is boxed in, each once with the reason that is nearest to not being one."""
        design = {one.design.style for one in self.candidates}
        nearest: dict[str, Infeasible] = {}
        for one in self.refused:
            if one.style not in design:
                known = nearest.setdefault(one.style, one)
                if one.value_um - one.limit_um < known.value_um - known.limit_um:
                    nearest[one.style] = one
        return tuple(nearest.values())


MOST_OFFERS = 4
"""More are not read."""

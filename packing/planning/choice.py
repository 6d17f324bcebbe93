"""The box that is taken for an order, of every style its materials allow: one choice for command line and shops."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from packing.boxes import Infeasible, style_of
from packing.materials import Rates
from packing.measure import Order
from packing.nest import Nesting
from packing.plan import Message
from packing.plan.kinds import Objective
from packing.planning.alternatives import make_offers, with_taken
from packing.planning.boxing import SLOTTED, candidate_for
from packing.planning.candidate import Candidate
from packing.planning.objective import best
from packing.planning.offers import Offers
from packing.planning.plan import PlanningResult
from packing.planning.terms import Billing, Terms


@dataclass(frozen=True)
class BoxChoice:
    """The box taken for an order, and what else could be made.

    Parameters
    ----------
    taken
        The box, or why there is none: the reason of the regular slotted case.
    offers
        With the box that is taken among them.
    not_slotted
        Why the nesting of the box that is taken cannot go into a regular slotted case, the box that every packer
        knows; None where it can.
    """

    taken: Candidate | Infeasible
    offers: Offers
    not_slotted: Message | None = None


def objective_of(billing: Billing | None, rates: Rates) -> Objective:
    """The objective of a shop's boxes: the price where it can be told, else the interior's volume.

    Parameters
    ----------
    billing
        What a carrier bills; None where none is named.
    rates
        The shop's prices.

    Returns
    -------
    Objective
        The price where a carrier bills the box, or where billed weight and an hour of work have a price.
    """
    return Objective.PRICE if rates.in_money or billing is not None else Objective.VOLUME


def choose_box(
    order: Order, result: PlanningResult, terms: Terms, *, objective: Objective, billing: Billing | None = None
) -> BoxChoice:
    """Take the best box for an order: every style that its materials allow, round every nesting of the search.

    Parameters
    ----------
    order, result
        A planned order; `result` with the nestings that were not chosen.
    terms
        What boxes are made of.
    objective
        What the box is to be least in, see `packing.planning.objective.best`.
    billing
        See `Billing`; None leaves the bill out.

    Returns
    -------
    BoxChoice
    """
    nestings = _nestings(result)
    found = make_offers(order, nestings, terms=terms, billing=billing)
    if not found.candidates:
        refused = candidate_for(order, result.nesting, style_of(SLOTTED), terms, billing)
        return BoxChoice(refused, found)
    taken = best(found.candidates, order, objective)
    return BoxChoice(taken, with_taken(order, found, taken), _not_slotted(order, taken, found.candidates, terms))


def _nestings(result: PlanningResult) -> list[Nesting]:
    """Every nesting of a search: all come of the same effort, whichever is taken."""
    first = result.nesting
    others = (
        replace(one.nesting, seconds=first.seconds, steps=first.steps, seed=first.seed, others=())
        for one in result.others
    )
    return [first, *others]


def _not_slotted(order: Order, taken: Candidate, candidates: Iterable[Candidate], terms: Terms) -> Message | None:
    if any(one.which == taken.which and one.design.style == SLOTTED for one in candidates):
        return None
    refused = candidate_for(order, taken.nesting, style_of(SLOTTED), terms, insert=taken.insert)
    return refused.reason if isinstance(refused, Infeasible) else None

"""Up to four boxes that differ on purpose: cheapest to send, least work, flattest, wooden."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from msgspec import structs

from packing.boxes import Infeasible, all_styles
from packing.materials import treatment_plan
from packing.measure import BadInput, Order
from packing.nest import Nesting
from packing.plan import Figure, Message, OfferPlan, Plan, Series, Weight
from packing.plan.kinds import ContainerKind, Objective, Purpose
from packing.planning.candidate import Candidate, candidate_for, insert_by
from packing.planning.cost import cost_plan
from packing.planning.objective import SAME_MINUTES, TIE_SHARE, ranked
from packing.planning.plan import stock_carton_alternative
from packing.planning.result import plan_of
from packing.planning.terms import Billing, Terms
from packing.strength import grade_plan
from packing.units import to_tenth_g


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
    """What can be offered for an order.

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


_PURPOSES: tuple[tuple[Purpose, Objective], ...] = (
    (Purpose.CHEAPEST, Objective.PRICE),
    (Purpose.LEAST_WORK, Objective.WORK),
    (Purpose.FLATTEST, Objective.FLAT),
    (Purpose.WOODEN, Objective.PRICE),
)

MOST_OFFERS = 4
"""More are not read."""

FLATTER, FLATTER_UM = Fraction(8, 10), 20_000
"""The flattest is offered where it has at most so much of the cheapest's height and is thinner by so much."""
FEWER_MINUTES = 5
"""Least work is offered where it saves at least so many of the cheapest's minutes, the insert's included."""
SAME_HEIGHT_UM = 5_000
"""Heights that nobody notices."""


def _height(one: Candidate) -> int:
    """The least side outside: what has to go through a slot or under a belt."""
    return min(one.design.outer_um)


def _differs(purpose: Purpose, one: Candidate, first: Candidate) -> bool:
    """Whether a box is worth an offer of its own beside the cheapest to send."""
    if purpose is Purpose.LEAST_WORK:
        return first.cost.minutes - one.cost.minutes >= FEWER_MINUTES
    if purpose is Purpose.FLATTEST:
        height, other = _height(one), _height(first)
        return height <= FLATTER * other and other - height >= FLATTER_UM
    return True


def near_equal(one: Candidate, other: Candidate) -> bool:
    """Whether two boxes differ in nothing that anybody would choose by.

    Parameters
    ----------
    one, other
        Candidates of one order, both with their bill or both without.

    Returns
    -------
    bool
        Both are of wood or neither is; money, billed or gross weight differ by `TIE_SHARE` at most, minutes by less
        than `FEWER_MINUTES`, the least side outside by less than `FLATTER_UM`.
    """
    if (one.design.family is ContainerKind.WOOD) is not (other.design.family is ContainerKind.WOOD):
        return False
    low, high = sorted(_paid(box) for box in (one, other))
    return (
        high <= low * (1 + TIE_SHARE)
        and abs(one.cost.minutes - other.cost.minutes) < FEWER_MINUTES
        and abs(_height(one) - _height(other)) < FLATTER_UM
    )


def _paid(one: Candidate) -> Fraction:
    """Money where it is known, else the billed or the gross weight."""
    if one.money is not None:
        return one.money
    return Fraction(one.weights.gross_mg) if one.billed is None else one.billed.amount


def _best(order: Order, fitting: Sequence[Candidate], objective: Objective) -> Candidate:
    """The best at something; of those as good at it as makes no difference, the one that costs least."""
    if objective is Objective.WORK:
        least = min(one.cost.minutes for one in fitting) + SAME_MINUTES
        fitting = [one for one in fitting if one.cost.minutes <= least]
    if objective is Objective.FLAT:
        lowest = min(_height(one) for one in fitting) + SAME_HEIGHT_UM
        fitting = [one for one in fitting if _height(one) <= lowest]
    return ranked(fitting, order, Objective.PRICE)[0]


def _pick(order: Order, candidates: Sequence[Candidate]) -> list[tuple[list[Purpose], Candidate]]:
    picked: list[tuple[list[Purpose], Candidate]] = []
    allowed = [one for one in candidates if one.billed is None or not one.billed.over]
    for purpose, objective in _PURPOSES:
        fitting = [one for one in allowed if purpose is not Purpose.WOODEN or one.design.family is ContainerKind.WOOD]
        if not fitting:
            continue
        best = _best(order, fitting, objective)
        known = next((purposes for purposes, one in picked if one is best), None)
        if known is not None:
            known.append(purpose)
        elif not picked or (
            _differs(purpose, best, picked[0][1]) and not any(near_equal(best, one) for _, one in picked)
        ):
            picked.append(([purpose], best))
    return picked


def with_taken(offers: Offers, taken: Candidate) -> Offers:
    """The offers with the box of the plan among them, marked as taken.

    Parameters
    ----------
    offers
        As `make_offers` gives them.
    taken
        The box of the plan.

    Returns
    -------
    Offers
        Where the box was not offered, it stands in the place of one that differs from it in nothing that matters; else
        last, in the place of the last one where there are four.
    """
    marked = [replace(offer, taken=offer.candidate is taken) for offer in offers.offers]
    if not any(offer.taken for offer in marked):
        alike = next((place for place, offer in enumerate(marked) if near_equal(offer.candidate, taken)), None)
        if alike is None:
            marked = [*marked[: MOST_OFFERS - 1], Offer((), taken, taken=True)]
        else:
            marked[alike] = replace(marked[alike], candidate=taken, taken=True)
    return replace(offers, offers=tuple(marked))


def _beside(order: Order, one: Candidate, candidates: Sequence[Candidate]) -> Message | None:
    """Name the best wooden box of the other outside, its gross weight and what it is billed."""
    if one.design.family is not ContainerKind.WOOD:
        return None
    others = [
        other
        for other in candidates
        if other.design.family is ContainerKind.WOOD and other.design.packaging != one.design.packaging
    ]
    if not others:
        return None
    other = ranked(others, order, Objective.PRICE)[0]
    gross = Weight(to_tenth_g(other.weights.gross_mg))
    if other.billed is None:
        return Message("Instead as {box}: {gross} gross.", box=other.design.name, gross=gross)
    sentence = Message(
        "Instead as {box}: {gross} gross, billed {billed}.",
        box=other.design.name,
        gross=gross,
        billed=Figure(f"{float(other.billed.amount):g}", other.billed.unit),
    )
    more = (*other.billed.flags, *other.billed.over)
    return Message("{sentence} {more}", sentence=sentence, more=Series(more, " ")) if more else sentence


def make_offers(
    order: Order, nestings: Sequence[Nesting], *, terms: Terms | None = None, billing: Billing | None = None
) -> Offers:
    """Up to four boxes that differ on purpose, from one nesting or several.

    Parameters
    ----------
    order
        As it was nested.
    nestings
        Planned nestings of it, one or more.
    terms
        Stock, rules and rates; the library's own where not given.
    billing
        A function of outside, gross weight and packaging, such as `billing_by(service)`; without one the lightest box
        counts as the cheapest to send.

    Returns
    -------
    Offers
        A box that is best at two things is offered once, with both purposes.

    Raises
    ------
    BadInput
        There is no nesting, one is not planned, or an interior is smaller than a piece.
    """
    if not nestings:
        raise BadInput("nestings", "must be at least one; there is none.")
    terms = terms or Terms()
    candidates: list[Candidate] = []
    refused: list[Infeasible] = []
    for which, nesting in enumerate(nestings):
        insert = insert_by(order, nesting, terms)
        for style in all_styles():
            found = candidate_for(order, nesting, style, terms, billing, which=which, insert=insert)
            if isinstance(found, Infeasible):
                refused.append(found)
            else:
                candidates.append(found)
    picked = _pick(order, candidates)
    offers = tuple(Offer(tuple(purposes), one, _beside(order, one, candidates)) for purposes, one in picked)
    return Offers(offers, tuple(refused), tuple(candidates))


def candidate_plan(order: Order, one: Candidate, terms: Terms, *, beside: Sequence[Candidate] = ()) -> Plan:
    """The plan of a candidate: what is stored when it is chosen.

    Parameters
    ----------
    order, one, terms
        As they were offered.
    beside
        All that was compared: the second answer is the stock carton among them, where there is one.

    Returns
    -------
    Plan
        As `plan_parcel` gives it, its box with the checks of its board and of its wood, material and minutes.
    """
    names = {
        other.design.cut_pieces[0].carton
        for other in (one, *beside)
        if other.which == one.which and other.design.family is ContainerKind.CARTON
    }
    cartons = tuple(carton for carton in terms.materials.cartons if not names or carton.name in names)
    carton = stock_carton_alternative(order, one, replace(terms.materials, cartons=cartons))
    plan = plan_of(order, one, carton)
    box = structs.replace(
        plan.box,
        grade=None if one.boards is None else grade_plan(one.boards),
        treatment=treatment_plan(one.wood),
        cost=cost_plan(one.cost),
    )
    return structs.replace(plan, box=box)


def offer_plans(order: Order, offers: Offers, terms: Terms | None = None) -> tuple[OfferPlan, ...]:
    """Give each box that is offered its whole plan.

    Parameters
    ----------
    order, offers, terms
        As handed to `make_offers` and as it gave them.

    Returns
    -------
    tuple of OfferPlan
        In the order of the offers.
    """
    terms = terms or Terms()
    return tuple(
        OfferPlan(
            plan=candidate_plan(order, offer.candidate, terms, beside=offers.candidates),
            purposes=offer.purposes,
            beside=offer.beside,
            taken=offer.taken,
        )
        for offer in offers.offers
    )

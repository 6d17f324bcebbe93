"""Up to four boxes that differ on purpose: cheapest to send, least work, flattest, wooden."""

from collections.abc import Sequence
from dataclasses import replace

from msgspec import structs

from packing.boxes import Infeasible, all_styles
from packing.materials import treatment_plan
from packing.measure import BadInput, Order
from packing.nest import Nesting
from packing.plan import Figure, Message, OfferPlan, Plan, Series, Weight
from packing.plan.kinds import ContainerKind, Objective, Purpose
from packing.planning.bills import compared_alike
from packing.planning.boxing import candidate_for, insert_by
from packing.planning.candidate import Candidate
from packing.planning.cost import cost_plan
from packing.planning.objective import SAME_HEIGHT_UM, SAME_MINUTES, best, height_um, ranked
from packing.planning.offers import (
    FEWER_MINUTES,
    FLATTER,
    FLATTER_UM,
    MOST_OFFERS,
    Offer,
    Offers,
    near_equal,
)
from packing.planning.plan import stock_carton_alternative
from packing.planning.result import plan_of
from packing.planning.terms import Billing, Terms
from packing.strength import grade_plan
from packing.units import to_tenth_g

_PURPOSES: tuple[tuple[Purpose, Objective], ...] = (
    (Purpose.CHEAPEST, Objective.PRICE),
    (Purpose.LEAST_WORK, Objective.WORK),
    (Purpose.FLATTEST, Objective.FLAT),
    (Purpose.WOODEN, Objective.PRICE),
)


def _differs(purpose: Purpose, one: Candidate, first: Candidate) -> bool:
    """Tell whether a box is worth an offer of its own beside the cheapest to send."""
    if purpose is Purpose.LEAST_WORK:
        return first.cost.minutes - one.cost.minutes >= FEWER_MINUTES
    if purpose is Purpose.FLATTEST:
        height, other = height_um(one), height_um(first)
        return height <= FLATTER * other and other - height >= FLATTER_UM
    return True


def _as_good(purpose: Purpose, one: Candidate, best: Candidate) -> bool:
    """Tell whether a box that nearly equals the best at something is as good at it."""
    if purpose is Purpose.LEAST_WORK:
        return one.cost.minutes <= best.cost.minutes + SAME_MINUTES
    if purpose is Purpose.FLATTEST:
        return height_um(one) <= height_um(best) + SAME_HEIGHT_UM
    return True


def _pick(
    order: Order, candidates: Sequence[Candidate], taken: Candidate | None = None
) -> list[tuple[list[Purpose], Candidate]]:
    """The best at each purpose; a box that is taken stands in for a best one that it nearly equals."""
    picked: list[tuple[list[Purpose], Candidate]] = []
    # What the carrier does not take is not offered, however little work it is.
    allowed = [one for one in candidates if one.billed is None or not one.billed.over]
    for purpose, objective in _PURPOSES:
        fitting = [one for one in allowed if purpose is not Purpose.WOODEN or one.design.family is ContainerKind.WOOD]
        if not fitting:
            continue
        found, own = best(fitting, order, objective), [purpose]
        # Before the others are compared with the first: it may be the one that is taken.
        if taken is not None and near_equal(found, taken):
            found, own = taken, [purpose] if _as_good(purpose, taken, found) else []
        # The first is offered as it is; every other must differ from it and from the rest by more than is felt.
        if picked and found is not picked[0][1] and not _differs(purpose, found, picked[0][1]):
            continue
        known = next((purposes for purposes, one in picked if one is found), None)
        if known is not None:
            known.extend(own)
        elif not any(near_equal(found, one) for _, one in picked):
            picked.append((own, found))
    return picked


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
        # The insert is the same whatever box goes round it, so it is made once.
        insert = insert_by(order, nesting, terms)
        for style in all_styles():
            found = candidate_for(order, nesting, style, terms, billing, which=which, insert=insert)
            if isinstance(found, Infeasible):
                refused.append(found)
            else:
                candidates.append(found)
    candidates = compared_alike(candidates)
    offers = tuple(
        Offer(tuple(purposes), one, _beside(order, one, candidates)) for purposes, one in _pick(order, candidates)
    )
    return Offers(offers, tuple(refused), tuple(candidates))


def with_taken(order: Order, offers: Offers, taken: Candidate) -> Offers:
    """The offers with the box of the plan among them, marked as taken.

    Parameters
    ----------
    order, offers
        As handed to `make_offers` and as it gave them.
    taken
        The box of the plan.

    Returns
    -------
    Offers
        Where the box nearly equals one that would be offered, it stands in its place, and what else is offered differs
        from it; else it stands last, in the place of the last one where there are four.
    """
    candidates = offers.candidates
    picked = _pick(order, candidates, taken)
    if not any(one is taken for _, one in picked):
        picked = [*picked[: MOST_OFFERS - 1], ([], taken)]
    marked = tuple(
        Offer(tuple(purposes), one, _beside(order, one, candidates) if purposes else None, taken=one is taken)
        for purposes, one in picked
    )
    return replace(offers, offers=marked)


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

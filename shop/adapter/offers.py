"""Which boxes an order is offered: up to four that differ on purpose, out of what the shop has in stock."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from msgspec import structs

from packing.boxes import Infeasible, style_of
from packing.carry import Service
from packing.check import check_plan
from packing.materials import Rates
from packing.measure import Order as OrderRead
from packing.nest import Nesting
from packing.plan import Message, OfferPlan, Plan, Refusal, to_json
from packing.plan.kinds import Objective, Status
from packing.planning import (
    Billing,
    Candidate,
    Offers,
    PlanningResult,
    Terms,
    billing_by,
    candidate_for,
    candidate_plan,
    make_offers,
    offer_plans,
    with_taken,
)
from shop.adapter.grade_rules import grade_tables_of
from shop.adapter.made_from import Stock
from shop.adapter.materials import materials_of
from shop.adapter.objective import chosen_for
from shop.adapter.refused_styles import RefusedStyle
from shop.adapter.snapshot import Snapshot, snapshot
from shop.adapter.stock import allowances_of, boards_of, joinery_of, work_of
from shop.models import Carton, Order, Shop

logger = logging.getLogger(__name__)

USUAL_STYLE = "0201"
"""The box every packer knows; other styles are offered beside it."""


@dataclass(frozen=True)
class Offered:
    """A box offered: its plan, a sentence that sets it beside its like, the rows it was made from."""

    plan: Plan
    beside: Message | None
    snapshot: Snapshot


def style_name(code: str) -> str:
    """Name a style of box.

    Parameters
    ----------
    code
        The style's code, such as "0201".

    Returns
    -------
    str
        In English; who shows it translates it.

    Raises
    ------
    BadInput
        There is no such style.
    """
    return style_of(code).name


@dataclass(frozen=True)
class Planned:
    """What came of planning.

    Parameters
    ----------
    answer
        The plan, or why there is none.
    offers
        The boxes offered with it, the first the cheapest to send; none where nothing was planned.
    refused_styles
        The boxes that could not be made.
    snapshot
        The rows that the plan's box was made from; empty where nothing was planned.
    """

    answer: Plan | Refusal
    offers: tuple[Offered, ...] = ()
    refused_styles: tuple[RefusedStyle, ...] = ()
    snapshot: Snapshot = field(default_factory=Snapshot)


def terms_for(order: Order, stock: Stock) -> Terms:
    """Gather what boxes for an order are made of and counted with: the shop's rows as the library takes them.

    Parameters
    ----------
    order
        Its shop's cartons, boards, wood and hardware in stock, its rules for board grades, its times and prices.
    stock
        As `order_file` gives it.

    Returns
    -------
    Terms
        What every box made for the order is judged by.

    Raises
    ------
    BadInput
        On a board that is not known, a kind of which nothing is in stock, or a rule that cannot be used.
    """
    return shop_terms(order.shop, stock)


def shop_terms(shop: Shop, stock: Stock) -> Terms:
    """What a shop makes boxes of; see `terms_for`."""
    cartons = list(Carton.objects.filter(shop=shop, count__gt=0))
    boards = boards_of(shop)
    chosen = materials_of(stock, cartons, boards)
    materials = replace(
        chosen,
        # A board chosen in the settings is the only one tried; else all are, light to heavy.
        boards=(chosen.board,) if stock.board else tuple(boards.values()),
        joinery=joinery_of(shop),
        allowances=allowances_of(shop),
        rates=Rates(
            currency=shop.currency,
            hour=shop.hour_price,
            work=work_of(shop),
            cartons=_prices(cartons, shop.currency),
            fastener=shop.fastener_price,
            foam_m3=shop.foam_price_m3,
            billed_unit=shop.billed_price,
            billed_in=shop.billed_price_unit,
        ),
    )
    return Terms(materials=materials, tables=grade_tables_of(shop), abroad=stock.abroad)


def _prices(cartons: Iterable[Carton], currency: str) -> dict[str, Decimal]:
    """What cartons cost in the shop's own currency; a price in another one counts as not known."""
    return {
        carton.name: carton.price
        for carton in cartons
        if carton.price is not None and (carton.currency or currency) == currency
    }


def make_choice(order: OrderRead, result: PlanningResult, terms: Terms, service: Service | None) -> Planned:
    """The plan in the lightest board that passes, and what else could be made of the search's nestings.

    Parameters
    ----------
    order, result
        A planned order.
    terms
        What boxes are made of.
    service
        Whose bill decides; None: the lightest box counts as the cheapest to send.

    Returns
    -------
    Planned
        Where no board is strong enough for a slotted case, the first offer's plan; where there is no offer either,
        status "not found" with the reason. The plan is one of the offers, marked as taken.
    """
    nesting = result.nesting
    others = [
        replace(other.nesting, seconds=nesting.seconds, steps=nesting.steps, seed=nesting.seed)
        for other in result.others
    ]
    billing = None if service is None else billing_by(service)
    found = make_offers(order, [nesting, *others], terms=terms, billing=billing)
    usual = _usual(order, nesting, terms, found.candidates, billing)
    if isinstance(usual, Candidate):
        found = with_taken(order, found, usual)
    elif found.offers:
        found = with_taken(order, found, found.offers[0].candidate)
    offers = tuple(_offered(offer, place, service, terms) for place, offer in enumerate(_sound(order, found, terms)))
    refused = tuple(RefusedStyle(one.style, one.reason) for one in found.never_made) if offers else ()
    if isinstance(usual, Candidate):
        plan = candidate_plan(order, usual, terms, beside=found.candidates)
        plan = structs.replace(plan, chosen=chosen_for(plan, service))
        return Planned(plan, offers, refused, snapshot(plan, terms))
    if offers:
        plan = offers[0].plan
        box = structs.replace(plan.box, notes=(*plan.box.notes, usual.reason))
        return Planned(structs.replace(plan, box=box), offers, refused, offers[0].snapshot)
    return Planned(_not_found(result.plan, usual))


def _not_found(plan: Plan, usual: Infeasible) -> Refusal:
    """Why no box at all can be made round what the search found."""
    return Refusal(
        order=plan.order,
        status=Status.NOT_FOUND,
        limit=usual.limit,
        item="",
        by_um=0,
        message=usual.reason,
        seconds=plan.seconds,
        steps=plan.steps,
        seed=plan.seed,
        version=plan.version,
        input_sha256=plan.input_sha256,
    )


def _offered(offer: OfferPlan, place: int, service: Service | None, terms: Terms) -> Offered:
    """An offer with its plan's record of what it is best at and of its bill."""
    plan = offer.plan
    chosen = chosen_for(plan, service)
    chosen = structs.replace(chosen, objective=Objective.OFFER, offer=place, purposes=offer.purposes)
    plan = structs.replace(plan, chosen=chosen)
    return Offered(plan, offer.beside, snapshot(plan, terms))


def _sound(order: OrderRead, offers: Offers, terms: Terms) -> list[OfferPlan]:
    """The offers whose plan the checker passes; one that it does not is an error of ours, and is logged as one."""
    sound = []
    for offer in offer_plans(order, offers, terms):
        found = [str(problem) for problem in check_plan(order, to_json(offer.plan))]
        if found:
            style = offer.plan.box.style
            logger.error("The plan of an offered box breaks a rule: order %s, %s: %s", order.id, style, found)
        else:
            sound.append(offer)
    return sound


def _usual(
    order: OrderRead, nesting: Nesting, terms: Terms, known: Sequence[Candidate], billing: Billing | None
) -> Candidate | Infeasible:
    """The slotted case of the search's own answer, or why there is none."""
    for one in known:
        if one.which == 0 and one.design.style == USUAL_STYLE:
            return one
    return candidate_for(order, nesting, style_of(USUAL_STYLE), terms, billing)

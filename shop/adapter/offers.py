"""Boxes offered for an order: up to four that differ on purpose, out of what the shop has in stock."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from decimal import Decimal

from msgspec import structs

from packing.boxes import Infeasible, style_of
from packing.carry import Service
from packing.check import check_plan
from packing.materials import Rates
from packing.measure import Order as OrderRead
from packing.plan import Message, OfferPlan, Plan, Refusal, to_json
from packing.plan.kinds import Objective, Status
from packing.planning import (
    Offers,
    PlanningResult,
    Terms,
    billing_by,
    candidate_plan,
    choose_box,
    objective_of,
    offer_plans,
)
from shop.adapter.grade_rules import grade_tables_of
from shop.adapter.made_from import Stock
from shop.adapter.materials import materials_of
from shop.adapter.objective import chosen_for
from shop.adapter.refused_styles import RefusedStyle
from shop.adapter.snapshot import Snapshot, snapshot
from shop.adapter.stock import allowances_of, boards_of, joinery_of, sheet_prices, work_of
from shop.models import Carton, Order, Shop

logger = logging.getLogger(__name__)


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
    """The outcome of planning.

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
    """The terms of a shop's boxes; see `terms_for`."""
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
            billed_minutes=shop.billed_minutes,
            sheet_m2=sheet_prices(shop),
        ),
    )
    return Terms(materials=materials, tables=grade_tables_of(shop), abroad=stock.abroad)


def _prices(cartons: Iterable[Carton], currency: str) -> dict[str, Decimal]:
    """Prices of cartons in the shop's own currency; a price in another one counts as not known."""
    return {
        carton.name: carton.price
        for carton in cartons
        if carton.price is not None and (carton.currency or currency) == currency
    }


def make_choice(order: OrderRead, result: PlanningResult, terms: Terms, service: Service | None) -> Planned:
    """The plan of the best box that can be made round the search's nestings, and what else could be made of them.

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
        The best by `packing.planning.best` for what `objective_of` says; a person may take another. It is one of the
        offers, and notes why it is no regular slotted case where it can be none. Where no box can be made at all,
        status "not found" with the reason.
    """
    billing = None if service is None else billing_by(service)
    objective = objective_of(billing, terms.materials.rates)
    choice = choose_box(order, result, terms, objective=objective, billing=billing)
    taken, found = choice.taken, choice.offers
    if isinstance(taken, Infeasible):
        return Planned(_not_found(result.plan, taken))
    offers = tuple(_offered(offer, place, service, terms) for place, offer in enumerate(_sound(order, found, terms)))
    refused = tuple(RefusedStyle(one.style, one.reason) for one in found.never_made) if offers else ()
    plan = candidate_plan(order, taken, terms, beside=found.candidates)
    purposes = next(one.purposes for one in found.offers if one.taken)
    plan = structs.replace(plan, chosen=chosen_for(plan, service, objective, purposes))
    made_from = snapshot(plan, terms)
    if choice.not_slotted is not None:
        plan = structs.replace(plan, box=structs.replace(plan.box, notes=(*plan.box.notes, choice.not_slotted)))
    return Planned(plan, offers, refused, made_from)


def _not_found(plan: Plan, usual: Infeasible) -> Refusal:
    """Say why no box at all can be made round the nestings that the search found."""
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
    chosen = structs.replace(chosen_for(plan, service, Objective.OFFER, offer.purposes), offer=place)
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

"""Which boxes an order is offered: up to four that differ on purpose, out of what the shop has in stock."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

import msgspec

from packing.boxes import Infeasible, style_of
from packing.carry import Service
from packing.check import check_plan
from packing.materials import Rates
from packing.measure import Order as OrderRead
from packing.nest import Nesting
from packing.plan import plan_from_json, render, to_json
from packing.plan.kinds import Objective, Purpose, Status
from packing.planning import (
    Billing,
    Candidate,
    PlanningResult,
    Terms,
    billing_by,
    candidate_content,
    candidate_for,
    make_offers,
    offers_content,
    with_taken,
)
from shop.adapter.materials import materials_of
from shop.adapter.objective import chosen_for
from shop.adapter.snapshot import snapshot
from shop.adapter.stock import allowances_of, boards_of, grade_tables_of, joinery_of, work_of
from shop.models import Carton, Order, Shop

logger = logging.getLogger(__name__)

REFUSAL = ("order", "seconds", "steps", "seed", "version", "input_sha256")
USUAL_STYLE = "0201"


@dataclass(frozen=True)
class Offered:
    """A box offered: the content of its plan, a sentence that sets it beside its like, the rows it was made from."""

    content: dict[str, Any]
    beside: str
    snapshot: dict[str, Any]


@dataclass(frozen=True)
class Planned:
    """What came of planning.

    Parameters
    ----------
    content
        The plan file's content, whatever its status.
    offers
        The boxes offered with it, the first the cheapest to send; none where nothing was planned.
    refused_styles
        `style` and `reason` of each box that could not be made.
    snapshot
        The rows that the content's box was made from, see `snapshot`; empty where nothing was planned.
    """

    content: dict[str, Any]
    offers: tuple[Offered, ...] = ()
    refused_styles: tuple[dict[str, str], ...] = ()
    snapshot: dict[str, Any] = field(default_factory=dict)


def terms_for(order: Order, stock: Mapping[str, Any]) -> Terms:
    """What boxes for an order are made of and counted with: the shop's rows as the library takes them.

    Parameters
    ----------
    order
        Its shop's cartons, boards, wood and hardware in stock, its rules for board grades, its times and prices.
    stock
        As `order_file` gives it.

    Raises
    ------
    BadInput
        On a board that is not known, a kind of which nothing is in stock, or a rule that cannot be used.
    """
    return shop_terms(order.shop, stock)


def shop_terms(shop: Shop, stock: Mapping[str, Any]) -> Terms:
    """What a shop makes boxes of; see `terms_for`."""
    cartons = list(Carton.objects.filter(shop=shop, count__gt=0))
    boards = boards_of(shop)
    materials = materials_of(stock, cartons, boards)
    return Terms(
        materials=materials,
        boards=(materials.board,) if stock["board"] else tuple(boards.values()),
        joinery=joinery_of(shop),
        allowances=allowances_of(shop),
        tables=grade_tables_of(shop),
        rates=Rates(
            currency=shop.currency,
            hour=shop.hour_price,
            work=work_of(shop),
            cartons=_prices(cartons, shop.currency),
            fastener=shop.fastener_price,
            foam_m3=shop.foam_price_m3,
        ),
        abroad=bool(stock.get("abroad")),
    )


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
        found = with_taken(found, usual)
    elif found.offers:
        found = with_taken(found, found.offers[0].candidate)
    sound = _sound(order, offers_content(order, found, terms)["offers"])
    offers = tuple(_offered(offer, place, service, terms) for place, offer in enumerate(sound))
    refused = tuple({"style": one.style, "reason": render(one.reason)} for one in found.never_made) if offers else ()
    if isinstance(usual, Candidate):
        content = candidate_content(order, usual, terms, beside=found.candidates)
        chosen = to_json(chosen_for(plan_from_json(content), service))
        return Planned({**content, "chosen": chosen}, offers, refused, snapshot(content, terms))
    if offers:
        content = offers[0].content
        box = {**content["box"], "notes": [*content["box"]["notes"], render(usual.reason)]}
        return Planned({**content, "box": box}, offers, refused, offers[0].snapshot)
    reason = render(usual.reason)
    why = {"status": Status.NOT_FOUND.value, "limit": usual.limit, "item": "", "by_mm": 0, "message": reason}
    content = result.content
    return Planned({**{name: content[name] for name in REFUSAL}, **why})


def _offered(offer: dict[str, Any], place: int, service: Service | None, terms: Terms) -> Offered:
    """An offer with its plan's record of what it is best at and of its bill."""
    content: dict[str, Any] = offer["plan"]
    chosen = msgspec.structs.replace(
        chosen_for(plan_from_json(content), service),
        objective=Objective.OFFER,
        offer=place,
        purposes=tuple(Purpose(name) for name in offer["purposes"]),
    )
    content = {**content, "chosen": to_json(chosen)}
    return Offered(content, offer["beside"], snapshot(content, terms))


def _sound(order: OrderRead, offered: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The offers whose plan the checker passes; one that it does not is an error of ours, and is logged as one."""
    sound = []
    for offer in offered:
        found = [str(problem) for problem in check_plan(order, offer["plan"])]
        if found:
            logger.error("The plan of an offered box breaks a rule: order %s, %s: %s", order.id, offer["name"], found)
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

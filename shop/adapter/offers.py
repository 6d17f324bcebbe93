"""Which boxes an order is offered: up to four that differ on purpose, out of what the shop has in stock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from packing.boxes import Infeasible, infeasible_content, style_of
from packing.carry import Service
from packing.check import check_plan
from packing.materials import Rates
from packing.measure import Order as OrderRead
from packing.nest import Nesting
from packing.plan import render
from packing.planning import (
    Candidate,
    Plan,
    Terms,
    billing_by,
    candidate_content,
    candidate_for,
    make_offers,
    offers_content,
)
from shop.adapter.materials import materials_of
from shop.adapter.objective import chosen_for
from shop.adapter.snapshot import snapshot
from shop.adapter.stock import allowances_of, boards_of, grade_tables_of, joinery_of, work_of
from shop.models import Carton, Order, Shop

REFUSAL = ("order", "seconds", "steps", "seed", "version", "input_sha256")
USUAL_STYLE = "0201"
OFFERED = "offer"


@dataclass(frozen=True)
class Planned:
    """What came of planning.

    Parameters
    ----------
    content
        The plan file's content, whatever its status.
    offers
        As `packing.planning.offers_content` gives it, each offer's plan with its `chosen` and beside it its `snapshot`;
        empty where nothing was planned.
    snapshot
        The rows that the content's box was made from, see `snapshot`; empty where nothing was planned.
    """

    content: dict[str, Any]
    offers: dict[str, Any]
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


def make_choice(order: OrderRead, plan: Plan, terms: Terms, service: Service | None) -> Planned:
    """The plan in the lightest board that passes, and what else could be made of the search's nestings.

    Parameters
    ----------
    order, plan
        A planned order.
    terms
        What boxes are made of.
    service
        Whose bill decides; None: the lightest box counts as the cheapest to send.

    Returns
    -------
    Planned
        Where no board is strong enough for a slotted case, the first offer's plan; where there is no offer either,
        status "not found" with the reason.
    """
    nesting = plan.nesting
    others = [
        replace(other.nesting, seconds=nesting.seconds, steps=nesting.steps, seed=nesting.seed) for other in plan.others
    ]
    found = make_offers(
        order, [nesting, *others], terms=terms, billing=None if service is None else billing_by(service)
    )
    kept = [offer for offer in offers_content(order, found, terms)["offers"] if not check_plan(order, offer["plan"])]
    for index, offer in enumerate(kept):
        bill = chosen_for(offer["plan"], service)
        offer["plan"]["chosen"] = {**bill, "aim": OFFERED, "offer": index, "purposes": offer["purposes"]}
        offer["made_of"] = snapshot(offer["plan"], terms)
    offers = {"offers": kept, "refused": [infeasible_content(one) for one in found.never_made]} if kept else {}
    usual = _usual(order, nesting, terms, found.candidates)
    if isinstance(usual, Candidate):
        content = candidate_content(order, usual, terms, beside=found.candidates)
        return Planned({**content, "chosen": chosen_for(content, service)}, offers, snapshot(content, terms))
    if kept:
        content = kept[0]["plan"]
        box = {**content["box"], "notes": [*content["box"]["notes"], render(usual.reason)]}
        return Planned({**content, "box": box}, offers, kept[0]["made_of"])
    refused = {"status": "not found", "limit": usual.limit, "item": "", "by_mm": 0, "message": render(usual.reason)}
    return Planned({**{name: plan.content[name] for name in REFUSAL}, **refused}, {})


def _usual(order: OrderRead, nesting: Nesting, terms: Terms, known: Sequence[Candidate]) -> Candidate | Infeasible:
    """The slotted case of the search's own answer, or why there is none."""
    for one in known:
        if one.which == 0 and one.design.style == USUAL_STYLE:
            return one
    return candidate_for(order, nesting, style_of(USUAL_STYLE), terms)

"""Answers to a request to pack: each parcel's box and weight at either end, and the key of a known answer."""

from __future__ import annotations

import hashlib
import json
import logging
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import packing
from packing.boxes import Infeasible, style_of
from packing.check import check_plan
from packing.measure import Order as OrderRead
from packing.measure import PackingError, input_sha256
from packing.plan import Message, Refusal, Row, Size, Weight, kinds, read_row, to_json
from packing.plan.kinds import Limit, Objective
from packing.planning import (
    Billing,
    Candidate,
    PlanningResult,
    Terms,
    billing_by,
    candidate_for,
    candidate_plan,
    choose_box,
    objective_of,
    plan_parcel,
    split_by_weight,
)
from shop.adapter.made_from import kept
from shop.adapter.objective import service_in
from shop.adapter.offers import shop_terms
from shop.adapter.plans import of_any_size
from shop.adapter.requests import PackOrders
from shop.models import Shop

logger = logging.getLogger(__name__)


class ParcelEnd(Row, frozen=True):
    """One parcel at one end of its range.

    Parameters
    ----------
    style
        The code of its box's style.
    outer_um, most_um
        Its outside, and in the thickest stock allowed.
    gross_mg, tolerance_mg
        Its gross weight, and how far it may be off.
    packaging
        What its outside is made of.
    """

    style: str
    outer_um: Size
    most_um: Size
    gross_mg: int
    tolerance_mg: int
    packaging: kinds.Packaging


class ParcelAnswer(Row, frozen=True):
    """One parcel: the places of its items among the request's, from 0, and its two ends."""

    items: tuple[int, ...]
    least: ParcelEnd
    most: ParcelEnd


class Answer(Row, frozen=True):
    """The answer to a request: its parcels."""

    parcels: tuple[ParcelAnswer, ...]


class NoAnswer(PackingError):
    """A request that no box was found for; `reason` is the sentence why."""

    code = "conflict"

    def __init__(self, reason: Message) -> None:
        super().__init__(str(reason))
        self.reason = reason


class TooHeavy(NoAnswer):
    """No box was found that is light enough for one parcel."""


PIECES_SHARES = (0.87, 0.8, 0.73)
"""Part of a gross weight that its pieces are taken for, the first that leaves every parcel within its limit; box and
insert are the rest (estimates: what is planned is weighed, and where it is too heavy the next is tried)."""


def answer_key(shop: Shop, orders: PackOrders) -> str:
    """Name an answer by all that decides it: items, rules, stock, and the state of the code.

    Parameters
    ----------
    shop
        Its boards, wood, hardware, cartons, times and prices count.
    orders
        As `pack_orders` gives them.

    Returns
    -------
    str
        64 hexadecimal figures. What was asked for in another order, or under other names, has the same key.
    """
    terms = shop_terms(shop, orders.stock)
    # Terms are frozen rows through and through: their text says all there is to them.
    decides = [
        input_sha256(orders.least),
        input_sha256(orders.most),
        orders.together,
        kept(orders.stock),
        repr(terms),
        code_state(),
    ]
    return hashlib.sha256(json.dumps(decides, sort_keys=True).encode()).hexdigest()


@lru_cache(maxsize=1)
def code_state() -> str:
    """A name for what the planning code says now: an answer of an earlier state is never taken for one of today.

    Returns
    -------
    str
        64 hexadecimal figures, of every source file of the library.
    """
    digest = hashlib.sha256()
    here = Path(packing.__file__).parent
    for path in sorted(here.rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def plan_answer(shop: Shop, orders: PackOrders, *, seconds: float) -> Answer:
    """Plan both ends of a request: one box, or as few as the shop's limit of weight allows, without offers beside them.

    Parameters
    ----------
    shop
        Whose stock it is packed in.
    orders
        As `pack_orders` gives them.
    seconds
        Bounds the search of either end; both are searched for at once.

    Returns
    -------
    Answer
        Both ends in the style of box that an order of the most would be given, found by a shorter search.

    Raises
    ------
    NoAnswer
        No box was found for one of the ends.
    BadInput
        A row of the shop's cannot be used.
    """
    terms = shop_terms(shop, orders.stock)
    limit_mg, weights = orders.most.rules.max_gross_mg, [item.weight_mg for item in orders.most.items]
    try:
        if limit_mg is None or sum(weights) < limit_mg:
            return Answer((_parcel(tuple(range(len(weights))), orders, terms, seconds),))
    except TooHeavy:
        if len(weights) == 1:
            raise
    return _several(orders, terms, weights, limit_mg or 0, seconds)


def _several(orders: PackOrders, terms: Terms, weights: list[int], limit_mg: int, seconds: float) -> Answer:
    """Several parcels, as few as the shop's limit allows; where one's box is too heavy after all, less goes in each."""
    heavy = Message("One piece alone is too heavy for a parcel of {limit} at most.", limit=Weight(limit_mg))
    for share in PIECES_SHARES:
        # Less than all: one parcel was too heavy already.
        room = min(int(limit_mg * share), sum(weights) - 1)
        if max(weights) > room:
            break
        parts = split_by_weight(weights, room, together=orders.together)
        try:
            return Answer(tuple(_parcel(places, orders, terms, seconds / len(parts)) for places in parts))
        except TooHeavy as fault:
            heavy = fault.reason
    raise NoAnswer(heavy)


def _parcel(places: tuple[int, ...], orders: PackOrders, terms: Terms, seconds: float) -> ParcelAnswer:
    """Both ends of one parcel. Raises NoAnswer where one has no box, TooHeavy where it is too heavy."""
    most_order, least_order = _part(orders.most, places), _part(orders.least, places)
    if orders.firm:
        found = _searched(most_order, orders, terms, seconds)
        only = _checked(most_order, _best(most_order, found, orders, terms), terms)
        return ParcelAnswer(places, only, only)
    # The search lets other threads run, so that both ends take the time of one where there are two cores.
    with ThreadPoolExecutor(1) as other:
        waiting = other.submit(_searched, least_order, orders, terms, seconds)
        found = _searched(most_order, orders, terms, seconds)
        least_found = waiting.result()
    taken = _best(most_order, found, orders, terms)
    most = _checked(most_order, taken, terms)
    # One box for both: between two styles the lighter pieces could come out heavier.
    style = style_of(taken.design.style)
    same = candidate_for(least_order, least_found.nesting, style, terms, _billing(orders))
    lighter = _best(least_order, least_found, orders, terms) if isinstance(same, Infeasible) else same
    return ParcelAnswer(places, _checked(least_order, lighter, terms), most)


def _part(order: OrderRead, places: tuple[int, ...]) -> OrderRead:
    return replace(order, items=tuple(order.items[place] for place in places))


def _billing(orders: PackOrders) -> Billing | None:
    service = service_in(orders.stock)
    return None if service is None else billing_by(service)


def _searched(order: OrderRead, orders: PackOrders, terms: Terms, seconds: float) -> PlanningResult:
    """The search's answer for one end. Raises NoAnswer where there is none."""
    billing = _billing(orders)
    result = plan_parcel(
        order,
        seconds=seconds,
        aim=Objective.VOLUME if billing is None else Objective.PRICE,
        billing=billing,
        materials=of_any_size(terms.materials),
    )
    if isinstance(result.answer, Refusal):
        kind = TooHeavy if result.answer.limit == Limit.GROSS_WEIGHT else NoAnswer
        raise kind(result.answer.message)
    return result


def _best(order: OrderRead, result: PlanningResult, orders: PackOrders, terms: Terms) -> Candidate:
    """The best box of every style round the search's own nesting; an order compares its other nestings too."""
    billing = _billing(orders)
    objective = objective_of(billing, terms.materials.rates)
    taken = choose_box(order, replace(result, others=()), terms, objective=objective, billing=billing).taken
    if isinstance(taken, Infeasible):
        kind = TooHeavy if taken.limit == Limit.GROSS_WEIGHT else NoAnswer
        raise kind(taken.reason)
    return taken


def _checked(order: OrderRead, one: Candidate, terms: Terms) -> ParcelEnd:
    """The box of one end, once the separate checker has passed its plan."""
    broken = [str(problem) for problem in check_plan(order, to_json(candidate_plan(order, one, terms)))]
    if broken:
        logger.error("The plan of a quote breaks a rule: %s", broken)
        raise NoAnswer(Message("The box that was found breaks a rule of its plan: nothing is quoted."))
    design = one.design
    return ParcelEnd(
        style=design.style,
        outer_um=design.outer_um,
        most_um=design.most_um,
        gross_mg=one.weights.gross_mg,
        tolerance_mg=one.weights.tolerance_mg,
        packaging=design.packaging,
    )


def answer_content(answer: Answer) -> dict[str, object]:
    """Write an answer as it is stored.

    Parameters
    ----------
    answer
        As `plan_answer` gives it.

    Returns
    -------
    dict
        Plain JSON values; `read_answer` reads them again.
    """
    return to_json(answer)


def read_answer(content: Mapping[str, object]) -> Answer:
    """Read a stored answer.

    Parameters
    ----------
    content
        As `answer_content` writes it.

    Returns
    -------
    Answer

    Raises
    ------
    BadPlanFile
        It cannot be read.
    """
    return read_row(content, Answer)

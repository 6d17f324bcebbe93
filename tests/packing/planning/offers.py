"""An order of one hammer, its nesting, and the boxes offered for it, with prices and without."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from packing.boxes import style_of
from packing.carry import SERVICES
from packing.insert import make_insert
from packing.materials import (
    BOARDS,
    EXAMPLE_CARTONS,
    LABOUR_TIMES,
    PE_FOAM,
    PLANKS,
    PLYWOOD,
    Joinery,
    Rates,
    ShopMaterials,
)
from packing.measure import read_order
from packing.nest import nest
from packing.planning import (
    Billing,
    Candidate,
    Terms,
    billing_by,
    candidate_for,
    make_offers,
)
from tests.helpers import instance

HAMMER = {
    "id": "CH125-007",
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}
ORDER = read_order({"id": "A-17", "items": [HAMMER]})
NESTING = nest(ORDER, effort=1)
UPS = next(service for service in SERVICES if service.carrier == "UPS" and service.side_rounding == "up")


INSERT = make_insert(ORDER, NESTING, PE_FOAM)
SLOW_BLANKS = Rates(
    work=tuple(replace(row, minutes=Decimal(9)) if row.what == "blank" else row for row in LABOUR_TIMES)
)
"""A blank takes so long to cut that a bought carton saves more than five minutes."""


def offered(**materials: Any) -> Any:
    return make_offers(ORDER, [NESTING], terms=Terms(ShopMaterials(**materials)), billing=billing_by(UPS))


def candidate(code: str, terms: Terms | None = None, billing: Billing | None = None) -> Candidate:
    """The candidate of a style, which can be made."""
    return instance(Candidate, candidate_for(ORDER, NESTING, style_of(code), terms or Terms(), billing))


def by_purpose(found: Any) -> Any:
    return {purpose: offer for offer in found.offers for purpose in offer.purposes}


PRICED = Rates(
    hour=Decimal(30),
    foam_m3=Decimal(290),
    fastener=Decimal("0.04"),
    cartons={carton.name: Decimal("1.10") for carton in EXAMPLE_CARTONS},
    billed_unit=Decimal("1.20"),
)


def priced(rates: Any = PRICED, orders: Any = None) -> Any:
    """Offers of one hammer, or of another order, where every price is known."""
    joinery = Joinery(
        planks=tuple(replace(one, price=Decimal(6)) for one in PLANKS),
        panels=tuple(replace(one, price=Decimal(24)) for one in PLYWOOD),
    )
    boards = tuple(replace(board, price_m2=Decimal("1.6")) for board in BOARDS)
    terms = Terms(ShopMaterials(cartons=EXAMPLE_CARTONS, boards=boards, joinery=joinery, rates=rates))
    order, nestings = orders or (ORDER, [NESTING])
    return make_offers(order, nestings, terms=terms, billing=billing_by(UPS))

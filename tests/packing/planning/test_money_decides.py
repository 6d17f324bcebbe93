"""Offers held against each other in money: billed weight by its worth, material and minutes by their prices."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from typing import Any

import pytest

from packing.materials import (
    C_FLUTE,
    Carton,
    Rates,
)
from packing.measure import read_order
from packing.nest import nest
from packing.plan import Message
from packing.planning import (
    Terms,
    candidate_plan,
    cost_of,
    near_equal,
    with_taken,
)
from tests.helpers import present
from tests.packing.box_specs import box_spec, designed
from tests.packing.planning.offers import HAMMER, INSERT, ORDER, PRICED, offered, priced


def test_money_is_billed_weight_by_its_worth_and_material_and_minutes_by_their_prices() -> None:
    for one in priced().candidates:
        minutes = sum(line.quantity * 60 for line in one.cost.lines if line.unit == "hour")
        material = sum(line.quantity * line.price for line in one.cost.lines if line.unit != "hour")
        expected = one.billed.amount * Fraction("1.20") + Fraction(material) + Fraction(minutes) / 60 * 30
        assert one.money == expected
        assert one.cost.missing == ()


def test_a_worth_by_the_kilogram_counts_pounds_that_are_billed_as_kilograms() -> None:
    by_kg = priced(replace(PRICED, billed_unit=Decimal("1.20") / Decimal("0.45359237"), billed_in="kg"))
    for one, other in zip(priced().candidates, by_kg.candidates, strict=True):
        assert float(one.money) == pytest.approx(float(other.money), abs=1e-9)


def test_of_boxes_within_two_per_cent_of_the_least_money_the_one_with_less_work_is_offered_first() -> None:
    found = priced()
    least = min(one.money for one in found.candidates if not one.billed.flags)
    tied = [one for one in found.candidates if not one.billed.flags and one.money <= least * Fraction(105, 100)]
    first = found.offers[0].candidate
    assert first in tied
    assert first.cost.minutes <= min(one.cost.minutes for one in tied) + 1


def test_without_prices_a_telescope_does_not_stand_before_a_wrap_of_less_work_at_the_same_bill() -> None:
    first = offered().offers[0].candidate
    same = [one for one in offered().candidates if one.billed.amount == first.billed.amount and not one.billed.flags]
    assert {one.design.style for one in same} >= {"0300 partial", "wrap"}
    assert first.cost.minutes <= min(one.cost.minutes for one in same) + 1


def orders_of_one_to_eight() -> Iterator[Any]:
    """Eight orders of hammers alike, each with its nestings."""
    for count in range(1, 9):
        order = read_order({"id": f"A-{count}", "items": [HAMMER | {"id": f"CH125-{n:03}"} for n in range(count)]})
        nesting = nest(order, effort=60, pareto_front=True)
        yield order, [nesting, *nesting.others]


@pytest.mark.parametrize("money", [True, False])
def test_no_offer_is_odd(money: Any) -> None:
    """Each betters the first by enough, none is another again."""
    rates = PRICED if money else Rates()
    for orders in orders_of_one_to_eight():
        first, *others = priced(rates, orders).offers
        for offer in others:
            one, beside = offer.candidate, first.candidate
            if "least work" in offer.purposes:
                assert beside.cost.minutes - one.cost.minutes >= 5
            if "flattest" in offer.purposes:
                assert min(beside.design.outer_um) - min(one.design.outer_um) >= 20_000
        picked = [offer.candidate for offer in (first, *others)]
        assert len(picked) <= 4
        assert not any(near_equal(one, other) for one, other in combinations(picked, 2))


def test_the_box_of_the_plan_takes_the_place_of_one_that_is_as_good_and_keeps_its_purposes() -> None:
    found = priced()
    first = found.offers[0]
    twin = replace(first.candidate, which=7)
    offers = with_taken(ORDER, found, twin).offers
    assert (offers[0].candidate, offers[0].purposes, offers[0].taken) == (twin, first.purposes, True)
    assert len(offers) == len(found.offers)


def test_a_box_of_the_plan_that_differs_stands_beside_the_others_and_there_are_four_at_most() -> None:
    found = priced()
    telescope = next(one for one in found.candidates if one.design.style == "0300")
    assert not any(near_equal(telescope, offer.candidate) for offer in found.offers)
    offers = with_taken(ORDER, found, telescope).offers
    assert [offer.candidate for offer in offers if offer.taken] == [telescope]
    assert len(offers) <= 4


def worked(one: Any, minutes: str, **changes: Any) -> Any:
    """A candidate that takes so many minutes."""
    return replace(one, cost=replace(one.cost, minutes=Decimal(minutes)), **changes)


def test_less_work_is_held_against_the_box_of_the_plan_where_that_stands_first() -> None:
    """Four minutes lie between the two cheapest: neither is worth an offer beside the other, the third is."""
    found = priced()
    first = found.offers[0].candidate
    taken, cheapest, quick = (worked(first, minutes) for minutes in ("58", "54", "51.5"))
    quick = replace(quick, money=first.money * Fraction(103, 100))
    candidates = replace(found, candidates=(taken, cheapest, quick))
    offers = with_taken(ORDER, candidates, taken).offers
    assert [(offer.candidate, offer.purposes, offer.taken) for offer in offers] == [
        (taken, ("cheapest to send", "flattest"), True),
        (quick, ("least work",), False),
    ]


def test_a_box_of_less_work_is_not_called_flattest_for_a_centimetre() -> None:
    found = priced()
    first = found.offers[0].candidate
    length, width, height = first.design.outer_um
    lower = replace(first.design, outer_um=(length, width - 10_000, height))
    taken, quick = worked(first, "58"), worked(first, "50", design=lower, money=first.money * Fraction(103, 100))
    offers = with_taken(ORDER, replace(found, candidates=(taken, quick)), taken).offers
    assert [(offer.candidate, offer.purposes) for offer in offers] == [
        (taken, ("cheapest to send",)),
        (quick, ("least work",)),
    ]


def test_a_box_of_the_plan_that_meets_a_surcharge_stands_in_for_none_that_does_not() -> None:
    found = priced()
    first = found.offers[0].candidate
    flagged = replace(first, billed=replace(first.billed, flags=(Message("Too long."),)))
    assert not near_equal(first, flagged)
    offers = with_taken(ORDER, replace(found, candidates=(*found.candidates, flagged)), flagged).offers
    assert offers[0].candidate is first
    assert [offer.purposes for offer in offers if offer.taken] == [()]


def test_what_has_no_price_is_named_by_kind_and_row() -> None:
    one = next(one for one in offered().candidates if one.design.style == "0201")
    rows = present(candidate_plan(ORDER, one, Terms()).box.cost).unpriced
    assert [(row.kind, row.name) for row in rows] == [
        ("board", one.design.board.name),
        ("foam", "PE foam"),
        ("hour", ""),
        ("billed weight", ""),
    ]
    assert present(candidate_plan(ORDER, priced().offers[0].candidate, Terms()).box.cost).unpriced == ()


def test_what_fills_a_bought_carton_is_paid_and_worked_for_too() -> None:
    """A carton of 400 × 300 × 105 mm round an insert of 300 × 200 × 90 mm: foam for the sides and a sheet on top."""
    size = (400_000, 300_000, 105_000)
    one = designed("carton", box_spec((300_000, 200_000, 90_000), cartons=(Carton("C", size, C_FLUTE),)))
    bare = cost_of(replace(one, fill_mg=0), INSERT, Rates(foam_m3=Decimal(300)))
    filled = cost_of(one, INSERT, Rates(foam_m3=Decimal(300)))
    # Sides cut 2 mm short of the carton; what is left over the insert is one sheet of 15 mm.
    litres = 3.98 * 2.98 * (0.9 + 0.15) - 3 * 2 * 0.9
    assert float(filled.known - bare.known) == pytest.approx(litres * 0.3, abs=0.001 * 300 / 2 + 0.01)
    assert dict(one.work)["foam sheet"] == 1
    assert dict(one.work)["foam edge m"] == pytest.approx(2 * (0.398 + 0.298) * 2)


IN_MINUTES = replace(PRICED, hour=None, billed_unit=None, billed_minutes=Decimal("2.5"))


def test_without_prices_billed_weight_counts_by_the_minutes_it_is_worth() -> None:
    for one in priced(IN_MINUTES).candidates:
        assert one.money == one.billed.amount * Fraction("2.5") + Fraction(one.cost.minutes)
        assert one.cost.sending is None and not one.in_money


def test_prices_come_before_the_minutes_that_billed_weight_is_worth() -> None:
    both = priced(replace(PRICED, billed_minutes=Decimal(400)))
    assert [one.money for one in both.candidates] == [one.money for one in priced().candidates]


def test_a_pound_that_is_worth_many_minutes_is_saved_and_one_worth_none_is_not() -> None:
    def first(minutes: int) -> Any:
        return priced(replace(IN_MINUTES, billed_minutes=Decimal(minutes))).offers[0].candidate

    found = [one for one in priced().candidates if not one.billed.over and not one.billed.flags]
    least = min(Fraction(one.cost.minutes) for one in found)
    assert first(0).cost.minutes <= least * Fraction(102, 100) + 1
    assert first(1000).billed.amount <= min(one.billed.amount for one in found) * Fraction(102, 100)

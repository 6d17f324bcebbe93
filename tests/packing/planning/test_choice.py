"""The box that is taken: the best of every style, by one objective for the command line, for shops and their offers."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from packing.boxes import Infeasible
from packing.carry import SERVICES
from packing.check import check_plan
from packing.cli.boxing import boxed_best
from packing.materials import BOARDS, C_FLUTE, EXAMPLE_CARTONS, LABOUR_TIMES, Joinery, Rates, ShopMaterials
from packing.measure import read_order
from packing.plan import to_json
from packing.plan.kinds import Objective, Purpose
from packing.planning import Terms, billing_by, choose_box, objective_of, plan_parcel
from tests.packing.planning.offers import HAMMER

ORDER = read_order({"id": "A-18", "items": [HAMMER, {**HAMMER, "id": "CH125-008"}]})
UPS = billing_by(next(one for one in SERVICES if one.carrier == "UPS" and one.side_rounding == "up"))
SEARCHED = plan_parcel(ORDER, effort=2000, aim="price", billing=UPS, several=True)
PRICED = Rates(hour=Decimal(40), billed_unit=Decimal("2.20"), fastener=Decimal("0.04"), foam_m3=Decimal(300))
DEAR_BLANKS = tuple(replace(row, minutes=Decimal(30)) if row.what == "blank" else row for row in LABOUR_TIMES)


def chosen(objective: Objective, billing: Any = UPS, **materials: Any) -> Any:
    return choose_box(ORDER, SEARCHED, Terms(ShopMaterials(**materials)), objective=objective, billing=billing)


def paid(one: Any) -> Any:
    return one.billed.amount if one.money is None else one.money


@pytest.mark.parametrize("rates", [Rates(), PRICED])
def test_no_box_that_costs_as_little_is_less_work_than_the_one_taken(rates: Rates) -> None:
    choice = chosen(Objective.PRICE, rates=rates)
    met = len(choice.taken.billed.flags)
    rivals = [one for one in choice.offers.candidates if not one.billed.over and len(one.billed.flags) <= met]
    least = min(paid(one) for one in rivals)
    assert paid(choice.taken) <= least * Fraction(102, 100)
    as_cheap = [one.cost.minutes for one in rivals if paid(one) <= least * Fraction(102, 100)]
    assert choice.taken.cost.minutes <= min(as_cheap) + 1


@pytest.mark.parametrize("objective", [Objective.PRICE, Objective.WORK, Objective.FLAT, Objective.VOLUME])
def test_the_box_taken_is_one_of_the_offers(objective: Objective) -> None:
    choice = chosen(objective)
    assert [offer.candidate for offer in choice.offers.offers if offer.taken] == [choice.taken]


def test_the_box_taken_by_price_is_the_first_offer() -> None:
    first = chosen(Objective.PRICE).offers.offers[0]
    assert first.taken
    assert Purpose.CHEAPEST in first.purposes


def test_a_stock_carton_is_taken_where_blanks_take_long_and_work_is_dear() -> None:
    rates = replace(PRICED, work=DEAR_BLANKS, cartons={"carton 450 × 300 × 200": Decimal(1)})
    assert chosen(Objective.WORK, rates=rates).taken.design.style == "carton"
    assert chosen(Objective.WORK, rates=rates, cartons=()).taken.design.style != "carton"


@pytest.mark.parametrize(
    ("billing", "rates", "objective"),
    [
        (None, Rates(), Objective.VOLUME),
        (None, Rates(hour=Decimal(40)), Objective.VOLUME),
        (None, PRICED, Objective.PRICE),
        (None, Rates(billed_minutes=Decimal(5)), Objective.VOLUME),
        (UPS, Rates(), Objective.PRICE),
    ],
)
def test_boxes_are_taken_by_price_where_a_carrier_or_the_shop_says_what_weight_costs(
    billing: Any, rates: Rates, objective: Objective
) -> None:
    assert objective_of(billing, rates) is objective


def test_the_least_volume_is_of_the_least_interior_and_its_box_of_little_work() -> None:
    choice = chosen(Objective.VOLUME, billing=None)
    least = min(one.nesting.volume_um3 for one in choice.offers.candidates)
    assert choice.taken.nesting.volume_um3 == least
    rivals = [one for one in choice.offers.candidates if one.nesting.volume_um3 == least]
    lightest = min(one.weights.gross_mg for one in rivals)
    as_light = [one for one in rivals if one.weights.gross_mg <= lightest * Fraction(105, 100)]
    assert choice.taken in as_light
    assert choice.taken.cost.minutes <= min(one.cost.minutes for one in as_light) + 1


@pytest.mark.parametrize("objective", [Objective.PRICE, Objective.WORK, Objective.FLAT])
def test_the_command_line_takes_what_a_shop_with_the_same_stock_takes(objective: Objective) -> None:
    plan = boxed_best(ORDER, SEARCHED, objective, UPS)
    taken = chosen(objective, cartons=()).taken
    assert (plan.box.style, plan.box.outer_um) == (taken.design.style, taken.design.outer_um)
    assert check_plan(ORDER, to_json(plan)) == []


def test_why_it_is_no_slotted_case_is_said_where_it_can_be_none() -> None:
    weak = replace(C_FLUTE, burst_psi=100, facings_lb=40, ect_lb_in=20, name="weak board")
    choice = chosen(Objective.PRICE, cartons=(), boards=(weak,))
    assert choice.taken.design.style in {"boards", "ply", "sliding"}
    assert "weak board fails" in str(choice.not_slotted)
    assert chosen(Objective.PRICE).not_slotted is None


def test_where_nothing_can_be_made_the_slotted_cases_reason_is_given() -> None:
    weak = replace(C_FLUTE, burst_psi=100, facings_lb=40, ect_lb_in=20, name="weak board")
    choice = chosen(Objective.PRICE, cartons=(), boards=(weak,), joinery=Joinery(planks=(), panels=()))
    assert isinstance(choice.taken, Infeasible)
    assert "weak board fails" in str(choice.taken.reason)
    assert choice.offers.offers == ()


def test_a_box_of_which_a_price_is_missing_does_not_count_as_given_away() -> None:
    boards = tuple(replace(board, price_m2=Decimal(4)) for board in BOARDS)
    sheets = Joinery(planks=(), panels=())
    known, unknown = (
        chosen(Objective.PRICE, rates=replace(PRICED, cartons=cartons), boards=boards, joinery=sheets)
        for cartons in ({one.name: Decimal(40) for one in EXAMPLE_CARTONS}, {})
    )
    assert known.taken.design.style != "carton"
    money = {one.design.style: one.money for one in unknown.offers.candidates if one.which == unknown.taken.which}
    for one in unknown.offers.candidates:
        if one.which == unknown.taken.which:
            minutes, foam = one.cost.minutes, next(row for row in one.cost.lines if row.kind == "foam")
            rest = one.money - one.cost.sending - Fraction(foam.amount)
            assert float(rest) == pytest.approx(float(minutes) / 60 * 40, abs=0.05)
    assert len(set(money.values())) > 1

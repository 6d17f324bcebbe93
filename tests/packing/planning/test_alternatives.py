"""Offers: boxes that differ on purpose, what they trade, what they cost, what is refused."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from packing.boxes import Infeasible, all_styles, style_of
from packing.check import check_plan
from packing.draw.cut_file import cut_sheets
from packing.insert import insert_work
from packing.materials import (
    C_FLUTE,
    PLYWOOD,
    Joinery,
    Rates,
    ShopMaterials,
    WoodPart,
)
from packing.measure import BadInput, read_order
from packing.nest import Nesting, nest
from packing.plan import Message, dumps, plan_from_json, to_json
from packing.plan.kinds import Status
from packing.planning import (
    Billed,
    Candidate,
    Terms,
    billing_by,
    candidate_for,
    candidate_plan,
    cost_of,
    make_offers,
    offer_plans,
)
from packing.units import to_tenth_g
from tests.helpers import instance, present
from tests.packing.box_specs import box_spec, designed
from tests.packing.planning.offers import (
    HAMMER,
    INSERT,
    NESTING,
    ORDER,
    SLOW_BLANKS,
    UPS,
    by_purpose,
    candidate,
    offered,
)


def test_four_purposes_are_each_offered_once() -> None:
    found = offered(rates=SLOW_BLANKS)
    assert sorted(by_purpose(found)) == ["cheapest to send", "flattest", "least work", "wooden"]
    assert sum(len(offer.purposes) for offer in found.offers) == 4
    assert len({(offer.candidate.design.style, offer.candidate.which) for offer in found.offers}) == len(found.offers)


def test_less_work_by_a_few_minutes_is_no_offer_of_its_own() -> None:
    found = offered()
    cheapest = by_purpose(found)["cheapest to send"].candidate.cost.minutes
    assert 0 < cheapest - min(one.cost.minutes for one in found.candidates) < 5
    assert "least work" not in by_purpose(found)


def test_no_candidate_is_better_at_an_offers_purpose() -> None:
    found = offered(rates=SLOW_BLANKS)
    offers = by_purpose(found)
    assert offers["least work"].candidate.cost.minutes == min(one.cost.minutes for one in found.candidates)
    assert min(offers["flattest"].candidate.design.outer_um) == min(
        min(one.design.outer_um) for one in found.candidates
    )
    cheapest = offers["cheapest to send"].candidate.billed
    assert not any(
        (len(one.billed.flags), one.billed.amount) < (len(cheapest.flags), cheapest.amount) for one in found.candidates
    )


def test_every_style_is_a_candidate_or_refused_with_its_reason() -> None:
    found = offered()
    tried = [one.design.style for one in found.candidates] + [one.style for one in found.refused]
    assert sorted(tried) == sorted(style.code for style in all_styles())
    assert all(one.reason for one in found.refused)


def test_a_bare_wooden_box_pays_handling_where_the_service_says_so() -> None:
    """UPS and FedEx charge additional handling for an outer container that is not corrugated; primary text."""
    billing = billing_by(UPS)
    bare, cased = (present(candidate(code, billing=billing).billed) for code in ("ply", "ply cased"))
    assert any("the outside is wood, not corrugated board" in str(flag) for flag in bare.flags)
    assert cased.flags == ()


def test_the_wooden_offer_shows_the_bare_box_beside_the_cased_one() -> None:
    offer = by_purpose(offered())["wooden"]
    assert offer.candidate.design.packaging == "corrugated"
    assert "the outside is wood" in str(offer.beside)


@pytest.mark.parametrize(("abroad", "verdict"), [(True, "mark needed"), (False, "not abroad")])
def test_sawn_boards_abroad_need_treated_wood(abroad: Any, verdict: Any) -> None:
    assert present(candidate("boards", Terms(abroad=abroad)).wood).verdict == verdict


def test_a_raw_bearer_inside_a_corrugated_box_needs_treated_wood_too() -> None:
    terms = Terms(abroad=True, inside_wood=(WoodPart("bearer", 19_000, False),))
    assert present(candidate("0201", terms).wood).parts == ("bearer",)


def test_the_best_of_several_nestings_is_offered() -> None:
    higher = replace(NESTING, interior_um=(NESTING.interior_um[0] + 300_000, *NESTING.interior_um[1:]))
    found = make_offers(ORDER, [higher, NESTING], terms=Terms(), billing=billing_by(UPS))
    assert by_purpose(found)["cheapest to send"].candidate.which == 1


def test_without_billing_the_least_work_among_the_lightest_counts_as_the_cheapest_to_send() -> None:
    found = make_offers(ORDER, [NESTING])
    first = found.offers[0].candidate
    assert first.billed is None
    least = min(one.weights.gross_mg for one in found.candidates)
    as_light = [one for one in found.candidates if one.weights.gross_mg <= least * Fraction(105, 100)]
    assert first in as_light
    assert first.cost.minutes <= min(one.cost.minutes for one in as_light) + 1


def test_a_box_over_a_carriers_limit_is_not_offered() -> None:
    def billing(_outer: Any, gross_mg: Any, packaging: Any) -> Any:
        return Billed(Fraction(gross_mg), "mg", over=(Message("no wood"),) if packaging == "wood" else ())

    found = make_offers(ORDER, [NESTING], billing=billing)
    assert all(offer.candidate.design.packaging == "corrugated" for offer in found.offers)


@pytest.mark.parametrize("code", [style.code for style in all_styles()])
def test_every_candidate_becomes_a_plan_that_the_checker_passes(code: Any) -> None:
    plans = [offer.plan for offer in offer_plans(ORDER, offered()) if offer.plan.box.style == code]
    if not plans:
        plans = [candidate_plan(ORDER, candidate(code), Terms())]
    assert check_plan(ORDER, json.loads(json.dumps(to_json(plans[0])))) == []


def plan_content(candidate: Any) -> Any:
    return to_json(candidate_plan(ORDER, candidate, Terms()))


def test_a_plan_with_a_piece_of_another_size_is_named() -> None:
    plan = json.loads(json.dumps(plan_content(candidate_for(ORDER, NESTING, style_of("ply"), Terms()))))
    plan["box"]["flats"][0]["size_mm"][0] += 1
    assert {problem.rule for problem in check_plan(ORDER, plan)} == {"box_parts"}


def test_a_plan_whose_box_is_lighter_than_its_boards_is_named() -> None:
    plan = json.loads(json.dumps(plan_content(candidate_for(ORDER, NESTING, style_of("ply"), Terms()))))
    for holder, key in ((plan["box"], "weight_g"), (plan["weight"], "box_g"), (plan["weight"], "gross_g")):
        holder[key] = round(holder[key] - 100, 1)
    assert {problem.rule for problem in check_plan(ORDER, plan)} == {"box_weight"}


def test_missing_prices_are_said_and_leave_no_total() -> None:
    cost = cost_of(designed("0201", box_spec()), INSERT, Rates())
    assert cost.total is None
    assert "The price of 42-26C-42 single wall is not known." in map(str, cost.missing)
    assert "The price of PE foam is not known." in map(str, cost.missing)
    assert "The price of an hour of work is not known." in map(str, cost.missing)


def test_known_prices_give_an_exact_total() -> None:
    board = replace(C_FLUTE, price_m2=Decimal("1.50"))
    cost = cost_of(designed("0201", box_spec(board=board)), INSERT, Rates(hour=Decimal(30), foam_m3=Decimal(290)))
    hours = next(line.quantity for line in cost.lines if str(line.what) == "work")
    length, width = INSERT.size_um
    foam = Fraction(length * width * sum(sheet.thickness_um for sheet in INSERT.sheets), 10**18)
    assert cost.total == Decimal("0.743") * Decimal("1.50") + round(Decimal(float(foam)), 3) * 290 + hours * 30
    assert cost.insert_minutes == Rates().timed(insert_work(INSERT)).minutes
    assert cost.minutes == cost.insert_minutes + Rates().timed(designed("0201", box_spec(board=board)).work).minutes


def test_a_kind_of_work_without_a_row_is_said() -> None:
    cost = cost_of(designed("0201", box_spec()), INSERT, Rates(work=()))
    assert {"The time for a blank laid out is not known.", "The time for a sheet of foam fetched is not known."} <= {
        *map(str, cost.missing)
    }
    assert cost.minutes == 0


def test_sawn_boards_are_paid_by_the_board_foot_on_nominal_size() -> None:
    made = designed("boards", box_spec((488_000, 188_000, 123_000)))
    line = next(line for line in cost_of(made, INSERT, Rates()).lines if str(line.what) == "white pine 1×6")
    feet = sum(
        flat.count * Fraction(6 * flat.size_um[0], 144 * 25_400)
        for flat in made.cut_pieces
        if flat.material.name == "white pine 1×6"
    )
    assert (line.unit, line.quantity) == ("board foot", round(Decimal(float(feet)), 3))


def test_boards_too_weak_in_every_grade_are_refused_with_limit_and_value() -> None:
    weak = replace(C_FLUTE, burst_psi=125, name="weak board")
    found = make_offers(
        ORDER, [NESTING], terms=Terms(ShopMaterials(cartons=(), boards=(weak,))), billing=billing_by(UPS)
    )
    reasons = [str(one.reason) for one in found.refused if one.style == "0201"]
    assert "weak board fails" in reasons[0]
    assert "175 psi" in reasons[0]
    assert "125 psi" in reasons[0]


def test_a_sliding_lid_thinner_than_its_groove_is_refused_and_the_rest_offered() -> None:
    joinery = Joinery(panels=(replace(PLYWOOD[0], thickness_um=5_000), *PLYWOOD[1:]), lid_um=5_000)
    found = offered(joinery=joinery)
    assert any("thinner than its groove" in str(one.reason) for one in found.refused if one.style == "sliding")
    assert found.offers


def test_an_interior_smaller_than_a_piece_is_refused_with_both() -> None:
    small = replace(NESTING, interior_um=(280_000, *NESTING.interior_um[1:]))
    with pytest.raises(BadInput, match="CH125-007, whose longest side is 292 mm; it has 280 mm"):
        make_offers(ORDER, [small])


def test_no_nesting_or_one_that_is_not_planned_is_refused() -> None:
    with pytest.raises(BadInput, match="must be at least one"):
        make_offers(ORDER, [])
    with pytest.raises(BadInput, match="must be planned"):
        make_offers(ORDER, [Nesting(Status.NOT_FOUND)])


def test_a_box_over_max_gross_g_is_refused() -> None:
    order = read_order({"id": "A-17", "rules": {"max_gross_g": 2000}, "items": [HAMMER]})
    found = candidate_for(order, NESTING, style_of("ply"), Terms())
    assert isinstance(found, Infeasible)
    assert "more than a closed box may weigh" in str(found.reason)


def test_every_offer_has_its_whole_plan_which_a_file_keeps() -> None:
    found = offered()
    for offer, made in zip(offer_plans(ORDER, found), found.offers, strict=True):
        plan = plan_from_json(json.loads(dumps(offer.plan)))
        assert plan == offer.plan
        assert (plan.box.style, offer.purposes) == (made.candidate.design.style, made.purposes)
        assert plan.weight.gross_mg == to_tenth_g(made.candidate.weights.gross_mg)
        assert present(plan.box.cost).missing
        assert cut_sheets(plan)


def test_a_style_refused_for_every_nesting_is_said_once_with_the_nearest_reason() -> None:
    longer, longest = (replace(NESTING, interior_um=(length, 200_000, 100_000)) for length in (2_600_000, 2_700_000))
    found = make_offers(ORDER, [longest, longer])
    (ply,) = (one for one in found.never_made if one.style == "ply")
    assert sum(one.style == "ply" for one in found.refused) == 2
    assert ply.value_um == min(one.value_um for one in found.refused if one.style == "ply")


def test_a_style_made_round_any_nesting_is_not_said_to_be_refused() -> None:
    long = replace(NESTING, interior_um=(2_600_000, 200_000, 100_000))
    found = make_offers(ORDER, [long, NESTING])
    assert "ply" in {one.style for one in found.refused}
    assert "ply" not in {one.style for one in found.never_made}


def test_dense_contents_go_into_a_larger_carton_where_the_smallest_is_too_small_for_them() -> None:
    anvil = {"id": "anvil", "kind": "block", "length": 200, "width": 120, "height": 100, "weight_g": 12_000}
    order = read_order({"id": "D", "items": [anvil]})
    found = make_offers(order, [nest(order, effort=1)])
    (carton,) = (one for one in found.candidates if one.design.style == "carton")
    assert carton.design.inner_um[:2] == (350_000, 250_000)
    plan = offer_plans(order, found)[0].plan
    assert present(plan.carton).name == "350 × 250 × 150"
    assert check_plan(order, to_json(plan)) == []


@pytest.mark.parametrize(("abroad", "verdict"), [(True, "exempt"), (False, "not abroad")])
def test_a_stiff_sheet_of_plywood_between_layers_is_wood_in_the_box(abroad: Any, verdict: Any) -> None:
    tin = {"kind": "block", "length": 90, "width": 80, "height": 20, "weight_g": 200, "upright": True}
    items = [{**tin, "id": f"tin {n}"} for n in range(2)]
    rules = {"stiff_sheet": 6, "max_interior": [160, 160, 200]}
    order = read_order({"id": "S", "rules": rules, "items": items})
    nesting = nest(order, effort=200)
    made = instance(Candidate, candidate_for(order, nesting, style_of("0201"), Terms(abroad=abroad)))
    assert len(made.nesting.layers) == 2
    assert present(made.wood).verdict == verdict

"""Choosing among different boxes for one order."""

from dataclasses import replace
from fractions import Fraction

import pytest

from packing.check import check_plan
from packing.insert.heights import fewer_sheets
from packing.materials import C_FLUTE, ShopMaterials
from packing.measure import BadInput, read_order
from packing.plan.kinds import Objective
from packing.planning import OBJECTIVES, Billed, Terms, make_offers, nesting_candidate, plan_parcel, score

HAMMER = {
    "kind": "tool", "head_length": 105, "head_height": 42, "head_width": 42, "eye_offset": 52.5,
    "handle_length": 250, "handle_width": 33, "handle_thickness": 23, "weight_g": 1440,
}  # fmt: skip
ORDER = read_order({"id": "T-2", "items": [{"id": f"h{n}", "mark": "face_left", **HAMMER} for n in range(4)]})


def by_weight_of_air(outer_um: tuple[int, int, int], gross_mg: int, packaging: str) -> Billed:
    """Volumetric kilograms at 5000 cm³/kg, whole kilograms up."""
    volume = Fraction(outer_um[0] * outer_um[1] * outer_um[2], 10**12)
    return Billed(Fraction(-(-volume // 5)), "kg")


@pytest.mark.parametrize("aim", OBJECTIVES)
def test_every_aim_gives_a_plan_that_the_checker_passes(aim: str) -> None:
    answer = plan_parcel(ORDER, effort=20_000, aim=aim, billing=by_weight_of_air)
    assert check_plan(ORDER, answer.content) == []


@pytest.mark.parametrize("aim", ["price", "work", "flat"])
def test_no_other_candidate_is_better_by_its_aim(aim: str) -> None:
    answer = plan_parcel(ORDER, effort=20_000, aim=aim, billing=by_weight_of_air)
    chosen = nesting_candidate(ORDER, answer.nesting, ShopMaterials(), billing=by_weight_of_air)
    least = score(chosen, ORDER, Objective(aim))
    assert answer.others
    assert all(score(other, ORDER, Objective(aim)) >= least for other in answer.others)


def test_the_flattest_box_is_no_higher_than_the_smallest() -> None:
    least, flat = plan_parcel(ORDER, effort=20_000), plan_parcel(ORDER, effort=20_000, aim="flat")
    assert min(flat.content["box"]["outer_mm"]) <= min(least.content["box"]["outer_mm"])
    assert least.nesting.volume_um3 <= flat.nesting.volume_um3


def test_an_unknown_aim_and_a_price_without_a_carrier_are_refused() -> None:
    with pytest.raises(BadInput, match="aim: must be one of volume, price, work, flat, not 'beauty'"):
        plan_parcel(ORDER, aim="beauty")
    with pytest.raises(BadInput, match="price: is missing"):
        plan_parcel(ORDER, aim="price")


def test_the_content_copies_what_was_searched() -> None:
    answer = plan_parcel(ORDER, effort=5000, seed=4)
    assert answer.content["seed"] == 4
    assert answer.content["steps"] == answer.nesting.steps > 0
    assert [item["letter"] for item in answer.content["items"]] == ["A", "B", "C", "D"]


@pytest.mark.parametrize(
    ("height", "spare", "higher"),
    [(48, 0, []), (48, 1, [49]), (48, 2, [49, 50]), (24, 1, [25]), (37, 12, []), (108, 8, [109, 110, 111, 112])],
)
def test_a_layer_grows_only_where_that_saves_a_sheet(height: int, spare: int, higher: list[int]) -> None:
    """48 is four sheets of 12, 49 is three, 50 is one; 37 is two and nothing up to 49 is one; 108 is nine."""
    assert fewer_sheets(height * 1000, spare * 1000, (12_000, 25_000, 50_000)) == [one * 1000 for one in higher]


def test_least_work_takes_one_thick_sheet_instead_of_thin_ones_where_spare_is_allowed() -> None:
    """The head of 42 mm lies in one 50 mm sheet instead of four of 12 mm."""
    order = read_order({"id": "T-3", "rules": {"layer_spare": 2}, "items": [{"id": "h", **HAMMER, "may_stand": False}]})
    least, easy = plan_parcel(order, effort=10), plan_parcel(order, effort=10, aim="work")
    assert [layer.height_um for layer in least.nesting.layers] == [48_000]
    assert [layer.height_um for layer in easy.nesting.layers] == [50_000]
    assert easy.content["insert"]["pocketed_sheets"] < least.content["insert"]["pocketed_sheets"]
    assert check_plan(order, easy.content) == []


def test_the_second_answer_weighs_what_the_same_carton_weighs_among_the_offers() -> None:
    """One carton, one figure: pad, slots and filling foam included."""
    answer = plan_parcel(ORDER, effort=5000)
    offers = make_offers(ORDER, [answer.nesting], terms=Terms()).offers
    (box,) = [one.candidate for one in offers if one.candidate.design.style == "carton"]
    assert answer.content["carton"]["outer_mm"] == [side / 1000 for side in box.design.outer_um]
    assert answer.content["carton"]["weight_g"] == pytest.approx(box.design.weight_mg / 1000, abs=0.051)
    assert answer.content["carton"]["gross_g"] == pytest.approx(box.weights.gross_mg / 1000, abs=0.051)


def test_without_a_carton_the_plan_says_why_apart_from_its_notes() -> None:
    answer = plan_parcel(ORDER, effort=1, materials=replace(ShopMaterials(), cartons=()))
    assert answer.content["carton"] is None
    assert not any("carton" in str(note) for note in answer.plan.notes)
    assert answer.content["no_carton"] == "There are no stock cartons to choose from."


def test_several_candidates_come_with_the_smallest_box_where_they_are_asked_for() -> None:
    least, alone = plan_parcel(ORDER, effort=20_000, several=True), plan_parcel(ORDER, effort=20_000)
    assert least.nesting.interior_um == alone.nesting.interior_um
    assert (bool(least.others), alone.others) == (True, ())


def test_without_a_carrier_each_purpose_still_takes_its_own_nesting() -> None:
    answer = plan_parcel(ORDER, effort=20_000, several=True)
    nestings = [answer.nesting, *(other.nesting for other in answer.others)]
    offers = make_offers(ORDER, nestings).offers
    assert len({offer.candidate.which for offer in offers}) > 1
    flattest = next(offer.candidate for offer in offers if "flattest" in offer.purposes)
    first = make_offers(ORDER, nestings[:1]).candidates
    assert min(flattest.design.outer_um) < min(min(one.design.outer_um) for one in first)


def test_a_nesting_whose_blank_no_sheet_takes_leaves_the_others() -> None:
    free = plan_parcel(ORDER, effort=20_000, several=True)
    along = [nesting_candidate(ORDER, free.nesting, ShopMaterials()).design.cut_pieces[0].size_um[1]]
    along += [one.design.cut_pieces[0].size_um[1] for one in free.others]
    answer = plan_parcel(
        ORDER,
        effort=20_000,
        several=True,
        materials=ShopMaterials(board=replace(C_FLUTE, sheet_um=(9_000_000, min(along)))),
    )
    assert (answer.status, len(answer.others) < len(free.others)) == ("planned", True)


def test_where_no_sheet_takes_any_blank_the_plan_is_refused_with_both_sizes() -> None:
    small = replace(C_FLUTE, sheet_um=(300_000, 300_000))
    with pytest.raises(BadInput, match=r"board: The 0201 blank is .* the flutes.*; the sheet of .* is 300 mm"):
        plan_parcel(ORDER, effort=2_000, materials=ShopMaterials(board=small))


def test_a_box_that_a_rule_does_not_allow_says_so_with_limit_and_value() -> None:
    block = {"kind": "block", "length": 300, "width": 300, "height": 150, "weight_g": 30_000}
    weighty = read_order({"id": "W", "items": [{"id": "anvil", **block}]})
    (note,) = (
        str(one) for one in plan_parcel(weighty, effort=2_000).plan.box.notes if str(one).startswith("Do not send it")
    )
    assert "board of 350 psi burst; 42-26C-42 single wall has 200 psi." in note
    notes = plan_parcel(ORDER, effort=2_000).plan.box.notes
    assert not any(str(one).startswith("Do not send it") for one in notes)

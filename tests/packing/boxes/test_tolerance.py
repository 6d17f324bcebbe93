"""Stock as thick as its tolerance allows: the insert still goes in, the outside is known; and how stock may be cut."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from packing.boxes import box_plan, make_box
from packing.carry import SERVICES, bill
from packing.materials import C_FLUTE, PLANKS, PLYWOOD, Joinery, ShopMaterials
from packing.measure import BadInput, read_order
from packing.messages import Message
from packing.nest import nest
from packing.plan import to_json
from packing.planning import Billed, Terms, make_offers
from tests.helpers import present
from tests.packing.box_specs import CORRUGATED, INTERIORS, WOODEN, box_spec, designed, refused
from tests.packing.boxes.folding import folded_inside

LOOSE_UM = 2_600
LOOSE = replace(C_FLUTE, caliper_tolerance_um=LOOSE_UM)
LOOSE_PLY = tuple(replace(one, thickness_tolerance_um=1_800) for one in PLYWOOD)
LOOSE_PLANKS = tuple(replace(one, thickness_tolerance_um=1_800) for one in PLANKS)
USUAL_PANELS = Joinery(panels=LOOSE_PLY, planks=LOOSE_PLANKS)


def usual(interior: Any, **changes: Any) -> Any:
    """A specification with the usual room."""
    return box_spec(interior, **({"fit_um": None} | changes))


def in_thickest(made: Any) -> Any:
    """The very same pieces cut from stock as thick as it may be."""
    return replace(
        made,
        cut_pieces=tuple(
            replace(
                flat,
                material=replace(
                    flat.material, caliper_um=flat.material.caliper_um + flat.material.caliper_tolerance_um
                ),
            )
            for flat in made.cut_pieces
        ),
    )


@pytest.mark.parametrize("interior", INTERIORS)
@pytest.mark.parametrize("code", CORRUGATED)
def test_a_blank_folded_in_the_thickest_board_allowed_still_takes_the_insert(code: Any, interior: Any) -> None:
    made = designed(code, usual(interior, board=LOOSE))
    inside = folded_inside(in_thickest(made), made.folds[0])
    assert all(room >= side for room, side in zip(inside, interior, strict=True))


@pytest.mark.parametrize("code", ["0201", "0203", "wrap"])
def test_the_greatest_outside_is_what_the_same_blank_folds_to_in_the_thickest_board(code: Any) -> None:
    made = designed(code, usual(INTERIORS[0], board=LOOSE))
    t, thick = C_FLUTE.caliper_um, in_thickest(made)
    layers = [
        (outer - inner) // t for outer, inner in zip(made.outer_um, folded_inside(made, made.folds[0]), strict=True)
    ]
    inside = folded_inside(thick, thick.folds[0])
    outside = [room + count * (t + LOOSE_UM) for room, count in zip(inside, layers, strict=True)]
    assert all(abs(most - out) <= 1 for most, out in zip(made.most_um, outside, strict=True))


@pytest.mark.parametrize("code", ["0300", "0300 partial"])
def test_a_lid_of_the_thickest_board_still_slips_over_its_body(code: Any) -> None:
    thick = in_thickest(designed(code, usual(INTERIORS[0], board=LOOSE)))
    t = C_FLUTE.caliper_um + LOOSE_UM
    body, lid = (folded_inside(thick, fold) for fold in thick.folds)
    assert lid[0] >= body[0] + 4 * t
    assert lid[1] >= body[1] + 2 * t


def test_board_within_the_usual_room_makes_the_very_box_it_always_made() -> None:
    exact = replace(C_FLUTE, caliper_tolerance_um=0)
    made, same = (designed("0201", usual(INTERIORS[0], board=board)) for board in (C_FLUTE, exact))
    assert (made.inner_um, made.outer_um) == (same.inner_um, same.outer_um)
    assert made.most_um == (made.outer_um[0] + 300, made.outer_um[1] + 300, made.outer_um[2] + 600)
    assert same.most_um == same.outer_um


def test_room_that_is_asked_for_is_left_as_it_is() -> None:
    assert designed("0201", box_spec(board=LOOSE)).inner_um == (400_000, 300_000, 200_000)


@pytest.mark.parametrize("code", ["ply", "boards", "sliding"])
def test_long_sides_flush_with_ends_of_the_thickest_wood_leave_room_for_the_insert(code: Any) -> None:
    made = designed(code, usual(INTERIORS[0], joinery=USUAL_PANELS))
    side, end = (
        next(flat for flat in made.cut_pieces if str(flat.what) in names)
        for names in (("long side", "side"), ("end", "far end"))
    )
    assert side.size_um[0] - 2 * (end.thickness_um + 1_800) >= INTERIORS[0][0]


@pytest.mark.parametrize("code", WOODEN)
def test_a_wooden_box_grows_by_what_its_sides_bottom_and_lid_may_be_thicker(code: Any) -> None:
    made = designed(code, usual(INTERIORS[0], joinery=USUAL_PANELS))
    assert made.most_um[1] > made.outer_um[1]
    assert made.most_um[2] > made.outer_um[2]


def test_an_outer_case_takes_a_wooden_box_of_the_thickest_panels() -> None:
    bare, cased = (designed(code, usual(INTERIORS[0], joinery=USUAL_PANELS)) for code in ("ply", "ply cased"))
    t, over = C_FLUTE.caliper_um, C_FLUTE.caliper_tolerance_um
    inside = [outer - count * t for outer, count in zip(cased.outer_um, (2, 2, 4), strict=True)]
    assert all(room - loss >= box for room, loss, box in zip(inside, (over, over, 2 * over), bare.most_um, strict=True))


def test_the_plan_shows_the_greatest_outside() -> None:
    made = designed("0201", box_spec())
    assert to_json(box_plan(made))["most_mm"] == [408.3, 308.3, 216.6]


def test_a_lid_that_may_be_thinner_than_its_tongue_is_refused() -> None:
    panels = (replace(PLYWOOD[0], thickness_tolerance_um=600), *PLYWOOD[1:])
    with pytest.raises(BadInput, match=r"birch plywood 6 mm may be as thin as 5.4 mm"):
        make_box("sliding", box_spec(joinery=Joinery(panels=panels, lid_um=5_500)))


ORDER = read_order(
    {"id": "A", "items": [{"id": "wax", "kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120}]}
)
GROUND = next(service for service in SERVICES if service.carrier == "UPS" and service.side_rounding == "up")


def test_a_box_the_carrier_refuses_in_the_thickest_board_is_not_offered() -> None:
    least: Any = {}

    def billing(outer: Any, gross_mg: Any, packaging: Any) -> Any:
        least.setdefault(packaging, outer[2])
        return Billed(Fraction(1), "lb", over=(Message("too high"),) if outer[2] > least[packaging] else ())

    offers = make_offers(ORDER, [nest(ORDER, effort=1)], terms=Terms(ShopMaterials(boards=(C_FLUTE,))), billing=billing)
    said = {str(sentence) for one in offers.candidates for sentence in present(one.billed).over}
    assert "In the thickest stock allowed: too high" in said
    assert all(not present(offer.candidate.billed).over for offer in offers.offers)


def test_the_margin_to_the_next_inch_counts_from_the_thickest_board() -> None:
    outer, gross = (609_600 - 6_200, 609_600 - 6_200, 609_600 - 6_200), 4_000_000
    assert bill(outer, gross, GROUND).hint is None
    thick = bill(outer, gross, GROUND, most_um=(outer[0] + 300, outer[1] + 300, outer[2] + 600))
    assert "in the thickest stock allowed, the billed weight is" in str(thick.hint)


def test_a_limit_within_the_margin_is_hinted_at() -> None:
    outer = (int(present(GROUND.max_length) * 25_400) - 1_000, 300_000, 300_000)
    assert "the carrier does not take it" in str(bill(outer, 4_000_000, GROUND).hint)


@pytest.mark.parametrize("code", ["0201", "0203", "0300", "wrap", "ply cased"])
def test_board_that_may_only_be_sawn_makes_no_blank_with_slots_and_says_so(code: Any) -> None:
    refusal = refused(code, box_spec(board=replace(C_FLUTE, cut_by=("saw",))))
    assert refusal.limit == "cut"
    assert "is no plain rectangle and needs a knife or a laser; 42-26C-42 single wall may be cut by saw alone." in str(
        refusal.reason
    )


@pytest.mark.parametrize("ways", [("knife",), ("laser",), ("saw", "laser")])
def test_board_that_may_be_cut_freely_makes_every_blank(ways: Any) -> None:
    for code in CORRUGATED:
        assert designed(code, box_spec(board=replace(C_FLUTE, cut_by=ways))).style == code


def test_wood_that_may_only_be_cut_by_laser_has_no_grooves() -> None:
    def by_laser(rows: Any) -> Any:
        return tuple(replace(one, cut_by=("laser",)) for one in rows)

    joinery = Joinery(panels=by_laser(PLYWOOD), planks=by_laser(PLANKS))
    sliding = refused("sliding", box_spec(joinery=joinery))
    assert "has a groove or step in its face and needs a saw" in str(sliding.reason)
    assert designed("ply", box_spec(joinery=joinery)).style == "ply"


def test_wood_is_not_cut_with_a_knife() -> None:
    joinery = Joinery(panels=tuple(replace(one, cut_by=("knife",)) for one in PLYWOOD))
    assert str(refused("ply", box_spec(joinery=joinery)).reason) == (
        "The long side of the plywood box, screwed lid is a plain rectangle and needs a laser or a saw; birch plywood "
        "12 mm may be cut by knife alone."
    )


def test_a_carton_as_bought_need_not_be_cut() -> None:
    cartons = tuple(replace(one, board=replace(one.board, cut_by=("saw",))) for one in box_spec().cartons)
    assert designed("carton", box_spec(cartons=cartons)).style == "carton"


def test_the_plan_says_of_each_piece_how_its_stock_may_be_cut() -> None:
    flats = to_json(box_plan(designed("ply cased", box_spec())))["flats"]
    ways = {(flat["stuff"]["kind"], *flat["stuff"]["cut_by"]) for flat in flats}
    assert ways == {("board", "knife"), ("timber", "saw")}

"""Every style: what it folds or assembles to, what it refuses, what its content says."""

import json
from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from shapely import Polygon, union_all
from shapely import box as rectangle

from packing.boxes import all_styles, box_plan, fit_for, make_box, register
from packing.materials import C_FLUTE, PLYWOOD, Allowance, Carton, Joinery, allowance_for
from packing.measure import BadInput
from packing.plan import to_json
from packing.plan.kinds import ContainerKind
from tests.helpers import present
from tests.packing.box_specs import (
    ALL_BOARDS,
    CORRUGATED,
    EVERY,
    INTERIORS,
    OFF_CALIPER,
    WOODEN,
    box_spec,
    designed,
    refused,
)
from tests.packing.boxes.folding import folded_inside


@pytest.mark.parametrize("board", ALL_BOARDS, ids=lambda board: board.name)
@pytest.mark.parametrize("interior", INTERIORS)
@pytest.mark.parametrize("code", CORRUGATED)
def test_folding_the_blank_gives_back_the_inside_within_half_a_millimetre(code: Any, interior: Any, board: Any) -> None:
    made = designed(code, box_spec(interior, board=board))
    folded = folded_inside(made, made.folds[0])
    assert all(abs(a - b) <= 500 for a, b in zip(folded, made.inner_um, strict=True))


@pytest.mark.parametrize("code", ["0300", "0300 partial"])
def test_a_lid_folds_to_the_outside_of_its_body_and_two_millimetres(code: Any) -> None:
    made = designed(code, box_spec())
    lid = folded_inside(made, made.folds[1])
    t = present(made.board).caliper_um
    assert lid[0] == made.inner_um[0] + 4 * t + 2_000
    assert lid[1] == made.inner_um[1] + 2 * t + 2_000


def test_a_full_telescope_has_its_lid_down_to_the_ground_and_a_partial_one_has_not() -> None:
    full, part = designed("0300", box_spec()), designed("0300 partial", box_spec())
    assert folded_inside(full, full.folds[1])[2] == full.inner_um[2] + present(full.board).caliper_um
    assert folded_inside(part, part.folds[1])[2] == 66_000
    assert full.outer_um == part.outer_um


@pytest.mark.parametrize("code", EVERY)
def test_every_outside_is_larger_than_the_inside_and_the_inside_takes_the_insert(code: Any) -> None:
    made = designed(code, box_spec((390_000, 190_000, 140_000)))
    assert all(outer > inner for outer, inner in zip(made.outer_um, made.inner_um, strict=True))
    assert all(inner >= room for inner, room in zip(made.inner_um, (390_000, 190_000, 140_000), strict=True))


@pytest.mark.parametrize("interior", INTERIORS)
@pytest.mark.parametrize("code", CORRUGATED)
def test_the_outline_is_the_union_of_panels_and_joint_less_the_slots(code: Any, interior: Any) -> None:
    for flat in designed(code, box_spec(interior)).cut_pieces:
        if not flat.panels:
            continue
        areas = [rectangle(*a.low, *a.high) for a in (*flat.panels, *([flat.joint] if flat.joint else []))]
        slots = [rectangle(*slot.low, *slot.high) for slot in flat.slots]
        if flat.joint:  # beside the joint the first flaps are cut back by half a slot
            x, half = flat.joint.high[0], (flat.slots[0].high[0] - flat.slots[0].low[0]) // 2
            slots += [rectangle(x, 0, x + half, flat.joint.low[1])]
            slots += [rectangle(x, flat.joint.high[1], x + half, flat.size_um[1])]
        whole = union_all(areas).difference(union_all(slots))
        outline = Polygon(flat.outline)
        assert outline.is_valid
        assert outline.exterior.is_ccw
        assert outline.bounds == (0, 0, *flat.size_um)
        # Between tray walls and their tabs lies a bridge of one caliper that belongs to no panel.
        assert abs(outline.area - whole.area) <= 4 * flat.thickness_um * 3_000


def test_a_blank_longer_than_the_sheet_is_made_of_two_with_a_second_joint() -> None:
    made = designed("0201", box_spec(board=replace(C_FLUTE, sheet_um=(1_000_000, 600_000))))
    assert [(str(flat.what), flat.count, flat.size_um) for flat in made.cut_pieces] == [
        ("half blank", 2, (743_000, 512_000))
    ]
    assert dict(made.work)["joint"] == 2
    assert folded_inside(made, made.folds[0]) == (400_000, 300_000, 200_000)


def test_a_blank_that_two_sheets_do_not_take_is_refused_with_both_sizes() -> None:
    refusal = refused("0201", box_spec(board=replace(C_FLUTE, sheet_um=(700_000, 600_000))))
    assert (refusal.limit, refusal.value_um, refusal.limit_um) == ("sheet", 1_451_000, 700_000)
    assert "1451 mm across the flutes, even in two pieces" in str(refusal.reason)
    assert "700 mm" in str(refusal.reason)


@pytest.mark.parametrize("code", ["0300", "wrap"])
def test_trays_and_wraps_are_not_made_of_two_pieces(code: Any) -> None:
    refusal = refused(code, box_spec(board=replace(C_FLUTE, sheet_um=(600_000, 600_000))))
    assert "600 mm" in str(refusal.reason)


def test_a_head_over_the_gap_of_the_inner_flaps_gets_a_pad_and_its_height() -> None:
    bare = designed("0201", box_spec((500_000, 200_000, 100_000), heads=((10_000, 60_000),)))
    padded = designed("0201", box_spec((500_000, 200_000, 100_000), heads=((240_000, 290_000),)))
    assert [str(flat.what) for flat in bare.cut_pieces] == ["blank"]
    assert [(str(flat.what), flat.size_um) for flat in padded.cut_pieces[1:]] == [("pad", (498_000, 198_000))]
    assert padded.inner_um[2] - bare.inner_um[2] == C_FLUTE.caliper_um


def test_full_overlap_flaps_need_no_pad_where_the_inner_flaps_meet() -> None:
    made = designed("0203", box_spec((300_000, 200_000, 100_000), heads=((140_000, 180_000),)))
    assert (made.flap_gap_um, [str(flat.what) for flat in made.cut_pieces]) == (0, ["blank"])


def test_a_stack_of_few_sheets_gets_the_usual_room_and_a_high_one_what_it_drifts() -> None:
    assert fit_for(4) == (2_000, 2_000, 2_000)
    assert fit_for(10) == (2_000, 2_000, 4_000)


def test_a_board_that_measures_off_its_row_goes_by_its_own_caliper() -> None:
    assert allowance_for(C_FLUTE).source.startswith("makers")
    assert allowance_for(OFF_CALIPER).panel_um == 3_450


def test_an_edited_allowance_row_changes_the_blank() -> None:
    row = Allowance("C", 4_000, 5_000, 4_000, "measured by the shop", "practice")
    flat = designed("0201", box_spec(allowances=(row,))).cut_pieces[0]
    assert flat.size_um[0] == 2 * 405_000 + 2 * 305_000 + 35_000


@pytest.mark.parametrize("interior", INTERIORS)
@pytest.mark.parametrize("code", ["boards", "ply", "sliding"])
def test_boards_in_place_do_not_run_into_one_another_and_stay_out_of_the_inside(code: Any, interior: Any) -> None:
    made = designed(code, box_spec(interior))
    plates = made.steps[-1].placed_panels
    inside = (*(0, 0, 0), *made.inner_um)
    boxes = [(plate.name, (*plate.low, *plate.high)) for plate in plates if plate.name != "lid" or code != "sliding"]
    for index, (name, one) in enumerate(boxes):
        assert not _meet(one, inside), name
        assert not any(_meet(one, other) for _, other in boxes[index + 1 :]), name


def _meet(one: Any, other: Any) -> Any:
    return all(one[axis] < other[axis + 3] and one[axis + 3] > other[axis] for axis in range(3))


@pytest.mark.parametrize("interior", INTERIORS)
@pytest.mark.parametrize("code", ["boards", "ply", "sliding"])
def test_boards_in_place_are_those_of_the_cut_list_and_reach_the_outside(code: Any, interior: Any) -> None:
    made = designed(code, box_spec(interior))
    plates = made.steps[-1].placed_panels
    listed = sorted(
        (str(f.what), sorted((*f.size_um, f.thickness_um))) for f in made.cut_pieces for _ in range(f.count)
    )
    assert sorted((plate.name, sorted(plate.sides)) for plate in plates) == listed
    extent = [max(p.high[axis] for p in plates) - min(p.low[axis] for p in plates) for axis in range(3)]
    assert tuple(extent) == made.outer_um


def test_the_tongue_of_a_sliding_lid_goes_into_its_grooves_with_room_on_both_sides() -> None:
    made = designed("sliding", box_spec())
    side, lid = made.cut_pieces[0], made.cut_pieces[4]
    groove = side.grooves[0]
    tongue = lid.thickness_um - lid.grooves[0].depth_um
    assert (groove.high[1] - groove.low[1], tongue) == (6_000, 5_500)
    assert lid.size_um[1] == made.inner_um[1] + 2 * groove.depth_um - 2 * 500


def test_a_lid_thinner_than_its_groove_is_refused_with_both() -> None:
    joinery = Joinery(panels=(replace(PLYWOOD[0], thickness_um=5_000), *PLYWOOD[1:]), lid_um=5_000)
    with pytest.raises(BadInput, match=r"not be thinner than its groove: .* 6 mm .* 5.5 mm, .* as thin as 4.5 mm"):
        make_box("sliding", box_spec(joinery=joinery))


@pytest.mark.parametrize("code", ["ply", "boards"])
def test_a_panel_longer_than_any_stock_is_refused_with_both_lengths(code: Any) -> None:
    refusal = refused(code, box_spec((2_600_000, 200_000, 100_000)))
    assert refusal.limit == "board length"
    assert refusal.value_um > refusal.limit_um > 0
    assert f"{refusal.limit_um // 1000} mm" in str(refusal.reason)


def test_panels_thicker_than_any_in_stock_are_refused() -> None:
    refusal = refused("ply", box_spec(joinery=Joinery(side_um=25_000)))
    assert str(refusal.reason) == "The ply box needs panels 25 mm thick; the thickest in stock is 18 mm."


def test_heavier_contents_get_thicker_plywood() -> None:
    thick = [designed("ply", box_spec(contents_mg=kg * 10**6)).cut_pieces[0].thickness_um for kg in (3, 12, 30)]
    assert thick == [9_000, 12_000, 15_000]


def test_walls_higher_than_the_widest_board_are_made_of_courses_held_by_cleats() -> None:
    made = designed("boards", box_spec((900_000, 500_000, 400_000)))
    counts: Any = Counter()
    for flat in made.cut_pieces:
        counts[str(flat.what)] += flat.count
    assert (counts["end cleat"], counts["long side"]) == (4, 4)
    assert made.outer_um[0] == 900_000 + 4 * 19_000


@pytest.mark.parametrize("code", ["sliding", "ply"])
def test_an_outer_case_makes_a_wooden_box_corrugated_to_the_carrier(code: Any) -> None:
    bare, cased = designed(code, box_spec()), designed(f"{code} cased", box_spec())
    assert (bare.packaging, cased.packaging) == ("wood", "corrugated")
    assert all(a > b for a, b in zip(cased.outer_um, bare.outer_um, strict=True))
    assert cased.weight_mg - bare.weight_mg == cased.cut_pieces[-1].each_mg


def test_no_stock_carton_is_a_refusal_with_the_nearest_one() -> None:
    refusal = refused("carton", box_spec((1_500_000, 300_000, 100_000)))
    assert (refusal.limit, "the nearest" in str(refusal.reason)) == ("carton", True)


def test_a_carton_cut_down_says_how_much() -> None:
    made = designed("carton", box_spec((380_000, 280_000, 120_000)))
    assert made.name == "stock carton, cut down"
    assert str(made.steps[0].text).startswith("Crease the carton 78 mm below its upper crease")


@pytest.mark.parametrize("code", EVERY)
def test_the_content_is_plain_json_and_lists_every_piece(code: Any) -> None:
    made = designed(code, box_spec((390_000, 190_000, 140_000)))
    content = json.loads(json.dumps(to_json(box_plan(made))))
    assert [part["id"] for part in content["parts"]] == [flat["id"] for flat in content["flats"]]
    assert content["weight_g"] == pytest.approx(made.weight_mg / 1000, abs=0.05)
    assert all(step["text"] for step in content["steps"])


@pytest.mark.parametrize("code", [*WOODEN, *CORRUGATED])
def test_nothing_printed_looks_like_a_makers_certificate(code: Any) -> None:
    text = json.dumps(to_json(box_plan(designed(code, box_spec())))).lower()
    assert "certif" not in text.replace("carries no maker's certificate", "").replace("box makers' certificates", "")


def test_every_style_has_a_code_of_its_own_and_a_second_one_is_refused() -> None:
    with pytest.raises(BadInput, match="0201 is registered twice"):
        register("0201", "again", ContainerKind.CORRUGATED, order=1)(lambda spec: make_box("0201", spec))
    assert len({style.code for style in all_styles()}) == len(all_styles()) == 11


def test_an_unknown_style_is_refused_with_those_there_are() -> None:
    with pytest.raises(BadInput, match="must be one of 0201, 0203"):
        make_box("0999", box_spec())


@pytest.mark.parametrize("interior", [(0, 100_000, 100_000), (100_000, -1, 100_000)])
def test_an_interior_of_nothing_is_refused(interior: Any) -> None:
    with pytest.raises(BadInput, match="must be greater than zero each way"):
        make_box("0201", box_spec(interior))


@pytest.mark.parametrize("code", ["boards", "ply"])
def test_rope_handles_are_weighed_and_seen_by_the_carrier(code: Any) -> None:
    bare, roped = (designed(code, box_spec(joinery=Joinery(rope_handles=handles))) for handles in (False, True))
    assert (bare.packaging, roped.packaging) == ("wood", "wood with rope handles")
    assert roped.weight_mg - bare.weight_mg == 2 * 45_000


def test_a_parcel_too_low_for_the_flaps_of_a_wrap_is_refused() -> None:
    refusal = refused("wrap", box_spec((300_000, 100_000, 11_000)))
    assert str(refusal.reason) == "The ends of a wrap need 12 mm of height for their flaps, not 11 mm."


@pytest.mark.parametrize("code", EVERY)
def test_the_insert_goes_in_at_one_step_and_in_a_case_the_wooden_box(code: Any) -> None:
    texts = [str(step.text) for step in designed(code, box_spec((390_000, 190_000, 140_000))).steps]
    insert = [text for text in texts if "the insert" in text]
    assert len(insert) == 1
    assert sum("the closed wooden box" in text for text in texts) == code.endswith("cased")


def test_battens_and_cleats_are_fastened_in_a_step_that_says_where_the_points_go() -> None:
    texts = [str(step.text) for step in designed("boards", box_spec((900_000, 500_000, 400_000))).steps]
    assert sum("bend the points over across the grain outside" in text for text in texts) == 2


def test_the_closing_counts_every_screw_of_the_lid() -> None:
    made = designed("ply", box_spec())
    screws = sum(row.count for row in made.hardware if "lid" in str(row.where))
    assert f"{screws} ×" in str(made.closing.text)


def test_a_full_overlap_case_has_no_middle_seam_to_tape() -> None:
    assert "edge where the outer flap ends" in str(designed("0203", box_spec()).closing.text)


def test_the_inner_flaps_of_a_full_overlap_case_are_as_far_apart_as_they_fold() -> None:
    made = designed("0203", box_spec((600_000, 200_000, 100_000)))
    flap = next(area for area in made.cut_pieces[0].panels if area.name == "inner flap")
    reach = flap.high[1] - flap.low[1] - present(made.board).caliper_um // 2
    assert made.flap_gap_um == made.inner_um[0] - 2 * reach


def test_a_carton_is_padded_by_the_gap_of_its_own_flaps() -> None:
    carton = Carton("long", (800_000, 300_000, 150_000), C_FLUTE)
    made = designed("carton", box_spec((300_000, 295_000, 120_000), cartons=(carton,), heads=((10_000, 60_000),)))
    assert [str(flat.what) for flat in made.cut_pieces] == ["carton long", "pad"]

"""The regular slotted case: its sizes, its blank, its weight."""

import json
from dataclasses import replace
from typing import Any

import pytest
from shapely import Polygon, union_all
from shapely import box as rectangle

from packing.boxes import box_plan
from packing.materials import C_FLUTE
from packing.measure import BadInput
from packing.plan import to_json
from tests.packing.box_specs import box_spec, designed
from tests.packing.boxes.folding import folded_inside

INNERS = [
    (400_000, 300_000, 200_000),
    (490_000, 190_000, 125_000),
    (300_000, 300_000, 40_010),
    (1_200_000, 90_010, 70_000),
]


def case(inner: Any, board: Any = C_FLUTE, fit: Any = (0, 0, 0)) -> Any:
    return designed("0201", box_spec(inner, board=board, fit_um=fit))


@pytest.mark.parametrize("inner", INNERS)
def test_a_blank_folds_back_to_the_inside_it_was_made_for(inner: Any) -> None:
    made = case(inner)
    folded = folded_inside(made, made.folds[0])
    assert all(abs(a - b) <= 500 for a, b in zip(folded, inner, strict=True))


@pytest.mark.parametrize("inner", INNERS)
def test_the_outline_is_the_rectangle_less_its_slots_and_the_corners_at_the_joint(inner: Any) -> None:
    blank = case(inner).cut_pieces[0]
    outline = Polygon(blank.outline)
    width, height = blank.size_um
    slots = union_all([rectangle(*slot.low, *slot.high) for slot in blank.slots])
    flap = blank.joint.low[1]
    corners = 2 * flap * (blank.joint.high[0] + (C_FLUTE.caliper_um + 3_000) // 2)
    assert outline.is_valid
    assert outline.exterior.is_ccw
    assert outline.area == width * height - slots.area - corners


@pytest.mark.parametrize("inner", INNERS)
def test_panels_flaps_and_joint_tile_the_blank_but_for_the_joints_corners(inner: Any) -> None:
    blank = case(inner).cut_pieces[0]
    areas = [rectangle(*a.low, *a.high) for a in (*blank.panels, blank.joint)]
    assert union_all(areas).area == sum(area.area for area in areas)
    assert (
        sum(area.area for area in areas)
        == blank.size_um[0] * blank.size_um[1] - 2 * blank.joint.low[1] * blank.joint.high[0]
    )


@pytest.mark.parametrize("inner", INNERS)
def test_the_outer_flaps_meet_in_the_middle(inner: Any) -> None:
    blank = case(inner).cut_pieces[0]
    flap = next(a for a in blank.panels if a.name == "outer flap")
    reach = 2 * (flap.high[1] - flap.low[1])
    assert inner[1] + C_FLUTE.caliper_um <= reach <= inner[1] + C_FLUTE.caliper_um + 1


def test_the_room_is_added_and_length_comes_before_width() -> None:
    box = case((188_000, 488_000, 123_000), fit=(2_000, 2_000, 2_000))
    assert box.inner_um == (490_000, 190_000, 125_000)
    assert box.outer_um == (498_000, 198_000, 141_000)


def test_the_room_may_differ_each_way() -> None:
    assert case((300_000, 200_000, 100_000), fit=(3_000, 2_000, 0)).inner_um == (303_000, 202_000, 100_000)


def test_the_gap_between_the_inner_flaps_is_named() -> None:
    box = case((400_000, 300_000, 200_000))
    assert box.flap_gap_um == 100_000
    assert "100 mm apart" in str(box.notes[0])


def test_a_square_box_has_no_gap_under_the_middle() -> None:
    box = case((300_000, 300_000, 200_000))
    assert (box.flap_gap_um, box.notes) == (0, ())


def test_heavier_board_makes_a_heavier_box_in_proportion() -> None:
    heavy = replace(C_FLUTE, grammage_mg_m2=2 * C_FLUTE.grammage_mg_m2)
    inner = (400_000, 300_000, 200_000)
    assert case(inner, heavy).weight_mg == pytest.approx(2 * case(inner).weight_mg, abs=1)


def test_the_content_is_plain_json_with_the_blank_as_its_part() -> None:
    content = json.loads(json.dumps(to_json(box_plan(case((488_000, 188_000, 123_000), fit=(2_000, 2_000, 2_000))))))
    assert content["inner_mm"] == [490, 190, 125]
    assert content["parts"][0]["weight_g"] == content["weight_g"]
    assert content["blank"]["joint"]["width_mm"] == 35
    assert [panel["name"] for panel in content["blank"]["panels"][:4]] == ["length 1", "width 1", "length 2", "width 2"]


def test_a_negative_room_is_refused() -> None:
    with pytest.raises(BadInput, match="fit: must be zero or more each way"):
        case((100_000, 100_000, 100_000), fit=(-1, 0, 0))


def test_a_box_of_no_height_is_refused() -> None:
    with pytest.raises(BadInput, match="interior: must be greater than zero each way"):
        case((100_000, 100_000, 0))

"""Working drawings of a box's pieces and pictures of its steps, for every style."""

import re
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace

from packing.draw import (
    blank_drawing,
    isometric,
    piece_drawing,
    plan_view,
    side_section,
    small_box,
    step_drawing,
)
from packing.draw.canvas import BLUE
from packing.measure import BadInput
from packing.plan import HolePlan
from packing.units import show_length
from tests.packing.box_specs import EVERY
from tests.packing.drawn_zoo import in_box, one_hammer_in
from tests.packing.svg_reader import SVG, root_of, words


def figures(svg):
    """Every text of a drawing that is a bare figure."""
    texts = ["".join(one.itertext()) for one in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
    return {text for text in texts if re.fullmatch(r"[\d.]+", text)}


def wanted(piece):
    """Every place along and across the piece, and its sides, as numbers."""
    points = [*piece.outline_um, *(end for fold in piece.creases for end in (fold.start_um, fold.end_um))]
    points += [corner for groove in piece.grooves for corner in (groove.min_um, groove.max_um)]
    return {value / 1000 for point in (*points, piece.size_um) for value in point}


@pytest.mark.parametrize("code", EVERY)
def test_every_figure_of_a_working_drawing_is_a_place_of_the_piece(code):
    plan = in_box(code)
    for piece in plan.box.pieces:
        drawn = {float(text) for text in figures(piece_drawing(plan, piece.id).svg)}
        assert all(min(abs(value - place) for place in wanted(piece)) <= 0.051 for value in drawn)


@pytest.mark.parametrize("code", EVERY)
def test_length_and_width_of_the_cut_list_stand_on_the_working_drawing(code):
    plan = in_box(code)
    for part in plan.box.parts:
        drawn = figures(piece_drawing(plan, part.id).svg)
        assert {show_length(side / 1000, "mm").removesuffix(" mm") for side in part.size_um} <= drawn


def test_a_working_drawing_in_inches_has_its_sizes_in_inches():
    plan = in_box("ply")
    svg = piece_drawing(plan, "X3", unit="in").svg
    assert show_length(plan.box.pieces[2].size_um[0] / 1000, "in").removesuffix(" in") in svg


def test_a_groove_is_named_with_width_and_depth():
    assert "groove 6 wide, 6 deep" in piece_drawing(in_box("sliding"), "X1").svg


@pytest.mark.parametrize("code", EVERY)
def test_every_step_has_a_picture_that_fits_its_room(code):
    plan = in_box(code)
    for index in range(len(plan.box.steps)):
        drawing = step_drawing(plan, index, paper=(80.0, 65.0))
        ElementTree.fromstring(drawing.svg)
        assert 0 < drawing.width_mm <= 80
        assert 0 < drawing.height_mm <= 65


def test_what_a_step_adds_is_tinted():
    plan = in_box("ply")
    assert [step_drawing(plan, index).svg.count("#dfe8f3") for index in range(4)] == [1, 4, 1, 1]


def test_a_step_without_plates_has_no_picture():
    plan = in_box("ply")
    steps = (replace(plan.box.steps[0], plates=()), *plan.box.steps[1:])
    plan = replace(plan, box=replace(plan.box, steps=steps))
    assert step_drawing(plan, 0) is None


@pytest.mark.parametrize(("code", "glued"), [("0201", True), ("wrap", False)])
def test_a_blank_without_a_joint_speaks_of_no_glue(code, glued):
    assert ("glue" in blank_drawing(in_box(code)).svg) == glued


def test_a_name_too_long_for_a_flap_stands_in_two_lines():
    drawn = words(blank_drawing(in_box("wrap"), scale=10))
    assert {"side", "flap"} <= set(drawn)


def test_screws_and_pilot_holes_are_drawn_and_told():
    plan = in_box("ply")
    row = replace(plan.box.hardware[0], spacing_um=50_000, first_um=20_000)
    places = [(20_000, 9_000), (70_000, 9_000), (120_000, 9_000)]
    holes = (*(HolePlan(at, 4_000, 0) for at in places), HolePlan((20_000, 60_000), 2_500, 0, edge=True))
    piece = replace(plan.box.pieces[0], holes=holes)
    plan = replace(plan, box=replace(plan.box, hardware=(row,), pieces=(piece, *plan.box.pieces[1:])))
    drawing = piece_drawing(plan, piece.id, scale=2)
    rings = [one for one in root_of(drawing).iter(f"{SVG}circle") if one.get("stroke") == BLUE and one.get("r") == "1"]
    assert sorted(float(ring.get("cx")) for ring in rings) == [10, 35, 60]
    said = [text for text in words(drawing) if "drill" in text]
    assert [text.split(":")[0] for text in said] == ["cross", "square"]
    assert said[0].startswith("cross: 3 × ") and said[0].endswith("drill 4 mm, first 20 from the end, then every 50")
    assert "into the edge, drill 2.5 mm" in said[1]


def test_an_unknown_piece_or_step_is_refused():
    plan = in_box("ply")
    with pytest.raises(BadInput, match="must be one of X1, X2, X3, X4, not 'X9'"):
        piece_drawing(plan, "X9")
    with pytest.raises(BadInput, match="step: must be from 0 to 3, not 4"):
        step_drawing(plan, 4)


@pytest.mark.parametrize("code", EVERY)
def test_the_pictures_of_a_plan_take_every_style_of_box(code):
    plan = one_hammer_in(code)
    for drawing in (isometric(plan), side_section(plan), plan_view(plan, 0), small_box(plan)):
        ElementTree.fromstring(drawing.svg)


@pytest.mark.parametrize(("code", "taped"), [("0201", True), ("ply", False), ("ply cased", True)])
def test_a_bare_wooden_box_is_drawn_without_tape(code, taped):
    assert ("1.6 .8" in small_box(in_box(code)).svg) == taped


@pytest.mark.parametrize(("code", "tapes"), [("0201", 3), ("0300", 2), ("wrap", 2), ("boards", 0)])
def test_the_closed_box_is_taped_as_its_closing_says(code, tapes):
    drawing = small_box(in_box(code))
    white = [path for path in root_of(drawing).iter(f"{SVG}path") if path.get("fill") == "#ffffff"]
    assert sum(path.get("stroke") != "none" for path in white) == tapes


def test_the_edge_of_a_partial_lid_is_drawn_on_the_closed_box():
    plan = in_box("0300 partial")
    bare = replace(plan, box=replace(plan.box, steps=()))
    assert small_box(plan).svg != small_box(bare).svg


@pytest.mark.parametrize("code", ["ply", "0300"])
def test_a_box_without_one_blank_is_not_drawn_as_one(code):
    with pytest.raises(BadInput, match="is drawn piece by piece"):
        blank_drawing(in_box(code))

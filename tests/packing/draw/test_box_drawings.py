"""Working drawings of a box's pieces and pictures of its steps, for every style."""

import re
from xml.etree import ElementTree

import pytest

from packing.boxes import design_content, make_box, style_of
from packing.draw import (
    blank_drawing,
    isometric,
    piece_drawing,
    plan_view,
    side_section,
    small_box,
    step_drawing,
)
from packing.measure import BadInput, read_order
from packing.nest import nest
from packing.planning import Terms, candidate_content, candidate_for
from packing.units import show_length
from tests.packing.box_specs import EVERY, box_spec
from tests.packing.svg_reader import SVG, root_of, words

INTERIOR = (390_500, 190_000, 140_000)


def content_of(code):
    return {"status": "planned", "order": "A-17", "box": design_content(make_box(code, box_spec(INTERIOR)))}


def figures(svg):
    """Every text of a drawing that is a bare figure."""
    texts = ["".join(one.itertext()) for one in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
    return {text for text in texts if re.fullmatch(r"[\d.]+", text)}


def wanted(flat):
    """Every place along and across the piece, and its sides, as numbers."""
    points = [*flat["outline_mm"], *(row[end] for row in flat["creases"] for end in ("from", "to"))]
    points += [groove[end] for groove in flat["grooves"] for end in ("min_mm", "max_mm")]
    return {round(float(value), 2) for point in points for value in point} | set(map(float, flat["size_mm"]))


@pytest.mark.parametrize("code", EVERY)
def test_every_figure_of_a_working_drawing_is_a_place_of_the_piece(code):
    content = content_of(code)
    for flat in content["box"]["flats"]:
        drawn = {float(text) for text in figures(piece_drawing(content, flat["id"]).svg)}
        assert all(min(abs(value - place) for place in wanted(flat)) <= 0.051 for value in drawn)


@pytest.mark.parametrize("code", EVERY)
def test_length_and_width_of_the_cut_list_stand_on_the_working_drawing(code):
    content = content_of(code)
    for part in content["box"]["parts"]:
        drawn = figures(piece_drawing(content, part["id"]).svg)
        assert {show_length(side, "mm").removesuffix(" mm") for side in part["size_mm"]} <= drawn


def test_a_working_drawing_in_inches_has_its_sizes_in_inches():
    content = content_of("ply")
    svg = piece_drawing(content, "X3", unit="in").svg
    assert show_length(content["box"]["flats"][2]["size_mm"][0], "in").removesuffix(" in") in svg


def test_a_groove_is_named_with_width_and_depth():
    assert "groove 6 wide, 6 deep" in piece_drawing(content_of("sliding"), "X1").svg


@pytest.mark.parametrize("code", EVERY)
def test_every_step_has_a_picture_that_fits_its_room(code):
    content = content_of(code)
    for index in range(len(content["box"]["steps"])):
        drawing = step_drawing(content, index, paper=(80.0, 65.0))
        ElementTree.fromstring(drawing.svg)
        assert 0 < drawing.width_mm <= 80
        assert 0 < drawing.height_mm <= 65


def test_what_a_step_adds_is_tinted():
    content = content_of("ply")
    assert [step_drawing(content, index).svg.count("#dfe8f3") for index in range(4)] == [1, 4, 1, 1]


def test_a_step_without_plates_has_no_picture():
    content = content_of("ply")
    content["box"]["steps"][0]["plates"] = []
    assert step_drawing(content, 0) is None


@pytest.mark.parametrize(("code", "glued"), [("0201", True), ("wrap", False)])
def test_a_blank_without_a_joint_speaks_of_no_glue(code, glued):
    assert ("glue" in blank_drawing(content_of(code)).svg) == glued


def test_a_name_too_long_for_a_flap_stands_in_two_lines():
    drawn = words(blank_drawing(content_of("wrap"), scale=10))
    assert {"side", "flap"} <= set(drawn)


def test_an_unknown_piece_or_step_is_refused():
    content = content_of("ply")
    with pytest.raises(BadInput, match="must be one of X1, X2, X3, X4, not 'X9'"):
        piece_drawing(content, "X9")
    with pytest.raises(BadInput, match="step: must be from 0 to 3, not 4"):
        step_drawing(content, 4)


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


@pytest.mark.parametrize("code", EVERY)
def test_the_pictures_of_a_plan_take_every_style_of_box(code):
    found = candidate_for(ORDER, NESTING, style_of(code), Terms())
    content = candidate_content(ORDER, found, Terms())
    for drawing in (isometric(content), side_section(content), plan_view(content, 0), small_box(content)):
        ElementTree.fromstring(drawing.svg)


@pytest.mark.parametrize(("code", "taped"), [("0201", True), ("ply", False), ("ply cased", True)])
def test_a_bare_wooden_box_is_drawn_without_tape(code, taped):
    assert ("1.6 .8" in small_box(content_of(code)).svg) == taped


@pytest.mark.parametrize(("code", "tapes"), [("0201", 3), ("0300", 2), ("wrap", 2), ("boards", 0)])
def test_the_closed_box_is_taped_as_its_closing_says(code, tapes):
    drawing = small_box(content_of(code))
    white = [path for path in root_of(drawing).iter(f"{SVG}path") if path.get("fill") == "#ffffff"]
    assert sum(path.get("stroke") != "none" for path in white) == tapes


def test_the_edge_of_a_partial_lid_is_drawn_on_the_closed_box():
    content = content_of("0300 partial")
    lidded = small_box(content).svg
    content["box"]["steps"] = []
    assert lidded != small_box(content).svg


@pytest.mark.parametrize("code", ["ply", "0300"])
def test_a_box_without_one_blank_is_not_drawn_as_one(code):
    with pytest.raises(BadInput, match="is drawn piece by piece"):
        blank_drawing(content_of(code))

"""Working drawings of a box's pieces and pictures of its steps, for every style."""

import re
from itertools import combinations, pairwise
from math import atan2, degrees
from typing import Any
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
    tape_picture,
)
from packing.draw.canvas import BLUE, Canvas
from packing.draw.cut_file import size_text
from packing.draw.hatch import Material
from packing.draw.isometric_projection import Brick, Eye, draw_brick
from packing.materials import Joinery
from packing.measure import BadInput
from packing.plan import HolePlan
from packing.units import show_length
from tests.helpers import present
from tests.packing.box_specs import EVERY
from tests.packing.drawn_zoo import in_box, one_hammer_in
from tests.packing.svg_reader import SVG, root_of, words


def figures(svg: Any) -> Any:
    """Every text of a drawing that is a bare figure."""
    texts = ["".join(one.itertext()) for one in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
    return {text for text in texts if re.fullmatch(r"[\d.]+", text)}


def wanted(piece: Any) -> Any:
    """Every place along and across the piece, its sides, and between creases also what lies between two of them."""
    points = [*piece.outline_um, *(end for fold in piece.creases for end in (fold.start_um, fold.end_um))]
    points += [corner for groove in piece.grooves for corner in (groove.min_um, groove.max_um)]
    points += [hole.at_um for hole in piece.holes if not hole.edge]
    places = {value / 1000 for point in (*points, piece.size_um) for value in point}
    if not piece.creases:
        return places
    axes = [sorted({point[axis] / 1000 for point in points}) for axis in (0, 1)]
    return places | {abs(high - low) for axis in axes for low, high in combinations(axis, 2)}


@pytest.mark.parametrize("code", EVERY)
def test_every_figure_of_a_working_drawing_is_a_place_of_the_piece(code: Any) -> None:
    plan = in_box(code)
    for piece in plan.box.pieces:
        drawn = {float(text) for text in figures(piece_drawing(plan, piece.id).svg)}
        assert all(min(abs(value - place) for place in wanted(piece)) <= 0.051 for value in drawn)


@pytest.mark.parametrize("code", EVERY)
def test_length_and_width_of_the_cut_list_stand_on_the_working_drawing(code: Any) -> None:
    plan = in_box(code)
    for part in plan.box.parts:
        drawn = figures(piece_drawing(plan, part.id).svg)
        assert {show_length(side / 1000, "mm").removesuffix(" mm") for side in part.size_um} <= drawn


def test_a_working_drawing_in_inches_has_its_sizes_in_inches() -> None:
    plan = in_box("ply")
    svg = piece_drawing(plan, "X3", unit="in").svg
    assert show_length(plan.box.pieces[2].size_um[0] / 1000, "in").removesuffix(" in") in svg


def test_a_groove_is_named_with_width_and_depth() -> None:
    assert "groove 6 wide, 6 deep" in piece_drawing(in_box("sliding"), "X1").svg


@pytest.mark.parametrize("code", EVERY)
def test_every_step_has_a_picture_that_fits_its_room(code: Any) -> None:
    plan = in_box(code)
    for index in range(len(plan.box.steps)):
        drawing = present(step_drawing(plan, index, paper=(80.0, 65.0)))
        ElementTree.fromstring(drawing.svg)
        assert 0 < drawing.width_mm <= 80
        assert 0 < drawing.height_mm <= 65


def test_what_a_step_adds_is_tinted() -> None:
    plan = in_box("ply")
    assert [present(step_drawing(plan, index)).svg.count("#dfe8f3") for index in range(4)] == [1, 4, 1, 1]


def test_a_step_without_plates_has_no_picture() -> None:
    plan = in_box("ply")
    steps = (replace(plan.box.steps[0], plates=()), *plan.box.steps[1:])
    plan = replace(plan, box=replace(plan.box, steps=steps))
    assert step_drawing(plan, 0) is None


@pytest.mark.parametrize(("code", "glued"), [("0201", True), ("wrap", False)])
def test_a_blank_without_a_joint_speaks_of_no_glue(code: Any, glued: Any) -> None:
    assert ("glue" in blank_drawing(in_box(code)).svg) == glued


def test_a_name_too_long_for_a_flap_stands_in_two_lines() -> None:
    drawn = words(blank_drawing(in_box("wrap"), scale=10))
    assert {"side", "flap"} <= set(drawn)


def test_screws_and_pilot_holes_are_drawn_and_told() -> None:
    plan = in_box("ply")
    row = replace(plan.box.hardware[0], spacing_um=50_000, first_um=20_000)
    places = [(20_000, 9_000), (70_000, 9_000), (120_000, 9_000)]
    holes = (*(HolePlan(at, 4_000, 0) for at in places), HolePlan((20_000, 60_000), 2_500, 0, edge=True))
    piece = replace(plan.box.pieces[0], holes=holes, size_um=(200_000, 60_000))
    plan = replace(plan, box=replace(plan.box, hardware=(row,), pieces=(piece, *plan.box.pieces[1:])))
    drawing = piece_drawing(plan, piece.id, scale=2)
    rings = [one for one in root_of(drawing).iter(f"{SVG}circle") if one.get("stroke") == BLUE and one.get("r") == "1"]
    assert sorted(float(ring.attrib["cx"]) for ring in rings) == [10, 35, 60]
    said = [text for text in words(drawing) if "drill" in text]
    assert [text.split(":")[0] for text in said] == ["cross", "square"]
    assert said[0].startswith("cross: 3 × ") and said[0].endswith("drill 4 mm, 50 apart")
    assert said[1].endswith("into the edge, drill 2.5 mm, at 20")
    assert {"9", "20", "70", "120"} <= set(words(drawing))


def test_an_unknown_piece_or_step_is_refused() -> None:
    plan = in_box("ply")
    with pytest.raises(BadInput, match="must be one of X1, X2, X3, X4, not 'X9'"):
        piece_drawing(plan, "X9")
    with pytest.raises(BadInput, match="step: must be from 0 to 3, not 4"):
        step_drawing(plan, 4)


@pytest.mark.parametrize("code", EVERY)
def test_the_pictures_of_a_plan_take_every_style_of_box(code: Any) -> None:
    plan = one_hammer_in(code)
    for drawing in (isometric(plan), side_section(plan), plan_view(plan, 0), small_box(plan)):
        ElementTree.fromstring(drawing.svg)


@pytest.mark.parametrize(("code", "taped"), [("0201", True), ("ply", False), ("ply cased", True)])
def test_a_bare_wooden_box_is_drawn_without_tape(code: Any, taped: Any) -> None:
    assert ("1.6 .8" in small_box(in_box(code)).svg) == taped


def tapes(drawing: Any) -> Any:
    """Pieces of tape that are seen: white figures with an outline."""
    white = [path for path in root_of(drawing).iter(f"{SVG}path") if path.get("fill") == "#ffffff"]
    return sum(path.get("stroke") != "none" for path in white)


def seen_of(plan: Any, *, turned: Any) -> Any:
    """Faces on which a run of the plan's tape is seen, counted from its strips by another way than the drawing's."""
    length, _width, height = plan.box.outer_um
    faces = {(0, 0 if turned else length), (1, 0), (2, 0 if turned else height)}
    return sum(
        len({(axis, one[axis]) for axis in range(3) if one[axis] == two[axis]} & faces)
        for strip in plan.box.closing.strips
        for one, two in pairwise(strip.points_um)
    )


@pytest.mark.parametrize("code", EVERY)
def test_the_closed_box_shows_every_strip_of_its_plan_from_above_and_turned_over(code: Any) -> None:
    plan = in_box(code)
    above, turned = seen_of(plan, turned=False), seen_of(plan, turned=True)
    assert tapes(small_box(plan)) == above
    picture = tape_picture(plan)
    assert (picture is None) == (not plan.box.closing.strips)
    if picture is not None:
        assert tapes(picture) == above + turned


def test_strips_to_cut_from_the_roll_add_up_to_the_tape_of_the_plan() -> None:
    for code in ("0201", "0203", "0300", "wrap"):
        plan = in_box(code)
        told = next(text for text in words(present(tape_picture(plan))) if text.startswith("Strips to cut"))
        total = sum(int(n) * float(run) for n, run in re.findall(r"(\d+) × ([\d.]+)", told))
        assert total == pytest.approx(plan.box.closing.tape_um / 1000, abs=0.5)


def test_hatching_follows_the_flutes_after_folding() -> None:
    """Along the flutes of a wrap, which lie along the parcel; upright on the walls of a case."""
    wrap, case = (in_box(code).box.steps[-1].plates for code in ("wrap", "0201"))
    flutes = {plate.name: plate.flutes for plate in wrap}
    assert [flutes[name] for name in ("side 1", "outer top", "bottom flap", "side flap")] == [0, 0, 2, 1]
    assert {plate.flutes for plate in case if plate.name.startswith(("length", "width"))} == {2}
    tray = {plate.name: plate.flutes for plate in in_box("0300").box.steps[-1].plates}
    assert (tray["body long wall"], tray["body end wall"], tray["body floor"]) == (2, 1, 1)


def test_a_face_along_the_flutes_is_hatched_along_them_and_an_end_of_flutes_is_not() -> None:
    slants = []
    for flutes in range(3):
        canvas = Canvas()
        draw_brick(canvas, Brick("", "x", Material.BOARD, (0, 0, 0), (90_000, 90_000, 90_000), flutes), Eye(1.0))
        fine = [mark for mark in canvas.marks if 'stroke-width="0.13"' in mark]
        ends = [re.findall(r"M([\d.-]+) ([\d.-]+)L([\d.-]+) ([\d.-]+)", mark)[0] for mark in fine]
        slants.append({round(degrees(atan2(float(d) - float(b), float(c) - float(a)))) % 180 for a, b, c, d in ends})
        assert len(fine) == 2
    assert slants == [{30}, {150}, {90}]


def test_a_sliding_lid_shows_its_finger_pull_closed_and_at_its_step() -> None:
    plan = in_box("sliding")
    assert small_box(plan).svg.count("#d9d4c6") == 1
    assert [present(step_drawing(plan, index)).svg.count("#d9d4c6") for index in range(5)] == [0, 0, 0, 1, 1]


def test_a_grooved_piece_says_which_face_is_seen_and_the_lid_where_it_is_cut() -> None:
    plan = in_box("sliding")
    assert any("the grooved face" in text for text in words(piece_drawing(plan, "X1")))
    assert {"A", "seen from above"} <= set(words(piece_drawing(plan, "X5")))


@pytest.mark.parametrize(("code", "piece"), [("0300", "X1"), ("ply cased", "X5")])
def test_trays_and_outer_cases_have_panel_sizes_and_a_legend(code: Any, piece: Any) -> None:
    plan = in_box(code)
    drawn = words(piece_drawing(plan, piece, scale=5))
    row = next(one for one in plan.box.pieces if one.id == piece)
    panel = max(row.panels, key=lambda area: (area.max_um[0] - area.min_um[0]) * (area.max_um[1] - area.min_um[1]))
    assert size_text(panel.min_um, panel.max_um) in drawn
    assert {"cut", "crease"} <= set(drawn)


@pytest.mark.parametrize("code", ["ply", "0300"])
def test_a_box_without_one_blank_is_not_drawn_as_one(code: Any) -> None:
    with pytest.raises(BadInput, match="is drawn piece by piece"):
        blank_drawing(in_box(code))


def test_the_holes_of_a_rope_handle_are_drawn_as_large_as_their_drill_and_told() -> None:
    plan = in_box("ply", (490_000, 250_000, 185_000), joinery=Joinery(rope_handles=True))
    end = next(piece for piece in plan.box.pieces if piece.role == "end")
    drawing = piece_drawing(plan, end.id, scale=2)
    assert sum(one.get("r") == "3" for one in root_of(drawing).iter(f"{SVG}circle")) == 2
    assert any(text.startswith("cross: 2 × hole for rope handle") for text in words(drawing))

"""The box cut plan of styles without one blank: a drawing of each piece, each step with its picture."""

import dataclasses
import functools
import json
import re
from io import BytesIO
from typing import Any

import pdfplumber
import pytest
from msgspec import structs
from msgspec.structs import replace

from packing import boxes
from packing.boxes import all_styles, style_of
from packing.draw import as_cut, blank_drawing
from packing.measure import read_order
from packing.plan import Plan, dumps, plan_from_json
from packing.planning import Candidate, Terms, candidate_for, candidate_plan, plan_parcel
from shop.papers import Units, print_paper
from shop.papers.box_plan import box_plan
from shop.papers.context import PaperContext
from shop.papers.insert_plan import insert_plan
from shop.papers.render import render_html
from tests.helpers import instance
from tests.packing.box_specs import box_spec, designed
from tests.packing.svg_reader import words
from tests.shop.papers.test_papers import CONTEXT, words_of

ORDER = {
    "id": "21",
    "items": [
        {
            "id": "CH125-007",
            "kind": "tool",
            "head_length": 105,
            "head_height": 42,
            "head_width": 42,
            "handle_length": 250,
            "handle_width": 33,
            "handle_thickness": 23,
            "weight_g": 1440,
        },
        {"id": "wax tin", "kind": "block", "length": 70, "width": 70, "height": 30, "weight_g": 120, "upright": True},
    ],
}
CODES = [style.code for style in all_styles()]


def content_of(plan: Plan, context: PaperContext = CONTEXT) -> dict[str, Any]:
    """The values that the template shows."""
    return box_plan(plan, context)


@functools.cache
def made_in(code: Any) -> Any:
    order = read_order(ORDER)
    nesting = plan_parcel(order, effort=100).nesting
    made = instance(Candidate, candidate_for(order, nesting, style_of(code), Terms()))
    return dumps(candidate_plan(order, made, Terms()))


def plan_in(code: Any) -> Any:
    return plan_from_json(json.loads(made_in(code)))


@pytest.fixture
def in_wood() -> Any:
    return plan_in("sliding")


def test_every_piece_of_a_wooden_box_is_drawn_with_its_size_and_grain(in_wood: Any) -> None:
    words = words_of("box", in_wood)
    drawings = render_html("box", in_wood, CONTEXT).drawings
    for piece in in_wood.box.pieces:
        assert f"{piece.id} {piece.count} × {piece.what}" in words
        assert str(piece.grain) in words
        assert any(f">{piece.what}<" in svg for svg in drawings.values())


def test_every_step_of_a_box_is_told_once_beside_its_picture(in_wood: Any) -> None:
    words = words_of("box", in_wood)
    for step in in_wood.box.steps:
        assert words.count(str(step.text)) == 1


def test_saw_router_and_dust_are_warned_of_where_there_is_wood_to_cut(in_wood: Any) -> None:
    assert "push stick" in words_of("box", in_wood)
    assert "push stick" not in words_of("box", plan_in("0201"))


@pytest.mark.parametrize(
    "context", [CONTEXT, dataclasses.replace(CONTEXT, bench=Units("in", "lb"), page_size="Letter")]
)
@pytest.mark.parametrize("code", CODES)
def test_no_sheet_of_any_style_runs_over_onto_an_empty_one(code: Any, context: Any) -> None:
    plan = plan_in(code)
    sheets = render_html("box", plan, context).html.count('<section class="sheet')
    with pdfplumber.open(BytesIO(print_paper("box", plan, context).pdf)) as pdf:
        assert len(pdf.pages) == sheets


@pytest.mark.parametrize("units", [Units("mm", "g"), Units("in", "lb")])
@pytest.mark.parametrize("inside", [(490_750, 191_350, 124_050), (333_330, 214_750, 98_150)])
def test_panels_are_listed_with_the_figures_of_their_drawing(inside: Any, units: Any) -> None:
    planned_box = boxes.box_plan(designed("0201", box_spec(inside)))
    plan = structs.replace(plan_in("0201"), box=planned_box)
    drawn = set(words(blank_drawing(plan, unit=units.length, scale=3)))
    listed = content_of(plan, dataclasses.replace(CONTEXT, bench=units))["panels"]
    for row in listed:
        assert {plain(row["across"]), plain(row["along"])} - {""} <= drawn


def plain(figure: Any) -> Any:
    """A figure without the marks that set its fraction."""
    return re.sub(r"<[^>]*>", "", figure).replace("\u00a0", " ")


def test_a_blank_without_a_joint_is_drawn_to_scale() -> None:
    drawing = blank_drawing(plan_in("wrap"), scale=10)
    assert drawing.width_mm < 150


def test_the_outside_in_the_thickest_stock_stands_beside_the_planned_one_where_they_differ(in_wood: Any) -> None:
    for more_um, said in ((0, False), (1_500, True)):
        length, width, height = in_wood.box.outer_um
        most = (length + more_um, width + more_um, height + more_um)
        words = words_of("box", replace(in_wood, box=replace(in_wood.box, most_um=most)))
        assert ("in the thickest stock" in words) is said


@pytest.mark.parametrize("code", ["ply", "boards"])
def test_a_bare_wooden_box_speaks_of_no_tape_and_no_hot_wire(code: Any) -> None:
    words = words_of("box", plan_in(code)).lower()
    for word in ("taped", "closing tape", "hot wire", "foam burns"):
        assert word not in words


def test_sections_and_the_run_of_the_lid_are_drawn_for_wood_alone(in_wood: Any) -> None:
    assert {"Sections", "Section of the sliding lid"} <= {
        page["title"] for page in content_of(in_wood)["section_pages"]
    }
    assert box_plan(plan_in("0201"), CONTEXT)["section_pages"] == []


def test_the_notes_of_another_carton_do_not_stand_under_the_blank() -> None:
    html = render_html("box", plan_in("0201"), CONTEXT).html
    first, *_rest = html.split("</section>")
    note = "Cut every sheet"
    assert note in html
    assert note not in first


def test_a_bought_carton_has_no_blank_to_cut() -> None:
    shown = content_of(plan_in("carton"))
    assert shown["blank"] is None
    assert all(piece["id"] != "X1" for page in shown["piece_pages"] for piece in page["pieces"])


@pytest.mark.parametrize("code", ["0201", "0203", "0300", "wrap", "ply cased", "carton", "sliding"])
def test_the_tape_of_a_style_is_pictured_after_its_steps(code: Any) -> None:
    plan = plan_in(code)
    pages = content_of(plan)["step_pages"]
    last = pages[-1]["steps"][-1]
    assert last["number"] == len(plan.box.steps) + 1
    assert "Strips to cut" in last["drawing"].svg


@pytest.mark.parametrize(("code", "taped"), [("ply", False), ("boards", False), ("0201", True), ("sliding", True)])
def test_the_slip_says_how_a_box_is_opened_by_how_it_is_closed(code: Any, taped: Any) -> None:
    words = words_of("slip", plan_in(code))
    assert ("Cut the tape only" in words) is taped
    assert ("Undo the screws of the lid" in words) is not taped


def test_the_insert_of_a_bought_carton_is_listed_and_drawn_as_large_as_it_is_cut() -> None:
    """The carton is 500 × 200 mm inside: sheets of 498 × 198 mm, on the cut list, on each drawing, in the files."""
    plan = plan_in("carton")
    assert plan.carton is not None and plan.carton.name == "500 × 200 × 150"
    shown: Any = insert_plan(plan, CONTEXT)
    assert {row["size"] for row in shown["sheets_to_cut"]} == {"498\xa0× 198"}
    drawn = "".join(str(one) for one in shown["sheets"])
    assert ">498<" in drawn and ">198<" in drawn
    assert ">438<" not in drawn and ">158<" not in drawn
    taller = structs.replace(plan, carton=structs.replace(plan.carton, top_sheet_um=10_000))
    rows: Any = insert_plan(taller, CONTEXT)["sheets_to_cut"]
    assert (rows[-1]["thickness"], rows[-1]["size"], rows[-1]["count"]) == ("10", "498\xa0× 198", 1)
    assert as_cut(plan_in("0201")) == plan_in("0201")

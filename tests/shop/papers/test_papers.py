"""The papers of a plan: what they say, to whom, and that the same plan gives the same file."""

import dataclasses
import datetime as dt
import functools
import html
import io
import json
import re
import xml.etree.ElementTree as ET
from decimal import Decimal
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from packing.draw import rod_pages
from packing.materials import WoodPart, treatment_plan, wood_verdict
from packing.plan import HardwarePlan, Message, Plan, Sides, plan_from_json
from packing.plan.kinds import FastenerKind
from packing.planning import plan_parcel
from shop.papers import ItemName, PaperContext, Units, print_paper, render_html, render_papers_files
from shop.papers.drawings import page_room
from shop.papers.insert_plan import MARKING_WORDS_MM, cut_alike, insert_plan, stacking
from tests.helpers import instance, present
from tests.packing.draw.test_rods import lines_of
from tests.packing.drawn_zoo import in_box
from tests.packing.insert_zoo import AXE, HAMMER, order_of

SAMPLE = Path(__file__).parents[2] / "data" / "papers_plan.json"
KINDS = ("slip", "insert", "box")
CONTEXT = PaperContext(
    shop_name="Kråkfors Forge",
    customer_name="Łukasz Müller-O’Brien",
    customer_address=("ul. Kowalska 12", "PL"),
    order_number="21",
    date=dt.date(2026, 3, 7),
    plan_hash="3fa41c9b" + "0" * 56,
    names=(ItemName("CH125-007", "Cross peen hammer", "CH125-007", 7, Decimal(1250)), ItemName("wax tin", "Wax")),
)


def plan_in(path: Path) -> Plan:
    return plan_from_json(json.loads(path.read_text(encoding="utf-8")))


@pytest.fixture
def plan() -> Plan:
    return plan_in(SAMPLE)


def with_(**changes: Any) -> Any:
    return dataclasses.replace(CONTEXT, **changes)


@functools.cache
def print_of(kind: Any, context: Any = CONTEXT) -> Any:
    """A paper of the sample plan, printed once."""
    return print_paper(kind, plan_in(SAMPLE), context)


def pages_of(kind: Any, context: Any = CONTEXT) -> Any:
    with pdfplumber.open(io.BytesIO(print_of(kind, context).pdf)) as pdf:
        return [page.extract_text() for page in pdf.pages]


def words_of(kind: Any, plan: Any, context: Any = CONTEXT) -> Any:
    """The words of a paper before it is printed, drawings left out."""
    body = render_html(kind, plan, context).html.partition("<body")[2]
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", body)).split())


def only(plan: Any, letter: Any) -> Any:
    """The plan with one item left in it."""
    keep = tuple(item for item in plan.items if item.letter == letter)
    return replace(plan, items=keep, layers=plan.layers[:1])


@pytest.mark.parametrize("kind", KINDS)
def test_every_page_carries_order_plan_date_and_sheet(kind: Any) -> None:
    pages = pages_of(kind)
    for number, page in enumerate(pages, start=1):
        last = page[page.rindex("Kråkfors Forge") :]
        assert all(words in last for words in ("21", "3fa41c9b", "2026-03-07", f"{number} of {len(pages)}"))


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_plan_gives_the_same_bytes(kind: Any, plan: Any) -> None:
    assert print_paper(kind, plan, CONTEXT).pdf == print_of(kind).pdf


@pytest.mark.parametrize("kind", KINDS)
def test_the_day_of_the_plan_is_the_only_date_in_the_file(kind: Any) -> None:
    metadata = present(PdfReader(io.BytesIO(print_of(kind).pdf)).metadata)
    assert [str(metadata[key]) for key in ("/CreationDate", "/ModDate")] == ["D:20260307"] * 2


@pytest.mark.parametrize(("size", "short", "long"), [("A4", 210, 297), ("Letter", 215.9, 279.4)])
@pytest.mark.parametrize("kind", KINDS)
def test_every_page_is_of_the_size_asked_for(kind: Any, size: Any, short: Any, long: Any) -> None:
    reader = PdfReader(io.BytesIO(print_of(kind, with_(page_size=size)).pdf))
    for page in reader.pages:
        sides = sorted(float(side) / 72 * 25.4 for side in page.mediabox[2:])
        assert sides == pytest.approx([short, long], abs=0.1)


def test_the_slip_names_each_piece_by_letter_number_and_name(plan: Any) -> None:
    assert "A 7 Cross peen hammer CH125-007 1250 g 1440 g bottom" in words_of("slip", plan)


def test_the_slip_lists_what_is_lifted_out_first_first(plan: Any) -> None:
    words = words_of("slip", plan)
    assert words.index("AX600-003") < words.index("RP030-021") < words.index("CH125-007") < words.index("Wax")


def test_the_slip_gives_the_gross_weight_in_kilograms_and_pounds(plan: Any) -> None:
    assert "4.93 kg (10 lb 13.8 oz)" in words_of("slip", plan)


def test_a_reader_of_inches_gets_a_slip_in_pounds_and_inches(plan: Any) -> None:
    words = words_of("slip", plan, with_(reader=Units("in", "lb")))
    assert "3 lb 2.8 oz" in words
    assert "inches, to 1/16" in words


def test_the_bench_keeps_its_own_units(plan: Any) -> None:
    assert "508 × 223 × 172 mm" in words_of("insert", plan, with_(reader=Units("in", "lb")))


def test_a_slip_with_an_edge_says_which_letters_are_sharp(plan: Any) -> None:
    assert "Sharp: C." in words_of("slip", plan)


def test_a_slip_without_an_edge_warns_of_none(plan: Any) -> None:
    assert "Sharp:" not in words_of("slip", only(plan, "A"))


def test_a_box_for_two_people_says_so(plan: Any) -> None:
    heavy = replace(plan, weight=replace(plan.weight, gross_mg=20_000_000))
    assert "a load for two people" in words_of("slip", heavy)
    assert "a load for two people" not in words_of("slip", plan)


def test_every_slip_with_tools_speaks_of_oily_cloths_and_of_steel_on_board(plan: Any) -> None:
    words = words_of("slip", plan)
    assert "Oily cloths can catch fire by themselves." in words
    assert "No bare steel on board, felt, oak or fresh ply." in words


def test_lifting_is_told_in_todays_words_with_one_limit_and_its_source(plan: Any) -> None:
    heavy = words_of("slip", replace(plan, weight=replace(plan.weight, gross_mg=16_000_001)))
    assert "bend back, hips and knees moderately" in heavy
    assert "Above 16 kg (35 lb) take it as a load for two people, or use a trolley (HSE guidance INDG143, 2020" in heavy
    light = words_of("slip", replace(plan, weight=replace(plan.weight, gross_mg=16_000_000)))
    assert "a load for two people" not in light


def test_striking_cautions_ask_for_eye_protection_and_defer_to_local_codes(plan: Any) -> None:
    words = words_of("slip", plan)
    assert "Wear eye protection" in words
    assert "Local codes" in words


@pytest.mark.parametrize(("kind", "wire"), [("insert", True), ("box", False)])
def test_cutting_cautions_stand_on_both_cut_plans_each_of_what_it_cuts(kind: Any, wire: Any, plan: Any) -> None:
    words = words_of(kind, plan)
    assert ("Hot wire gives off fumes" in words) is wire
    assert "Cut-resistant glove" in words
    assert "Local codes" in words


@pytest.mark.parametrize(("demo", "said"), [(True, True), (False, False)])
def test_an_invented_order_says_so_on_every_page_on_the_letterhead_and_in_the_file(demo: Any, said: Any) -> None:
    pages = pages_of("slip", with_(demo=demo))
    for page in pages:
        assert ("INVENTED DEMO" in page.upper()) is said
    assert ("Invented for demonstration" in pages[0]) is said
    metadata = present(PdfReader(io.BytesIO(print_of("slip", with_(demo=demo)).pdf)).metadata)
    assert ("invented for demonstration" in present(metadata.title)) is said
    assert ("(invented)" in present(metadata.author)) is said


@pytest.mark.parametrize(
    "name",
    [
        '<img src="file:///etc/passwd">',
        "<link rel=stylesheet href=http://127.0.0.1:9/x.css>",
        "url(file:///etc/passwd)",
        "{{ context.plan_hash }}{% now 'Y' %}",
    ],
)
def test_whatever_a_name_says_is_only_printed(name: Any) -> None:
    pages = pages_of("slip", with_(customer_name=name, customer_address=(name,), shop_name=name))
    assert "".join(pages[0].split()).count("".join(name.split())) >= 3


def test_an_item_named_in_markup_is_only_printed_in_drawings_too(plan: Any) -> None:
    name = "<image href='file:///etc/passwd'/>"
    marked = plan_from_json(json.loads(SAMPLE.read_text(encoding="utf-8").replace("CH125-007", name)))
    assert print_paper("insert", marked, with_(names=())).pdf.startswith(b"%PDF")


def test_the_insert_plan_shows_every_sheet_with_pockets_once(plan: Any) -> None:
    groups = [[sheet.id for sheet in group] for group in cut_alike(plan)]
    assert groups == [["S2", "S3"], ["S4", "S5"], ["S7"], ["S8", "S9"]]


def test_a_sheet_that_is_thicker_shares_the_page_of_those_with_the_same_cuts(plan: Any) -> None:
    first, second, third, *rest = plan.insert.sheets
    thicker = replace(
        plan.insert, sheets=(first, second, replace(third, thickness_um=third.thickness_um + 5_000), *rest)
    )
    changed = replace(plan, insert=thicker)
    assert [len(group) for group in cut_alike(changed)] == [2, 2, 1, 2]
    assert "S2 12 mm, S3 17 mm: alike, cut together." in words_of("insert", changed)


@pytest.mark.parametrize("units", [Units("mm", "g"), Units("in", "lb")])
def test_pockets_are_listed_with_the_figures_of_their_drawing(plan: Any, units: Any) -> None:
    shown: dict[str, Any] = insert_plan(plan, with_(bench=units))
    for sheet, group in zip(shown["sheets"], cut_alike(plan), strict=True):
        drawn = html.unescape(sheet.drawing.svg)
        rows = [row for table in sheet.tables for row in table]
        assert len(rows) == len(group[0].pockets)
        for row in rows:
            left, bottom = figure_of(row["left"]), figure_of(row["bottom"])
            assert f">{left}<" in drawn or f">{bottom}<" in drawn
        sizes = {" × ".join(sorted((figure_of(row["across"]), figure_of(row["up"])))) for row in rows}
        written = {" × ".join(sorted(size.split(" × "))) for size in re.findall(r">([^<>]+ × [^<>]+)<", drawn)}
        assert written and written <= sizes


def figure_of(cell: Any) -> Any:
    """A cell of a table without the marks that set its fraction."""
    return re.sub(r"<[^>]*>", "", cell).replace("\u00a0", " ")


def test_stacking_puts_saddles_before_pieces_and_plugs_after(plan: Any) -> None:
    steps: list[dict[str, Any]] = stacking(plan)
    (layer,) = [step for step in steps if step["sheets"] == "S7–S9"]
    assert [then["what"] for then in layer["then"]] == ["saddles", "lift tape under", "pieces", "plugs"]


def test_the_cut_list_names_every_plug_and_saddle(plan: Any) -> None:
    words = words_of("insert", plan)
    assert all(f"{one} saddle" in words for one in ("D1", "D2", "D3", "D4"))
    assert all(f"{one} plug" in words for one in ("P1", "P2", "P3", "P4"))


def test_the_box_plan_says_where_the_tolerance_comes_from(plan: Any) -> None:
    words = words_of("box", plan)
    assert "± 68.1 g 2.6 × 26.2 g" in words
    assert "foam density 5 % spread 22.5 g" in words


def test_the_box_plan_offers_a_stock_carton_as_a_second_answer(plan: Any) -> None:
    assert "cut down by 26 mm" in words_of("box", plan)


def test_a_box_plan_without_a_carton_says_that_none_fits(plan: Any) -> None:
    assert "No stock carton takes this insert" in words_of("box", replace(plan, carton=None))


def test_why_no_carton_takes_the_insert_stands_on_the_box_plan_and_not_on_the_insert_plan(plan: Any) -> None:
    told = replace(
        plan,
        carton=None,
        no_carton=Message("No stock carton takes an insert of {size}.", size=Sides((412_250, 190_000, 160_000))),
    )
    assert "takes an insert of 412.2 × 190 × 160 mm" in words_of("box", told)
    assert "carton" not in words_of("insert", told)


def test_a_single_piece_has_a_slip_of_one_sheet(plan: Any) -> None:
    assert print_paper("slip", only(plan, "A"), CONTEXT).sheets == 1


def test_papers_for_a_folder_get_readable_names(plan: Any, tmp_path: Path) -> None:
    paths = render_papers_files(plan, with_(order_number="21/../x"), tmp_path / "out")
    assert [path.name for path in paths] == [
        "order-21-x-packing-slip.pdf",
        "order-21-x-insert-cut-plan.pdf",
        "order-21-x-box-cut-plan.pdf",
        "order-21-x-all-papers.pdf",
    ]
    sheets = [len(PdfReader(path).pages) for path in paths]
    assert sheets[3] == sum(sheets[:3])
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(path.name for path in paths)


def test_a_box_of_boards_is_printed_as_parts_hardware_and_steps(plan: Any) -> None:
    screws = HardwarePlan(
        what=Message("screw 4 × 40"),
        count=24,
        weight_mg=0,
        where=Message("along the lid"),
        spacing_um=0,
        rule=Message(""),
        kind=FastenerKind.SCREW,
    )
    wooden = in_box("ply").box
    box = replace(
        wooden,
        board=None,
        blank=None,
        hardware=(screws,),
        steps=(*wooden.steps[:-1], replace(wooden.steps[-1], text=Message("Screw the ends between the sides."))),
        pieces=tuple(replace(piece, holes=()) for piece in wooden.pieces),
    )
    words = words_of("box", replace(plan, box=box))
    assert "24 × screw 4 × 40: along the lid" in words
    assert "Screw the ends between the sides." in words
    assert "The blank" not in words


@pytest.mark.parametrize("kind", KINDS)
def test_a_plan_as_the_library_makes_it_has_every_paper(kind: Any) -> None:
    words = words_of(kind, plan_in(SAMPLE.parent / "plan_sample.json"))
    assert "Kråkfors Forge" in words
    assert "None" not in words


@pytest.mark.parametrize("units", [Units("mm", "g"), Units("in", "lb")])
def test_loose_pieces_of_thin_stock_are_listed_with_the_thickness_of_each_sheet(units: Any) -> None:
    order = order_of(HAMMER, AXE, web=50, wall=50, sheets=[25], bite=1.5, thin=[3, 6])
    planned = instance(Plan, plan_parcel(order, effort=200).answer)
    loose = planned.insert.rests + planned.insert.fills
    assert loose and all(piece.thicknesses_um for piece in loose)
    words = words_of("insert", planned, with_(bench=units))
    assert all(f"{piece.id} " in words for piece in loose)
    assert "thin stock" in words
    assert "span" not in words


@pytest.mark.parametrize("kind", ["slip", "box"])
def test_wood_that_has_to_be_treated_and_marked_stands_on_the_paper(kind: Any, plan: Any) -> None:
    verdict = wood_verdict([WoodPart("pine", 19_000, processed=False)], abroad=True)
    box = replace(plan.box, treatment=treatment_plan(verdict))
    assert "Treated and marked wood is needed by ISPM 15 (text of 2018)" in words_of(kind, replace(plan, box=box))
    assert "ISPM" not in words_of(kind, plan)


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_rods_come_out_of_the_printed_file_as_they_were_drawn(plan: Any, size: Any) -> None:
    """Every tick, from the left end of the bar of 100 mm, and both bars, within a tenth of a millimetre."""
    room = page_room(size, wide=True)
    drawn = rod_pages(plan, paper=(room.width, room.height - MARKING_WORDS_MM))
    mm = 25.4 / 72
    with pdfplumber.open(io.BytesIO(print_of("insert", with_(page_size=size)).pdf)) as pdf:
        pages = [page for page in pdf.pages if "Rods to mark the sheets by" in page.extract_text()]
        assert len(pages) == len(drawn) > 0
        for page, picture in zip(pages, drawn, strict=True):
            bars = sorted((line["x1"] - line["x0"], line["x0"]) for line in page.lines if line["height"] < 0.1)
            left = next(x0 for length, x0 in bars if abs(length * mm - 100) < 0.1)
            assert any(abs(length * mm - 101.6) < 0.1 for length, _ in bars)
            found = sorted((one["x0"] - left) * mm for one in page.lines if abs(one["linewidth"] * mm - 0.35) < 0.01)
            wanted = sorted(x0 for x0, *_ in lines_of(ET.fromstring(picture.svg), "0.35"))
            assert found == pytest.approx(wanted, abs=0.1)

"""The papers of a plan: what they say, to whom, and that the same plan gives the same file."""

import dataclasses
import datetime as dt
import functools
import html
import io
import json
import re
from decimal import Decimal
from pathlib import Path

import pdfplumber
import pytest
from pypdf import PdfReader

from shop.papers import ItemName, NoPlan, PaperContext, Units, print_paper, render_html, render_papers_files
from shop.papers.insert_plan import cut_alike, insert_plan, stacking

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


@pytest.fixture
def content():
    return json.loads(SAMPLE.read_text(encoding="utf-8"))


def with_(**changes):
    return dataclasses.replace(CONTEXT, **changes)


@functools.cache
def print_of(kind, context=CONTEXT):
    """A paper of the sample plan, printed once."""
    return print_paper(kind, json.loads(SAMPLE.read_text(encoding="utf-8")), context)


def pages_of(kind, context=CONTEXT):
    with pdfplumber.open(io.BytesIO(print_of(kind, context).pdf)) as pdf:
        return [page.extract_text() for page in pdf.pages]


def words_of(kind, content, context=CONTEXT):
    """The words of a paper before it is printed, drawings left out."""
    body = render_html(kind, content, context).html.partition("<body")[2]
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", body)).split())


def only(content, letter):
    """The plan with one item left in it."""
    keep = [item for item in content["items"] if item["letter"] == letter]
    return {**content, "items": keep, "layers": content["layers"][:1]}


@pytest.mark.parametrize("kind", KINDS)
def test_every_page_carries_order_plan_date_and_sheet(kind):
    pages = pages_of(kind)
    for number, page in enumerate(pages, start=1):
        last = page[page.rindex("Kråkfors Forge") :]
        assert all(words in last for words in ("21", "3fa41c9b", "2026-03-07", f"{number} of {len(pages)}"))


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_plan_gives_the_same_bytes(kind, content):
    assert print_paper(kind, content, CONTEXT).pdf == print_of(kind).pdf


@pytest.mark.parametrize("kind", KINDS)
def test_the_day_of_the_plan_is_the_only_date_in_the_file(kind):
    metadata = PdfReader(io.BytesIO(print_of(kind).pdf)).metadata
    assert (metadata["/CreationDate"], metadata["/ModDate"]) == ("D:20260307", "D:20260307")


@pytest.mark.parametrize(("size", "short", "long"), [("A4", 210, 297), ("Letter", 215.9, 279.4)])
@pytest.mark.parametrize("kind", KINDS)
def test_every_page_is_of_the_size_asked_for(kind, size, short, long):
    reader = PdfReader(io.BytesIO(print_of(kind, with_(page_size=size)).pdf))
    for page in reader.pages:
        sides = sorted(float(side) / 72 * 25.4 for side in page.mediabox[2:])
        assert sides == pytest.approx([short, long], abs=0.1)


def test_the_slip_names_each_piece_by_letter_number_and_name(content):
    assert "A 7 Cross peen hammer CH125-007 1250 g 1440 g bottom" in words_of("slip", content)


def test_the_slip_lists_what_is_lifted_out_first_first(content):
    words = words_of("slip", content)
    assert words.index("AX600-003") < words.index("RP030-021") < words.index("CH125-007") < words.index("Wax")


def test_the_slip_gives_the_gross_weight_in_kilograms_and_pounds(content):
    assert "4.93 kg (10 lb 13.8 oz)" in words_of("slip", content)


def test_a_reader_of_inches_gets_a_slip_in_pounds_and_inches(content):
    words = words_of("slip", content, with_(reader=Units("in", "lb")))
    assert "3 lb 2.8 oz" in words
    assert "inches, to 1/16" in words


def test_the_bench_keeps_its_own_units(content):
    assert "508 × 223 × 172 mm" in words_of("insert", content, with_(reader=Units("in", "lb")))


def test_a_slip_with_an_edge_says_which_letters_are_sharp(content):
    assert "Sharp: C." in words_of("slip", content)


def test_a_slip_without_an_edge_warns_of_none(content):
    assert "Sharp:" not in words_of("slip", only(content, "A"))


def test_a_box_for_two_people_says_so(content):
    heavy = {**content, "weight": {**content["weight"], "gross_g": 20000}}
    assert "a load for two people" in words_of("slip", heavy)
    assert "a load for two people" not in words_of("slip", content)


@pytest.mark.parametrize(("oil", "said"), [(True, True), (False, False)])
def test_oily_rags_are_spoken_of_where_oil_is_supplied(oil, said, content):
    assert ("catch fire by themselves" in words_of("slip", content, with_(oil=oil))) is said


def test_striking_cautions_ask_for_eye_protection_and_defer_to_local_codes(content):
    words = words_of("slip", content)
    assert "Wear eye protection" in words
    assert "Local codes" in words


@pytest.mark.parametrize("kind", ["insert", "box"])
def test_cutting_cautions_stand_on_both_cut_plans(kind, content):
    words = words_of(kind, content)
    assert "Hot wire gives off fumes" in words
    assert "Local codes" in words


@pytest.mark.parametrize(("demo", "said"), [(True, True), (False, False)])
def test_an_invented_order_says_so_on_every_page(demo, said):
    for page in pages_of("slip", with_(demo=demo)):
        assert ("INVENTED DEMO" in page.upper()) is said


@pytest.mark.parametrize(
    "name",
    [
        '<img src="file:///etc/passwd">',
        "<link rel=stylesheet href=http://127.0.0.1:9/x.css>",
        "url(file:///etc/passwd)",
        "{{ context.plan_hash }}{% now 'Y' %}",
    ],
)
def test_whatever_a_name_says_is_only_printed(name):
    pages = pages_of("slip", with_(customer_name=name, customer_address=(name,), shop_name=name))
    assert "".join(pages[0].split()).count("".join(name.split())) >= 3


def test_an_item_named_in_markup_is_only_printed_in_drawings_too(content):
    name = "<image href='file:///etc/passwd'/>"
    marked = json.loads(json.dumps(content).replace("CH125-007", name))
    assert print_paper("insert", marked, with_(names=())).pdf.startswith(b"%PDF")


def test_the_insert_plan_shows_every_sheet_with_pockets_once(content):
    groups = [[sheet["id"] for sheet in group] for group in cut_alike(content)]
    assert groups == [["S2", "S3"], ["S4", "S5"], ["S7"], ["S8", "S9"]]


def test_a_sheet_that_is_thicker_has_its_own_page_though_its_pockets_are_the_same(content):
    content["insert"]["sheets"][2]["thickness_mm"] = 25
    assert [len(group) for group in cut_alike(content)] == [1, 1, 2, 1, 2]


@pytest.mark.parametrize("units", [Units("mm", "g"), Units("in", "lb")])
def test_pockets_are_listed_with_the_figures_of_their_drawing(content, units):
    shown = insert_plan(content, with_(bench=units))
    for sheet, group in zip(shown["sheets"], cut_alike(content), strict=True):
        drawn = html.unescape(sheet["drawing"].svg)
        rows = [row for table in sheet["tables"] for row in table]
        assert len(rows) == len(group[0]["pockets"])
        for row in rows:
            left, bottom, across, up = (figure_of(row[name]) for name in ("left", "bottom", "across", "up"))
            assert any(f"{one} × {other}" in drawn for one, other in ((across, up), (up, across)))
            assert f">{left}<" in drawn or f">{bottom}<" in drawn


def figure_of(cell):
    """A cell of a table without the marks that set its fraction."""
    return re.sub(r"<[^>]*>", "", cell).replace("\u00a0", " ")


def test_stacking_puts_saddles_before_pieces_and_plugs_after(content):
    (layer,) = [step for step in stacking(content) if step["sheets"] == "S7–S9"]
    assert [then["what"] for then in layer["then"]] == ["saddles", "lift tape under", "pieces", "plugs"]


def test_the_cut_list_names_every_plug_and_saddle(content):
    words = words_of("insert", content)
    assert all(f"{one} saddle" in words for one in ("D1", "D2", "D3", "D4"))
    assert all(f"{one} plug" in words for one in ("P1", "P2", "P3", "P4"))


def test_the_box_plan_says_where_the_tolerance_comes_from(content):
    words = words_of("box", content)
    assert "± 68.1 g 2.6 × 26.2 g" in words
    assert "foam density 5 % spread 22.5 g" in words


def test_the_box_plan_offers_a_stock_carton_as_a_second_answer(content):
    assert "cut down by 26 mm" in words_of("box", content)


def test_a_box_plan_without_a_carton_says_that_none_fits(content):
    assert "No stock carton takes this insert" in words_of("box", {**content, "carton": None})


def test_why_no_carton_takes_the_insert_stands_on_the_box_plan_and_not_on_the_insert_plan(content):
    told = {**content, "carton": None, "no_carton": "No stock carton takes an insert of 412.25 × 190 × 160 mm."}
    assert "takes an insert of 412.2 × 190 × 160 mm" in words_of("box", told)
    assert "carton" not in words_of("insert", told)


def test_a_single_piece_has_a_slip_of_one_sheet(content):
    assert print_paper("slip", only(content, "A"), CONTEXT).sheets == 1


def test_papers_for_a_folder_get_readable_names(content, tmp_path):
    paths = render_papers_files(content, with_(order_number="21/../x"), tmp_path / "out")
    assert [path.name for path in paths] == [
        "order-21-x-packing-slip.pdf",
        "order-21-x-insert-cut-plan.pdf",
        "order-21-x-box-cut-plan.pdf",
    ]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(path.name for path in paths)


def test_an_order_without_a_plan_gets_no_papers(tmp_path):
    with pytest.raises(NoPlan, match="not found"):
        render_papers_files({"status": "not found"}, CONTEXT, tmp_path)


def test_a_box_of_boards_is_printed_as_parts_hardware_and_steps(content):
    content["box"] |= {
        "board": None,
        "blank": None,
        "hardware": [
            {
                "what": "screw 4 × 40",
                "count": 24,
                "weight_g": 72,
                "where": "along the lid",
                "spacing_mm": 50,
                "rule": "",
            }
        ],
        "steps": [{"text": "Screw the ends between the sides."}],
    }
    words = words_of("box", content)
    assert "24 × screw 4 × 40: along the lid" in words
    assert "Screw the ends between the sides." in words
    assert "The blank" not in words


@pytest.mark.parametrize("kind", KINDS)
def test_a_plan_as_the_library_makes_it_has_every_paper(kind):
    made = json.loads((SAMPLE.parent / "plan_sample.json").read_text(encoding="utf-8"))
    words = words_of(kind, made)
    assert "Kråkfors Forge" in words
    assert "None" not in words

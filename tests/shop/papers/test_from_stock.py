"""The pages that show what a plan is cut from."""

import dataclasses
import html
import json
import re
from pathlib import Path

import pytest

from packing.plan import Plan, plan_from_json
from shop.adapter import SheetOnPaper
from shop.papers import PaperContext, Units, print_paper, render_html
from shop.papers.storage import made_from
from tests.shop.papers.test_papers import CONTEXT

MM = 1000
SAMPLE = Path(__file__).parents[2] / "data" / "papers_plan.json"


def foam(row: int, thickness: int, *, label: str = "", count: int = 9, length: int = 2700) -> SheetOnPaper:
    return SheetOnPaper(
        row=row,
        label=label,
        material="PE foam",
        nominal_um=thickness * MM,
        thickness_um=thickness * MM,
        tolerance_um=500,
        length_um=length * MM,
        width_um=600 * MM,
        trim_um=6 * MM,
        kerf_um=0,
        cut_by="knife",
        turns=True,
        count=count,
        offcut=bool(label),
    )


@pytest.fixture
def plan() -> Plan:
    return plan_from_json(json.loads(SAMPLE.read_text(encoding="utf-8")))


def context(*stock: SheetOnPaper, units: Units | None = None) -> PaperContext:
    return dataclasses.replace(CONTEXT, stock=stock, bench=units or CONTEXT.bench)


def words(kind: str, plan: Plan, about: PaperContext) -> str:
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", render_html(kind, plan, about).html)))


def test_the_insert_cut_plan_shows_each_sheet_with_its_cuts_and_its_offcuts_number(plan: Plan) -> None:
    said = words("insert", plan, context(foam(1, 12), foam(2, 25)))
    assert "PE foam, 25 mm: whole sheet, 2700 × 600 mm" in said
    assert "PE foam, 12 mm: whole sheet, 2700 × 600 mm" in said
    assert "Cut in the order of the blue numbers" in said
    assert "Keep, and write on it: 21-1." in said
    assert "1 new sheet of it in all: no layout needs fewer." in said


def test_an_offcut_is_named_by_what_is_written_on_it(plan: Plan) -> None:
    said = words("insert", plan, context(foam(1, 12), foam(2, 25), foam(3, 25, label="9-2", count=1)))
    assert "PE foam, 25 mm: offcut 9-2" in said
    assert "All of it comes from offcuts." in said


def test_every_sheet_of_the_insert_is_on_a_picture(plan: Plan) -> None:
    sheets = render_html("insert", plan, context(foam(1, 12), foam(2, 25)))
    drawn = " ".join(svg for svg in sheets.drawings.values() if "offcuts to keep" in svg)
    for sheet in plan.insert.sheets:
        assert f">{sheet.id}</text>" in drawn


def test_what_stock_does_not_allow_stands_on_the_page(plan: Plan) -> None:
    said = words("insert", plan, context(foam(1, 12), foam(2, 25, length=120)))
    assert "Not to be had from stock" in said
    assert "larger than any PE foam of 25 mm in stock: 108 × 588 mm within the trim." in said


def test_the_bench_reads_its_own_units(plan: Plan) -> None:
    said = words("insert", plan, context(foam(1, 12), foam(2, 25), units=Units("in", "lb")))
    assert "106 5/16 × 23 5/8 in" in said


def test_a_shop_without_sheets_has_no_such_pages(plan: Plan) -> None:
    for kind in ("insert", "box"):
        assert "From stock" not in words(kind, plan, CONTEXT)
    assert "From stock" not in words("box", plan, context(foam(1, 12), foam(2, 25)))


def test_the_state_of_the_stock_makes_no_paper_stale() -> None:
    assert made_from("insert", context(foam(1, 12))) == made_from("insert", CONTEXT)


def test_the_same_plan_and_stock_give_the_same_bytes(plan: Plan) -> None:
    about = context(foam(1, 12), foam(2, 25))
    assert print_paper("insert", plan, about).pdf == print_paper("insert", plan, about).pdf

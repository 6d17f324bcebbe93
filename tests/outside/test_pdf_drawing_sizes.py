"""Sizes read back from printed papers.

Source: ISO 32000-1:2008, 8.3.2.3: the default unit of a PDF page is 1/72 inch; and 1 in = 25.4 mm exactly
(international yard, 1959). pdfplumber, which knows nothing of this project, reads the lines.
"""

import dataclasses
import datetime as dt
import functools
import io
import itertools
import json
import re
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from packing.plan import plan_from_json
from shop.papers import PaperContext, Units, print_paper
from tests.outside import sources as src
from tests.outside.sources import against

pytestmark = against(src.PDF, src.PDFPLUMBER)

SAMPLE = Path(__file__).parent.parent / "data" / "papers_plan.json"
POINT_MM = 25.4 / 72
METRIC = PaperContext(
    shop_name="Forge", customer_name="A", order_number="21", date=dt.date(2026, 3, 7), plan_hash="0" * 64
)
INCH = dataclasses.replace(METRIC, bench=Units("in", "lb"), page_size="Letter")
PAPERS = [("insert", METRIC), ("insert", INCH), ("box", METRIC), ("box", INCH)]


@pytest.fixture(scope="module")
def content() -> Any:
    return json.loads(SAMPLE.read_text(encoding="utf-8"))


@functools.cache
def print_of(kind: Any, context: Any) -> Any:
    return print_paper(kind, plan_from_json(json.loads(SAMPLE.read_text(encoding="utf-8"))), context).pdf


def printed(kind: Any, context: Any) -> Any:
    return pdfplumber.open(io.BytesIO(print_of(kind, context)))


def level_lines_mm(page: Any) -> Any:
    """Lengths in mm of all level lines of a page, dimension lines and outlines alike."""
    lengths = [abs(line["x1"] - line["x0"]) for line in page.lines if abs(line["top"] - line["bottom"]) < 0.01]
    for shape in page.rects + page.curves:
        points = [(float(x), float(y)) for x, y in shape["pts"]]
        lengths += [abs(bx - ax) for (ax, ay), (bx, by) in itertools.pairwise(points) if abs(by - ay) < 0.01]
    return [length * POINT_MM for length in lengths]


def has_length(page: Any, mm: Any) -> Any:
    return any(abs(length - mm) < 0.05 for length in level_lines_mm(page))


def scale_of(page: Any) -> Any:
    """The scale in the title block."""
    return float(re.findall(r"1 : ([\d.]+)", page.extract_text())[-1])


def drawn_pages(pdf: Any) -> Any:
    return [page for page in pdf.pages if "Check:thisbar" in "".join(page.extract_text().split())]


@pytest.mark.parametrize(("kind", "context"), PAPERS)
def test_the_check_bar_of_every_drawing_is_as_long_as_it_says(kind: Any, context: Any) -> None:
    bar = 100.0 if context.bench.length == "mm" else 4 * 25.4
    with printed(kind, context) as pdf:
        pages = drawn_pages(pdf)
        assert pages
        assert all(has_length(page, bar) for page in pages)


@pytest.mark.parametrize("context", [METRIC, INCH])
def test_the_insert_of_508_mm_is_drawn_to_the_scale_of_its_title_block(context: Any) -> None:
    with printed("insert", context) as pdf:
        for page in drawn_pages(pdf):
            assert has_length(page, 508 / scale_of(page))


@pytest.mark.parametrize("context", [METRIC, INCH])
def test_a_pocket_is_drawn_to_the_scale_of_its_title_block(context: Any, content: Any) -> None:
    block = next(p for p in content["insert"]["sheets"][1]["pockets"] if p["letter"] == "E")
    width = block["max_mm"][0] - block["min_mm"][0]
    with printed("insert", context) as pdf:
        page = next(page for page in pdf.pages if "Sheets S2, S3" in page.extract_text())
        assert has_length(page, width / scale_of(page))


@pytest.mark.parametrize("context", [METRIC, INCH])
def test_the_blank_of_1521_mm_is_drawn_to_the_scale_of_its_title_block(context: Any) -> None:
    with printed("box", context) as pdf:
        page = drawn_pages(pdf)[0]
        assert has_length(page, 1521 / scale_of(page))

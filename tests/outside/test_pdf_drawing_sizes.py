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

from packing.plan import dumps, plan_from_json
from shop.papers import PaperContext, Units, print_paper
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing.drawn_zoo import in_box

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
    return [page for page in pdf.pages if "Ifnot,printat100%" in "".join(page.extract_text().split())]


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


def crosses_mm(page: Any) -> Any:
    """Middles of the crosses of a page, y upwards: two lines of 8 mm that halve each other."""
    across, upright = (
        [line for line in page.lines if abs(abs(line[to] - line[start]) * POINT_MM - 8) < 0.05]
        for start, to in (("x0", "x1"), ("top", "bottom"))
    )
    return [
        (float(line["x0"] + line["x1"]) / 2 * POINT_MM, -float(line["top"]) * POINT_MM)
        for line in across
        if any(
            abs(one["x0"] - (line["x0"] + line["x1"]) / 2) < 0.1
            and abs((one["top"] + one["bottom"]) / 2 - line["top"]) < 0.1
            for one in upright
        )
    ]


def templates_mm(page: Any) -> Any:
    """Left, right, foot and head of each frame of a page, in mm, y upwards."""
    sides = sorted(
        (float(line["x0"]) * POINT_MM, -float(line["bottom"]) * POINT_MM, -float(line["top"]) * POINT_MM)
        for line in page.lines
        if abs(line["x1"] - line["x0"]) < 0.01 and (line["bottom"] - line["top"]) * POINT_MM > 50
    )
    return [(one[0], other[0], one[1], one[2]) for one, other in zip(sides[::2], sides[1::2], strict=True)]


def holes_at_ends(plan: Any) -> Any:
    """Of each piece, places of the holes of its face from either lower corner, in mm, as the plan file has them."""
    for piece in json.loads(dumps(plan))["box"]["flats"]:
        places = [hole["at_mm"] for hole in piece["holes"] if not hole["edge"]]
        yield places
        yield [(piece["size_mm"][0] - x, y) for x, y in places]


@pytest.mark.parametrize("code", ["ply", "boards", "sliding"])
def test_every_cross_of_a_corner_template_is_printed_where_its_hole_is(code: Any) -> None:
    """Within a tenth of a millimetre on paper, from the corner that is laid on the piece's."""
    plan = in_box(code)
    seen = 0
    with pdfplumber.open(io.BytesIO(print_paper("box", plan, METRIC).pdf)) as pdf:
        for page in (one for one in pdf.pages if "Corner templates" in one.extract_text()):
            for left, right, foot, head in templates_mm(page):
                own = [(x, y) for x, y in crosses_mm(page) if left < x < right and foot < y < head]
                ends = [[(x - left, y - foot) for x, y in own], [(right - x, y - foot) for x, y in own]]
                wide, high = right - left, head - foot
                assert any(
                    same(found, [at for at in wanted if at[0] <= wide and at[1] <= high])
                    for found in ends
                    for wanted in holes_at_ends(plan)
                ), (code, ends)
                seen += len(own)
    assert seen >= 4


def same(found: Any, wanted: Any) -> bool:
    """Whether two lists of places are the same within a tenth of a millimetre."""
    return len(found) == len(wanted) > 0 and all(
        any(abs(x - to_x) < 0.1 and abs(y - to_y) < 0.1 for to_x, to_y in wanted) for x, y in found
    )

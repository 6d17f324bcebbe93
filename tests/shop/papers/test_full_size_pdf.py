"""Sheets printed in full size, measured in the PDF itself: every pocket once, within 0.1 mm."""

import datetime as dt
import io
from dataclasses import replace

import pdfplumber
import pytest
from shapely import LineString, affinity, hausdorff_distance, line_merge, unary_union
from shapely.geometry.base import BaseGeometry

from packing.plan import Plan
from shop.papers import PaperContext, Units
from shop.papers.full_size import FullSize, print_full_size
from tests.bench.inserts import invented_orders
from tests.packing.draw.test_full_size import planned, wanted

METRIC = PaperContext(
    shop_name="Forge", customer_name="A", order_number="21", date=dt.date(2026, 3, 7), plan_hash="0" * 64
)
INCH = replace(METRIC, bench=Units("in", "lb"), page_size="Letter")
POINT_MM = 25.4 / 72
CUT_MM = 0.5
"""The width of the lines of cuts, and of the bars."""


def cuts_on(page: pdfplumber.page.Page) -> list[LineString]:
    """Wide lines of a page in mm from its lower left corner."""
    height = float(page.height)
    found = []
    for line in page.lines:
        if abs(float(line["linewidth"]) * POINT_MM - CUT_MM) < 0.05:
            found.append(LineString([(x * POINT_MM, (height - y) * POINT_MM) for x, y in line["pts"]]))
    return found


def assert_every_pocket_is_printed_once(plan: Plan, context: PaperContext) -> None:
    printed = print_full_size(FullSize.ONE_PAGE, plan, context)
    with pdfplumber.open(io.BytesIO(printed.pdf)) as pdf:
        pages = [cuts_on(page) for page in pdf.pages]
    cut = {sheet.id for sheet in plan.insert.sheets if sheet.pockets}
    edges: list[BaseGeometry] = [wanted(plan, one) for one in sorted(cut)]
    for lines in pages:
        lengths = sorted(line.length for line in lines)
        bars = [length for length in lengths if min(abs(length - 100.0), abs(length - 101.6)) < 0.1]
        assert len(bars) >= 2
        # The bars are the lowest lines of the page.
        lowest = sorted(lines, key=lambda line: line.bounds[1])[2:]
        drawn = line_merge(unary_union(lowest, grid_size=0.05))
        assert any(same(drawn, edge) for edge in edges)
    assert len(pages) == len({edge.wkt for edge in edges})


def same(drawn: BaseGeometry, edge: BaseGeometry) -> bool:
    """The same lines at another place of the page."""
    (dx, dy), (x, y) = drawn.bounds[:2], edge.bounds[:2]
    moved = affinity.translate(drawn, x - dx, y - dy)
    near: float = hausdorff_distance(moved, edge, densify=0.02)
    return near < 0.1 and abs(moved.length - edge.length) < 0.002 * edge.length


@pytest.mark.parametrize("number", range(2))
def test_a_pdf_of_sheets_in_full_size_has_every_pocket_once(number: int) -> None:
    assert_every_pocket_is_printed_once(planned(*invented_orders(2, 21)[number]), METRIC if number else INCH)


@pytest.mark.slow
def test_pdfs_of_two_hundred_orders_have_every_pocket_once() -> None:
    for order, thin in invented_orders(200, 22):
        assert_every_pocket_is_printed_once(planned(order, thin), METRIC)

"""Sheets in full size, read back from their SVG and put together as a person would: every cut, within 0.1 mm.

Pockets are joined, lines merged and compared by Shapely (GEOS), a general geometry library.
"""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace

import pytest
from shapely import MultiLineString, box, hausdorff_distance, line_merge, unary_union
from shapely.geometry.base import BaseGeometry

from packing.draw import FullSizePage, full_size_pages, whole_sheets
from packing.measure import Order
from packing.plan import Plan
from packing.planning import plan_parcel
from tests.bench.inserts import invented_orders
from tests.packing.draw.test_rods import lines_of, plan_laid
from tests.packing.insert_zoo import HAMMER, TIN, order_of

SVG = "{http://www.w3.org/2000/svg}"
PAPERS = {"A4": (262.0, 145.0), "Letter": (244.0, 150.0)}
Line = tuple[float, float, float, float]


@dataclass
class Read:
    """A page as it was printed: its place among the pages, its size, its cuts from its lower left corner, its bars."""

    row: int
    column: int
    size: tuple[float, float]
    overlap: float
    at_end: tuple[bool, bool]
    cuts: list[Line]
    bars: list[float]


def dashed_lines(root: ET.Element, dash: str) -> list[Line]:
    """Lines with these dashes."""
    return [
        (float(x0), float(y0), float(x1), float(y1))
        for path in root.iter(f"{SVG}path")
        if path.get("stroke-dasharray") == dash
        for x0, y0, x1, y1 in re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)", path.get("d", ""))
    ]


def read(page: FullSizePage) -> Read:
    """Measure a page: the frame is its one closed fine figure, the dashed lines show how far its neighbours reach."""
    root = ET.fromstring(page.drawing.svg)
    place = re.search(r"row (\d+), page (\d+)", page.name)
    frame = next(
        [tuple(map(float, point.split())) for point in path.get("d", "")[1:-1].split("L")]
        for path in root.iter(f"{SVG}path")
        if path.get("d", "").endswith("Z") and path.get("stroke-width") == "0.13"
    )
    width, height = max(x for x, _ in frame), max(y for _, y in frame)
    wide = lines_of(root, "0.5")
    dashed, ends = (dashed_lines(root, dash) for dash in ("1 1", "4 1"))
    overlaps = {round(x0 if x0 == x1 else height - y0, 2) for x0, y0, x1, y1 in dashed}
    assert len(overlaps) <= 1
    return Read(
        int(place[1]) - 1 if place else 0,
        int(place[2]) - 1 if place else 0,
        (width, height),
        overlaps.pop() if overlaps else 0.0,
        (any(x0 == x1 == width for x0, _, x1, _ in ends), any(y0 == y1 == 0 for _, y0, _, y1 in ends)),
        [(x0, height - y0, x1, height - y1) for x0, y0, x1, y1 in wide if max(y0, y1) <= height + 0.01],
        sorted(round(x1 - x0, 1) for x0, y0, x1, _ in wide if y0 > height + 0.01),
    )


def stuck_together(pages: list[FullSizePage], sheet: tuple[float, float]) -> BaseGeometry:
    """The cuts of a sheet: each page laid on its neighbours up to the dashed line, or along the sheet's far ends."""
    found = [read(page) for page in pages]
    assert all(one.bars == [100.0, 101.6] for one in found)
    overlap = max(one.overlap for one in found)
    # A page's place follows from the pages left of it and below it, which are whole ones.
    step = [max(one.size[axis] for one in found) - overlap for axis in (0, 1)]
    lines = []
    for one in found:
        dx, dy = (
            sheet[axis] - one.size[axis] if one.at_end[axis] else place * step[axis]
            for axis, place in enumerate((one.column, one.row))
        )
        lines += [((x0 + dx, y0 + dy), (x1 + dx, y1 + dy)) for x0, y0, x1, y1 in one.cuts]
    # Pages are drawn to a hundredth: what two of them have in common is one line, and not two beside each other.
    return line_merge(unary_union(MultiLineString(lines), grid_size=0.05))


def wanted(plan: Plan, sheet_id: str) -> BaseGeometry:
    """The edges of a sheet's pockets, an item's joined."""
    sheet = next(one for one in plan.insert.sheets if one.id == sheet_id)
    groups: dict[str, list[BaseGeometry]] = {}
    for pocket in sheet.pockets:
        rect = box(*(um / 1000 for um in (*pocket.min_um, *pocket.max_um)))
        groups.setdefault(pocket.letter, []).append(rect)
    return unary_union([unary_union(rects).boundary for rects in groups.values()])


def planned(order: Order, thin: tuple[int, ...]) -> Plan:
    return plan_parcel(
        replace(order, rules=replace(order.rules, bite_um=1_500, thin_um=thin)), effort=60
    ).plan  # fmt: skip


def assert_every_cut_is_there(plan: Plan, paper: tuple[float, float]) -> None:
    by_sheet: dict[tuple[str, ...], list[FullSizePage]] = {}
    for page in full_size_pages(plan, paper=paper):
        assert page.drawing.width_mm <= paper[0] and page.drawing.height_mm <= paper[1]
        assert page.drawing.crowded is False
        assert read(page).cuts, "a page on which nothing is cut"
        by_sheet.setdefault(page.ids, []).append(page)
    assert {one for ids in by_sheet for one in ids} == {sheet.id for sheet in plan.insert.sheets if sheet.pockets}
    size = (plan.interior_um[0] / 1000, plan.interior_um[1] / 1000)
    for ids, pages in by_sheet.items():
        back, edges = stuck_together(pages, size), wanted(plan, ids[0])
        assert hausdorff_distance(back, edges, densify=0.02) < 0.1, ids
        assert back.length == pytest.approx(edges.length, rel=0.002), ids


@pytest.mark.parametrize("number", range(8))
@pytest.mark.parametrize("paper", PAPERS)
def test_pages_stuck_together_have_every_cut_of_invented_orders(number: int, paper: str) -> None:
    assert_every_cut_is_there(planned(*invented_orders(8, 6)[number]), PAPERS[paper])


@pytest.mark.slow
def test_pages_stuck_together_have_every_cut_of_two_hundred_invented_orders() -> None:
    for order, thin in invented_orders(200, 9):
        plan = planned(order, thin)
        for paper in PAPERS.values():
            assert_every_cut_is_there(plan, paper)


def test_one_large_page_shows_all_cuts_and_bars() -> None:
    plan = planned(*invented_orders(8, 6)[3])
    pages = whole_sheets(plan, unit="in")
    assert len(pages) == len({page.ids for page in full_size_pages(plan, paper=PAPERS["A4"])})
    for page in pages:
        sheet = next(one for one in plan.insert.sheets if one.id == page.ids[0])
        height = sheet.size_um[1] / 1000
        wide = lines_of(ET.fromstring(page.drawing.svg), "0.5")
        cuts = [((x0, height - y0), (x1, height - y1)) for x0, y0, x1, y1 in wide if max(y0, y1) < height]
        back = line_merge(unary_union(MultiLineString(cuts)))
        assert hausdorff_distance(back, wanted(plan, sheet.id), densify=0.02) < 0.1
        assert page.drawing.width_mm >= sheet.size_um[0] / 1000
        assert sorted(round(x1 - x0, 1) for x0, y0, x1, _ in wide if y0 > height) == [100.0, 101.6]


def test_what_a_printer_is_out_by_is_taken_out() -> None:
    plan = plan_laid(order_of(TIN), (0, "block", 0))
    true, stretched = (
        sum(abs(x1 - x0) + abs(y1 - y0) for x0, y0, x1, y1 in lines_of(ET.fromstring(page.drawing.svg), "0.5"))
        for stretch in (1.0, 100 / 98)
        for page in whole_sheets(plan, stretch=stretch)
    )
    assert stretched == pytest.approx(true * 100 / 98, rel=1e-3)


def test_pages_without_a_cut_are_left_out_but_for_those_that_join_others() -> None:
    """Two hammers far apart: what lies between them is needed to stick the pages together."""
    plan = plan_laid(order_of(HAMMER, {**HAMMER, "id": "second"}), (0, "flat", 0), (1, "flat", 0))
    small = (120.0, 90.0)
    pages = full_size_pages(plan, paper=small)
    places = {(one.column, one.row) for one in map(read, pages)}
    for column, row in places:
        assert len(places) == 1 or any(abs(column - x) + abs(row - y) == 1 for x, y in places)

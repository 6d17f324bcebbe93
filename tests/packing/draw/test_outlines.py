"""Outline pockets read back from rods, templates, drawings and cutting files: each corner there, within 0.1 mm."""

import io
import re
import xml.etree.ElementTree as ET
from functools import cache
from random import Random
from typing import Any

import ezdxf
import pytest
from ezdxf.entities import LWPolyline
from shapely import LineString, Polygon, affinity, box, union_all

from packing.draw import head_templates, plan_view, rods, sheet_drawing, template_pages
from packing.draw.cut_file import cut_sheets
from packing.draw.cut_file_dxf import dxf_of
from packing.draw.cut_file_svg import svg_of
from packing.draw.full_size import whole_sheets
from packing.measure import read_order
from packing.plan import Plan, PocketPlan, SheetPlan
from packing.plan.kinds import Part
from packing.planning import plan_parcel
from tests.packing.draw.test_rods import assert_every_edge_is_there_once
from tests.packing.outlined import axe, hammer, random_tool, traced

SVG = "{http://www.w3.org/2000/svg}"
NEAR_MM = 0.1
PAPER = (244.0, 160.0)


@cache
def planned(seed: int) -> Plan:
    """A few tools of which one is traced in many points and lies on its cheek."""
    rng = Random(seed)
    items: list[dict[str, Any]] = [hammer(), axe(), traced(rng, hammer("traced"))]
    items += [random_tool(rng, f"t{number}") for number in range(2)]
    rules = {"bite": 1.5, "thin": [3, 6]}
    plan = plan_parcel(read_order({"id": "out", "rules": rules, "items": items[seed % 3 :]}), effort=60, seed=1).plan
    assert isinstance(plan, Plan)
    return plan


@pytest.fixture(params=range(6))
def plan(request: pytest.FixtureRequest) -> Plan:
    return planned(request.param)


def shape(pocket: PocketPlan, *, machine: bool) -> Polygon:
    points = (machine and pocket.traced_um) or pocket.outline_um
    rect = box(*pocket.min_um, *pocket.max_um)
    return Polygon([(x / 1000, y / 1000) for x, y in points or rect.exterior.coords])


def open_in(sheet: SheetPlan, *, machine: bool) -> Any:
    return union_all([shape(pocket, machine=machine) for pocket in sheet.pockets])


def far(first: Any, second: Any) -> float:
    """How far the edges of two figures are from each other at most."""
    return float(first.boundary.hausdorff_distance(second.boundary))


def svg_figures(svg: str) -> list[list[tuple[float, float]]]:
    """Closed figures of a drawing: their corners."""
    found = []
    for path in ET.fromstring(svg).iter(f"{SVG}path"):
        for figure in re.findall(r"M([^MZ]+)Z", path.get("d", "")):
            points = [tuple(map(float, pair.replace(",", " ").split())) for pair in figure.split("L")]
            found.append([(x, y) for x, y in points])
    return found


def test_cutting_files_have_every_point_of_an_outline(plan: Plan) -> None:
    stack = {sheet.id: sheet for sheet in plan.insert.sheets}
    cut = [one for one in cut_sheets(plan) if one.id in stack and stack[one.id].pockets]
    assert cut
    for one in cut:
        sheet, height = stack[one.id], stack[one.id].size_um[1] / 1000
        wanted = open_in(sheet, machine=True)
        edge, *holes = svg_figures(svg_of(one))
        made = union_all([Polygon([(x, height - y) for x, y in hole]) for hole in holes])
        assert len(edge) == 4
        assert far(made, wanted) < NEAR_MM
        document = ezdxf.read(io.StringIO(dxf_of(one)))
        assert document.audit().has_errors is False
        lines = [
            Polygon([(x, y) for x, y, *_ in line.get_points()])
            for line in document.query("LWPOLYLINE")
            if isinstance(line, LWPolyline)
        ]
        lines.sort(key=lambda figure: -figure.area)
        assert far(union_all(lines[1:]), wanted) < NEAR_MM
        # None is missing or doubled: each item's hole is one figure.
        letters = {pocket.letter for pocket in sheet.pockets}
        assert len(lines) - 1 == len(holes) == len(letters)


def test_full_size_sheets_have_the_straight_sides_that_a_knife_follows(plan: Plan) -> None:
    stack = {sheet.id: sheet for sheet in plan.insert.sheets}
    for page in whole_sheets(plan):
        wanted = open_in(stack[page.ids[0]], machine=False)
        lines = []
        for path in ET.fromstring(page.drawing.svg).iter(f"{SVG}path"):
            pairs = re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)", path.get("d", ""))
            lines += [LineString([(float(a), float(b)), (float(c), float(d))]) for a, b, c, d in pairs]
        height = stack[page.ids[0]].size_um[1] / 1000
        cut = affinity.translate(affinity.scale(wanted, 1, -1, origin=(0, 0)), 0, height)
        assert cut.boundary.difference(union_all(lines).buffer(NEAR_MM)).length < NEAR_MM


def test_every_edge_of_every_pocket_is_on_a_rod_once(plan: Plan) -> None:
    assert_every_edge_is_there_once(plan)


def test_rods_have_a_tick_for_each_corner(plan: Plan) -> None:
    for rod in rods(plan):
        side = 0 if rod.axis == "x" else 1
        for mark in rod.marks:
            own = [
                pocket
                for sheet in plan.insert.sheets
                if sheet.layer == rod.layer
                for pocket in sheet.pockets
                if (pocket.letter, pocket.part, pocket.min_um[side]) == (mark.letter, mark.part, mark.low_um)
            ]
            corners = {point[side] for pocket in own for point in pocket.outline_um}
            assert corners <= set(mark.ticks_um)
            assert {mark.low_um, mark.high_um} <= set(mark.ticks_um)


def test_templates_are_the_pockets_of_their_heads(plan: Plan) -> None:
    pockets = {(p.letter, p.part): p for sheet in plan.insert.sheets for p in sheet.pockets}
    templates = head_templates(plan)
    assert templates
    figures = [figure for page in template_pages(plan, paper=PAPER) for figure in svg_figures(page.svg)]
    for template in templates:
        head, handle = (shape(pockets[template.letters[0], part], machine=False) for part in (Part.HEAD, Part.HANDLE))
        if not template.outline_um or template.across_um > 1000 * (PAPER[0] - 3):
            continue
        whole = union_all([head, handle])
        wide = template.across_um / 1000
        drawn = next((f for f in figures if abs(max(x for x, _ in f) - min(x for x, _ in f) - wide) < 0.01), None)
        assert drawn is not None
        # Turned, turned over and moved, it lies on the pocket but for the handle beyond its stub.
        assert nearest(Polygon(drawn), whole, head) < NEAR_MM


def nearest(drawn: Polygon, whole: Any, head: Polygon) -> float:
    """The least distance from the corners of a template to the edge of a pocket, over all ways to lay it on."""
    best = 1e9
    at = head.bounds
    for quarter in range(4):
        for over in (1, -1):
            points = [(x * over, y) for x, y in drawn.exterior.coords]
            for _ in range(quarter):
                points = [(-y, x) for x, y in points]
            xs, ys = [x for x, _ in points], [y for _, y in points]
            ends = [(at[0] - min(xs), at[2] - max(xs)), (at[1] - min(ys), at[3] - max(ys))]
            for dx in ends[0]:
                for dy in ends[1]:
                    laid = Polygon([(x + dx, y + dy) for x, y in points])
                    outside = laid.difference(whole.buffer(NEAR_MM)).area
                    missing = head.difference(laid.buffer(NEAR_MM)).area
                    best = min(best, 0.0 if outside + missing < 0.01 else outside + missing)
    return best


def test_drawings_show_slanted_sides_and_figure_every_corner(plan: Plan) -> None:
    for sheet in plan.insert.sheets:
        if not any(pocket.outline_um for pocket in sheet.pockets):
            continue
        svg = sheet_drawing(plan, sheet.id, paper=(900.0, 700.0)).svg
        words = {text.text for text in ET.fromstring(svg).iter(f"{SVG}text")}
        slanted = re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)", svg)
        assert any(a != c and b != d for a, b, c, d in slanted)
        figures = [float(word) for word in words if word and re.fullmatch(r"\d+(\.\d)?", word)]
        for place in {point[axis] for point in corners_of(sheet) for axis in (0, 1)}:
            # To a tenth of a millimetre, half of it up or down.
            assert min(abs(place - figure) for figure in figures) < NEAR_MM


def corners_of(sheet: SheetPlan) -> list[tuple[float, float]]:
    """Corners of the holes in a sheet; where head and handle overlap there are none."""
    whole = open_in(sheet, machine=False).simplify(0.002)
    return [point for part in getattr(whole, "geoms", [whole]) for point in part.exterior.coords]


def test_the_layer_shows_pieces_by_their_outline(plan: Plan) -> None:
    svg = plan_view(plan, layer=0).svg
    assert any(a != c and b != d for a, b, c, d in re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)", svg))

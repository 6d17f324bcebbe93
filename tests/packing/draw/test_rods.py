"""Rods and templates, read back from their SVG: every edge of every pocket is there once, within 0.1 mm."""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace

import pytest

from packing.draw import head_templates, rod_pages, rods, template_pages
from packing.insert import letter_of
from packing.materials import ShopMaterials
from packing.measure import Order
from packing.plan import Plan
from packing.plan.kinds import Axis, Part
from packing.planning import nesting_candidate, plan_of, plan_parcel, stock_carton_alternative
from tests.bench.inserts import invented_orders
from tests.packing.insert_zoo import AXE, HAMMER, TIN, laid, order_of

SVG = "{http://www.w3.org/2000/svg}"
PAPER = (244.0, 160.0)
JOIN = 15.0
SIDES = {"length": 0, "width": 1}


@dataclass
class Strip:
    """A piece of a rod as it was printed: its words, its length, its ticks from its own beginning, in millimetres."""

    words: str
    length: float
    ticks: list[float]

    @property
    def rod(self) -> tuple[int, int]:
        """Layer and side."""
        layer = re.match(r"Layer (\d+)", self.words)
        side = re.search(r"along the (length|width)", self.words, re.IGNORECASE)
        assert side
        return (int(layer[1]) - 1 if layer else 0, SIDES[side[1]])


def plan_laid(order: Order, *row: tuple[int, str, int]) -> Plan:
    """The plan of items laid by hand."""
    chosen = nesting_candidate(order, laid(order, list(row)), ShopMaterials())
    return plan_of(order, chosen, stock_carton_alternative(order, chosen, ShopMaterials()))


def lines_of(root: ET.Element, width: str) -> list[tuple[float, float, float, float]]:
    """Straight lines of one width: x, y of both ends."""
    found = []
    for path in root.iter(f"{SVG}path"):
        if path.get("stroke-width") == width:
            for line in re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)(?!L|Z)", path.get("d", "")):
                x0, y0, x1, y1 = map(float, line)
                found.append((x0, y0, x1, y1))
    return found


def strips_on(svg: str) -> list[Strip]:
    """The strips of a page from the top, and a check that its bars are 100 mm and 4 in."""
    root = ET.fromstring(svg)
    edges = sorted((y0, x1 - x0) for x0, y0, x1, y1 in lines_of(root, "0.5") if y0 == y1)
    bars, edges = edges[-2:], edges[:-2]
    titles = sorted(
        (float(text.get("y", "0")), text.text or "") for text in root.iter(f"{SVG}text") if text.get("font-weight")
    )
    assert len(titles) == len(edges)
    ticks = lines_of(root, "0.35")
    assert sorted(round(length, 2) for _, length in bars) == [100.0, 101.6]
    return [
        Strip(words, length, sorted(x0 for x0, _, _, y1 in ticks if y1 == y))
        for (y, length), (_, words) in zip(edges, titles, strict=True)
    ]


def read_back(plan: Plan, paper: tuple[float, float] = PAPER) -> dict[tuple[int, int], list[float]]:
    """Every rod glued together: its layer and side to its ticks."""
    glued: dict[tuple[int, int], list[float]] = {}
    begins: dict[tuple[int, int], float] = {}
    for page in rod_pages(plan, paper=paper):
        assert page.width_mm <= paper[0] and page.height_mm <= paper[1]
        for strip in strips_on(page.svg):
            start = begins.get(strip.rod, 0.0)
            glued.setdefault(strip.rod, []).extend(start + tick for tick in strip.ticks)
            begins[strip.rod] = start + strip.length - JOIN
    return {rod: sorted(ticks) for rod, ticks in glued.items()}


def edges_of(plan: Plan) -> dict[tuple[int, int], list[float]]:
    """Both edges and every corner of every pocket of each layer, once however many sheets it is cut in."""
    found: dict[tuple[int, int], set[tuple[str, Part, tuple[int, int], tuple[int, int], int]]] = {}
    for sheet in plan.insert.sheets:
        for pocket in sheet.pockets:
            for side in (0, 1):
                assert sheet.layer is not None
                own = found.setdefault((sheet.layer, side), set())
                corners = (pocket.min_um, pocket.max_um, *pocket.outline_um)
                own |= {(pocket.letter, pocket.part, pocket.min_um, pocket.max_um, um[side]) for um in corners}
    return {rod: sorted(um / 1000 for *_, um in edges) for rod, edges in found.items()}


def assert_every_edge_is_there_once(plan: Plan) -> None:
    back, edges = read_back(plan), edges_of(plan)
    assert back.keys() == edges.keys()
    for rod in edges:
        assert back[rod] == pytest.approx(edges[rod], abs=0.1), rod


@pytest.mark.parametrize("number", range(12))
def test_rods_have_every_edge_of_invented_orders_once(number: int) -> None:
    order, thin = invented_orders(12, 5)[number]
    rules = replace(order.rules, bite_um=1_500, thin_um=thin)
    assert_every_edge_is_there_once(plan_parcel(replace(order, rules=rules), effort=60).plan)


@pytest.mark.slow
def test_rods_have_every_edge_of_two_hundred_invented_orders_once() -> None:
    for order, thin in invented_orders(200, 8):
        rules = replace(order.rules, bite_um=1_500, thin_um=thin)
        assert_every_edge_is_there_once(plan_parcel(replace(order, rules=rules), effort=60).plan)


def test_a_plan_of_two_layers_has_four_rods_that_name_their_sheets() -> None:
    plans = (plan_parcel(order, effort=60).plan for order, _ in invented_orders(12, 5))
    plan = next(plan for plan in plans if len(plan.layers) == 2)
    made = rods(plan)
    assert [(rod.layer, rod.axis) for rod in made] == [(0, Axis.X), (0, Axis.Y), (1, Axis.X), (1, Axis.Y)]
    for rod in made:
        for mark in rod.marks:
            cut = {sheet.id for sheet in plan.insert.sheets if sheet.layer == rod.layer}
            own = {
                s.id
                for s in plan.insert.sheets
                if any((p.letter, p.part) == (mark.letter, mark.part) for p in s.pockets)
            }
            assert set(mark.sheets) == cut & own


@pytest.mark.parametrize(("measured", "bar"), [(100.0, 100.0), (98.0, 100 * 100 / 98), (101.0, 100 * 100 / 101)])
def test_what_a_printer_is_out_by_is_taken_out(measured: float, bar: float) -> None:
    plan = plan_laid(order_of(TIN), (0, "block", 0))
    svg = rod_pages(plan, paper=PAPER, stretch=100 / measured)[0].svg
    lengths = [x1 - x0 for x0, y0, x1, y1 in lines_of(ET.fromstring(svg), "0.5") if y0 == y1]
    assert min(abs(length - bar) for length in lengths) < 0.02
    (rod, _) = rods(plan)
    ticks = sorted(x0 for x0, *_ in lines_of(ET.fromstring(svg), "0.35"))
    wanted = rod.marks[0].high_um / 1000 * 100 / measured
    assert min(abs(tick - wanted) for tick in ticks) < 0.02


def test_heads_alike_share_a_template_and_it_is_as_large_as_their_pocket() -> None:
    order = order_of(HAMMER, {**HAMMER, "id": "second"}, AXE)
    plan = plan_laid(order, (0, "flat", 0), (1, "flat", 0), (2, "flat", 0))
    templates = head_templates(plan)
    assert [one.letters for one in templates] == [(letter_of(0), letter_of(1)), (letter_of(2),)]
    pages = template_pages(plan, paper=PAPER)
    assert all(page.width_mm <= PAPER[0] and page.height_mm <= PAPER[1] for page in pages)
    outlines = [
        [tuple(map(float, point.split())) for point in path.get("d", "")[1:-1].split("L")]
        for page in pages
        for path in ET.fromstring(page.svg).iter(f"{SVG}path")
        if path.get("d", "").endswith("Z")
    ]
    for points, template in zip(outlines, templates, strict=True):
        across = max(x for x, _ in points) - min(x for x, _ in points)
        assert across == pytest.approx(template.across_um / 1000, abs=0.02)
        down = sorted({y for _, y in points})
        assert down[1] - down[0] == pytest.approx(template.down_um / 1000, abs=0.02)


def test_templates_share_pages_and_each_is_on_one() -> None:
    plans = [plan_parcel(order, effort=60).plan for order, _ in invented_orders(12, 5)]
    pages = [page for plan in plans for page in template_pages(plan, paper=PAPER)]
    heads = sum(len(head_templates(plan)) for plan in plans)
    assert sum(page.svg.count(">Head of ") for page in pages) == heads > len(pages)


def test_a_head_larger_than_the_page_has_no_template() -> None:
    plan = plan_laid(order_of({**HAMMER, "head_length": 250}), (0, "flat", 0))
    assert template_pages(plan, paper=PAPER) == []

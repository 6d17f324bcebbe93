"""Files of whole sheets of stock, read back: every part is on one of them where it was laid, with all its pockets."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import pytest
from shapely import Polygon, affinity, box, union_all
from shapely.geometry.base import BaseGeometry

from packing.draw.cut_file import CutLayer
from packing.draw.cut_file_dxf import cut_files, dxf_of
from packing.draw.cut_file_svg import svg_of
from packing.draw.cut_stock import Nested, nested_sheets
from packing.draw.cut_way import CutWay
from packing.measure import BadInput
from packing.plan import Plan, render
from packing.plan.kinds import Cutter
from packing.stock import CutFromStock, LaidPart, StockRow, StockSheet, cut_from_stock, heads_of, needs_of
from tests.bench.inserts import invented_orders
from tests.packing.draw.cut_reader import from_dxf, from_svg
from tests.packing.draw.test_full_size import planned
from tests.packing.draw.test_tool_path import pockets_of

MM = 1000


def rows_for(plan: Plan, size: tuple[int, int] = (2700, 2700), kerf_um: int = 0) -> list[StockRow]:
    """Sheets of every material and thickness of a plan."""
    kinds = {(need.material, need.thickness_um) for need in needs_of(plan)}
    every = tuple(one.value for one in Cutter)
    return [
        StockRow(
            StockSheet(f"{number}", (size[0] * MM, size[1] * MM), 5 * MM),
            material,
            thickness,
            thickness,
            kerf_um=kerf_um,
            cut_by=every,
        )
        for number, (material, thickness) in enumerate(sorted(kinds))
    ]


def laid(plan: Plan, rows: list[StockRow]) -> tuple[CutFromStock, ...]:
    return cut_from_stock(needs_of(plan), rows, heads=heads_of(plan), effort=2_000)


def nested(plan: Plan, rows: list[StockRow], way: CutWay) -> tuple[Nested, tuple[CutFromStock, ...]]:
    cuts = laid(plan, rows)
    labels = [
        [tuple(f"off {at}" for at in range(len(one.offcuts))) for one in cut.layout.sheets] if cut.layout else []
        for cut in cuts
    ]
    return nested_sheets({"": plan}, cuts, rows, labels, way), cuts


def where(one: LaidPart, shape: BaseGeometry) -> BaseGeometry:
    """A figure of a part, moved to where it was laid: turned counter-clockwise where that is turned."""
    if one.turned:
        shape = affinity.translate(affinity.rotate(shape, 90, origin=(0, 0)), one.part.size_um[1] / MM, 0)
    return affinity.translate(shape, one.rect[0] / MM, one.rect[1] / MM)


def assert_as_laid(plan: Plan, found: Nested, cuts: Sequence[CutFromStock], half: float) -> None:
    """In both files each part's rectangle and each of its pockets, once and within 0.1 mm."""
    stack = {sheet.id: sheet for sheet in plan.insert.sheets}
    sheets = [sheet for cut in cuts if cut.layout for sheet in cut.layout.sheets]
    assert len(found.sheets) == len(sheets)
    for drawn, sheet in zip(found.sheets, sheets, strict=True):
        insert = [one for one in sheet.parts if one.part.id in stack]
        inner = [where(one, shape) for one in insert for shape in pockets_of(stack[one.part.id])]
        for text, read in ((svg_of(drawn), from_svg), (dxf_of(drawn), from_dxf)):
            figures, _ = read(text)
            pieces = [box(*(um / MM for um in one.rect)).buffer(half, join_style="mitre") for one in sheet.parts]
            wanted = [*pieces, *(shape.buffer(-half, join_style="mitre", mitre_limit=50) for shape in inner)]
            extents = Counter(near(figure, wanted) for figure in figures)
            assert extents == Counter(range(len(wanted)))
            (stock, *offcuts), _ = read(text, CutLayer.MARK)
            assert stock.bounds == pytest.approx((0, 0, *(um / MM for um in sheet.stock.size_um)))
            rests = [box(*(um / MM for um in rest)) for rest in sheet.offcuts]
            assert all(any(rest.hausdorff_distance(one) < 0.1 for one in offcuts) for rest in rests)


def near(figure: Polygon, wanted: Sequence[BaseGeometry]) -> int | None:
    """Which of these a figure is; a blank is as large as its rectangle, whatever its slots."""
    for number, one in enumerate(wanted):
        edge = figure.boundary.hausdorff_distance(one.boundary)
        same = max(abs(a - b) for a, b in zip(figure.bounds, one.bounds, strict=True))
        if edge < 0.1 or (same < 0.1 and figure.area > 0.5 * one.area and len(figure.exterior.coords) > 6):
            return number
    return None


@pytest.mark.parametrize("number", range(4))
@pytest.mark.parametrize("way", [CutWay(), CutWay(Cutter.LASER, 300)], ids=["knife", "laser"])
def test_every_part_is_on_its_sheet_with_all_its_pockets(number: int, way: CutWay) -> None:
    plan = planned(*invented_orders(4, 14)[number])
    found, cuts = nested(plan, rows_for(plan, kerf_um=300), way)
    assert not found.left_out
    parts = [one.part.id for cut in cuts if cut.layout for sheet in cut.layout.sheets for one in sheet.parts]
    assert sorted(parts) == sorted(part.id for need in needs_of(plan) for part in need.parts)
    assert_as_laid(plan, found, cuts, way.aside_um / MM)


def test_halves_of_a_joined_sheet_have_its_pockets_between_them() -> None:
    orders = (planned(*one) for one in invented_orders(40, 14))
    for plan in orders:
        length, width = plan.interior_um[0] // MM, plan.interior_um[1] // MM
        rows = [row for row in rows_for(plan, (length - 30, 3 * width)) if row.material == plan.insert.material]
        found, cuts = nested(plan, rows, CutWay())
        halves = [half for cut in cuts for half in cut.halves]
        if halves and all(cut.layout for cut in cuts):
            break
    else:
        pytest.fail("no order has a sheet that can be joined")
    wanted = sum(union_all(pockets_of(sheet)).area for sheet in plan.insert.sheets)
    open_area = 0.0
    for drawn in found.sheets:
        figures, _ = from_dxf(dxf_of(drawn))
        assert all(figure.is_valid for figure in figures)
        for one in figures:
            larger = [other for other in figures if other.area > one.area]
            if any(other.contains(one.representative_point()) for other in larger):
                open_area += one.area
    assert open_area == pytest.approx(wanted, rel=1e-3)


def test_a_cut_wider_than_the_sheets_are_laid_for_is_said_and_left_out() -> None:
    plan = planned(*invented_orders(1, 14)[0])
    rows = rows_for(plan)
    found, cuts = nested(plan, rows, CutWay(Cutter.LASER, 300))
    assert found.sheets == () and len(found.left_out) == len([cut for cut in cuts if cut.layout])
    assert "a cut takes 0 mm, and the files are for a cut of 0.3 mm" in render(found.left_out[0])
    files = cut_files(plan, CutWay(Cutter.LASER, 300), found)
    assert render(found.left_out[0]) in files["cautions.txt"]
    assert not any(name.startswith("stock") for name in files)


def test_stock_that_the_tool_may_not_cut_is_said_and_left_out() -> None:
    plan = planned(*invented_orders(1, 14)[0])
    rows = [replace(row, cut_by=("knife",)) for row in rows_for(plan, kerf_um=1_600)]
    foam = [row for row in rows if row.material == plan.insert.material]
    found, _ = nested(plan, foam, CutWay(Cutter.HOT_WIRE, 1_600))
    assert found.sheets == ()
    assert {"do not allow a hot wire" in render(one) for one in found.left_out} == {True}


@pytest.mark.slow
def test_every_part_of_two_hundred_invented_orders_is_on_its_sheet() -> None:
    for order, thin in invented_orders(200, 15):
        plan = planned(order, thin)
        found, cuts = nested(plan, rows_for(plan), CutWay())
        assert_as_laid(plan, found, cuts, 0.0)


def test_a_board_that_a_tool_cannot_cut_refuses_no_file_of_foam(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise BadInput("kerf", "is too wide for a slot.")

    monkeypatch.setattr("packing.draw.cut_stock.piece_strokes", refused)
    plan = planned(*invented_orders(1, 14)[0])
    rows = rows_for(plan, kerf_um=2000)
    found, _ = nested(plan, rows, CutWay(Cutter.HOT_WIRE, 1600))
    assert found.sheets
    with pytest.raises(BadInput):
        nested(plan, rows, CutWay(Cutter.KNIFE, 0))

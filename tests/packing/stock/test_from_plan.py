"""What a plan is cut from: every flat part once, of its material and thickness, and why stock does not do."""

import json
from pathlib import Path
from typing import Any

import pytest

from packing.materials import STIFF_SHEET
from packing.plan import Plan, plan_from_json, render
from packing.plan.kinds import LooseKind
from packing.planning import plan_parcel
from packing.stock import (
    CutFromStock,
    Cutting,
    Layout,
    Need,
    Part,
    StockRow,
    StockSheet,
    cut_from_stock,
    heads_of,
    needs_of,
)
from tests.packing.insert_zoo import HAMMER, order_of
from tests.packing.stock.laid import faults

MM = 1000
PLAN = Path(__file__).parents[2] / "data" / "papers_plan.json"


def plan() -> Plan:
    return plan_from_json(json.loads(PLAN.read_text(encoding="utf-8")))


def row(thickness: int, size: tuple[int, int] = (2700, 600), **values: Any) -> StockRow:
    sheet = StockSheet(f"foam {thickness}", (size[0] * MM, size[1] * MM))
    usual: dict[str, Any] = {
        "sheet": sheet,
        "material": "PE foam",
        "nominal_um": thickness * MM,
        "thickness_um": thickness * MM,
    }
    return StockRow(**{**usual, **values})


def need(thickness: int = 25, size: tuple[int, int] = (500, 200)) -> Need:
    part = Part("S1", (size[0] * MM, size[1] * MM))
    return Need("PE foam", thickness * MM, (part,), ("knife", "saw", "laser"), insert=True)


def only(found: tuple[CutFromStock, ...]) -> CutFromStock:
    (one,) = found
    return one


def test_every_sheet_and_piece_of_a_plan_is_needed_once() -> None:
    found = plan()
    needs = needs_of(found)
    sheets = [part.id for one in needs if one.insert for part in one.parts if part.id.startswith("S")]
    assert sorted(sheets) == sorted(sheet.id for sheet in found.insert.sheets)
    pieces = [part.id for one in needs if not one.insert for part in one.parts]
    assert len(pieces) == sum(piece.count for piece in found.box.pieces if not piece.carton)


def test_a_boards_flutes_run_along_the_sheet_and_it_is_not_turned() -> None:
    found = plan()
    blank = next(piece for piece in found.box.pieces if piece.id == "X1")
    part = next(part for one in needs_of(found) for part in one.parts if part.id == "X1")
    assert (part.size_um, part.turns) == ((blank.size_um[1], blank.size_um[0]), False)


def test_the_insert_of_a_plan_is_cut_from_its_foam() -> None:
    found = cut_from_stock(needs_of(plan()), [row(12), row(25)])
    assert [cut.need.thickness_um for cut in found] == [25 * MM, 12 * MM]
    for cut in found:
        assert isinstance(cut.layout, Layout)
        assert faults(cut.layout, list(cut.need.parts)) == []


def test_a_material_without_rows_is_left_out() -> None:
    assert cut_from_stock(needs_of(plan()), [row(25, material="cork")]) == ()


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([row(50)], "There is no PE foam of 25 mm in stock, only of 50 mm."),
        ([row(25, thickness_um=23 * MM, tolerance_um=1 * MM)], "in stock measures 23 mm: more than 1 mm too thin"),
        (
            [row(25, cut_by=("hot wire",))],
            "need a knife or a saw or a laser; that in stock may be cut by hot wire",
        ),
        ([row(25, size=(450, 150))], "S1 is 500 × 200 mm, larger than any PE foam of 25 mm in stock: 450 × 150 mm"),
    ],
)
def test_why_stock_does_not_do(rows: list[StockRow], words: str) -> None:
    found = only(cut_from_stock([need()], rows))
    assert found.layout is None and found.why is not None
    assert words in render(found.why)


def test_an_inch_thickness_of_hundredths_is_the_stock_sold_so() -> None:
    eighth = row(3, nominal_um=3_175, thickness_um=3_175)
    thin = Need("PE foam", 3_180, (Part("F1", (70 * MM, 40 * MM)),), ("knife",))
    assert only(cut_from_stock([thin], [eighth])).layout is not None


def test_stock_that_only_a_machine_cuts_is_cut_freely() -> None:
    found = only(cut_from_stock([need()], [row(25, cut_by=("laser",))]))
    assert found.layout is not None and found.layout.cutting is Cutting.FREE
    by_hand = only(cut_from_stock([need()], [row(25, cut_by=("knife", "laser"))]))
    assert by_hand.layout is not None and by_hand.layout.cutting is Cutting.EDGE_TO_EDGE


def test_a_sheet_larger_than_stock_is_joined_beside_the_heads() -> None:
    heads = [(450 * MM, 40 * MM, 560 * MM, 150 * MM)]
    found = only(cut_from_stock([need(size=(1000, 300))], [row(25, size=(700, 400))], heads=heads))
    assert found.layout is not None
    left, right = found.need.parts
    assert (left.id, right.id) == ("S1 left", "S1 right")
    assert left.size_um[0] + right.size_um[0] == 1000 * MM
    assert left.size_um[0] <= 450 * MM or left.size_um[0] >= 560 * MM
    (joint,) = found.joints
    said = render(joint)
    assert said.startswith("S1 is 1000 × 300 mm, larger than any stock") and "where no head lies" in said
    assert f"butt them {left.size_um[0] / MM:g} mm from its edge" in said


def test_a_sheet_is_not_joined_under_a_head() -> None:
    heads = [(100 * MM, 10 * MM, 900 * MM, 290 * MM)]
    found = only(cut_from_stock([need(size=(1000, 300))], [row(25, size=(700, 290))], heads=heads))
    assert found.layout is None


def test_the_heads_of_a_plan_lie_within_its_interior() -> None:
    found = plan()
    heads = heads_of(found)
    assert heads
    length, width, _height = found.interior_um
    assert all(0 <= x0 < x1 <= length and 0 <= y0 < y1 <= width for x0, y0, x1, y1 in heads)


def test_plates_are_cut_from_the_stiff_sheet_as_the_cut_list_has_them() -> None:
    club = {**HAMMER, "head_length": 120, "weight_g": 1500, "may_stand": False}
    order = order_of(club, bite=1.5, thin=[3, 6], web=40, wall=40, plates=True)
    found = plan_parcel(order, effort=300).plan
    rows = [row for row in found.insert.cut_list if row.what is LooseKind.PLATE]
    assert rows
    needs = [one for one in needs_of(found) if one.material == STIFF_SHEET.name]
    assert all(one.insert and "saw" in one.cut_by and "knife" not in one.cut_by for one in needs)
    wanted = {(name, row.thickness_um, tuple(sorted(row.size_um))) for row in rows for name in row.ids}
    assert {(p.id, one.thickness_um, tuple(sorted(p.size_um))) for one in needs for p in one.parts} == wanted

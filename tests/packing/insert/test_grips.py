"""Grips: whatever comes out before a piece has corners cut off or a tab of tape, and the checker looks for them."""

import copy
from collections.abc import Callable
from decimal import Decimal
from math import hypot
from typing import Any

import pytest

from packing.check import check_plan
from packing.insert import insert_work, make_insert
from packing.materials import PE_FOAM, Rates
from packing.measure import Order
from packing.plan.kinds import Grip, InsertWork, SheetRole
from packing.planning import plan_parcel
from tests.packing.insert_zoo import AXE, HAMMER, TIN, laid, order_of

Content = dict[str, Any]
THIN: dict[str, Any] = {"bite": 1.5, "thin": [3, 6]}


def two_layers(**rules: Any) -> Order:
    return order_of(HAMMER, AXE, {**TIN, "height": 21}, **{**THIN, "web": 40, "wall": 40, **rules})


def test_all_but_the_base_and_the_lowest_cut_sheets_have_two_corners_off() -> None:
    order = two_layers()
    insert = make_insert(order, laid(order, [(0, "flat", 0), (2, "block", 0)], [(1, "flat", 0)]), PE_FOAM)
    for sheet in insert.sheets:
        stays = sheet.role is SheetRole.BASE or (sheet.role is SheetRole.LAYER and sheet.layer == 0)
        assert sheet.grip is (None if stays else Grip.CORNERS)
    assert all(fill.grip_um == 20_000 or fill.grip_um * 3 <= min(fill_sides(fill.rect)) for fill in insert.fills)


def fill_sides(rect: tuple[int, int, int, int]) -> tuple[int, int]:
    return rect[2] - rect[0], rect[3] - rect[1]


@pytest.mark.parametrize(("wall", "grip"), [(25, Grip.CORNERS), (21, Grip.CORNERS), (18, Grip.TAPE), (0, Grip.TAPE)])
def test_corners_are_cut_off_only_where_15_mm_stay_before_every_pocket(wall: int, grip: Grip) -> None:
    tin = {**TIN, "length": 80, "width": 80, "height": 48, "upright": True}
    order = order_of(tin, {**TIN, "id": "low", "height": 12, "upright": True}, **THIN, wall=wall, sheets=[12, 25])
    nesting = laid(order, [(0, "block", 0), (1, "block", 0)])
    insert = make_insert(order, nesting, PE_FOAM)
    covers = [sheet for sheet in insert.sheets if sheet.role is SheetRole.COVER]
    assert covers and {sheet.grip for sheet in covers} == {grip}
    for sheet in covers if grip is Grip.CORNERS else ():
        width = insert.size_um[1]
        left = min((p.rect[0] + width - p.rect[3] - 20_000) / hypot(1, 1) for p in sheet.pockets)
        assert left >= 15_000


def test_cutting_corners_off_takes_seconds_and_a_tab_a_minute() -> None:
    order = two_layers()
    insert = make_insert(order, laid(order, [(0, "flat", 0), (2, "block", 0)], [(1, "flat", 0)]), PE_FOAM)
    lifted = sum(sheet.grip is not None for sheet in insert.sheets)
    seconds = Rates().insert_minutes[InsertWork.POCKET] * Decimal("0.0566") * 60
    assert lifted >= 4
    assert seconds < 2
    assert dict(insert_work(insert)).get(InsertWork.TAPE, 0) == sum(lift.rect is None for lift in insert.lifts)


def test_without_thin_stock_nothing_is_cut_off() -> None:
    order = order_of(HAMMER)
    insert = make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)
    assert {sheet.grip for sheet in insert.sheets} == {None}
    assert insert.grip_um == 0


def first_cover(content: Content) -> Content:
    found: Content = next(sheet for sheet in content["insert"]["sheets"] if sheet.get("grip") == "corners")
    return found


BROKEN: dict[str, Callable[[Content], object]] = {
    "a sheet that is lifted out without a grip": lambda c: first_cover(c).pop("grip"),
    "a grip of another kind": lambda c: first_cover(c).update(grip="string"),
    "a fill without one": lambda c: c["insert"]["fills"][0].update(grip_mm=0),
    "corners so large that they reach a pocket": lambda c: c["insert"].update(grip_mm=80),
}


@pytest.mark.parametrize("broken", BROKEN)
def test_the_checker_names_what_cannot_be_gripped(broken: str) -> None:
    order = order_of({**HAMMER, "head_width": 40}, {**TIN, "height": 20}, **THIN, wall=40, sheets=[25])
    content = plan_parcel(order, effort=300).content
    assert check_plan(order, content) == []
    assert content["insert"]["fills"]
    assert any("the upper left and the lower right corner" in str(note) for note in content["notes"])
    content = copy.deepcopy(content)
    BROKEN[broken](content)
    assert "grip" in {problem.rule for problem in check_plan(order, content)}

"""Laying parts on sheets and bars against published problems with proven answers, and against rectpack's heuristics."""

import json
from pathlib import Path
from typing import Any

import pytest

from packing.stock import Cutting, Layout, Part, StockSheet, lay_out
from tests.outside import sources as src
from tests.outside.sources import against

HELD = json.loads((Path(__file__).parents[1] / "bench" / "cutting_stock.json").read_text(encoding="utf-8"))
RIVALS = [row for row in HELD["rivals"]["rows"] if row["rectpack"] <= 17]


def named(rows: list[dict[str, Any]]) -> list[Any]:
    return [pytest.param(row, id=row["name"]) for row in rows]


def on_sheets(row: dict[str, Any], turns: bool, cutting: Cutting) -> Layout:
    parts = [Part(str(at), (a, b), turns=turns) for at, (a, b) in enumerate(row["parts"])]
    found = lay_out(parts, [StockSheet("sheet", tuple(row["sheet"]))], cutting=cutting)
    assert isinstance(found, Layout)
    return found


@against(src.BERKEY_WANG)
@pytest.mark.parametrize("row", named(HELD["sheets"]["rows"]))
def test_as_many_sheets_as_are_proven_to_be_needed(row: dict[str, Any]) -> None:
    """Counts by Berkey and Wang's class 1, edge to edge where that count is proven; every one is met."""
    cutting = Cutting.EDGE_TO_EDGE if row["edge_to_edge"] else Cutting.FREE
    found = on_sheets(row, row["turns"], cutting)
    assert len(found.sheets) == row["sheets"]
    assert found.new_at_least <= row["sheets"]


@against(src.HOPPER_TURTON)
@pytest.mark.parametrize("row", named(HELD["perfect"]["rows"]))
def test_one_sheet_without_waste(row: dict[str, Any]) -> None:
    """Parts that fill their sheet wholly lie on one."""
    (sheet,) = on_sheets(row, True, Cutting.FREE).sheets
    assert sheet.used_um2 == sheet.stock.area_um2


@against(src.BAR_EXAMPLES)
@pytest.mark.parametrize("row", named(HELD["bars"]["rows"]))
def test_as_few_bars_as_there_can_be(row: dict[str, Any]) -> None:
    """Textbook examples; the least number is met and proven by our own bound."""
    lengths = [length for length, many in zip(row["lengths"], row["demands"], strict=True) for _ in range(many)]
    parts = [Part(str(at), (length, 1), turns=False) for at, length in enumerate(lengths)]
    found = lay_out(parts, [StockSheet("bar", (row["bar"], 1))])
    assert isinstance(found, Layout)
    assert (found.new, found.proven) == (row["bars"], True)


@against(src.BAR_ARITHMETIC)
@pytest.mark.parametrize(
    ("part", "many", "bar", "kerf", "bars"),
    [(200_000, 5, 1_000_000, 3_000, 2), (304_800, 7, 2_438_400, 3_175, 1), (304_800, 8, 2_438_400, 3_175, 2)],
)
def test_parts_from_a_bar_with_its_saw_cuts(part: int, many: int, bar: int, kerf: int, bars: int) -> None:
    """n = floor((S + k) / (p + k)): of 96 in with a 1/8 in saw cut seven parts of 12 in, not eight."""
    found = lay_out([Part("p", (part, 89_000), turns=False)] * many, [StockSheet("bar", (bar, 89_000))], kerf_um=kerf)
    assert isinstance(found, Layout)
    assert found.new == bars


@against(src.RECTPACK)
@pytest.mark.parametrize("turns", [False, True])
@pytest.mark.parametrize("row", named(RIVALS[::4]))
def test_never_more_sheets_than_the_best_of_another_library(row: dict[str, Any], turns: bool) -> None:
    """The fewest sheets of rectpack's heuristics for 60 parts; ours are cut edge to edge, theirs need not be."""
    rival = row["rectpack_turning" if turns else "rectpack"]
    assert len(on_sheets(row, turns, Cutting.EDGE_TO_EDGE).sheets) <= rival

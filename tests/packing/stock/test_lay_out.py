"""Laying parts on sheets: what comes out can be cut, offcuts go first, and what is missing is named."""

import random
from typing import Any

import pytest

from packing.measure import BadInput
from packing.stock import Cutting, Keeping, Lack, Layout, Part, Shortage, StockSheet, area, lay_out, new_at_least
from tests.packing.stock.laid import cut_up, faults

MM = 1000
PLY = StockSheet("ply", (1525 * MM, 1525 * MM), trim_um=10 * MM)
SEEDS = range(12)


def some_parts(seed: int, count: int = 14) -> list[Part]:
    rng = random.Random(seed)
    return [
        Part(f"p{at}", (rng.randint(60, 700) * MM, rng.randint(60, 500) * MM), turns=rng.random() < 0.5)
        for at in range(count)
    ]


def laid(parts: list[Part], stock: list[StockSheet], **how: Any) -> Layout:
    asked: dict[str, Any] = {"effort": 4000, "kerf_um": 3200, **how}
    found = lay_out(parts, stock, **asked)
    assert isinstance(found, Layout)
    return found


@pytest.mark.parametrize("cutting", Cutting)
@pytest.mark.parametrize("seed", SEEDS)
def test_every_part_is_cut_once_and_a_saw_cut_apart(seed: int, cutting: Cutting) -> None:
    parts = some_parts(seed)
    offcuts = [StockSheet("o1", (700 * MM, 420 * MM), count=1, offcut=True)]
    assert faults(laid(parts, [*offcuts, PLY], cutting=cutting), parts) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_doing_the_cuts_one_by_one_leaves_every_part_in_hand(seed: int) -> None:
    for sheet in laid(some_parts(seed), [PLY]).sheets:
        pieces = cut_up(sheet, 3200)
        for one in sheet.parts:
            assert one.rect in pieces
        for rest in sheet.offcuts:
            assert rest in pieces


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bound_is_never_above_what_is_found(seed: int) -> None:
    parts = some_parts(seed, count=9)
    small = StockSheet("small", (720 * MM, 620 * MM))
    for cutting in Cutting:
        found = laid(parts, [small], cutting=cutting)
        assert len(found.sheets) >= found.new_at_least >= 1


def test_parts_that_go_on_an_offcut_take_no_new_sheet() -> None:
    offcut = StockSheet("o7", (600 * MM, 400 * MM), count=1, offcut=True)
    found = laid([Part("a", (300 * MM, 390 * MM)), Part("b", (290 * MM, 390 * MM))], [PLY, offcut])
    assert [sheet.stock.id for sheet in found.sheets] == ["o7"]
    assert found.new == found.new_at_least == 0


def test_the_smaller_of_two_offcuts_is_taken() -> None:
    offcuts = [
        StockSheet(name, (long * MM, 400 * MM), count=1, offcut=True) for name, long in (("o1", 900), ("o2", 500))
    ]
    found = laid([Part("a", (450 * MM, 380 * MM))], [PLY, *offcuts])
    assert [sheet.stock.id for sheet in found.sheets] == ["o2"]


def test_the_smaller_sheet_is_bought_where_it_will_do() -> None:
    half = StockSheet("half", (1525 * MM, 760 * MM))
    found = laid([Part("a", (700 * MM, 700 * MM))], [PLY, half])
    assert [sheet.stock.id for sheet in found.sheets] == ["half"]


def test_grain_keeps_a_part_from_being_turned() -> None:
    strip = StockSheet("strip", (1000 * MM, 300 * MM))
    assert isinstance(laid([Part("a", (250 * MM, 600 * MM))], [strip]), Layout)
    short = lay_out([Part("a", (250 * MM, 600 * MM), turns=False)], [strip])
    assert short == Shortage(Lack.TOO_SMALL, ("a",), (1000 * MM, 300 * MM))


def test_what_finds_no_place_on_too_few_sheets_is_named() -> None:
    one = StockSheet("last", (500 * MM, 500 * MM), count=1)
    short = lay_out([Part(f"p{at}", (400 * MM, 400 * MM)) for at in range(3)], [one], effort=100)
    assert isinstance(short, Shortage)
    assert (short.lack, len(short.parts)) == (Lack.TOO_FEW, 2)


def test_no_stock_at_all_is_a_shortage() -> None:
    assert lay_out([Part("a", (5, 5))], [StockSheet("none", (9, 9), count=0)]) == Shortage(Lack.TOO_SMALL, ("a",), None)


def test_trim_is_cut_off_before_anything_is_laid() -> None:
    exact = Part("a", (980 * MM, 480 * MM))
    assert isinstance(lay_out([exact], [StockSheet("s", (1000 * MM, 500 * MM), trim_um=10 * MM)]), Layout)
    assert isinstance(lay_out([exact], [StockSheet("s", (1000 * MM, 500 * MM), trim_um=11 * MM)]), Shortage)


def test_parts_lie_close_so_that_a_large_rest_is_left() -> None:
    found = laid([Part(f"p{at}", (300 * MM, 300 * MM)) for at in range(4)], [StockSheet("s", (1220 * MM, 1220 * MM))])
    (sheet,) = found.sheets
    # Four in a row leave 1220 × 916.8 mm; no other way leaves more.
    assert area(sheet.offcuts[0]) == 1_220_000 * (1_220_000 - 300_000 - 3_200)


def test_an_offcut_too_small_is_not_kept() -> None:
    keeping = Keeping(long_um=400 * MM, short_um=400 * MM)
    found = laid(
        [Part("a", (700 * MM, 1000 * MM), turns=False)], [StockSheet("s", (1000 * MM, 1000 * MM))], keeping=keeping
    )
    assert found.sheets[0].offcuts == ()


def test_the_same_effort_and_seed_give_the_same_layout() -> None:
    first, again = (laid(some_parts(3), [PLY], seed=5) for _ in range(2))
    assert first == again


def test_the_yield_does_not_count_kept_offcuts_as_waste() -> None:
    found = laid([Part("a", (500 * MM, 1000 * MM), turns=False)], [StockSheet("s", (1000 * MM, 1000 * MM))], kerf_um=0)
    assert found.yielded == 1.0


@pytest.mark.parametrize(
    ("parts", "stock", "how", "words"),
    [
        ([Part("a", (0, 5))], [StockSheet("s", (9, 9))], {}, "part a: must be larger than 0"),
        ([Part("a", (5, 5))], [StockSheet("s", (9, -9))], {}, "stock s: must be larger than 0"),
        ([Part("a", (5, 5))], [StockSheet("s", (9, 9), trim_um=5)], {}, "stock s: must have a trim"),
        ([Part("a", (5, 5))], [StockSheet("s", (9, 9), count=-1)], {}, "stock s: must count 0 or more, not -1"),
        ([Part("a", (5, 5))], [StockSheet("s", (9, 9))], {"kerf_um": -1}, "kerf: must be 0 or more, not -1"),
        ([Part("a", (5, 5))], [StockSheet("s", (9, 9))], {"effort": 0}, "effort: must be at least 1, not 0"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    parts: list[Part], stock: list[StockSheet], how: dict[str, Any], words: str
) -> None:
    with pytest.raises(BadInput, match=words):
        lay_out(parts, stock, **how)


def test_offcuts_lower_the_number_of_new_sheets_that_are_needed() -> None:
    parts = [Part(f"p{at}", (900 * MM, 900 * MM)) for at in range(3)]
    offcut = StockSheet("o", (950 * MM, 950 * MM), count=1, offcut=True)
    assert new_at_least(parts, [], [PLY], 0) == 3
    assert new_at_least(parts, [offcut], [PLY], 0) == 2

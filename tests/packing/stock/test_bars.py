"""Bars: exact against trying everything, and the bound never above it."""

import random
from functools import cache

import pytest

from packing.stock import Layout, Part, StockSheet, lay_out


def fewest(lengths: list[int], bar: int) -> int:
    """The fewest bars, by trying every set of lengths for the bar with the longest one."""

    @cache
    def of(left: tuple[int, ...]) -> int:
        if not left:
            return 0
        first, rest = left[0], left[1:]
        best = len(left)
        for chosen in range(1 << len(rest)):
            if first + sum(length for at, length in enumerate(rest) if chosen >> at & 1) <= bar:
                best = min(best, 1 + of(tuple(length for at, length in enumerate(rest) if not chosen >> at & 1)))
        return best

    return of(tuple(sorted(lengths, reverse=True)))


def bars(lengths: list[int], bar: int, kerf: int = 0) -> Layout:
    parts = [Part(f"p{at}", (length, 10), turns=False) for at, length in enumerate(lengths)]
    found = lay_out(parts, [StockSheet("bar", (bar, 10))], kerf_um=kerf)
    assert isinstance(found, Layout)
    return found


@pytest.mark.parametrize("seed", range(40))
def test_as_few_bars_as_trying_everything_finds(seed: int) -> None:
    rng = random.Random(seed)
    lengths = [rng.randint(12, 70) for _ in range(rng.randint(1, 8))]
    found = bars(lengths, 100)
    least = fewest(lengths, 100)
    assert found.new == least
    assert found.new_at_least <= least


def test_a_saw_cut_is_taken_between_parts_and_none_beyond_the_last() -> None:
    assert bars([200] * 5, 1000).new == 1
    assert bars([200] * 5, 1000, kerf=3).new == 2
    assert bars([200] * 5, 1012, kerf=3).new == 1


def test_the_parts_of_a_bar_lie_one_behind_the_other() -> None:
    (sheet,) = bars([300, 200, 100], 610, kerf=5).sheets
    assert [one.rect for one in sheet.parts] == [(0, 0, 300, 10), (305, 0, 505, 10), (510, 0, 610, 10)]

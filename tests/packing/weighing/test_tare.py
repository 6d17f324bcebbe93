"""The shop's own tare: what empty boxes on the scale say of foam and board."""

import random

import numpy as np
import pytest

from packing.weighing import EmptyReading, TarePart, sharpened


def boxes(count: int, foam: float, board: float, seed: int = 3) -> list[EmptyReading]:
    """Empty boxes of which foam and board weigh so many times what is reckoned."""
    rng = random.Random(seed)
    found = []
    for _ in range(count):
        parts = TarePart("PE", rng.randint(100, 500) * 1_000, 0.05), TarePart("C", rng.randint(300, 900) * 1_000, 0.03)
        true = sum(p.weight_mg * f * rng.gauss(1, 0.02) for p, f in zip(parts, (foam, board), strict=True))
        found.append(EmptyReading(parts, 20_000, round((true + 20_000) / 5_000) * 5_000))
    return found


def test_many_boxes_tell_foam_and_board_apart() -> None:
    board, foam = sharpened(boxes(40, foam=1.09, board=0.96))
    assert (foam.stuff, board.stuff) == ("PE", "C")
    assert foam.factor == pytest.approx(1.09, abs=3 * foam.sd)
    assert board.factor == pytest.approx(0.96, abs=3 * board.sd)
    assert foam.worth_accepting and board.worth_accepting
    assert foam.sd < 0.02 and foam.spread < 0.05


def test_one_box_says_little() -> None:
    for factor in sharpened(boxes(1, foam=1.09, board=1.09)):
        assert not factor.worth_accepting
        assert factor.readings == 1
        assert factor.sd > 0.015


def test_a_right_row_is_left_alone() -> None:
    assert not any(factor.worth_accepting for factor in sharpened(boxes(40, foam=1, board=1)))


def test_no_boxes_no_factors() -> None:
    assert sharpened([]) == ()


def test_the_factors_are_those_of_a_least_squares_fit_with_the_rows_as_readings_of_their_own() -> None:
    """numpy's least squares, in which each row's spread is one more equation."""
    readings = boxes(12, foam=1.05, board=0.97)
    rows, off = [], []
    for one in readings:
        noise = (5_000**2 / 12 + 1 + sum((0.02 * part.weight_mg) ** 2 for part in one.parts)) ** 0.5
        foam, board = one.parts
        rows.append([board.weight_mg / noise, foam.weight_mg / noise])
        off.append((one.weighed_mg - one.other_mg - foam.weight_mg - board.weight_mg) / noise)
    answer = np.linalg.lstsq(np.array([*rows, [1 / 0.03, 0], [0, 1 / 0.05]]), np.array([*off, 0, 0]), rcond=None)[0]
    assert [factor.factor - 1 for factor in sharpened(readings)] == pytest.approx(answer.tolist())

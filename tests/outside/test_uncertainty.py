"""The tolerance of a weigh-in against the guide to the expression of uncertainty.

Sources: JCGM 100:2008 from memory: H.1 (an end gauge: components of 25, 9.7, 2.9 and 16.6 nm make 32 nm), F.2.2.1 (a
step's standard deviation is 0.29 of it), G.2 (for a normal spread 99 of 100 lie within 2.576 deviations); the shares
of a normal spread by Python's statistics module, a library that knows nothing of this project.
"""

from math import sqrt
from statistics import NormalDist

import pytest

from packing.plan import Message, UncertaintyPlan, WeightPlan
from packing.weighing import combined_sd, expectation
from tests.outside import sources as src
from tests.outside.sources import against


def weight(*rows: tuple[int, bool]) -> WeightPlan:
    held = tuple(UncertaintyPlan(Message("one"), sd, Message("so"), empty) for sd, empty in rows)
    return WeightPlan(1_000_000, 100_000, 200_000, 0, 1_300_000, 0, (), held)


@against(src.JCGM_100)
def test_components_add_by_squares() -> None:
    assert combined_sd([25, 9.7, 2.9, 16.6]) == pytest.approx(32, abs=0.5)


@against(src.JCGM_100)
def test_a_step_s_deviation_is_0_29_of_it() -> None:
    assert expectation(weight(), step_mg=1_000).sd_mg == pytest.approx(290, abs=2)


@against(src.JCGM_100, src.NORMAL_SPREAD)
def test_99_good_boxes_of_100_lie_within_the_tolerance() -> None:
    expected = expectation(weight((3_000, False), (4_000, True)), step_mg=0)
    assert expected.sd_mg == 5_000
    share = 2 * NormalDist(0, 5_000).cdf(expected.tolerance_mg) - 1
    assert 0.99 <= share <= 0.995
    assert expected.tolerance_mg / expected.sd_mg == pytest.approx(2.576, abs=0.03)


@against(src.JCGM_100)
def test_what_an_empty_box_s_weighing_settles_is_replaced_by_its_own_doubt() -> None:
    expected = expectation(weight((3_000, False), (40_000, True)), empty_mg=310_000, step_mg=1_200)
    assert expected.gross_mg == 1_310_000
    assert expected.sd_mg == pytest.approx(sqrt(3_000**2 + 2 * 1_200**2 / 12))

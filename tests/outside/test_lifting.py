"""Lifting by hand: the NIOSH equation's worked examples, and the weight above which a parcel is a load for two.

Sources: NIOSH publication 94-110 (1994, revised 2021), example 1 (a reel of 44 lb) from memory, worked out again from
the equation; a course's example in kilograms, read; frequency multipliers of its table 5 as two programs print them,
read; HSE leaflet INDG143 as other pages print it. The manual's worksheets round each multiplier to two places and its
limits differ by up to 0.4 lb from the equation.
"""

from typing import Any

import pytest

from packing.handling import ONE_PERSON, Coupling, Lift, LiftUnits, is_heavy, lift_limit
from packing.handling.niosh import FREQUENCIES
from tests.outside import sources as src
from tests.outside.sources import against

INCH, CM, LB, KG = 25_400, 10_000, 453_592.37, 1_000_000


def us(away: float, height: float, travel: float, **more: Any) -> Lift:
    units = LiftUnits.US
    return Lift(round(away * INCH), round(height * INCH), round(travel * INCH), units=units, **more)


def metric(away: float, height: float, travel: float, **more: Any) -> Lift:
    return Lift(round(away * CM), round(height * CM), round(travel * CM), **more)


@against(src.NIOSH_EXAMPLE)
@pytest.mark.parametrize(("height", "pounds", "index"), [(15, 16.3, 2.7), (64, 14.5, 3.0)])
def test_the_manuals_reel_of_44_lb_at_either_end(height: float, pounds: float, index: float) -> None:
    limit = lift_limit(us(23, height, 49, per_minute=0.2, hours=1, grip=Coupling.FAIR))
    assert limit.limit_mg / LB == pytest.approx(pounds, abs=0.4)
    assert float(limit.index(round(44 * LB)) or 0) == pytest.approx(index, abs=0.11)


@against(src.NIOSH_COURSE)
def test_a_course_s_load_of_12_kg_from_55_to_150_cm() -> None:
    limit = lift_limit(metric(25, 55, 95, per_minute=3, hours=0.75, grip=Coupling.FAIR))
    assert limit.frequency == 0.88
    assert limit.limit_mg / KG == pytest.approx(15.7, abs=0.05)


@against(src.NIOSH_EQUATION)
@pytest.mark.parametrize(
    ("lift", "kilograms"),
    [
        (metric(25, 75, 25), 23),  # derived: nothing against it
        (us(10, 30, 10), 51 * LB / KG),  # derived
        (us(18, 20, 30, hours=8, grip=Coupling.FAIR), 51 * (10 / 18) * 0.925 * 0.88 * 0.85 * 0.95 * LB / KG),
        (metric(25, 75, 24), 23),
        (us(10, 30, 9), 51 * LB / KG),
        (metric(25, 75, 50), 23 * 0.91),
        (metric(50, 75, 25), 11.5),  # derived: twice as far away
        (metric(63, 75, 25), 23 * 25 / 63),
        (metric(63.1, 75, 25), 0),
        (metric(25, 175, 25), 23 * 0.7),
        (metric(25, 175.1, 25), 0),
        (metric(25, 0, 25), 23 * 0.775 * 1.0),
        (metric(25, 75, 25, twist_deg=90), 23 * 0.712),
        (metric(25, 75, 25, twist_deg=135), 23 * 0.568),
        (metric(25, 75, 25, twist_deg=135.5), 0),
        (metric(25, 75, 175), 23 * (0.82 + 4.5 / 175)),
        (metric(25, 75, 175.5), 0),
        (us(25, 30, 10), 51 * 0.4 * LB / KG),
        (us(25.1, 30, 10), 0),
        (us(10, 70, 10), 51 * 0.7 * LB / KG),
        (us(10, 70.1, 10), 0),
        (us(10, 30, 70), 51 * (0.82 + 1.8 / 70) * LB / KG),
        (us(10, 30, 70.1), 0),
    ],
)
def test_limits_at_either_side_of_each_bound(lift: Lift, kilograms: float) -> None:
    expected = kilograms * (0.95 if lift.grip is Coupling.FAIR and lift.height_um == 0 else 1)
    assert lift_limit(lift).limit_mg / KG == pytest.approx(expected, rel=1e-4)


@against(src.NIOSH_EQUATION)
@pytest.mark.parametrize(
    ("grip", "low", "high"), [(Coupling.GOOD, 1.0, 1.0), (Coupling.FAIR, 0.95, 1.0), (Coupling.POOR, 0.9, 0.9)]
)
def test_the_grip_counts_by_whether_the_hands_are_at_75_cm(grip: Coupling, low: float, high: float) -> None:
    assert lift_limit(metric(25, 74.9, 25, grip=grip)).grip == low
    assert lift_limit(metric(25, 75, 25, grip=grip)).grip == high


SHORT = (1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28)
MODERATE = (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0.23, 0.21, 0, 0, 0)
LONG = (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0, 0, 0, 0, 0)


@against(src.NIOSH_TABLE_5)
@pytest.mark.parametrize(("hours", "row", "low_ends"), [(1, SHORT, 12), (2, MODERATE, 10), (8, LONG, 8)])
def test_frequencies_as_the_table_has_them(hours: float, row: tuple[float, ...], low_ends: int) -> None:
    """Hands below 75 cm: the same, and nothing above 12, 10 and 8 lifts a minute."""
    per_minute = (0.2, 0.5, *range(1, 16))
    assert per_minute == FREQUENCIES
    for frequency, multiplier in zip(per_minute, row, strict=True):
        high = lift_limit(metric(25, 75, 25, per_minute=frequency, hours=hours)).frequency
        low = lift_limit(metric(25, 74, 25, per_minute=frequency, hours=hours)).frequency
        assert high == multiplier
        assert low == (multiplier if frequency <= low_ends else 0)
    assert lift_limit(metric(25, 75, 25, per_minute=15.1, hours=hours)).frequency == 0


@against(src.HSE_LIFTING)
def test_above_16_kg_a_parcel_is_a_load_for_two() -> None:
    assert not is_heavy(16_000_000)
    assert is_heavy(16_000_001)
    assert ONE_PERSON.year == "2020"
    assert ONE_PERSON.words == "16 kg (35 lb)"

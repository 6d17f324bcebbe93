"""Cushions: what curves refuse, and beds of two patches."""

import pytest

from packing.cushion import CurvePoint, Patch, drop_height_um, fall_depth_um, fit_curve, pressures_pa
from packing.measure import BadInput

POINTS = [CurvePoint(600_000, 50_000, stress, peak) for stress, peak in ((2_000, 60.0), (4_000, 45.0), (6_000, 40.0))]


def test_a_curve_is_used_within_the_energies_measured_and_nowhere_else() -> None:
    curve = fit_curve(POINTS)
    assert curve.peak_g(4_000, 600_000, 50_000) == pytest.approx(45, rel=0.1)
    assert curve.peak_g(1_900, 600_000, 50_000) is None
    assert curve.peak_g(6_100, 600_000, 50_000) is None


@pytest.mark.parametrize(
    ("points", "said"),
    [
        (POINTS[:2], "at least three points, not 2"),
        ([*POINTS[:2], CurvePoint(600_000, 0, 2_000, 10.0)], "point 3 has one that is not"),
        ([POINTS[0]] * 3, "different energies"),
        ([CurvePoint(600_000, 50_000, s, 80_000 / s**1.2) for s in (2_000.0, 4_000.0, 6_000.0)], "falls"),
    ],
)
def test_points_that_make_no_curve_are_refused(points: list[CurvePoint], said: str) -> None:
    with pytest.raises(BadInput, match=said):
        fit_curve(points)


def test_two_patches_share_a_load_between_them_evenly() -> None:
    patches = [Patch(0, 40_000, 30_000), Patch(200_000, 240_000, 30_000)]
    left, right = pressures_pa(1_000_000, 120_000, patches)
    assert left == pytest.approx(right) == pytest.approx(1_000_000 * 9_806_650 / (2 * 40_000 * 30_000))


def test_a_heavy_head_lifts_the_far_patch_off() -> None:
    head, butt = pressures_pa(1_000_000, 12_000, [Patch(0, 40_000, 30_000), Patch(200_000, 240_000, 30_000)])
    assert butt == 0
    assert head == pytest.approx(2 * 1_000_000 * 9_806_650 / (3 * 12_000 * 30_000))


def test_force_and_moment_are_in_balance() -> None:
    patches = [Patch(0, 42_000, 63_000), Patch(222_000, 292_000, 20_000)]
    head, butt = pressures_pa(1_440_000, 60_000, patches)
    assert head > 0 and butt > 0


def test_a_centre_beyond_the_bed_is_refused() -> None:
    with pytest.raises(ValueError, match="not over the bed"):
        pressures_pa(1, 50, [Patch(0, 40, 10)])


def test_heavier_than_the_table_has_no_height_and_two_g_no_depth() -> None:
    assert drop_height_um(68_100_000) is None
    with pytest.raises(ValueError, match="greater than 2"):
        fall_depth_um(760_000, 2)

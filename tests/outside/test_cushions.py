"""Cushions: drop heights by weight, depth of fall, pressure on foam, eccentric footings, the stress-energy curve.

Sources and how sure they are stand beside each check, in `sources.py`.
"""

from fractions import Fraction
from math import ceil, exp

import pytest

from packing.cushion import (
    CurvePoint,
    Patch,
    bending_thickness_um,
    drop_height_um,
    fall_depth_um,
    fit_curve,
    plate_for,
    pressures_pa,
    static_stress_pa,
    thickness_um,
)
from packing.cushion.drop import FRAGILITY_G, USABLE_STRAIN
from tests.outside import sources as src
from tests.outside.sources import against

LB = 453_592.37


@pytest.mark.parametrize(
    ("pounds", "inches"),
    [(20.99, 30), (21, 24), (40.99, 24), (41, 18), (60.99, 18), (61, 12), (99.99, 12), (100, 8), (150, 8)],
)
@against(src.ISTA_1A)
def test_drop_heights_on_both_sides_of_each_weight(pounds: float, inches: int) -> None:
    assert drop_height_um(ceil(pounds * LB) if pounds < 150 else int(pounds * LB)) == inches * 25_400


@pytest.mark.parametrize(("height_in", "peak", "depth_in"), [(30, 50, 1.250), (30, 115, 0.531)])
@against(src.ENERGY)
def test_depth_of_a_fall_in_inches(height_in: int, peak: int, depth_in: float) -> None:
    assert float(fall_depth_um(height_in * 25_400, peak)) / 25_400 == pytest.approx(depth_in, abs=0.0005)


@against(src.ENERGY)
def test_thickness_of_a_cushion_pressed_to_six_tenths() -> None:
    assert float(thickness_um(30 * 25_400, 50, Fraction(6, 10))) / 25_400 == pytest.approx(2.083, abs=0.0005)
    assert float(thickness_um(760_000, 80, Fraction(6, 10))) / 1000 == pytest.approx(32.5, abs=0.05)


@against(src.FRAGILITY)
def test_a_tool_is_as_rugged_as_machinery_and_foam_is_pressed_to_six_tenths() -> None:
    assert FRAGILITY_G == 115
    assert Fraction(6, 10) == USABLE_STRAIN


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "kpa"), [(36, 36, 7.57), (135, 36, 2.02), (36, 5, 54.5)], ids=["face", "cheek", "peen"]
)
@against(src.WEIGHT_OVER_AREA)
def test_pressure_of_one_kilogram(length_mm: int, width_mm: int, kpa: float) -> None:
    assert static_stress_pa(1_000_000, length_mm * width_mm * 10**6) / 1000 == pytest.approx(kpa, abs=0.05)


@pytest.mark.parametrize(("off_mm", "kpa"), [(0, 1.667), (30, 2.667), (50, 3.333), (75, 4.444)])
@against(src.FOOTINGS)
def test_an_eccentric_load_on_a_rectangle(off_mm: int, kpa: float) -> None:
    """10 N on 300 by 20 mm: within the middle third the whole of it carries, beyond that a triangle."""
    weight_mg = 10 / 9.80665 * 1_000_000
    (pressure,) = pressures_pa(weight_mg, 150_000 - off_mm * 1000, [Patch(0, 300_000, 20_000)])
    assert pressure / 1000 == pytest.approx(kpa, abs=0.001)


@against(src.STRESS_ENERGY)
def test_the_least_peak_of_a_curve_is_where_its_energy_is_one_over_b() -> None:
    """a 70 kPa, b 0.016 m³/kJ, 50 mm of foam, a fall of 600 mm: 36.5 g at 5.21 kPa."""
    height, thick = 600_000, 50_000
    points = [
        CurvePoint(height, thick, stress, 70_000 * exp(0.016e-3 * stress * height / thick) / stress)
        for stress in (1_000.0, 4_000.0, 9_000.0)
    ]
    curve = fit_curve(points)
    best = thick / (curve.b * height)
    assert best / 1000 == pytest.approx(5.21, abs=0.005)
    assert curve.peak_g(best, height, thick) == pytest.approx(36.5, abs=0.05)
    assert all((curve.peak_g(best * other, height, thick) or 0) > 36.5 for other in (0.9, 1.1))


@against(src.ISTA_1A)
def test_no_height_is_given_beyond_150_lb() -> None:
    assert drop_height_um(int(150 * LB) + 1_000) is None


@against(src.POUND_FORCE)
def test_weights_are_taken_at_standard_gravity() -> None:
    assert static_stress_pa(1_000_000, 10**12) == 9.80665


@pytest.mark.parametrize(("reach_mm", "pressure_mpa", "bears_mpa"), [(10, 1.0, 30.0), (25, 0.4, 60.0), (8, 2.0, 12.0)])
@against(src.CANTILEVER)
def test_a_plate_is_bent_to_what_it_bears_and_no_more(reach_mm: int, pressure_mpa: float, bears_mpa: float) -> None:
    thick = bending_thickness_um(reach_mm * 1000, pressure_mpa * 1e6, bears_mpa * 1e6) / 1000
    moment, modulus = pressure_mpa * reach_mm**2 / 2, thick**2 / 6
    assert moment / modulus == pytest.approx(bears_mpa)


@against(src.WEIGHT_OVER_AREA)
def test_a_plate_under_a_kilogram_on_a_peen_brings_it_to_what_foam_is_meant_for() -> None:
    # 1 kg on an edge of 36 by 5 mm presses with 54.5 kPa; at 9 kPa it needs 1090 mm².
    stress = static_stress_pa(1_000_000, 36_000 * 5_000)
    plate = plate_for((36_000, 5_000), 1.0, stress / 9_000, 9_000)
    assert plate is not None
    area = plate.length_um * plate.width_um / 1e6
    assert 1_090 <= area <= 1_090 + 5 * (plate.length_um + plate.width_um) / 1000 + 25
    assert static_stress_pa(1_000_000, plate.length_um * plate.width_um) <= 9_000


@against(src.WEIGHT_OVER_AREA)
def test_no_plate_is_named_where_none_is_thick_enough() -> None:
    assert plate_for((36_000, 5_000), 1.0, 400.0, 9_000_000) is None

"""Falls by a maker's curve: within what was measured, and no further."""

from dataclasses import replace
from math import exp

import pytest

from packing.cushion import CurvePoint, CushionCurve, fit_curve
from packing.insert import Contact, make_insert, peak_notes
from packing.insert import contacts as contacts_of
from packing.materials import PE_FOAM
from packing.measure import Order
from packing.plan import render
from tests.packing.insert_zoo import HAMMER, laid, order_of

GROSS_MG = 3_000_000
DROP_M = 30 * 0.0254
"""Under 21 lb a parcel falls 30 in."""
WIDE = CushionCurve(70_000.0, 1.6e-5, 0.0, 1e9)


def contacts(order: Order) -> tuple[Contact, ...]:
    nesting = laid(order, [(0, "flat", 0)])
    return contacts_of(order, nesting, make_insert(order, nesting, PE_FOAM), GROSS_MG)


def told(order: Order, curve: CushionCurve | None) -> list[str]:
    found = contacts(order)
    return [render(note) for note in peak_notes(found, order, replace(PE_FOAM, curve=curve), GROSS_MG)]


def test_without_a_curve_nothing_is_said() -> None:
    assert told(order_of(HAMMER), None) == []


def test_the_hardest_fall_is_told_by_the_curve() -> None:
    order = order_of(HAMMER)
    peaks = [
        70_000 * exp(1.6e-5 * one.stress_pa * DROP_M / (one.thickness_um / 1e6)) / one.stress_pa
        for one in contacts(order)
    ]
    (note,) = told(order, WIDE)
    assert f"stops hammer with {max(peaks):.0f} g when the box falls from 762 mm" in note
    assert "A computed drop is no test" in note and "scrap steel of the same weight" in note


def test_outside_what_was_measured_the_curve_says_nothing_and_the_energies_are_told() -> None:
    order = order_of(HAMMER)
    energies = [one.stress_pa * DROP_M / (one.thickness_um / 1e6) for one in contacts(order)]
    (note,) = told(order, replace(WIDE, least=max(energies) * 2, most=max(energies) * 3))
    assert "it says nothing of hammer" in note
    assert f"from {min(energies) / 1000:.1f} to {max(energies) / 1000:.1f}" in note
    middle = sorted(energies)[3]
    inside, outside = told(order, replace(WIDE, most=middle))
    assert "stops hammer with" in inside and "it says nothing of hammer" in outside


def test_a_curve_fitted_to_points_ends_where_they_do() -> None:
    points = [CurvePoint(762_000, 50_000, stress, 70_000 * exp(0.0004 * stress) / stress) for stress in (2e3, 4e3, 8e3)]
    curve = fit_curve(points)
    assert curve.peak_g(4e3, 762_000, 50_000) == pytest.approx(points[1].peak_g, rel=1e-6)
    assert curve.peak_g(9e3, 762_000, 50_000) is None and curve.peak_g(1e3, 762_000, 50_000) is None

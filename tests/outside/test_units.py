"""Unit conversions against their legal definitions.

International yard and pound agreement of 1959, as printed in NIST SP 811 (2008), appendix B and in NIST Handbook 44,
appendix C: 1 in = 25.4 mm, 1 lb = 453.592 37 g, 1 oz = 1/16 lb, all exact. Values known from memory of those tables.
"""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from packing.carry.billing import MG_PER, UM_PER
from packing.units import parse_length, parse_weight
from tests.outside import sources as src
from tests.outside.sources import against

pytestmark = against(src.YARD_AND_POUND)


def test_the_inch_is_25_4_mm() -> None:
    assert UM_PER["in"] == Fraction("25.4") * 1000


def test_the_foot_is_304_8_mm() -> None:
    assert 12 * UM_PER["in"] == Fraction("304.8") * 1000


def test_the_pound_is_453_59237_g() -> None:
    assert MG_PER["lb"] == Fraction("453.59237") * 1000


def test_an_ounce_is_28_349523125_g() -> None:
    assert MG_PER["lb"] / 16 == Fraction("28.349523125") * 1000


def test_a_cubic_inch_is_16_387064_cm3() -> None:
    assert (UM_PER["in"] / UM_PER["cm"]) ** 3 == Fraction("16.387064")


def test_6000_cm3_a_kilogram_is_166_in3_a_pound() -> None:
    """IATA's volume rule and the old parcel divisor are the same rule: 166.08 in³/lb."""
    per_pound = 6000 / (UM_PER["in"] / UM_PER["cm"]) ** 3 * (MG_PER["lb"] / MG_PER["kg"])
    assert float(per_pound) == pytest.approx(166.08, abs=0.005)


def test_a_cubic_foot_is_1728_cubic_inches() -> None:
    assert (Fraction("304.8") * 1000 / UM_PER["in"]) ** 3 == 1728


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1 in", "25.4"),
        ("1 ft", "304.8"),
        ("4 5/8 in", "117.475"),
        ("1/16 in", "1.5875"),
        ("36 in", "914.4"),
        ("5 mm", "5"),
        ("2 m", "2000"),
    ],
)
def test_typed_inches_become_exact_millimetres(text: Any, mm: Any) -> None:
    assert parse_length(text) == Decimal(mm)


@pytest.mark.parametrize(
    ("text", "g"), [("1 lb", "453.59237"), ("5 g", "5"), ("1 oz", "28.349523125"), ("2 1/2 lb", "1133.980925")]
)
def test_typed_pounds_and_ounces_become_exact_grams(text: Any, g: Any) -> None:
    assert parse_weight(text) == Decimal(g)

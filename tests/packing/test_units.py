"""Lengths and weights as people type and read them."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packing.units import UnreadableMeasure, parse_length, parse_weight, show_length, show_weight

LENGTHS = {
    "117.5": "117.5", "117,5 mm": "117.5", "0": "0", ".5": "0.5", ",5 cm": "5", "12 cm": "120", "1.2 m": "1200",
    "4 5/8 in": "117.475", '4 5/8"': "117.475", "4-5/8 in": "117.475", "4⅝ in": "117.475", "4 ⅝ inches": "117.475",
    "½ in": "12.7", "5/8 inch": "15.875", "9/8 in": "28.575", "4 5 / 8 in.": "117.475", "4.625 in": "117.475",
    "1 ft": "304.8", "1 ft 2 1/2 in": "368.3", "1' 2 1/2\"": "368.3", "1’ 2.5”": "368.3", "3′": "914.4",
    "2 m 3 cm 4 mm": "2034", "  7 MM ": "7", "7mm": "7", "7.": "7",
}  # fmt: skip
WEIGHTS = {
    "1440": "1440", "1,440 kg": "1440", "1.440kg": "1440", "3 lb": "1360.77711", "3 lb 4 oz": "1474.1752025",
    "3lb4oz": "1474.1752025", "3 lb 1/4 oz": "1367.86449078125", "2 1/2 pounds": "1133.980925",
    "16 ounces": "453.59237", "¾ lb": "340.1942775", "1 kg 250 g": "1250",
}  # fmt: skip


@pytest.mark.parametrize("text", LENGTHS)
def test_a_typed_length_is_read_exactly(text: str) -> None:
    assert parse_length(text) == Decimal(LENGTHS[text])


@pytest.mark.parametrize("text", WEIGHTS)
def test_a_typed_weight_is_read_exactly(text: str) -> None:
    assert parse_weight(text) == Decimal(WEIGHTS[text])


@pytest.mark.parametrize(
    ("text", "unit", "mm"), [("4 5/8", "in", "117.475"), ("4,5", "in", "114.3"), ("3", "ft", "914.4")]
)
def test_a_bare_number_is_in_the_users_unit(text: str, unit: str, mm: str) -> None:
    assert parse_length(text, unit) == Decimal(mm)


def test_a_typed_unit_wins_over_the_users_unit() -> None:
    assert parse_length("117.5 mm", "in") == Decimal("117.5")
    assert parse_weight("100 g", "lb") == 100


def test_a_third_of_an_inch_is_read_to_28_figures() -> None:
    assert abs(Fraction(parse_length("1/3 in")) - Fraction(127, 15)) < Fraction(1, 10**25)


@pytest.mark.parametrize("text", ["", "   ", "\t"])
def test_nothing_typed_is_missing(text: str) -> None:
    with pytest.raises(UnreadableMeasure, match="length is missing"):
        parse_length(text)


@pytest.mark.parametrize("text", ["-5", "- 5 mm", "-½ in", "-0.1"])
def test_a_negative_length_is_refused(text: str) -> None:
    with pytest.raises(UnreadableMeasure, match="A length cannot be negative"):
        parse_length(text)


@pytest.mark.parametrize(
    "text",
    ["abc", "in", "5 3", "1 000 mm", "5 1.5 in", "1.5 1/2 in", "1.5.2", "1.368,5", "1,368.5", "5 -3", "+5", "–5", "nan",
     "inf", "4 5/8/2", "5 3/8 in 2", "½½", "²", "1 1/2 1/4 in", "5..3", "/2", "4 /"],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(UnreadableMeasure) as caught:
        parse_length(text)
    assert str(caught.value) == f"“{text}” is not a length; write it like “117.5 mm”."


def test_a_weight_with_a_number_without_unit_is_refused_with_an_example() -> None:
    with pytest.raises(UnreadableMeasure, match="write it like “1440 g”"):
        parse_weight("3 lb 4")


@pytest.mark.parametrize(
    ("text", "unit"), [("5 furlong", "furlong"), ("5 lb", "lb"), ("1e3 mm", "e"), ("5 mmm", "mmm"), ("5; 3", ";")]
)
def test_an_unknown_unit_is_refused_with_the_known_ones(text: str, unit: str) -> None:
    with pytest.raises(UnreadableMeasure) as caught:
        parse_length(text)
    assert str(caught.value) == f"“{unit}” is not a unit of length; use mm, cm, m, in, ft."


@pytest.mark.parametrize("text", ["5 mm 3 mm", "1 ft 2'", '3 in 4"'])
def test_a_unit_named_twice_is_refused(text: str) -> None:
    with pytest.raises(UnreadableMeasure, match="twice"):
        parse_length(text)


@pytest.mark.parametrize("text", ["1/0 in", "4 5/0 in"])
def test_division_by_zero_is_refused(text: str) -> None:
    with pytest.raises(UnreadableMeasure, match="divides by zero"):
        parse_length(text)


@pytest.mark.parametrize(("text", "meant"), [("51/8 in", "5 1/8"), ("11/8", "1 1/8"), ("117/16", "11 7/16")])
def test_a_fraction_with_the_space_left_out_is_asked_about(text: Any, meant: Any) -> None:
    with pytest.raises(UnreadableMeasure, match=f"can be read in two ways: write “{meant}” or a decimal"):
        parse_length(text, "in")


@pytest.mark.parametrize("text", ["4 8/8 in", "4 9/8 in", "4-16/16 in"])
def test_a_whole_number_with_a_fraction_of_one_or_more_is_refused(text: str) -> None:
    with pytest.raises(UnreadableMeasure, match="after a whole number must be less than one"):
        parse_length(text)


def test_a_text_of_thousands_of_figures_is_refused() -> None:
    with pytest.raises(UnreadableMeasure, match="A length of 9001 characters is too long; at most 60 are read"):
        parse_length("1/" + "9" * 8999)


def test_an_unknown_default_unit_is_refused() -> None:
    with pytest.raises(UnreadableMeasure, match="The unit “yd” is not one of mm, cm, m, in, ft"):
        parse_length("5", "yd")


SHOWN = [
    ("117.475", "in", "4 5/8 in"), ("12.7", "in", "1/2 in"), ("0", "in", "0 in"), ("25.4", "in", "1 in"),
    ("0.7", "in", "0 in"), ("0.8", "in", "1/16 in"), ("304.8", "in", "12 in"), ("-12.7", "in", "-1/2 in"),
    ("117.475", "mm", "117.5 mm"), ("117.0", "mm", "117 mm"), ("100", "mm", "100 mm"), ("-0.01", "mm", "0 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("mm", "unit", "text"), SHOWN)
def test_a_length_is_shown_as_on_a_rule(mm: str, unit: str, text: str) -> None:
    assert show_length(Decimal(mm), unit) == text


def test_a_length_is_shown_finer_where_the_rule_is_finer() -> None:
    assert show_length(Decimal("117.871875"), "in", sixteenths=64) == "4 41/64 in"


@pytest.mark.parametrize(
    ("g", "unit", "text"),
    [("1440", "g", "1440 g"), ("99.96", "g", "100 g"), ("12.34", "g", "12.3 g"), ("12345", "g", "12.34 kg"),
     ("100", "g", "100 g"), ("1367.86449078125", "lb", "3 lb 0.2 oz"), ("453.59237", "lb", "1 lb 0 oz"),
     ("452", "lb", "15.9 oz"), ("453.5", "lb", "1 lb 0 oz"), ("0", "lb", "0 oz"), ("-28.349523125", "lb", "-1 oz")],
)  # fmt: skip
def test_a_weight_is_shown_as_on_a_scale(g: str, unit: str, text: str) -> None:
    assert show_weight(Decimal(g), unit) == text


@pytest.mark.parametrize("unit", ["cm", "ft", "yd", ""])
def test_a_length_in_another_unit_is_not_shown(unit: str) -> None:
    with pytest.raises(UnreadableMeasure, match="shown in mm or in"):
        show_length(1, unit)


def test_a_weight_in_another_unit_is_not_shown() -> None:
    with pytest.raises(UnreadableMeasure, match="shown in g or lb"):
        show_weight(1, "oz")


@given(st.integers(0, 10_000), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_length_on_the_rules_marks_is_shown_and_read_again_exactly(marks: int, parts: int) -> None:
    mm = Decimal(marks) / parts * Decimal("25.4")
    assert parse_length(show_length(mm, "in", sixteenths=parts)) == mm


@given(st.decimals(0, 9999, places=1))
def test_a_length_in_tenths_is_shown_and_read_again_exactly(mm: Decimal) -> None:
    assert parse_length(show_length(mm)) == mm


@given(st.decimals(0, 5000, places=4))
def test_a_length_shown_in_inches_is_within_half_a_mark(mm: Decimal) -> None:
    assert abs(parse_length(show_length(mm, "in")) - mm) <= Decimal("25.4") / 32


@given(st.integers(0, 200_000))
def test_a_weight_in_tenths_of_an_ounce_is_shown_and_read_again_exactly(tenths: int) -> None:
    g = Decimal(tenths) / 160 * Decimal("453.59237")
    assert parse_weight(show_weight(g, "lb")) == g


@given(st.decimals(0, 99999, places=3), st.sampled_from(["mm", "cm", "in", "ft"]))
def test_comma_and_point_read_alike(number: Decimal, unit: str) -> None:
    assert parse_length(f"{number} {unit}") == parse_length(f"{number}".replace(".", ",") + unit)


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused_but_never_crashes(text: str) -> None:
    for parse in (parse_length, parse_weight):
        try:
            value = parse(text)
        except UnreadableMeasure:
            continue
        assert value >= 0


@pytest.mark.parametrize(
    ("read", "text", "rule"),
    [
        (parse_weight, "2 lb 17 oz", "oz beside lb are less than 16"),
        (parse_weight, "2 lb 16 oz", "oz beside lb are less than 16"),
        (parse_length, "1 ft 12 in", "in beside ft are less than 12"),
        (parse_weight, "1 kg 1000 g", "g beside kg are less than 1000"),
    ],
)
def test_as_many_of_a_unit_as_make_the_larger_one_before_it_are_refused(read: Any, text: Any, rule: Any) -> None:
    with pytest.raises(UnreadableMeasure, match=rule):
        read(text)


def test_ounces_up_to_the_pound_are_read() -> None:
    assert parse_weight("2 lb 15.9 oz") < parse_weight("3 lb")

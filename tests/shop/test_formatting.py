"""Lengths and weights as they stand on a paper."""

from typing import Any
from unittest.mock import patch

import pytest

from packing.plan import Figure, Length, Message, Name, Run, Sides, Term, Weight, verbatim
from shop.formatting import Units, Wording

METRIC, INCH = Wording(Units("mm", "g")), Wording(Units("in", "lb"))


def test_a_size_in_millimetres_names_its_unit_once() -> None:
    assert METRIC.size([488, 188.5, 123]) == "488\u00a0× 188.5\u00a0× 123\u00a0mm"


def test_a_fraction_of_an_inch_stands_as_on_the_drawings() -> None:
    assert INCH.length(117.475) == "4\u00a05/8\u00a0in"


def test_a_fraction_without_a_whole_has_no_space_before_it() -> None:
    assert INCH.length(12.7) == "1/2\u00a0in"


def test_a_thickness_is_read_to_a_thirty_second() -> None:
    assert INCH.bare(4, fine=True) == "5/32"


@pytest.mark.parametrize(
    ("grams", "words"),
    [(1000, "1.00\u00a0kg (2\u00a0lb\u00a03.3\u00a0oz)"), (453.59237, "0.45\u00a0kg (1\u00a0lb\u00a00\u00a0oz)")],
)
def test_a_gross_weight_is_given_in_kilograms_and_in_pounds(grams: Any, words: Any) -> None:
    assert METRIC.both(grams) == words


def test_a_reader_of_pounds_reads_pounds_first() -> None:
    assert INCH.both(1000) == "2\u00a0lb\u00a03.3\u00a0oz (1.00\u00a0kg)"


@pytest.mark.parametrize(
    ("quantity", "inch", "metric"),
    [
        (Length(6_000), "1/4 in", "6 mm"),
        (Length(200), "less than 1/16 in", "0.2 mm"),
        (Length(20), "less than 1/16 in", "less than 0.1 mm"),
        (Length(133_260), "5 1/4 in", "133.3 mm"),
        (Sides((558_800, 304_800, 158_800)), "22 × 12 × 6 1/4 in", "558.8 × 304.8 × 158.8 mm"),
        (Run(3_400_000), "11.2 ft", "3.4 m"),
        (Weight(4_000), "0.1 oz", "4 g"),
        (Weight(1_000), "under 0.1 oz", "1 g"),
        (Weight(7_910_000), "17 lb 7 oz", "7910 g"),
        (Term("eye_offset"), "eye offset", "eye offset"),
        (Figure("27", "kg/m³"), "27 kg/m³", "27 kg/m³"),
        (Name("Carton 36 x 12 x 8 in, 12 mm"), "Carton 36 x 12 x 8 in, 12 mm", "Carton 36 x 12 x 8 in, 12 mm"),
    ],
)
def test_what_a_sentence_speaks_of_is_read_in_the_readers_units(quantity: Any, inch: Any, metric: Any) -> None:
    said = Message("{it} in all", it=quantity)
    assert INCH.message(said).replace("\u00a0", " ") == f"{inch} in all"
    assert METRIC.message(said).replace("\u00a0", " ") == f"{metric} in all"


GAP = Message("Lay a board pad: the inner flaps stay {gap} apart.", gap=Length(295_000))


def test_a_message_is_read_in_the_readers_units_with_its_fractions() -> None:
    assert METRIC.message(GAP) == "Lay a board pad: the inner flaps stay 295\u00a0mm apart."
    assert INCH.message(GAP) == "Lay a board pad: the inner flaps stay 11\u00a05/8\u00a0in apart."


def test_sides_weights_and_runs_of_a_message_have_the_readers_units() -> None:
    said = Message(
        "{box} of {mass} with {tape}", box=Sides((558_800, 304_800, 400)), mass=Weight(7_910_000), tape=Run(3_400_000)
    )
    assert INCH.message(said).replace("\u00a0", " ") == "22 × 12 × less than 1/16 in of 17 lb 7 oz with 11.2 ft"
    assert METRIC.message(said).replace("\u00a0", " ") == "558.8 × 304.8 × 0.4 mm of 7910 g with 3.4 m"


def test_a_figure_of_a_published_rule_keeps_its_unit_and_so_does_what_a_person_wrote() -> None:
    said = Message("{rule}: {inner}", rule=Figure("12 mm", ""), inner=verbatim("at most 6 mm"))
    assert INCH.message(said) == "12 mm: at most 6 mm"


def test_a_message_is_translated_by_its_template() -> None:
    told = {"Lay a board pad: the inner flaps stay {gap} apart.": "Lägg en skiva: inre flikar {gap} isär."}
    with patch("shop.formatting._", lambda text: told.get(text, text)):
        assert METRIC.message(GAP) == "Lägg en skiva: inre flikar 295\u00a0mm isär."


def test_a_weight_that_would_be_written_as_nothing_is_said_to_be_under_a_tenth_of_an_ounce() -> None:
    assert INCH.weight(0.3) == "under\u00a00.1\u00a0oz"
    assert INCH.weight(0) == "0\u00a0oz"


@pytest.mark.parametrize(
    ("units", "words"),
    [(Units("mm", "g"), "mm, g"), (Units("in", "lb"), "inches, to 1/16"), (Units("mm", "lb"), "mm, lb and oz")],
)
def test_the_title_block_names_the_units(units: Any, words: Any) -> None:
    assert Wording(units).note == words


def test_tape_is_measured_in_feet_for_who_reads_inches() -> None:
    assert INCH.metres(1.5) == "4.9\u00a0ft"


def test_foam_of_16_018_kilograms_a_cubic_metre_is_a_pound_a_cubic_foot() -> None:
    assert INCH.density(16.018463) == "1.00\u00a0lb/ft³"


def test_board_of_601_grams_a_square_metre_is_123_pounds_a_thousand_square_feet() -> None:
    assert INCH.grammage(601) == "123\u00a0lb\u00a0per\u00a01000\u00a0ft²"

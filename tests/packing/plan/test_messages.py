"""Sentences as data: what they say in which units, and what they refuse."""

from decimal import Decimal

import pytest

from packing.messages import PlainEnglish
from packing.plan import Count, Figure, Length, Message, Percent, Series, Sides, Weight, render, verbatim


class InInches(PlainEnglish):
    def length(self, um: int) -> str:
        return f"{um / 25_400:g} in"

    def translate(self, template: str) -> str:
        return template.replace("apart", "auseinander")


def test_a_message_reads_in_millimetres_and_grams_by_itself() -> None:
    said = Message("The {part} of {piece} weighs {weight}, {gap} too wide.", part="head", piece="CH125-007",
                   weight=Weight(1_250_500), gap=Length(2_500))  # fmt: skip
    assert str(said) == "The head of CH125-007 weighs 1250.5 g, 2.5 mm too wide."


def test_units_and_language_are_the_readers() -> None:
    said = Message("The flaps stay {gap} apart.", gap=Length(25_400))
    assert render(said, InInches()) == "The flaps stay 1 in auseinander."


def test_a_message_may_speak_of_another() -> None:
    inner = Message("{gap} apart", gap=Length(25_400))
    assert render(Message("They stay {how}.", how=inner), InInches()) == "They stay 1 in auseinander."


def test_sides_shares_figures_and_series_are_written_out() -> None:
    said = Message(
        "{size}, {share}, {limit}, {some}: {count}",
        size=Sides((490_000, 190_000, 125_500)),
        share=Percent(Decimal("7.50")),
        limit=Figure("320", "lbf"),
        some=Series((Count(1), Count(2))),
        count=3,
    )
    assert str(said) == "490 × 190 × 125.5 mm, 7.5 %, 320 lbf, 1, 2: 3"


@pytest.mark.parametrize(("template", "quantities"), [("{gap}", {}), ("no gap", {"gap": 1}), ("{a}", {"b": 1})])
def test_a_template_names_just_what_it_is_given(template: str, quantities: dict[str, int]) -> None:
    with pytest.raises(ValueError, match="template names"):
        Message(template, **quantities)


def test_braces_that_a_person_typed_are_shown() -> None:
    assert str(verbatim("a {b} c")) == "a {b} c"


def test_messages_are_equal_by_what_they_say_and_never_changed() -> None:
    one, other = Message("{a}", a=Length(1)), Message("{a}", a=Length(1))
    assert one == other
    assert len({one, other, Message("{a}", a=Length(2))}) == 2
    with pytest.raises(AttributeError):
        one.template = "another"

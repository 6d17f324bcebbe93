"""The lifting equation on the screen, and the mark on the outside of a heavy box."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Shop
from shop.papers.cautions import outside_mark

REEL = {
    "weight": "44",
    "away": "23",
    "height_from": "15",
    "height_to": "64",
    "twist": "0",
    "per_minute": "0.2",
    "hours": "1",
    "grip": "fair",
}


@pytest.fixture
def american(log_in: Any, forge: Shop) -> Any:
    Shop.objects.filter(pk=forge.pk).update(length_unit="in", weight_unit="lb")
    return log_in("packer")


def asked(client: Client, **changes: str) -> Any:
    return client.get(reverse("lifting"), {**REEL, **changes})


def test_the_multipliers_and_both_ends_are_shown(american: Client) -> None:
    page = asked(american).content.decode()
    assert "At the start" in page and "At the end" in page
    assert "<strong>2.7</strong>" in page and "<strong>3.1</strong>" in page
    assert "0.43" in page and "0.86" in page


def test_a_lift_beyond_reach_is_not_for_hands(american: Client) -> None:
    assert asked(american, away="26").content.decode().count("not by hand") == 2


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"weight": "heavy"}, "heavy"),
        ({"away": "-2"}, "error"),
        ({"height_to": "200"}, "“Hands above the floor at the end, in” is from 0 to 3 m, not 5.08."),
        ({"away": "100"}, "“Hands from the ankles, flat, in” is from 0 to 2 m, not 2.54."),
        ({"twist": "181"}, "180"),
        ({"per_minute": "-1"}, "at least 0"),
        ({"grip": "firm"}, "error"),
        ({"hours": "9"}, "error"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(american: Client, changes: dict[str, str], sentence: str) -> None:
    answer = asked(american, **changes)
    assert answer.status_code == 400
    assert sentence in answer.content.decode()


def test_the_page_opens_with_a_usual_lift(log_in: Any) -> None:
    page = log_in("packer").get(reverse("lifting"), {"weight": "18200 g"}).content.decode()
    assert 'value="18200 g"' in page and 'value="400"' in page


def test_a_heavy_box_says_so_outside_and_a_light_one_does_not() -> None:
    assert outside_mark(16_000_000, "16 kg") == ""
    assert "18.20 kg (40 lb), two people" in outside_mark(18_200_000, "18.20 kg (40 lb)")

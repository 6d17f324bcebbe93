"""Names in letters that no typeface has are told of before they are printed; with typefaces for them they print."""

import logging
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from weasyprint.logger import LOGGER

from shop.models import Customer, Order, OrderLine, User
from shop.papers import letters
from shop.papers.letters import sentence_of, unprintable
from shop.papers.pdf import print_html

NAMES = {
    "Korean": "대장간 김철수",
    "Hindi": "लोहार राम",
    "Thai": "ช่างตีเหล็ก",
    "Arabic": "حداد محمد",
    "Hebrew": "נפח דוד",
    "Chinese": "铁匠王小明",
    "Japanese": "鍛冶屋の田中",
    "Georgian": "მჭედელი",
    "Armenian": "Դարբին",
}
PAGE = '<!DOCTYPE html><html lang="en"><head><title>t</title></head><body class="a4"><p>{}</p>'
FONTS = Path("/usr/share/fonts/truetype")
needs_fonts = pytest.mark.skipif(
    not all((FONTS / name).is_dir() for name in ("noto", "nanum", "droid")),
    reason="typefaces are not installed; Debian: apt-get install fonts-noto-core fonts-nanum fonts-droid-fallback",
)


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without typefaces for what the papers' own do not have."""
    monkeypatch.setattr(letters, "_has_form", lambda letter: False)


def left_out(text: Any) -> Any:
    """What the typesetter says it has no form for."""
    told = []

    class Hear(logging.Handler):
        def emit(self, record: Any) -> None:
            if ".notdef" in record.getMessage():
                told.append(record.getMessage())

    hear = Hear()
    LOGGER.addHandler(hear)
    try:
        print_html(PAGE.format(text))
    finally:
        LOGGER.removeHandler(hear)
    return told


@needs_fonts
@pytest.mark.parametrize("script", NAMES)
def test_a_name_in_the_letters_of_many_languages_prints(script: Any) -> None:
    assert unprintable([NAMES[script]]) == ""
    assert not left_out(NAMES[script])


@pytest.mark.parametrize("text", [*NAMES.values(), "Łukasz Müller-O’Brien", "Σιδεράς Кузнец", "🜨 \U0001fbff"])
def test_what_is_said_to_print_is_what_the_typesetter_has(text: Any) -> None:
    assert bool(unprintable([text])) == bool(left_out(text))


def test_a_letter_that_no_typeface_has_is_named_once(bare: Any) -> None:
    assert unprintable(["A한국 한", "Łódź"]) == "한국"
    assert "한 국. Write the name" in sentence_of("한국") and sentence_of("") == ""


def test_the_order_says_so_before_anything_is_printed(
    bare: Any, client: Client, owner: User, order: Order, line: OrderLine
) -> None:
    Customer.objects.update(name=NAMES["Korean"])
    client.force_login(owner)
    page = client.get(reverse("order", args=[17])).content.decode()
    assert "The papers would have empty boxes." in page and "대 장 간" in page


def test_the_customers_form_says_so_when_it_is_stored(
    bare: Any, client: Client, owner: User, customer: Customer
) -> None:
    client.force_login(owner)
    typed = {"name": NAMES["Thai"], "country": "TH", "length_unit": "mm", "weight_unit": "g"}
    for address in (reverse("customer", args=[customer.pk]), reverse("new-customer")):
        answer = client.post(address, {**typed, "address": address}, follow=True)
        assert "cannot be printed" in answer.content.decode()


def test_an_order_whose_names_print_says_nothing_of_letters(
    client: Client, owner: User, order: Order, line: OrderLine
) -> None:
    client.force_login(owner)
    assert "empty boxes" not in client.get(reverse("order", args=[17])).content.decode()

"""Printing: our own assets only, our own typefaces, the same bytes for the same words."""

import io
import os
import subprocess
import sys
from typing import Any

import pdfplumber
import pytest
from pypdf import PdfReader

from shop.papers.pdf import ADDRESS, ForeignAddress, print_html
from tests.helpers import present

PAGE = (
    '<!DOCTYPE html><html lang="en"><head><title>t</title></head><body class="a4"><section class="sheet">{}</section>'
)


def fonts_of(html: Any) -> Any:
    with pdfplumber.open(io.BytesIO(print_html(html).pdf)) as pdf:
        return {char["fontname"].partition("+")[2] for page in pdf.pages for char in page.chars}


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/passwd",
        "http://127.0.0.1:9/x.png",
        "https://example.org/x.png",
        "data:image/png;base64,iVBORw0KGgo=",
        "/etc/passwd",
        "fonts/../../../../settings.py",
        ADDRESS + "fonts/%2e%2e/papers.css",
        ADDRESS + "papers.css.woff2",
    ],
)
def test_a_picture_from_anywhere_but_our_own_assets_is_refused(address: Any) -> None:
    with pytest.raises(ForeignAddress, match="our own assets alone"):
        print_html(PAGE.format(f'<img src="{address}">'))


def test_a_style_that_asks_for_a_file_is_refused() -> None:
    with pytest.raises(ForeignAddress, match="etc/passwd"):
        print_html(PAGE.format('<p style="background: url(file:///etc/passwd)">x</p>'))


def test_a_drawing_that_asks_for_a_file_is_refused() -> None:
    svg = '<svg width="9mm" height="9mm"><image href="file:///etc/hostname" width="9" height="9"/></svg>'
    with pytest.raises(ForeignAddress, match="etc/hostname"):
        print_html(PAGE.format(svg))


def test_text_is_set_in_the_bundled_typeface() -> None:
    assert fonts_of(PAGE.format("<p>Packing <b>slip</b> ± 4 g, Łódź, Türk’s × Æ</p>")) == {"Barlow", "Barlow-Semi-Bold"}


def test_a_name_in_greek_or_cyrillic_letters_is_set_in_the_bundled_typeface_too() -> None:
    assert fonts_of(PAGE.format("<p>Σιδεράς Кузнец</p>")) >= {"Sofia-Sans"}


def test_letters_outside_latin_1_keep_their_place_beside_others() -> None:
    with pdfplumber.open(io.BytesIO(print_html(PAGE.format("<p><b>Łukasz Żółć Müller-O’Brien</b></p>")).pdf)) as pdf:
        assert "Łukasz Żółć Müller-O’Brien" in pdf.pages[0].extract_text()


def test_the_file_carries_the_date_it_is_given_and_no_other() -> None:
    html = PAGE.replace("<title>", '<meta name="dcterms.created" content="2026-03-07"><title>').format("x")
    metadata = present(PdfReader(io.BytesIO(print_html(html).pdf)).metadata)
    assert str(metadata["/CreationDate"]) == "D:20260307"


def test_another_process_prints_the_same_bytes() -> None:
    html = PAGE.format("<p>Packing <b>slip</b></p>")
    script = (
        "import hashlib, sys, django; django.setup(); from shop.papers.pdf import print_html;"
        "sys.stdout.write(hashlib.sha256(print_html(sys.argv[1]).pdf).hexdigest())"
    )
    prints = {
        subprocess.run(
            [sys.executable, "-c", script, html],
            env={**os.environ, "PYTHONHASHSEED": seed, "DJANGO_SETTINGS_MODULE": "shop.config.settings"},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(prints) == 1

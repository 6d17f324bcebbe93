"""The frameworks' stock sentences are said in our own words, on screens, at the owner's desk and in the API."""

import datetime as dt
import gettext
import re
from pathlib import Path
from typing import Any

import django
import pytest
import rest_framework
from django import forms
from django.conf import settings
from django.contrib.auth import password_validation
from django.test import Client
from django.utils import formats
from django.utils.translation import gettext as translated

from shop.models import User

CATALOGUE = Path(settings.LOCALE_PATHS[0]) / "en" / "LC_MESSAGES" / "django.po"
LINES = re.compile(r'^(msgid|msgid_plural|msgstr(?:\[\d\])?) "(.*)"$', re.MULTILINE)


def entries() -> Any:
    """What the catalogue replaces: keys as a compiled one has them, and what is said instead."""
    found = {}
    key, plural = "", ""
    for name, text in LINES.findall(CATALOGUE.read_text(encoding="utf-8")):
        words = text.replace('\\"', '"')
        if name == "msgid":
            key, plural = words, ""
        elif name == "msgid_plural":
            plural = words
        elif key:
            found[(key, int(name[-2])) if plural else key] = words
    return found


def test_the_compiled_catalogue_is_of_the_written_one() -> None:
    with CATALOGUE.with_suffix(".mo").open("rb") as compiled:
        kept = vars(gettext.GNUTranslations(compiled))["_catalog"]
    assert {key: words for key, words in kept.items() if key} == entries()


def test_every_sentence_replaced_is_one_that_the_frameworks_say() -> None:
    folders = (Path(django.__file__).parent, Path(rest_framework.__file__).parent)
    files = [
        path for folder in folders for kind in ("*.py", "*.html", "en/**/django.po") for path in folder.rglob(kind)
    ]
    said = "\n".join(path.read_text(encoding="utf-8") for path in files if "/tests/" not in str(path))
    said = re.sub(r"['\"]\s*\n\s*['\"]", "", said).replace('\\"', '"')
    for key in entries():
        sentence = key if isinstance(key, str) else key[0]
        assert sentence in said, sentence


def test_what_is_left_out_of_a_form_is_asked_for_in_our_words() -> None:
    assert str(forms.CharField().error_messages["required"]) == "Fill this in."


def test_a_password_is_judged_in_our_words() -> None:
    sentences = " ".join(password_validation.password_validators_help_texts())
    assert sentences.startswith("Nothing like your name. At least 10 characters. Nothing that many people use.")


@pytest.mark.parametrize(
    ("stock", "ours"),
    [
        ("This field may not be blank.", "Must not be empty."),
        ("Authentication credentials were not provided.", "Log in first."),
        ("Save and continue editing", "Store and stay here"),
    ],
)
def test_api_and_desk_speak_our_words(stock: Any, ours: Any) -> None:
    assert translated(stock) == ours


@pytest.mark.django_db
def test_the_owners_desk_wears_our_colours_and_words(client: Client, owner: User) -> None:
    client.force_login(owner)
    page = client.get("/admin/").content.decode()
    assert "shop/desk.css" in page
    assert "dark_mode" not in page
    assert formats.date_format(dt.datetime(2026, 11, 27, 9, 5, tzinfo=dt.UTC), "DATETIME_FORMAT") == "2026-11-27 09:05"
    for words in ("Carriers’ rules", "Papers", "Who works here", "What happened", "Pieces held"):
        assert words in page
    for words in ("Django", "Documents", "Memberships", "Entries", "Allocations"):
        assert words not in page

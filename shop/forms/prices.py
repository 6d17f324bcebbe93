"""The form of a file of prices: chosen from the disk or pasted."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.forms.fields import Cleaned
from shop.services.prices import MOST_TEXT

ENCODINGS = ("utf-8-sig", "cp1252")
"""Encodings that spreadsheets write: with or without a mark, or that of old desktops."""


class PricesForm(forms.Form):
    """Prices as text with one row a line."""

    file = forms.FileField(label=gettext_lazy("File of prices"), required=False)
    text = forms.CharField(
        label=gettext_lazy("Or the rows themselves"),
        required=False,
        strip=False,
        max_length=MOST_TEXT,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false", "autocomplete": "off"}),
    )

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if cleaned.get("file") is not None:
            cleaned["text"] = _decoded(cleaned["file"].read())
        if not self.errors and not (cleaned.get("text") or "").strip():
            raise ValidationError(_("Choose a file, or paste its rows."))
        return cleaned


def _decoded(data: bytes) -> Any:
    for encoding in ENCODINGS:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise ValidationError(_("The file is no text: save it as comma-separated values."))

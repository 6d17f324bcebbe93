"""JSON as it may be typed or sent: what no column and no text could hold is refused before anything is done."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from django import forms
from django.forms.fields import InvalidJSONInput
from django.utils.translation import gettext as _

UNWRITABLE = re.compile("[\x00\ud800-\udfff]")
"""NUL, and halves of a pair that stands for one character: no database holds them, no paper shows them."""


def texts_in(data: Any) -> Iterable[str]:
    """Every text of some JSON, names of fields among them."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for name, value in data.items():
            yield name
            yield from texts_in(value)
    elif isinstance(data, list):
        for value in data:
            yield from texts_in(value)


class StorableJSONField(forms.JSONField):
    """A form's JSON whose texts can be stored; numbers and nesting beyond what can be read are refused in words."""

    def to_python(self, value: Any) -> Any:
        try:
            read = super().to_python(value)
        except (ValueError, RecursionError):
            raise forms.ValidationError(_("This holds a number or a nesting too large to be read.")) from None
        if _is_unwritable(read):
            raise forms.ValidationError(_("A text in this holds what is no character: NUL or half of a pair."))
        return read

    def bound_data(self, data: Any, initial: Any) -> Any:
        """The text shown again: as it was typed where it cannot be read or written."""
        try:
            read = super().bound_data(data, initial)
        except (ValueError, RecursionError):
            return InvalidJSONInput(data)
        return InvalidJSONInput(data) if _is_unwritable(read) else read


def _is_unwritable(read: Any) -> bool:
    return any(UNWRITABLE.search(text) for text in texts_in(read))

"""Fields of more than one form."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from shop import adapter

EITHER_WAY = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
PLAIN = re.compile(r"[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)")
FILE_STEP = Decimal("0.01")


class CommaDecimalField(forms.DecimalField):
    """A number with a decimal point or comma; one that could be thousands as well is asked about."""

    widget = forms.TextInput(attrs={"inputmode": "decimal"})

    def to_python(self, value: Any) -> Any:
        if not isinstance(value, str):
            return super().to_python(value)
        text = value.strip()
        if EITHER_WAY.fullmatch(text):
            whole, part = text.split(",")
            sentence = _("“%(typed)s” can be read in two ways: write %(whole)s%(part)s or %(whole)s.%(part)s.")
            raise ValidationError(sentence % {"typed": text, "whole": whole, "part": part})
        if text and PLAIN.fullmatch(text) is None:
            raise ValidationError(self.error_messages["invalid"], code="invalid")
        return super().to_python(text.replace(",", "."))


class MillimetreField(forms.CharField):
    """A length in mm, or with a unit of its own such as `1/2 in`; gives a number of mm to 0.01, or None."""

    widget = forms.TextInput(attrs={"inputmode": "text", "autocomplete": "off"})

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        return _read(adapter.parse_length, text, "mm") if text else None

    def prepare_value(self, value: Any) -> Any:
        return f"{value:g}" if isinstance(value, int | float) else value


class GramField(forms.CharField):
    """A weight in g, or with a unit of its own such as `2 lb`; gives a number of g to 0.01, or None."""

    widget = forms.TextInput(attrs={"inputmode": "text", "autocomplete": "off"})

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        return _read(adapter.parse_weight, text, "g") if text else None

    def prepare_value(self, value: Any) -> Any:
        return f"{value:g}" if isinstance(value, int | float) else value


class ThicknessesField(forms.CharField):
    """Thicknesses with a semicolon or a comma and a space between them; gives a list of numbers of mm."""

    widget = forms.TextInput(attrs={"inputmode": "text", "autocomplete": "off"})

    def to_python(self, value: Any) -> Any:
        text = (super().to_python(value) or "").replace(", ", ";")
        return [_read(adapter.parse_length, part, "mm") for part in text.split(";") if part.strip()]

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(f"{size:g}" for size in value) if isinstance(value, list) else value


def _read(parse: Any, text: str, unit: str) -> int | float:
    try:
        value: Decimal = parse(text, unit).quantize(FILE_STEP, ROUND_HALF_EVEN)
    except adapter.UnreadableMeasure as fault:
        raise ValidationError(str(fault)) from fault
    return int(value) if value == value.to_integral_value() else float(value)


class StoresChanges:
    """A form of a known row stores the fields that it changes, and leaves alone what others changed meanwhile."""

    instance: Any
    also_stored: tuple[str, ...] = ()

    def save(self, commit: bool = True) -> Any:
        """Store a new row whole, of a known one the changed fields."""
        if self.instance.pk is None or not commit:
            return super().save(commit)  # type: ignore[misc]
        # Not of the instance's type: a request's user is wrapped in one of its own.
        kept = self.instance._meta.model._base_manager.get(pk=self.instance.pk)
        columns = {field.name for field in self.instance._meta.concrete_fields}
        asked = [name for name in (*self.fields, *self.also_stored) if name in columns]  # type: ignore[attr-defined]
        changed = [name for name in asked if getattr(self.instance, name) != getattr(kept, name)]
        if changed:
            self.instance.save(update_fields=changed)
        return self.instance

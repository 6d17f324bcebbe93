"""Fields of more than one form."""

from __future__ import annotations

from typing import Any

from django import forms


class CommaDecimalField(forms.DecimalField):
    """A number with a decimal point or comma."""

    widget = forms.TextInput(attrs={"inputmode": "decimal"})

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)

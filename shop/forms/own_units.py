"""Fields of rows of numbers, typed and shown in the units of whoever is at the form."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.db import models
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from shop import adapter
from shop.forms.fields import EITHER_WAY, GRAMS, MILLIMETRES, CommaDecimalField, DayField, in_column
from shop.models import LengthUnit, WeightUnit

ENDINGS = {"_mm": "mm", "_in": "in", "_g": "g", "_kg": "kg"}
SIZES = ("length", "width", "height")
"""Of blocks and cartons, in mm though their names do not say so."""
UNIT_AT_THE_END = re.compile(r", (mm|in|g|kg)\b")


def column_unit(field: models.Field[Any, Any]) -> str:
    """The unit of a column that is a length or a weight; empty for any other number."""
    if field.name in SIZES:
        return "mm"
    return next((unit for ending, unit in ENDINGS.items() if field.name.endswith(ending)), "")


class OwnUnitField(CommaDecimalField):
    """A length or weight of a row, kept in the unit of its column; a bare number is in the unit of whoever types it.

    What is known is shown in that unit where it can be written in it exactly, else in the column's own, which is named.
    """

    widget = forms.TextInput(attrs={"inputmode": "text", "autocomplete": "off"})

    def __init__(self, *, column_unit: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.column_unit = self.unit = column_unit

    def use(self, units: tuple[str, str]) -> None:
        """Take bare numbers in a person's units of length and weight, and name the unit in the label."""
        length, weight = units
        if self.column_unit in GRAMS:
            self.unit = WeightUnit.POUND if weight == WeightUnit.POUND else self.column_unit
        elif self.column_unit in MILLIMETRES and self.column_unit != LengthUnit.INCH:
            self.unit = length
        self.label = f"{UNIT_AT_THE_END.sub('', str(self.label))}, {self.unit}"

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip()
        if not text or EITHER_WAY.fullmatch(text):
            return super().to_python(text)
        return forms.DecimalField.to_python(self, f"{self._read(text):f}")

    def prepare_value(self, value: Any) -> Any:
        return self._shown(value) if isinstance(value, Decimal) else value

    def _read(self, text: str) -> Decimal:
        return in_column(text, self.unit, self.column_unit, self.decimal_places or 2)

    def _shown(self, value: Decimal) -> str:
        plain = f"{value.normalize():f}"
        if self.unit == self.column_unit:
            return plain
        base = MILLIMETRES | GRAMS
        whole = value * base[self.column_unit]
        if self.unit == LengthUnit.INCH:
            text = adapter.show_length(whole, self.unit, sixteenths=64).removesuffix(f" {self.unit}")
        else:
            text = adapter.show_weight(whole, self.unit)
        return text if self._read(text) == value else f"{plain} {self.column_unit}"


def field_of(column: models.Field[Any, Any], **kwargs: Any) -> forms.Field | None:
    """Make the form's field of a row's column: measures with units, plain numbers with a comma or a point, days."""
    if isinstance(column, models.DecimalField):
        unit = column_unit(column)
        if unit:
            return column.formfield(form_class=OwnUnitField, column_unit=unit, **kwargs)
        return column.formfield(form_class=CommaDecimalField, **kwargs)
    if isinstance(column, models.IntegerField):
        return column.formfield(widget=forms.TextInput(attrs={"inputmode": "numeric"}), **kwargs)
    if isinstance(column, models.DateField):
        return column.formfield(
            form_class=DayField, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **kwargs
        )
    return column.formfield(**kwargs)


def in_own_units(form: forms.BaseForm, units: tuple[str, str]) -> None:
    """Let the fields of a form take and show what they hold in a person's units; say which of them are needed."""
    for field in form.fields.values():
        if isinstance(field, OwnUnitField):
            field.use(units)
        if isinstance(field, forms.ModelChoiceField):
            field.empty_label = _("Choose …")
        elif isinstance(field, forms.ChoiceField):
            known: Any = field.choices
            field.choices = [(value, label if value or value is False else _("Choose …")) for value, label in known]
        field.label = capfirst(str(field.label))
        field.error_messages["required"] = _("%(field)s is needed.") % {"field": field.label}

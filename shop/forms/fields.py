"""Fields of more than one form."""

from __future__ import annotations

import datetime as dt
import re
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from shop import adapter
from shop.forms.stale import SaysWhatChanged

EITHER_WAY = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
"""1,234 is a thousand to some and one and a bit to others: a price read wrongly is found too late."""
PLAIN = re.compile(r"[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)")
FILE_STEP = Decimal("0.01")
"""An order file knows hundredths of a millimetre, so a rule that is typed finer would not come back as typed."""
FIRST_DAY, LAST_DAY = dt.date(1900, 1, 1), dt.date(2200, 12, 31)
"""Days that a shop has to do with: one beyond them is a slip, and days are added to what is typed."""
GRAMS = {"g": Decimal(1), "kg": Decimal(1000)}
MILLIMETRES = {"mm": Decimal(1), "in": Decimal("25.4")}
Cleaned = dict[str, Any]
"""Values of a form's fields once they were read, by the field's name."""


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


class MeasureField(forms.CharField):
    """A length or a weight: a bare number in the unit its label names, or a text with a unit such as `1/2 in`.

    It gives a number of mm or g to 0.01, or None. What is known is shown in that unit where it can be written in it,
    else in mm or g with the unit; in a shop of inches or pounds a line says what it was read as.
    """

    widget = forms.TextInput(attrs={"inputmode": "text", "autocomplete": "off"})
    base = "mm"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.unit = self.base

    def use(self, unit: str, value: Any = None) -> None:
        """Take bare numbers in this unit, name it in the label, and say what a known value is."""
        self.unit = unit
        self.label = f"{self.label}, {unit}"
        if unit != self.base and value not in (None, [], 0):
            self.help_text = " ".join([str(self.help_text), self.read_as(value)]).strip()

    def read_as(self, value: Any) -> str:
        """The value as it was read, in words."""
        return _("Read as %(value)s %(unit)s.") % {"value": f"{value:g}", "unit": self.base}

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        return self._read(text) if text else None

    def prepare_value(self, value: Any) -> Any:
        return self._shown(value) if isinstance(value, int | float) else value

    def _read(self, text: str) -> int | float:
        return _read(adapter.parse_length, text, self.unit)

    def _shown(self, value: float) -> str:
        if self.unit == self.base:
            return f"{value:g}"
        parts = adapter.show_length(Decimal(str(value)), self.unit, sixteenths=64).removesuffix(f" {self.unit}")
        return parts if self._read(parts) == value else f"{value:g} {self.base}"


class WeightField(MeasureField):
    """A weight; see `MeasureField`."""

    base = "g"

    def _read(self, text: str) -> int | float:
        return _read(adapter.parse_weight, text, self.unit)

    def _shown(self, value: float) -> str:
        if self.unit == self.base:
            return f"{value:g}"
        parts = adapter.show_weight(Decimal(str(value)), self.unit)
        return parts if self._read(parts) == value else f"{value:g} {self.base}"


class ThicknessesField(MeasureField):
    """Thicknesses with a semicolon or a comma and a space between them; gives a list of numbers of mm."""

    def to_python(self, value: Any) -> Any:
        text = (forms.CharField.to_python(self, value) or "").replace(", ", ";")
        return [self._read(part) for part in text.split(";") if part.strip()]

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(self._shown(size) for size in value) if isinstance(value, list) else value

    def read_as(self, value: Any) -> str:
        sizes = ", ".join(f"{size:g}" for size in value)
        return _("Read as %(value)s %(unit)s.") % {"value": sizes, "unit": self.base}


def _read(parse: Any, text: str, unit: str) -> int | float:
    try:
        value: Decimal = parse(text, unit).quantize(FILE_STEP, ROUND_HALF_EVEN)
    except adapter.UnreadableMeasure as fault:
        raise ValidationError(str(fault)) from fault
    return int(value) if value == value.to_integral_value() else float(value)


class DecimalMeasureField(CommaDecimalField):
    """A length or weight of a model as a Decimal in the unit of its column; text with another unit is read into it.

    A fraction without a unit is asked about: the column is in mm or g, and fractions are inches or pounds.
    """

    widget = forms.TextInput(attrs={"autocomplete": "off"})

    def __init__(self, *, column_unit: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.column_unit = column_unit
        self.read_from: tuple[str, Decimal] | None = None

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip()
        if not text or PLAIN.fullmatch(text) or EITHER_WAY.fullmatch(text):
            return super().to_python(value)
        unit = self.column_unit
        if "/" in text and not re.search(r"[^\W\d]|[\"″”'′’]", text):
            sentence = _("“%(typed)s” has no unit: write %(typed)s %(fine)s, or a number of %(unit)s.")
            raise ValidationError(sentence % {"typed": text, "fine": "lb" if unit in GRAMS else "in", "unit": unit})
        number = in_column(text, unit, unit, self.decimal_places or 2)
        self.read_from = (text, number)
        return super().to_python(f"{number.normalize():f}")


def in_column(text: str, unit: str, column_unit: str, decimal_places: int) -> Decimal:
    """Read a length or weight, bare numbers in one unit, as a number of its column's unit.

    Raises ValidationError where it cannot be read.
    """
    parse, base = (adapter.parse_weight, GRAMS) if column_unit in GRAMS else (adapter.parse_length, MILLIMETRES)
    try:
        return (parse(text, unit) / base[column_unit]).quantize(Decimal(1).scaleb(-decimal_places))
    except adapter.UnreadableMeasure as fault:
        raise ValidationError(str(fault)) from fault


def check_day(day: dt.date) -> None:
    """Raise ValidationError for a day outside the years that a shop has to do with."""
    if not FIRST_DAY <= day <= LAST_DAY:
        sentence = _("Days are of the years %(first)d to %(last)d, not %(day)s.")
        raise ValidationError(sentence % {"first": FIRST_DAY.year, "last": LAST_DAY.year, "day": day.isoformat()})


class DayField(forms.DateField):
    """A day of the years that a shop has to do with."""

    default_validators = [check_day]


class StoresChanges(SaysWhatChanged):
    """A form of a known row stores the fields that it changes; what others changed meanwhile is told first."""

    instance: Any
    also_stored: tuple[str, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.watch(self.instance, self._columns())

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}  # type: ignore[misc]
        self.tell_changes()
        return cleaned

    def _columns(self) -> list[str]:
        columns = {field.name for field in self.instance._meta.concrete_fields}
        return [name for name in (*self.fields, *self.also_stored) if name in columns]  # type: ignore[attr-defined]

    def save(self, commit: bool = True) -> Any:
        """Store a new row whole, of a known one the changed fields."""
        if self.instance.pk is None or not commit:
            return super().save(commit)  # type: ignore[misc]
        # Not of the instance's type: a request's user is wrapped in one of its own.
        kept = self.instance._meta.model._base_manager.get(pk=self.instance.pk)
        changed = [name for name in self._columns() if getattr(self.instance, name) != getattr(kept, name)]
        if changed:
            self.instance.save(update_fields=changed)
        return self.instance

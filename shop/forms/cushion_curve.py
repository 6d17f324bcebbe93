"""The figures that a foam's maker measured, pasted as rows, and the price of a cubic metre or foot of it."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.forms.fields import CommaDecimalField
from shop.models import LengthUnit

MOST_POINTS = 200
COLUMNS = 4
UM = {LengthUnit.MM: Decimal(1000), LengthUnit.INCH: Decimal(25_400)}
PASCALS = {LengthUnit.MM: Decimal(1000), LengthUnit.INCH: Decimal("6894.757293")}
"""A kilopascal, and a pound-force per square inch."""
CUBIC_FOOT_M3 = Decimal("0.028316846592")
STEP, SHOWN = Decimal("0.0001"), Decimal("0.0001")
MOST_PRICE = Decimal(1_000_000)
BETWEEN = re.compile(r"\s*[\t;|]\s*|,\s+|\s+")


class CurveField(forms.CharField):
    """The points of a maker's cushion curve, one a line; gives rows as the shop keeps them.

    Lengths are read in the shop's unit; with inches the pressure is in psi, with millimetres in kPa.
    """

    widget = forms.Textarea(attrs={"rows": 6, "spellcheck": "false"})

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=20_000, **kwargs)
        self.unit = LengthUnit.MM

    def use(self, unit: str) -> None:
        """Read and show lengths in this unit, and say so."""
        self.unit = LengthUnit(unit)
        inch = self.unit is LengthUnit.INCH
        self.label = gettext_lazy("The maker’s cushion curve, a drop on each line")
        columns = (
            _("height of fall in, thickness in, pressure psi, peak g: 30; 2; 0.8; 45")
            if inch
            else _("height of fall mm, thickness mm, pressure kPa, peak g: 760; 50; 5.5; 45")
        )
        self.help_text = _(
            "%(columns)s. At least three of different energies, pasted from a table or typed, with semicolons, tabs or "
            "spaces between. Plans then say how hard a fall is, within what was measured and no further."
        ) % {"columns": columns}

    def to_python(self, value: Any) -> Any:
        if isinstance(value, list):
            return value
        lines = [line.strip() for line in (super().to_python(value) or "").splitlines() if line.strip()]
        if len(lines) > MOST_POINTS:
            sentence = _("At most %(most)d lines, not %(count)d.")
            raise ValidationError(sentence % {"most": MOST_POINTS, "count": len(lines)})
        rows = [self._row(number, line) for number, line in enumerate(lines, 1)]
        if rows:
            try:
                adapter.check_curve(rows)
            except adapter.BadInput as fault:
                raise ValidationError(_("The curve %(fault)s") % {"fault": fault.message}) from fault
        return rows

    def _row(self, number: int, line: str) -> dict[str, int | float]:
        words = [word for word in BETWEEN.split(line) if word]
        if len(words) == 1:
            # As tables are saved by programs; a line of four figures has no decimal comma then.
            words = line.split(",")
        said = {"number": number, "line": line, "columns": COLUMNS, "count": len(words)}
        if len(words) != COLUMNS:
            raise ValidationError(_("Line %(number)d must have %(columns)d figures, not %(count)d: “%(line)s”.") % said)
        try:
            height, thickness, stress, peak = (Decimal(word.replace(",", ".")) for word in words)
        except InvalidOperation:
            raise ValidationError(_("Line %(number)d has something that is no number: “%(line)s”.") % said) from None
        return {
            "height_um": int(height * UM[self.unit]),
            "thickness_um": int(thickness * UM[self.unit]),
            "stress_pa": float(stress * PASCALS[self.unit]),
            "peak_g": float(peak),
        }

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, list):
            return value
        lines = []
        for point in adapter.curve_points(value):
            figures = (
                Decimal(point.height_um) / UM[self.unit],
                Decimal(point.thickness_um) / UM[self.unit],
                Decimal(str(point.stress_pa)) / PASCALS[self.unit],
                Decimal(str(point.peak_g)),
            )
            lines.append("; ".join(_plain(figure.quantize(SHOWN)) for figure in figures))
        return "\n".join(lines)

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(self.prepare_value(initial or []) != (data or ""))


class CubicPriceField(CommaDecimalField):
    """A price kept by the cubic metre; where lengths are in inches it is read and shown by the cubic foot."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=0, max_digits=12, decimal_places=4, **kwargs)
        self.each_m3 = Decimal(1)

    def use(self, unit: str) -> None:
        """Take prices by the cubic metre, or where lengths are in inches by the cubic foot."""
        inch = LengthUnit(unit) is LengthUnit.INCH
        self.each_m3 = CUBIC_FOOT_M3 if inch else Decimal(1)
        self.label = gettext_lazy("A cubic foot of foam costs") if inch else gettext_lazy("A cubic metre of foam costs")

    def to_python(self, value: Any) -> Any:
        price = super().to_python(value)
        if price is None:
            return None
        # Asked before it is rounded: forty figures have no ten-thousandths that a Decimal could hold.
        if abs(price) > MOST_PRICE:
            raise ValidationError(_("“%(typed)s” is more than any price can be.") % {"typed": str(value)[:40]})
        return (price / self.each_m3).quantize(STEP, ROUND_HALF_EVEN)

    def prepare_value(self, value: Any) -> Any:
        return _plain((value * self.each_m3).quantize(SHOWN)) if isinstance(value, Decimal) else value


def _plain(figure: Decimal) -> str:
    return format(figure.normalize(), "f")

"""The form of one lift, for the NIOSH equation."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.formatting import Units
from shop.forms.fields import Cleaned, CommaDecimalField, MeasureField, WeightField
from shop.models import LengthUnit, WeightUnit

GRIPS = (
    (adapter.Coupling.GOOD, gettext_lazy("good: handles or hand holes")),
    (adapter.Coupling.FAIR, gettext_lazy("fair: a plain box, fingers under its edges")),
    (adapter.Coupling.POOR, gettext_lazy("poor: bulky, slippery or sagging")),
)
HOURS = ((1, gettext_lazy("up to 1 hour")), (2, gettext_lazy("up to 2 hours")), (8, gettext_lazy("up to 8 hours")))


@dataclass(frozen=True)
class LiftEnd:
    """One end of a lift: its limit and the index of the weight there."""

    name: str
    limit: adapter.LiftLimit
    index: Decimal | None


class LiftForm(forms.Form):
    """A lift from one height to another."""

    weight = WeightField(label=gettext_lazy("Weight"))
    away = MeasureField(label=gettext_lazy("Hands from the ankles, flat"))
    height_from = MeasureField(label=gettext_lazy("Hands above the floor at the start"))
    height_to = MeasureField(label=gettext_lazy("Hands above the floor at the end"))
    twist = CommaDecimalField(label=gettext_lazy("Turned to the side, degrees"), min_value=0, max_value=180)
    per_minute = CommaDecimalField(label=gettext_lazy("Lifts a minute"), min_value=0, max_value=60)
    hours = forms.TypedChoiceField(label=gettext_lazy("In a day"), choices=HOURS, coerce=int)
    grip = forms.ChoiceField(label=gettext_lazy("Grip"), choices=GRIPS)

    def __init__(self, data: Any = None, *, units: Units, weight: str = "") -> None:
        inch = units.length == LengthUnit.INCH
        usual = {"away": "16" if inch else "400", "height_from": "30" if inch else "750"}
        usual |= {"height_to": "40" if inch else "1000", "twist": "0", "per_minute": "0.2", "weight": weight}
        super().__init__(data, initial={**usual, "grip": adapter.Coupling.FAIR})
        # The constants are rounded for either system: a reader of pounds gets those in pounds and inches.
        self.units = adapter.LiftUnits.US if units.weight == WeightUnit.POUND else adapter.LiftUnits.METRIC
        for field in self.fields.values():
            if isinstance(field, MeasureField):
                field.use(units.weight if isinstance(field, WeightField) else units.length)

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if not self.errors:
            for height in ("height_from", "height_to"):
                self._check(height)
        return cleaned

    def _check(self, height: str) -> None:
        if self.errors:
            return
        try:
            # Two heights within bounds are no farther apart than a lift may be.
            adapter.read_lift(replace(self._lift(self.cleaned_data[height]), travel_um=0))
        except adapter.BadInput as fault:
            name = fault.field if fault.field in self.fields else height
            self.add_error(name, _("“%(field)s” %(rule)s") % {"field": self.fields[name].label, "rule": fault.message})

    def ends(self) -> list[LiftEnd]:
        """Either end of the lift, once the form is valid."""
        weight_mg = round(self.cleaned_data["weight"] * 1000)
        found = []
        for name, height in ((_("At the start"), "height_from"), (_("At the end"), "height_to")):
            limit = adapter.lift_limit(self._lift(self.cleaned_data[height]))
            found.append(LiftEnd(name, limit, limit.index(weight_mg)))
        return found

    def _lift(self, height_mm: float) -> adapter.Lift:
        cleaned = self.cleaned_data
        return adapter.Lift(
            away_um=round(cleaned["away"] * 1000),
            height_um=round(height_mm * 1000),
            travel_um=round(abs(cleaned["height_to"] - cleaned["height_from"]) * 1000),
            twist_deg=float(cleaned["twist"]),
            per_minute=float(cleaned["per_minute"]),
            hours=float(cleaned["hours"]),
            grip=adapter.Coupling(cleaned["grip"]),
            units=self.units,
        )

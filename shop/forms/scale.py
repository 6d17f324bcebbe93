"""Forms of the scale: the empty box with its insert, and the closed box, each held against the prediction."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.formatting import Wording, in_g, in_mm
from shop.forms.fields import Cleaned, MeasureField
from shop.models import Parcel, WeightUnit
from shop.services.weighing import Reading, causes_of, expected_of

# Between pounds and grams, ounces and grams, kilograms and pounds, kilograms and ounces, pounds and ounces, kilograms
# and grams: the exact factors of packing.units.
G_IN_A_POUND = adapter.parse_weight("1 lb")
FACTORS = {
    G_IN_A_POUND: gettext_lazy("pounds and grams"),
    G_IN_A_POUND / 16: gettext_lazy("ounces and grams"),
    1000 / G_IN_A_POUND: gettext_lazy("kilograms and pounds"),
    16000 / G_IN_A_POUND: gettext_lazy("kilograms and ounces"),
    Decimal(16): gettext_lazy("pounds and ounces"),
    Decimal(1000): gettext_lazy("kilograms and grams"),
}
TAPED = ("taped_length", "taped_width", "taped_height")
NEAR = Decimal("0.03")
"""Nearness to the prediction at which a reading in another unit is asked about; the tolerance where that is wider."""


class ScaleForm(forms.Form):
    """One scale reading held against what is expected; one that is off is stored once somebody has looked."""

    weighed = forms.CharField(
        label=gettext_lazy("The scale reads"),
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "short"}),
    )
    weight_unit = forms.ChoiceField(label=gettext_lazy("In"), choices=WeightUnit.choices)
    confirmed = forms.BooleanField(required=False, initial=False)
    confirmed_label: Any = ""

    def __init__(self, *args: Any, parcel: Parcel, wording: Wording, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.parcel, self.wording = parcel, wording
        self.weight = adapter.plan_of(parcel.plan).weight
        self.fields["weight_unit"].initial = wording.units.weight
        self.fields["weighed"].widget.attrs["inputmode"] = (
            "decimal" if wording.units.weight == WeightUnit.GRAM else "text"
        )
        self.fields["confirmed"].label = self.confirmed_label
        self.weighed_g = Decimal(0)
        self.off = False

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if not {"weighed", "weight_unit"} <= cleaned.keys():
            return cleaned
        try:
            self.weighed_g = adapter.parse_weight(cleaned["weighed"], cleaned["weight_unit"])
        except adapter.UnreadableMeasure as fault:
            self.add_error("weighed", str(fault))
            return cleaned
        if not self.weighed_g > 0:
            self.add_error("weighed", _("A weigh-in is above zero, not “%(typed)s”.") % {"typed": cleaned["weighed"]})
            return cleaned
        questions = self.questions()
        self.off = bool(questions)
        if self.off and not cleaned["confirmed"]:
            read = _("Read as %(weight)s.") % {"weight": self.wording.weight(self.weighed_g)}
            self.add_error("confirmed", " ".join([read, *questions]))
        return cleaned

    def expected(self) -> tuple[Decimal, Decimal]:
        """The expected reading of the scale, and its tolerance, in grams."""
        raise NotImplementedError

    def off_by(self, by: Decimal) -> str:
        """Explanations of a reading so far off; `%(gross)s ± %(tolerance)s` are filled in."""
        raise NotImplementedError

    def questions(self) -> list[str]:
        """Questions about the reading; empty where it is as expected."""
        gross, tolerance = self.expected()
        by = self.weighed_g - gross
        if abs(by) <= tolerance:
            return []
        write = self.wording.weight
        named = {"by": write(abs(by)), "gross": write(gross), "tolerance": write(tolerance)}
        return [text for text in (self._other_unit(gross, tolerance), self.off_by(by) % named) if text]

    def _other_unit(self, gross: Decimal, tolerance: Decimal) -> str:
        """That the reading would be right in another unit; empty where it would not."""
        near = max(tolerance, gross * NEAR)
        for factor, units in FACTORS.items():
            for right in (self.weighed_g * factor, self.weighed_g / factor):
                if abs(right - gross) <= near:
                    return _("The scale may show another unit: between %(units)s it would fit.") % {"units": units}
        return ""


class WeighInForm(ScaleForm):
    """The scale reading of the closed box, held against the predicted gross weight, and its outside as taped.

    One that is off names what may be wrong; it is taken once somebody has looked and says why.
    """

    confirmed_label = gettext_lazy("I have opened the box and looked: it is so")
    taped_length = MeasureField(label=gettext_lazy("Taped length"), required=False)
    taped_width = MeasureField(label=gettext_lazy("Taped width"), required=False)
    taped_height = MeasureField(label=gettext_lazy("Taped height"), required=False)
    why = forms.CharField(label=gettext_lazy("Why it is taken all the same"), max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.taped_mm: tuple[Decimal, Decimal, Decimal] | None = None
        self.told = ""
        for name in TAPED:
            field = self.fields[name]
            if isinstance(field, MeasureField):
                field.use(self.wording.units.length)

    def clean(self) -> Cleaned:
        cleaned = self.cleaned_data
        sides = [cleaned.get(name) for name in TAPED]
        if all(sides):
            length, width, height = (Decimal(str(side)) for side in sides)
            self.taped_mm = length, width, height
        elif any(sides) and not self.errors:
            missing = TAPED[[bool(side) for side in sides].index(False)]
            self.add_error(missing, _("Tape all three sides, or none."))
        cleaned = super().clean()
        if self.told and cleaned.get("confirmed") and not cleaned.get("why", "").strip():
            self.add_error("why", _("Say why the box is closed all the same: it stays on record."))
        return cleaned

    def expected(self) -> tuple[Decimal, Decimal]:
        wait = expected_of(self.parcel)
        return wait.gross_g, wait.tolerance_g

    def off_by(self, by: Decimal) -> str:
        if by > 0:
            return _("That is %(by)s more than planned (%(gross)s ± %(tolerance)s): something else may be in the box.")
        return _("That is %(by)s less than planned (%(gross)s ± %(tolerance)s): something may be missing.")

    def questions(self) -> list[str]:
        asked = super().questions()
        if asked:
            asked += causes_of(self.parcel, self.weighed_g, self.wording)
        asked += self._taped_wrong()
        self.told = " ".join(asked)
        wait = expected_of(self.parcel)
        return asked if asked or not wait.blind else [wait.sentence(self.wording)]

    @property
    def reading(self) -> Reading:
        """The reading as it was typed, to be kept."""
        return Reading(self.weighed_g, self.taped_mm, self.told, self.cleaned_data.get("why", "").strip())

    def _taped_wrong(self) -> list[str]:
        """A question where a side is much longer or shorter than planned; none where nobody taped it."""
        off = None if self.taped_mm is None else adapter.taped_off(adapter.plan_of(self.parcel.plan), self.taped_mm)
        if off is None:
            return []
        write = self.wording.length
        named = {"planned": write(in_mm(off[0])), "taped": write(in_mm(off[1]))}
        return [_("A side planned %(planned)s is taped %(taped)s: is it this box, is it closed flat?") % named]


class EmptyBoxForm(ScaleForm):
    """The scale reading of the empty box with everything of its insert, lid and screws, before a piece goes in."""

    confirmed_label = gettext_lazy("I have looked what lies on the scale: it is so")

    def expected(self) -> tuple[Decimal, Decimal]:
        return in_g(self.weight.empty_mg), in_g(self.weight.empty_tolerance_mg)

    def off_by(self, by: Decimal) -> str:
        if by > 0:
            return _("That is %(by)s more than reckoned (%(gross)s ± %(tolerance)s): is a piece in the box already?")
        return _("That is %(by)s less than reckoned (%(gross)s ± %(tolerance)s): is lid, screws or foam missing?")

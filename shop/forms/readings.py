"""The form of a hardness reading."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.forms.fields import Cleaned, CommaDecimalField
from shop.models import (
    Piece,
    Reading,
    User,
)

# Names of hardness scales begin with H (ISO 6506-1, 6507-1, 6508-1, 16859-1; from memory).
SCALE = re.compile(r"H[A-Z]{1,3}( ?[0-9]{1,4}(/[0-9]{1,4}){0,2})?")


ROCKWELL_C = "HRC"
HRC_FROM, HRC_TO = Decimal(20), Decimal(70)
"""Outside of this range the cone or the ball of the tester gives no reading worth keeping."""


class ReadingForm(forms.ModelForm):
    """One hardness figure: where on the tool, on which scale, before or after tempering."""

    value = CommaDecimalField(label=gettext_lazy("Value"), max_digits=6, decimal_places=1, min_value=Decimal("0.1"))

    class Meta:
        model = Reading
        fields = ["when", "place", "value", "scale"]
        widgets = {"when": forms.RadioSelect}
        labels = {"when": gettext_lazy("Taken"), "place": gettext_lazy("Place on the tool")}
        help_texts = {"place": gettext_lazy("Such as face, edge, peen, eye.")}

    def __init__(self, *args: Any, piece: Piece, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.piece, self.instance.shop = piece, piece.shop
        self.instance.by, self.instance.tested_at = by.get_username()[:80], timezone.now()

    def clean_scale(self) -> str:
        scale = str(self.cleaned_data["scale"]).strip().upper()
        if SCALE.fullmatch(scale) is None:
            raise forms.ValidationError(_("A scale is called as on the tester, such as HRC, HRB, HBW, HV10 or HLD."))
        return scale

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        value = cleaned.get("value")
        # The scale's range as ISO 6508-1 has it; from memory.
        if value is not None and cleaned.get("scale") == ROCKWELL_C and not HRC_FROM <= value <= HRC_TO:
            sentence = _("Value: HRC is read from %(low)s to %(high)s, not %(value)s.")
            self.add_error("value", sentence % {"low": HRC_FROM, "high": HRC_TO, "value": value})
        return cleaned

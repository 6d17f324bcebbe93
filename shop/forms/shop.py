"""Forms of the shop's settings."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shop import door
from shop.models import Shop


class ShopForm(forms.ModelForm):
    """The shop's settings; its planning rules are read through the door."""

    class Meta:
        model = Shop
        fields = [
            "name",
            "address",
            "country",
            "timezone",
            "currency",
            "length_unit",
            "weight_unit",
            "paper",
            "plan_rules",
            "foam_name",
            "foam_density_kg_m3",
            "foam_fit_mm",
            "board",
        ]

    def clean_plan_rules(self) -> Any:
        rules = self.cleaned_data["plan_rules"]
        try:
            door.check_plan_rules(rules)
        except door.BadInput as fault:
            raise ValidationError(f"{fault.field}: {fault.message}") from fault
        return rules

"""Forms of the shop's settings."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import EMPTY_VALUES
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.countries import CountryField
from shop.forms.cushion_curve import CubicPriceField, CurveField
from shop.forms.fields import Cleaned, CommaDecimalField, MeasureField, StoresChanges, WeightField
from shop.forms.rules import rule_field
from shop.forms.services import take_services
from shop.models import BilledUnit, EvidenceLevel, Shop

FIELDS = (
    "name",
    "address",
    "country",
    "timezone",
    "currency",
    "length_unit",
    "weight_unit",
    "paper",
    "printed_bar_mm",
    "scale_step_g",
    "keep_days",
    "foam_name",
    "foam_density_kg_m3",
    "foam_fit_mm",
    "foam_least_kpa",
    "foam_most_kpa",
    "foam_snug_mm",
    "foam_curve",
    "foam_source",
    "foam_sureness",
    "board",
    "priced_by",
    "priced_abroad_by",
    "hour_price",
    "fastener_price",
    "foam_price_m3",
    "billed_price",
    "billed_price_unit",
    "billed_minutes",
    "rope_handles",
    "feet",
)
WHOLE_ORDER = tuple(name for name in adapter.EVERY_ORDER if not adapter.RULES[name].optional)
SWITCHED = tuple(name for name in adapter.EVERY_ORDER if adapter.RULES[name].optional)
BESIDE_THE_FOAM = ("sheets",)
"""Rules that the settings ask for elsewhere than among the rules."""


class ShopForm(forms.ModelForm):
    """The whole of a shop's settings, its planning rules as JSON; the adapter reads them."""

    country = CountryField()

    class Meta:
        model = Shop
        fields = [*FIELDS, "plan_rules"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        take_services(self)

    def clean_plan_rules(self) -> Any:
        rules = self.cleaned_data["plan_rules"]
        try:
            adapter.check_plan_rules(rules)
        except adapter.BadInput as fault:
            raise ValidationError(f"{fault.field}: {fault.message}") from fault
        return rules


def units_in(shop: Shop) -> dict[str, str]:
    """Find the units of bare numbers in a shop's settings: those it has when the page is opened.

    Parameters
    ----------
    shop
        As it is stored, before a form changes it.

    Returns
    -------
    dict of str
        By the kind of field's base: a unit of length, and one of weight.
    """
    return {MeasureField.base: shop.length_unit, WeightField.base: shop.weight_unit}


def use_units(form: Any, known: Mapping[str, Any], units: Mapping[str, str] | None = None) -> None:
    """Have a form's lengths and weights read in the shop's units."""
    units = units or units_in(form.instance)
    for name, field in form.fields.items():
        if isinstance(field, MeasureField):
            field.use(units[field.base], known.get(name))
        elif isinstance(field, CurveField | CubicPriceField):
            field.use(units[MeasureField.base])


class BandForm(forms.Form):
    """The rules that go by the heaviest head, for one band of head weights. A band left empty is dropped."""

    to_g = WeightField(label=gettext_lazy("Head up to"), required=False)

    def __init__(self, *args: Any, units: Mapping[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in adapter.BY_HEAD:
            self.fields[name] = rule_field(name, units[MeasureField.base], required=False)
        use_units(self, self.initial, units)

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if not self.errors and any(cleaned.get(name) is not None for name in ("to_g", *adapter.BY_HEAD)):
            for name in adapter.BY_HEAD_USUALLY:
                if cleaned.get(name) is None:
                    self.add_error(name, _("%(field)s is missing.") % {"field": self.fields[name].label})
        return cleaned

    @property
    def band(self) -> dict[str, Any] | None:
        """The band as the planning rules have it, or None for an empty one."""
        rules = {name: value for name in adapter.BY_HEAD if (value := self.cleaned_data.get(name)) is not None}
        to_g = self.cleaned_data.get("to_g")
        return {"to_g": to_g, **rules} if rules or to_g is not None else None


BandFormSet = forms.formset_factory(BandForm, extra=1, max_num=8)


class SettingsForm(StoresChanges, forms.ModelForm):
    """The shop's settings as its owner types them, its planning rules field by field."""

    country = CountryField()
    foam_fit_mm = MeasureField(
        label=gettext_lazy("Room cut around a part on each side"), help_text=gettext_lazy("0: snug, for soft foam.")
    )
    foam_density_kg_m3 = CommaDecimalField(
        label=gettext_lazy("Foam density, kg/m³"), min_value=5, max_value=300, max_digits=6, decimal_places=2
    )
    hour_price = CommaDecimalField(
        label=gettext_lazy("An hour of work costs"),
        required=False,
        min_value=0,
        max_digits=10,
        decimal_places=2,
        help_text=gettext_lazy("In the shop’s currency. Empty: not known, and said so."),
    )
    fastener_price = CommaDecimalField(
        label=gettext_lazy("A screw or nail costs"),
        required=False,
        min_value=0,
        max_digits=10,
        decimal_places=4,
        help_text=gettext_lazy("In the shop’s currency. Empty: not known, and said so."),
    )

    foam_price_m3 = CubicPriceField(
        required=False,
        help_text=gettext_lazy(
            "In the shop’s currency. Sheets in stock that have a price of their own go by that. Empty: not known, and "
            "said so."
        ),
    )

    printed_bar_mm = CommaDecimalField(
        label=gettext_lazy("A bar of 100 mm measures on our prints, mm"),
        min_value=90,
        max_value=110,
        max_digits=5,
        decimal_places=2,
        help_text=gettext_lazy(
            "Measure the bar on a page of rods. What the printer is out by is taken out of rods and templates; "
            "100 after that: it prints true."
        ),
    )
    billed_price = CommaDecimalField(
        label=gettext_lazy("Billed weight is worth"),
        required=False,
        min_value=0,
        max_digits=10,
        decimal_places=4,
        help_text=gettext_lazy(
            "What one more pound or kilogram on the carrier’s bill costs you on the whole, in the shop’s currency, "
            "such as 1.20 a pound. Boxes are then chosen by money: billed weight, material and work together. Empty: "
            "by the bill alone."
        ),
    )
    billed_price_unit = forms.ChoiceField(label=gettext_lazy("That is by the"), choices=BilledUnit.choices)
    billed_minutes = CommaDecimalField(
        label=gettext_lazy("Minutes of work that billed weight is worth"),
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=2,
        help_text=gettext_lazy(
            "By the same pound or kilogram. It counts where billed weight or an hour has no price: no box is then half "
            "an hour more work to save a pound. What new shops start with is an estimate. Empty: the bill decides."
        ),
    )

    foam_least_kpa = CommaDecimalField(
        label=gettext_lazy("Foam is meant for pressures from, kPa"),
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=2,
        help_text=gettext_lazy("From its maker’s curve; 1 psi is 6.89 kPa. Empty: not known."),
    )
    foam_most_kpa = CommaDecimalField(
        label=gettext_lazy("Foam is meant for pressures to, kPa"),
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=2,
        help_text=gettext_lazy("Plans say where a tool presses it with more."),
    )

    foam_snug_mm = CommaDecimalField(
        label=gettext_lazy("Room cut around an outline on each side, mm"),
        min_value=-3,
        max_value=10,
        max_digits=4,
        decimal_places=2,
        help_text=gettext_lazy("Below 0: soft foam holds the part. Wood has to let it in: some 1.5."),
    )
    foam_curve = CurveField(required=False)
    foam_sureness = forms.ChoiceField(
        label=gettext_lazy("How sure the foam’s values are"), choices=EvidenceLevel.choices
    )

    feet = forms.BooleanField(
        label=gettext_lazy("Feet under wooden boxes"),
        required=False,
        help_text=gettext_lazy(
            "Two under boxes of boards and of plywood, so that fingers go under them; the box is higher by them."
        ),
    )
    rope_handles = forms.BooleanField(
        label=gettext_lazy("Rope handles on wooden boxes"),
        required=False,
        help_text=gettext_lazy("Two on boxes of boards and of plywood; a carrier may charge handling for them."),
    )

    also_stored = ("plan_rules",)

    class Meta:
        model = Shop
        fields = FIELDS

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        usual = adapter.rules_content(adapter.Rules())
        for name in adapter.EVERY_ORDER:
            self.fields[name] = rule_field(name, self.instance.length_unit)
            self.fields[name].initial = self.instance.plan_rules.get(name, usual.get(name))
        self.initial["foam_fit_mm"] = float(self.instance.foam_fit_mm)
        use_units(self, {**self.initial, **{name: self.fields[name].initial for name in adapter.EVERY_ORDER}})
        self.fields["address"].widget.attrs["rows"] = 3
        self.fields["currency"].widget.attrs["class"] = "short"
        take_services(self)
        boards = [("", _("the usual board for the weight")), *((name, name) for name in self._boards())]
        if self.instance.board and self.instance.board not in self._boards():
            boards.append((self.instance.board, self.instance.board))
        self.fields["board"] = forms.ChoiceField(label=_("Board"), choices=boards, required=False)

    def _boards(self) -> list[str]:
        """The names of the boards in stock; none where every one is out of stock."""
        try:
            return list(adapter.boards_of(self.instance))
        except adapter.BadInput:
            return []

    def clean_foam_most_kpa(self) -> Decimal | None:
        least, most = self.cleaned_data.get("foam_least_kpa"), self.cleaned_data["foam_most_kpa"]
        if least is not None and most is not None and most <= least:
            raise ValidationError(
                _("Foam is meant for pressures to: must be more than %(least)s kPa, not %(most)s kPa.")
                % {"least": least, "most": most}
            )
        return cast("Decimal | None", most)

    def clean_board(self) -> str:
        board: str = self.cleaned_data["board"]
        if board and board not in self._boards():
            raise ValidationError(_("Board: “%(name)s” is not a board known here.") % {"name": board})
        return board

    def rule_fields(self) -> list[forms.BoundField]:
        """The rules of every order, for the template; the stock sheets stand with the foam."""
        return [self[name] for name in adapter.EVERY_ORDER if name not in BESIDE_THE_FOAM]

    def bands(self) -> list[dict[str, Any]]:
        """The bands as stored, with what holds for a rule that one leaves out."""
        bands: list[dict[str, Any]] = self.instance.plan_rules.get("by_head", [])
        return [{**adapter.BY_HEAD_USUALLY, **band} for band in bands]

    def take_bands(self, bands: Any) -> bool:
        """Put the planning rules together and check them; False, with a sentence at the fault, where they are bad."""
        kept = [form.band for form in bands if form.band is not None]
        rules = json.loads(json.dumps(self.instance.plan_rules))
        rules |= {name: self.cleaned_data[name] for name in WHOLE_ORDER} | {"by_head": kept}
        for name in SWITCHED:
            rules.pop(name, None)
            if self.cleaned_data[name] not in EMPTY_VALUES:
                rules[name] = self.cleaned_data[name]
        try:
            adapter.check_plan_rules(rules)
        except adapter.BadInput as fault:
            name = fault.field.rpartition(".")[2].partition("[")[0]
            at = name if name in adapter.EVERY_ORDER else None
            self.add_error(at, f"{fault.field}: {fault.message}")
            return False
        self.instance.plan_rules = rules
        return True

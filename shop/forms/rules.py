"""Form fields of the planning rules, made from the table of rules."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.adapter import RULES, STEPS, RuleKind
from shop.forms.fields import MeasureField, ThicknessesField, WeightField
from shop.models import LengthUnit


class FlagField(forms.TypedChoiceField):
    """Yes, no, or nothing said."""

    def __init__(self, **kwargs: Any) -> None:
        words = [("", gettext_lazy("as usual")), ("True", gettext_lazy("yes")), ("False", gettext_lazy("no"))]
        super().__init__(choices=words, coerce=lambda text: text == str(True), empty_value=None, **kwargs)


class StepField(forms.ChoiceField):
    """A step that sizes are rounded up to, or nothing."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(choices=[("", gettext_lazy("any size")), *((step, step) for step in STEPS)], **kwargs)


FIELDS: dict[RuleKind, Callable[..., forms.Field]] = {
    RuleKind.LENGTH: MeasureField,
    RuleKind.THICKNESSES: ThicknessesField,
    RuleKind.SIZE: ThicknessesField,
    RuleKind.WEIGHT: WeightField,
    RuleKind.FLAG: FlagField,
    RuleKind.STEP: StepField,
}


def rule_field(name: str, unit: str, *, required: bool = True) -> forms.Field:
    """The field of a rule, with examples in a unit of length; one that is off unless said may be left empty."""
    rule = RULES[name]
    example = rule.example_in if unit == LengthUnit.INCH else rule.example_mm
    return FIELDS[rule.kind](
        label=capfirst(_(rule.label)),
        help_text=_(rule.help) % {"example": example} if rule.help else "",
        required=required and not rule.optional,
    )

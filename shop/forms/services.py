"""The fields of the carrier's services that boxes are chosen by."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.countries import is_country
from shop.models import RateRule, Reach, Shop

HOME_WORDS: dict[str, Any] = {
    "label": gettext_lazy("Choose boxes by the bill of"),
    "empty_label": gettext_lazy("no carrier: the smallest box"),
    "help_text": gettext_lazy("The least billed weight, then the least work, marked cheeks up, the least volume."),
}


ABROAD_WORDS: dict[str, Any] = {
    "label": gettext_lazy("Choose boxes that go abroad by the bill of"),
    "empty_label": gettext_lazy("the same where it goes there, else the smallest box"),
    "help_text": gettext_lazy("A service is used only for the countries it goes to."),
}


class ServiceField(forms.ModelChoiceField):
    """The carrier's service that boxes are chosen by: the shop's rules in force today, and the one already chosen."""

    def __init__(self, *, shop: Shop, country: str, abroad: bool = False) -> None:
        today = timezone.localdate(timezone=ZoneInfo(shop.timezone))
        chosen = adapter.pricing_rule(shop, abroad=abroad) if shop.pk else None
        known = RateRule.objects.filter(shop=shop.pk)
        reach = Reach.ABROAD if abroad else Reach.HOME
        here = Q(sent_from="") | Q(sent_from__contains=country)
        there = known.valid_on(today).filter(here, reach__in=[reach, Reach.ANYWHERE])
        words = ABROAD_WORDS if abroad else HOME_WORDS
        super().__init__(
            queryset=there | known.filter(pk__in=[] if chosen is None else [chosen.pk]), required=False, **words
        )
        self.initial = None if chosen is None else chosen.pk

    def label_from_instance(self, rule: Any) -> str:
        return f"{rule.carrier}: {rule.service}"


def take_services(form: forms.ModelForm[Shop]) -> None:
    """Give a form of the shop its fields of services: those that take parcels in where the shop is."""
    typed = str(form["country"].value() or "")
    # What is typed is not read yet: a text that is no country never comes near the database.
    country = typed if is_country(typed) else form.instance.country
    for name, abroad in (("priced_by", False), ("priced_abroad_by", True)):
        field = ServiceField(shop=form.instance, country=country, abroad=abroad)
        form.fields[name], form.initial[name] = field, field.initial

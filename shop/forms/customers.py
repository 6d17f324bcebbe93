"""The form of a customer: name, address, how to reach them, and the units of what is printed for them."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.countries import CountryField
from shop.forms.fields import Cleaned, StoresChanges
from shop.models import Customer, Shop


class CustomerForm(StoresChanges, forms.ModelForm):
    """A customer of one shop, new or known; a second one of the same name, country and address is refused."""

    country = CountryField()

    class Meta:
        model = Customer
        fields = ["name", "country", "address", "email", "phone", "length_unit", "weight_unit"]
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        error_messages = {"email": {"invalid": gettext_lazy("This is not an e-mail address, such as a@example.org.")}}
        help_texts = {"length_unit": gettext_lazy("On papers for the customer."), "weight_unit": ""}

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.shop = shop
        for field in self.fields.values():
            field.error_messages["required"] = _("%(field)s is needed.") % {"field": field.label}

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        named = [str(cleaned.get(name) or "") for name in ("name", "country", "address")]
        if is_known(self.instance.shop, *named, other_than=self.instance.pk or 0):
            sentence = _("%(name)s is a customer already, in the same place: give another address.")
            self.add_error("name", sentence % {"name": cleaned["name"]})
        return cleaned


def is_known(shop: Shop, name: str, country: str, address: str, *, other_than: int = 0) -> bool:
    """Tell whether a customer of the shop has this name and country, and the address given, if one is."""
    if not name:
        return False
    alike = Customer.objects.filter(shop=shop, name__iexact=name, country=country).exclude(pk=other_than)
    where = address.split()
    return any(not where or customer.address.split() == where for customer in alike)

"""The form that asks which orders the bookkeeper wants to see: of which days, and of whom."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.forms.fields import Cleaned, DayField

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class AccountsForm(forms.Form):
    """Days on which orders were taken, first and last included; all where left empty."""

    first = DayField(label=gettext_lazy("From"), required=False, widget=DAY)
    last = DayField(label=gettext_lazy("To"), required=False, widget=DAY)
    customer = forms.CharField(label=gettext_lazy("Customer"), required=False, max_length=80)

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        first, last = cleaned.get("first"), cleaned.get("last")
        if first is not None and last is not None and last < first:
            self.add_error("last", _("%(last)s is before %(first)s.") % {"last": last, "first": first})
        return cleaned

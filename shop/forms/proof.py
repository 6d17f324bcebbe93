"""Forms of a parcel that was sent: its record, and the receipts and photographs kept with it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.forms.fields import Cleaned, CommaDecimalField, DayField, StoresChanges
from shop.models import Parcel, ProofKind, RateRule, SentRecord
from shop.services.proof import MOST_BYTES, ProofRefused, media_of
from shop.services.shops import today

AMOUNTS = ("paid", "declared", "cover")


class SentForm(StoresChanges, forms.ModelForm):
    """The record of a parcel that was sent. A tracking number whose check digit is wrong is asked about."""

    confirmed = forms.BooleanField(required=False, label=gettext_lazy("The number is as it stands on the receipt"))

    class Meta:
        model = SentRecord
        fields = (
            "carrier",
            "service",
            "tracking",
            "handed_over_on",
            "paid",
            "declared",
            "cover",
            "currency",
            "signature",
            "claim_by",
            "note",
        )
        field_classes = {"handed_over_on": DayField, "claim_by": DayField}
        widgets = {
            "carrier": forms.TextInput(attrs={"list": "carriers", "autocomplete": "off"}),
            "service": forms.TextInput(attrs={"list": "services", "autocomplete": "off"}),
            "tracking": forms.TextInput(attrs={"autocomplete": "off"}),
            "handed_over_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "claim_by": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "note": forms.Textarea(attrs={"rows": 2}),
        }

    def __init__(self, data: Any = None, *, parcel: Parcel) -> None:
        kept = SentRecord.objects.filter(parcel=parcel).first()
        instance = kept or SentRecord(
            parcel=parcel, shop_id=parcel.shop_id, handed_over_on=today(parcel.shop), currency=parcel.shop.currency
        )
        super().__init__(data, instance=instance)
        for name in AMOUNTS:
            column = self.fields[name]
            self.fields[name] = CommaDecimalField(
                label=column.label, required=False, min_value=0, max_digits=12, decimal_places=4
            )
        rules = RateRule.objects.filter(shop=parcel.shop_id)
        self.carriers = sorted({rule.carrier for rule in rules})
        self.services = sorted({rule.service for rule in rules})
        self.asked = False
        self.fields["claim_by"].help_text = _("Left empty, the carrier’s published time counts where it is known.")

    def clean_tracking(self) -> str:
        """Refuse letters and figures that no label bears, such as those of full width."""
        tracking: str = self.cleaned_data["tracking"]
        strange = sorted({sign for sign in tracking if sign.isalnum() and not sign.isascii()})
        if strange:
            sentence = _(
                "Tracking numbers are of the letters A to Z and the figures 0 to 9; “%(number)s” has %(signs)s."
            )
            raise forms.ValidationError(sentence % {"number": tracking, "signs": ", ".join(strange)})
        return tracking

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        tracking = cleaned.get("tracking") or ""
        self.asked = adapter.mistyped_number(tracking)
        if self.asked and not cleaned.get("confirmed"):
            self.add_error(
                "tracking",
                _("The last figure of “%(number)s” is not the check digit of the rest.") % {"number": tracking},
            )
        handed, until = cleaned.get("handed_over_on"), cleaned.get("claim_by")
        if handed and until and until < handed:
            self.add_error("claim_by", _("Claims end after the parcel was handed over, not before."))
        if handed and not until:
            cleaned["claim_by"] = adapter.claim_deadline(cleaned.get("carrier") or "", handed)
        return cleaned


class ProofForm(forms.Form):
    """A receipt or a photograph; what it is is told by its content."""

    file = forms.FileField(
        label=gettext_lazy("Receipt or photograph"),
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,application/pdf"}),
    )
    kind = forms.ChoiceField(label=gettext_lazy("Of"), choices=ProofKind.choices)
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)

    def clean_file(self) -> bytes:
        sent = self.cleaned_data["file"]
        if sent.size > MOST_BYTES:
            named = {"size": f"{sent.size / 2**20:.1f}", "most": MOST_BYTES // 2**20}
            raise forms.ValidationError(_("The file has %(size)s MB; at most %(most)d MB are kept.") % named)
        data = bytes(sent.read())
        try:
            media_of(data)
        except ProofRefused as refused:
            raise forms.ValidationError(str(refused)) from refused
        return data

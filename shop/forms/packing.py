"""Packing by number: the form that holds what is stamped on each tool against the plan."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.forms.fields import Cleaned
from shop.forms.stamps import CODE_AND_NUMBER, NUMBER, Stamp, StampField, what_it_is, where_it_is
from shop.models import BoxPlan, Piece

ASKED_AGAIN = ("slip",)
"""Said where a tick was for another plan: it does not count for this one."""


class PackForm(forms.Form):
    """Packing by number: what is stamped on each tool is typed as it goes into its pocket and held against the plan.

    It is of one plan: where the box has been planned again since the screen was shown, nothing is packed.
    """

    plan = forms.CharField(required=False, widget=forms.HiddenInput)
    slip = forms.BooleanField(
        error_messages={"required": gettext_lazy("Look at the packing slip: it has to be of this order and plan.")}
    )

    def __init__(self, *args: Any, plan: BoxPlan, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.packed_plan = plan
        said = _("The packing slip that goes in says order %(number)d, %(customer)s, plan %(plan)s")
        if plan.parcel_count > 1:
            said = _(
                "The packing slip that goes in says order %(number)d, parcel %(parcel)d of %(of)d, %(customer)s, plan "
                "%(plan)s"
            )
        self.fields["slip"].label = said % {
            "number": plan.order.number,
            "parcel": plan.parcel_number,
            "of": plan.parcel_count,
            "customer": plan.order.customer.name,
            "plan": plan.code,
        }
        # What is lifted out last goes in first.
        self.items = sorted(adapter.plan_of(plan).items, key=lambda item: -item.lift_order)
        self.sources = adapter.sources_of(plan)
        self.letters = {item.id: item.letter for item in self.items}
        for item in self.items:
            self.fields[self.name_of(item)] = self._field(self.sources[item.id])

    def name_of(self, item: adapter.ItemPlan) -> str:
        """The name of an item's field."""
        return f"item-{item.letter}"

    def _field(self, source: adapter.ItemSource) -> forms.Field:
        if not source.is_piece:
            return forms.BooleanField(
                label=_("%(name)s is in") % {"name": source.name},
                error_messages={"required": _("Tick %(name)s once it is in the box.") % {"name": source.name}},
            )
        return StampField(
            label=f"{source.code} {source.name}",
            widget=forms.TextInput(attrs=CODE_AND_NUMBER if self._shared(source.number) else NUMBER),
            error_messages={"required": _("Type the number stamped on the tool that goes into this pocket.")},
        )

    @property
    def alike(self) -> bool:
        """True where several pieces of the box bear the same number, so that a number alone tells nothing."""
        return any(self._shared(source.number) for source in self.sources.values() if source.is_piece)

    def _shared(self, number: int | None) -> bool:
        return sum(source.is_piece and source.number == number for source in self.sources.values()) > 1

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if cleaned.get("plan") != str(self.packed_plan.pk):
            self.data = {name: value for name, value in self.data.items() if name not in ASKED_AGAIN}
            self.add_error(None, _("The box was planned again since this page was opened: see which box it is."))
        for item in self.items:
            source, name = self.sources[item.id], self.name_of(item)
            stamp = cleaned.get(name)
            if source.is_piece and stamp is not None:
                refusal = self._refusal(source, stamp)
                if refusal:
                    self.add_error(name, refusal)
        return cleaned

    def _refusal(self, source: adapter.ItemSource, stamp: Stamp) -> str:
        """Say why the tool with this stamp is not the one that a pocket is for; empty where it is."""
        if not stamp.code and self._shared(stamp.number):
            return _(
                "Several tools of this box bear number %(number)d: type or scan the code on this tool as well, code "
                "and number."
            ) % {"number": stamp.number}
        if not stamp.is_of(source.code):
            both = {
                "it": what_it_is(self.packed_plan.shop, stamp),
                "label": Stamp(source.code, source.number or 0).label,
                "wanted": f"{source.code} {source.name}",
                "where": self._pocket_of(stamp.code, stamp.number) or self._whose(stamp.code, stamp.number),
            }
            return _("%(it)s; this pocket is for %(label)s, %(wanted)s. %(where)s") % both
        if stamp.number == source.number:
            return ""
        letter = self._letter_of(source.code, stamp.number)
        named: dict[str, Any] = {"code": source.code, "typed": stamp.number, "letter": letter}
        if letter:
            return _("%(code)s number %(typed)d goes into pocket %(letter)s, not here.") % named
        named["where"] = self._whose(source.code, stamp.number)
        sentence = _("%(code)s number %(typed)d is not for this box. %(where)s") % named
        others = {other.code for other in self.sources.values() if other.is_piece} - {source.code}
        looked = [self._pocket_of(code, stamp.number) for code in sorted(others)]
        return " ".join([sentence, *(pocket for pocket in looked if pocket)])

    def _letter_of(self, code: str, number: int) -> str:
        """The letter of the pocket that a piece of this plan goes into; empty where it is not of this plan."""
        for item, source in self.sources.items():
            if source.is_piece and (source.code, source.number) == (code, number):
                return str(self.letters[item])
        return ""

    def _pocket_of(self, code: str, number: int) -> str:
        """The place of a piece of this plan, in a sentence; empty where it is not of this plan."""
        letter = self._letter_of(code, number)
        named = {"label": Stamp(code, number).label, "letter": letter}
        return _("%(label)s goes into pocket %(letter)s.") % named if letter else ""

    def _whose(self, code: str, number: int) -> str:
        shop = self.packed_plan.shop_id
        piece = Piece.objects.select_related("product").filter(product__shop=shop, product__code=code, number=number)
        return where_it_is(found) if (found := piece.first()) else _("There is no such number on record.")

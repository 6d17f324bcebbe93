"""The owner's admin of what is made: steel, series, patterns, products, pieces, sets."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shop import adapter
from shop.admin.base import (
    NoDeleteAdmin,
    OwnRowsOnly,
    ShopScopedAdmin,
)
from shop.models import (
    SHAPE_COLUMNS,
    Lot,
    Pattern,
    Piece,
    Product,
    ProductSet,
    Reading,
    Series,
    SetMember,
)


class ReasonedPieceForm(forms.ModelForm):
    """A piece's papers name, state and reason; its measures are taken at the bench."""

    class Meta:
        model = Piece
        fields = ["product", "number", "state", "reason", "packed_name", "edge_guard_on", "mark"]


class SetMemberInline(OwnRowsOnly, admin.TabularInline):
    model = SetMember
    extra = 0
    fields = ["product"]


class ReadingInline(OwnRowsOnly, admin.TabularInline):
    model = Reading
    extra = 0
    fields = ["place", "scale", "value", "when", "tested_at", "by"]


@admin.register(Lot)
class LotAdmin(ShopScopedAdmin):
    list_display = ["name", "received_on", "received_kg", "left_kg"]


@admin.register(Series)
class SeriesAdmin(ShopScopedAdmin):
    list_display = ["name", "lot", "opened_on", "closed_on", "reopened_on"]


class PatternForm(forms.ModelForm):
    """A pattern, the measures of its shape and a traced outline checked by the adapter."""

    outline_file = forms.FileField(
        label=_("traced outline"),
        required=False,
        help_text=_(
            "SVG or DXF: a closed figure of the head and one of the handle, seen on the cheek, x along the handle from "
            "the crown, y from the face or poll. It is scaled to each piece and stands instead of the measures above."
        ),
    )
    drop_outline = forms.BooleanField(label=_("take the traced outline away"), required=False)

    class Meta:
        model = Pattern
        fields = ["shop", "name", "form", "sharp", "may_stand", "head_material", *SHAPE_COLUMNS]

    def clean_outline_file(self) -> Any:
        """Read the file at once, so that what is wrong with it is said beside it."""
        given = self.cleaned_data["outline_file"]
        if given is None:
            return None
        try:
            return adapter.traced_from(given.name, given.read())
        except adapter.BadInput as fault:
            raise forms.ValidationError(str(fault.message)) from None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors:
            try:
                shown = {name: cleaned[name] for name in ("form", "head_material", *SHAPE_COLUMNS)}
                adapter.check_shape(Pattern(**shown))
            except adapter.BadInput as fault:
                self.add_error(fault.field if fault.field in self.fields else None, str(fault.message))
        return cleaned


@admin.register(Pattern)
class PatternAdmin(ShopScopedAdmin):
    form = PatternForm
    list_display = ["name", "form", "sharp", "may_stand", "head_material"]
    list_filter = ["form"]

    def save_model(self, request: HttpRequest, obj: Pattern, form: Any, change: bool) -> None:
        """Keep the traced outline beside what else was changed: its file is no column."""
        super().save_model(request, obj, form, change)
        if form.cleaned_data["outline_file"] or form.cleaned_data["drop_outline"]:
            obj.traced = form.cleaned_data["outline_file"]
            obj.save(update_fields=["traced"])


@admin.register(Product)
class ProductAdmin(ShopScopedAdmin):
    list_display = ["code", "name", "series", "pattern", "head_weight_g"]
    list_filter = ["series"]


@admin.register(Piece)
class PieceAdmin(NoDeleteAdmin):
    form = ReasonedPieceForm
    list_display = ["label", "state", "weight_g", "measured_at", "reason"]
    list_filter = ["state", "product"]
    list_select_related = ["product"]
    search_fields = ["product__code", "=number"]
    inlines = [ReadingInline]

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> list[str]:
        """A number, once given, stays; a state that an order holds is changed in the order."""
        return ["product", "number", "state"] if obj is not None else ["state"]


@admin.register(ProductSet)
class ProductSetAdmin(ShopScopedAdmin):
    list_display = ["name", "series", "full"]
    inlines = [SetMemberInline]

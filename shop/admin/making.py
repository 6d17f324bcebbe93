"""The owner's admin of what is made: steel, series, patterns, products, pieces, sets."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.http import HttpRequest

from shop.admin.base import (
    NoDeleteAdmin,
    OwnRowsOnly,
    ShopScopedAdmin,
)
from shop.forms.records import ChecksShape
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


class PatternForm(ChecksShape):
    """A pattern; a traced outline is read on its own screen."""

    class Meta:
        model = Pattern
        fields = ["shop", "name", "form", "sharp", "may_stand", "head_material", *SHAPE_COLUMNS]


@admin.register(Pattern)
class PatternAdmin(ShopScopedAdmin):
    form = PatternForm
    list_display = ["name", "form", "sharp", "may_stand", "head_material"]
    list_filter = ["form"]


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

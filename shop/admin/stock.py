"""The owner's admin of stock and rules: carriers, cartons, boards, wood, hardware, times, board grades."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.http import HttpRequest
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.admin.base import (
    ReadOnly,
    ShopScopedAdmin,
)
from shop.formatting import Units, Wording
from shop.models import (
    AllowanceRow,
    BoardRow,
    Carton,
    CutTogether,
    FastenerRow,
    GradeRule,
    LabourTime,
    PriceTable,
    RateRule,
    SheetRow,
    StockMove,
    StockTaking,
    WoodRow,
)


class RateRuleForm(forms.ModelForm):
    """A carrier's rule, read by the adapter."""

    class Meta:
        model = RateRule
        fields = ["shop", *adapter.RATE_COLUMNS]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors:
            try:
                adapter.check_rate_rule(cleaned)
            except adapter.BadInput as fault:
                field = fault.field.partition("[")[0]
                self.add_error(field if field in self.fields else None, str(fault))
        return cleaned


@admin.register(RateRule)
class RateRuleAdmin(ShopScopedAdmin):
    form = RateRuleForm
    list_display = ["carrier", "service", "valid_from", "valid_to", "system", "divisor", "side_rounding", "sureness"]
    list_filter = ["carrier"]


@admin.register(PriceTable)
class PriceTableAdmin(ShopScopedAdmin):
    """Prices come from files; here a table is ended, said more of, or struck off."""

    list_display = ["carrier", "service", "valid_from", "valid_to", "currency", "sureness", "as_of"]
    list_filter = ["carrier"]
    fields = ["valid_to", "source", "sureness", "as_of", "note"]

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False


@admin.register(Carton)
class CartonAdmin(ShopScopedAdmin):
    list_display = ["name", "length", "width", "height", "board", "count"]
    search_fields = ["name"]


@admin.register(BoardRow)
class BoardRowAdmin(ShopScopedAdmin):
    list_display = ["name", "grade", "flute", "caliper_mm", "grammage_g_m2", "price_m2", "cut_by", "in_stock"]
    list_filter = ["in_stock"]
    search_fields = ["name"]


@admin.register(WoodRow)
class WoodRowAdmin(ShopScopedAdmin):
    list_display = ["name", "nominal", "thickness_mm", "width_mm", "length_mm", "price", "per", "in_stock"]
    list_filter = ["processed", "in_stock"]
    search_fields = ["name"]


@admin.register(SheetRow)
class SheetRowAdmin(ShopScopedAdmin):
    list_display = ["material", "label", "nominal_mm", "thickness_mm", "length_mm", "width_mm", "count", "offcut"]
    list_filter = ["offcut", "material"]
    search_fields = ["material", "label"]


@admin.register(StockTaking)
class StockTakingAdmin(ReadOnly):
    list_display = ["order", "plan", "taken_at", "taken_by", "given_back_at", "given_back_by"]


@admin.register(CutTogether)
class CutTogetherAdmin(ReadOnly):
    list_display = ["at", "parcel_names"]


@admin.register(StockMove)
class StockMoveAdmin(ReadOnly):
    list_display = ["taking", "sheet", "change", "at"]


@admin.register(FastenerRow)
class FastenerRowAdmin(ShopScopedAdmin):
    list_display = ["name", "kind", "diameter_mm", "length_mm", "each_g", "in_stock"]
    list_filter = ["kind", "in_stock"]


@admin.register(LabourTime)
class LabourTimeAdmin(ShopScopedAdmin):
    list_display = ["what", "called", "minutes", "source"]
    search_fields = ["what"]

    @admin.display(description=gettext_lazy("time for"))
    def called(self, row: LabourTime) -> str:
        """The work that the minutes are for, in words."""
        return Wording(Units()).message(adapter.work_called(row.what))


@admin.register(AllowanceRow)
class AllowanceRowAdmin(ShopScopedAdmin):
    list_display = ["flute", "caliper_mm", "panel_mm", "layer_mm", "sureness"]


class GradeRuleForm(forms.ModelForm):
    """A line of a rule for board grades, read by the adapter together with the shop's other lines."""

    class Meta:
        model = GradeRule
        fields = ["shop", *adapter.GRADE_COLUMNS]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors:
            others = GradeRule.objects.filter(shop=cleaned["shop"]).exclude(pk=self.instance.pk)
            try:
                adapter.check_grade_rule(cleaned, others)
            except adapter.BadInput as fault:
                self.add_error(fault.field if fault.field in self.fields else None, str(fault))
        return cleaned


@admin.register(GradeRule)
class GradeRuleAdmin(ShopScopedAdmin):
    form = GradeRuleForm
    list_display = ["kind", "wall", "easy_lb", "weight_lb", "size_in", "burst_psi", "up_to", "factor", "sureness"]
    list_filter = ["kind"]

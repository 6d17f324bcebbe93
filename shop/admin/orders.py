"""The owner's admin of orders and what came of them; plans, papers, jobs and records are only read."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from shop.admin.base import (
    NoDeleteAdmin,
    OwnRowsOnly,
    ReadOnly,
    ShopScopedAdmin,
)
from shop.models import (
    Allocation,
    AuditEntry,
    Block,
    BoxPlan,
    Consignment,
    Document,
    Job,
    KnownAnswer,
    Offer,
    Order,
    OrderEvent,
    OrderLine,
    PackedOffers,
    Parcel,
    ProofFile,
    Quote,
    QuoteLine,
    SentRecord,
    WeighIn,
)


class OrderLineInline(OwnRowsOnly, admin.TabularInline):
    """Lines of an order; they are changed while it is open, and taken off on its own screen."""

    model = OrderLine
    extra = 0
    can_delete = False

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return (obj is None or obj.is_open) and super().has_add_permission(request, obj)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return (obj is None or obj.is_open) and super().has_change_permission(request, obj)

    fields = ["product", "product_set", "block", "quantity", "matched", "unit_price", "currency"]


@admin.register(Block)
class BlockAdmin(ShopScopedAdmin):
    list_display = ["name", "length", "width", "height", "weight_g", "upright"]


@admin.register(Order)
class OrderAdmin(NoDeleteAdmin):
    list_display = ["number", "customer", "state", "placed_at"]
    list_filter = ["state"]
    list_select_related = ["customer"]
    inlines = [OrderLineInline]

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> list[str]:
        """Keep contents and receiver of a closed box as they are."""
        closed = obj is not None and not obj.is_open
        return ["state", "consignment", *(["customer", "number", "placed_at"] if closed else [])]


class QuoteLineInline(OwnRowsOnly, admin.TabularInline):
    """Lines of a quote, as the customer was told them."""

    model = QuoteLine
    extra = 0
    fields = ["product", "product_set", "block", "piece", "quantity", "matched"]


@admin.register(Quote)
class QuoteAdmin(ReadOnly):
    list_display = ["number", "country", "postcode", "made_at", "good_until", "order"]
    inlines = [QuoteLineInline]


@admin.register(KnownAnswer)
class KnownAnswerAdmin(ReadOnly):
    list_display = ["pk", "key", "code_state"]


@admin.register(Allocation)
class AllocationAdmin(ReadOnly):
    list_display = ["piece", "line", "made_at", "released_at", "released_why"]


@admin.register(OrderEvent)
class OrderEventAdmin(ReadOnly):
    list_display = ["order", "piece", "kind", "why", "at", "by"]
    list_filter = ["kind"]


@admin.register(BoxPlan)
class BoxPlanAdmin(ReadOnly):
    list_display = ["pk", "order", "created", "code_version", "input_hash"]


@admin.register(Offer)
class OfferAdmin(ReadOnly):
    list_display = ["plan", "place", "beside"]


@admin.register(PackedOffers)
class PackedOffersAdmin(ReadOnly):
    list_display = ("plan",)


@admin.register(Consignment)
class ConsignmentAdmin(ReadOnly):
    list_display = ["order", "created"]


@admin.register(Parcel)
class ParcelAdmin(ReadOnly):
    list_display = ["order", "number", "state", "weighed_g", "weighed_at"]
    list_filter = ["state"]
    list_select_related = ["consignment__order__customer"]


@admin.register(WeighIn)
class WeighInAdmin(ReadOnly):
    list_display = ["parcel", "reading_g", "expected_g", "verdict", "at", "by"]
    list_filter = ["verdict"]


@admin.register(SentRecord)
class SentRecordAdmin(ReadOnly):
    list_display = ["parcel", "carrier", "service", "tracking", "handed_over_on", "paid", "currency"]
    list_filter = ["carrier"]


@admin.register(ProofFile)
class ProofFileAdmin(ReadOnly):
    list_display = ["parcel", "kind", "media", "size", "at", "by"]


@admin.register(Document)
class DocumentAdmin(ReadOnly):
    list_display = ["plan", "kind", "page_size", "pages", "created"]


@admin.register(Job)
class JobAdmin(ReadOnly):
    list_display = ["pk", "kind", "order", "state", "attempts", "created_at", "finished_at"]
    list_filter = ["state", "kind"]


@admin.register(AuditEntry)
class AuditEntryAdmin(ReadOnly):
    list_display = ["at", "by_name", "act", "kind", "name"]
    list_filter = ["kind", "act"]

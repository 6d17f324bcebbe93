"""Django's admin, for the owner. What is never changed or deleted cannot be changed or deleted here either."""

from __future__ import annotations

from functools import partial
from typing import Any

from django import forms
from django.contrib import admin, messages
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import UserChangeForm
from django.contrib.auth.models import Group
from django.db.models import DecimalField, Field, ForeignKey, IntegerField, Model, QuerySet
from django.http import HttpRequest
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop import adapter
from shop.countries import CountryField
from shop.forms import CommaDecimalField, ShopForm
from shop.forms.fields import DecimalMeasureField
from shop.models import (
    Allocation,
    AllowanceRow,
    AuditEntry,
    Block,
    BoardRow,
    BoxPlan,
    Carton,
    Customer,
    Document,
    FastenerRow,
    FirstOwnerLink,
    GradeRule,
    Job,
    LabourTime,
    LoginTries,
    Lot,
    Membership,
    Offer,
    Order,
    OrderEvent,
    OrderLine,
    Parcel,
    Pattern,
    Piece,
    Product,
    ProductSet,
    RateRule,
    Reading,
    Series,
    SetMember,
    Shop,
    ShopOwned,
    User,
    WoodRow,
)
from shop.services.errors import CannotLeave
from shop.services.members import refuse_no_owner

admin.site.unregister(Group)  # roles are memberships


ENDINGS = {"_mm": "mm", "_in": "in", "_g": "g", "_kg": "kg"}
SIZES = ("length", "width", "height")
"""Of blocks and cartons, in mm though their names do not say so."""


def column_unit(field: Field[Any, Any]) -> str:
    """The unit of a column that is a length or a weight; empty for any other number."""
    if field.name in SIZES:
        return "mm"
    return next((unit for ending, unit in ENDINGS.items() if field.name.endswith(ending)), "")


class ReadsNumbers:
    """Numbers are read as everywhere in the shop: decimal comma, units, fractions; what is none is refused in words.

    A browser's own number field swallows what it does not take for a number, so that 2 3/4 would become 234.
    """

    def formfield_for_dbfield(self, db_field: Field[Any, Any], request: HttpRequest, **kwargs: Any) -> Any:
        if isinstance(db_field, DecimalField):
            unit = column_unit(db_field)
            kwargs["form_class"] = partial(DecimalMeasureField, column_unit=unit) if unit else CommaDecimalField
            if unit and unit not in str(db_field.verbose_name):
                kwargs["label"] = f"{capfirst(str(db_field.verbose_name))}, {unit}"
            return db_field.formfield(**kwargs)
        if isinstance(db_field, IntegerField):
            return db_field.formfield(**{"widget": forms.TextInput(attrs={"inputmode": "numeric"}), **kwargs})
        return super().formfield_for_dbfield(db_field, request, **kwargs)  # type: ignore[misc]


class OwnRowsOnly(ReadsNumbers):
    """A field that points to rows offers those of the owner's shop, and takes no other."""

    def formfield_for_foreignkey(self, db_field: ForeignKey[Any, Any], request: HttpRequest, **kwargs: Any) -> Any:
        kwargs["queryset"] = _own(db_field.remote_field.model, request)
        return super().formfield_for_foreignkey(db_field, request, **kwargs)  # type: ignore[misc]


def _own(model: type[Model], request: HttpRequest) -> QuerySet[Any]:
    """The rows of the owner's shop; of the shops, that one; of the people, its members."""
    shop = request.user.owned_shop_id if isinstance(request.user, User) else None
    rows = model._default_manager.all()
    if issubclass(model, ShopOwned | AuditEntry):
        return rows.filter(shop=shop)
    if issubclass(model, Shop):
        return rows.filter(pk=shop)
    if issubclass(model, User):
        return rows.filter(memberships__shop=shop)
    return rows


class ShopScopedAdmin(OwnRowsOnly, admin.ModelAdmin):
    """Rows of the owner's shop: taken from the parent row where there is one, else the owner's own to begin with."""

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        return super().get_queryset(request).filter(pk__in=_own(self.model, request).values("pk"))

    def get_object(self, request: HttpRequest, object_id: str, from_field: str | None = None) -> Any:
        """Read the row; where it is about to be changed, hold it until it is."""
        found = super().get_object(request, object_id, from_field)
        if found is not None and request.method == "POST":
            self.model._default_manager.select_for_update().filter(pk=found.pk).first()
            found.refresh_from_db()
        return found

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: bool) -> None:
        """Store a new row; of a known one what was changed here, so that nothing else is put back to what it was."""
        for field in form.fields.values():
            if isinstance(field, DecimalMeasureField) and field.read_from is not None:
                typed, number = field.read_from
                named = {"field": field.label, "typed": typed, "number": f"{number.normalize():f}"}
                sentence = gettext("%(field)s: “%(typed)s” was read as %(number)s %(unit)s.")
                messages.info(request, sentence % {**named, "unit": field.column_unit})
        if not change:
            super().save_model(request, obj, form, change)
            return
        columns = {field.name for field in obj._meta.concrete_fields}
        changed = [name for name in form.changed_data if name in columns]
        if changed:
            obj.save(update_fields=changed)

    def get_exclude(self, request: HttpRequest, obj: Any = None) -> Any:
        return ["shop"] if getattr(self.model, "parent_field", None) else None

    def get_changeform_initial_data(self, request: HttpRequest) -> dict[str, Any]:
        shop = request.user.owned_shop_id if isinstance(request.user, User) else None
        return {"shop": shop, **super().get_changeform_initial_data(request)}


class NoDeleteAdmin(ShopScopedAdmin):
    """Rows that stay for good."""

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class ReadOnly(NoDeleteAdmin):
    """Rows that are made elsewhere and only looked at here."""

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class AdminShopForm(ShopForm):
    class Meta(ShopForm.Meta):
        fields = [*ShopForm.Meta.fields, "is_demo"]


class ReasonedPieceForm(forms.ModelForm):
    """A piece's papers name, state and reason; its measures are taken at the bench."""

    class Meta:
        model = Piece
        fields = ["product", "number", "state", "reason", "packed_name", "edge_guard_on", "mark"]


class SetMemberInline(OwnRowsOnly, admin.TabularInline):
    model = SetMember
    extra = 0
    fields = ["product"]


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


class ReadingInline(OwnRowsOnly, admin.TabularInline):
    model = Reading
    extra = 0
    fields = ["place", "scale", "value", "when", "tested_at", "by"]


class PersonForm(UserChangeForm):
    """A person; the only owner who can log in stays able to."""

    def clean_is_active(self) -> bool:
        active: bool = self.cleaned_data["is_active"]
        if not active:
            try:
                refuse_no_owner(self.instance)
            except CannotLeave as refusal:
                raise forms.ValidationError(str(refusal)) from refusal
        return active


@admin.register(User)
class PersonAdmin(NoDeleteAdmin, UserAdmin):
    """The members of the shop; people are let in, and given roles, on the settings screen."""

    form = PersonForm

    fieldsets = (
        (None, {"fields": ("username", "password")}),
        (_("Person"), {"fields": ("first_name", "last_name", "email", "is_active")}),
        (_("Units"), {"fields": ("length_unit", "weight_unit")}),
        (_("Dates"), {"fields": ("last_login", "date_joined")}),
    )
    list_display = ["username", "first_name", "last_name", "is_active", "last_login"]
    list_filter = ["is_active"]
    readonly_fields = ["last_login", "date_joined"]

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False


@admin.register(Shop)
class ShopAdmin(NoDeleteAdmin):
    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    form = AdminShopForm
    list_display = ["name", "country", "currency", "length_unit", "weight_unit", "paper", "is_demo"]


class CustomerInAdminForm(forms.ModelForm):
    country = CountryField()

    class Meta:
        model = Customer
        fields = ["shop", "name", "address", "country", "email", "phone", "length_unit", "weight_unit"]


@admin.register(Customer)
class CustomerAdmin(ShopScopedAdmin):
    form = CustomerInAdminForm
    list_display = ["name", "country", "email", "phone"]
    search_fields = ["name", "email"]


@admin.register(Lot)
class LotAdmin(ShopScopedAdmin):
    list_display = ["name", "received_on", "received_kg", "left_kg"]


@admin.register(Series)
class SeriesAdmin(ShopScopedAdmin):
    list_display = ["name", "lot", "opened_on", "closed_on", "reopened_on"]


@admin.register(Pattern)
class PatternAdmin(ShopScopedAdmin):
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
        """What a closed box holds and whom it is for stays as it is."""
        closed = obj is not None and not obj.is_open
        return ["state", "current_plan", *(["customer", "number", "placed_at"] if closed else [])]


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


@admin.register(FastenerRow)
class FastenerRowAdmin(ShopScopedAdmin):
    list_display = ["name", "kind", "diameter_mm", "length_mm", "each_g", "in_stock"]
    list_filter = ["kind", "in_stock"]


@admin.register(LabourTime)
class LabourTimeAdmin(ShopScopedAdmin):
    list_display = ["what", "minutes", "source"]
    search_fields = ["what"]


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


@admin.register(Parcel)
class ParcelAdmin(ReadOnly):
    list_display = ["order", "number", "weighed_g", "weighed_at"]


@admin.register(Document)
class DocumentAdmin(ReadOnly):
    list_display = ["plan", "kind", "page_size", "pages", "created"]


@admin.register(Job)
class JobAdmin(ReadOnly):
    list_display = ["pk", "kind", "order", "state", "attempts", "created_at", "finished_at"]
    list_filter = ["state", "kind"]


@admin.register(FirstOwnerLink)
class FirstOwnerLinkAdmin(ReadOnly):
    list_display = ["created_at", "used_at", "anew"]
    fields = ["created_at", "used_at", "anew"]


@admin.register(AuditEntry)
class AuditEntryAdmin(ReadOnly):
    list_display = ["at", "by_name", "act", "kind", "name"]
    list_filter = ["kind", "act"]


@admin.register(LoginTries)
class LoginTriesAdmin(ReadOnly):
    list_display = ["since", "tries"]


@admin.register(Membership)
class MembershipAdmin(ReadOnly):
    """Roles are changed on the settings screen, which keeps a shop from being left without an owner."""

    list_display = ["user", "shop", "role"]

"""Common parts of the owner's admin: whose rows are seen, how numbers are read, what is never deleted."""

from __future__ import annotations

from functools import partial
from http import HTTPMethod
from typing import Any

from django import forms
from django.contrib import admin, messages
from django.db.models import DecimalField, Field, ForeignKey, IntegerField, JSONField, Model, QuerySet
from django.http import HttpRequest
from django.utils.text import capfirst
from django.utils.translation import gettext

from shop.forms import CommaDecimalField
from shop.forms.fields import DecimalMeasureField
from shop.forms.json_text import StorableJSONField
from shop.forms.own_units import column_unit
from shop.models import (
    AuditEntry,
    Shop,
    ShopOwned,
    User,
)


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
        if isinstance(db_field, JSONField):
            kwargs["form_class"] = StorableJSONField
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
        if found is not None and request.method == HTTPMethod.POST:
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

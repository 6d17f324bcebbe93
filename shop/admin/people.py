"""The owner's admin of people: the shop, its members, customers, log-ins."""

from __future__ import annotations

from django import forms
from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import UserChangeForm
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shop.admin.base import (
    NoDeleteAdmin,
    ReadOnly,
    ShopScopedAdmin,
)
from shop.countries import CountryField
from shop.forms import ShopForm
from shop.models import (
    Customer,
    FirstOwnerLink,
    LoginTries,
    Membership,
    Shop,
    User,
)
from shop.services.errors import CannotLeave
from shop.services.members import refuse_no_owner


class AdminShopForm(ShopForm):
    class Meta(ShopForm.Meta):
        fields = [*ShopForm.Meta.fields, "is_demo"]


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


@admin.register(FirstOwnerLink)
class FirstOwnerLinkAdmin(ReadOnly):
    list_display = ["created_at", "used_at", "anew"]
    fields = ["created_at", "used_at", "anew"]


@admin.register(LoginTries)
class LoginTriesAdmin(ReadOnly):
    list_display = ["since", "tries"]


@admin.register(Membership)
class MembershipAdmin(ReadOnly):
    """Roles are changed on the settings screen, which keeps a shop from being left without an owner."""

    list_display = ["user", "shop", "role"]

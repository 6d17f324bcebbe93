"""Forms of the people: the first owner, the members and their units."""

from __future__ import annotations

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth import password_validation
from django.contrib.auth.models import AnonymousUser
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.countries import CountryField
from shop.forms.fields import Cleaned, StoresChanges
from shop.models import CURRENCY, LengthUnit, Membership, PaperSize, Role, Shop, User, WeightUnit
from shop.services.members import owners_of


def units_of(user: User | AnonymousUser, shop: Shop) -> tuple[str, str]:
    """Find the units a person sees and types: the person's own, else the shop's.

    Parameters
    ----------
    user
        Somebody who has not signed in has no units of their own.
    shop
        Whose units stand in.

    Returns
    -------
    tuple of str
        The unit of length, and that of weight.
    """
    own = user if isinstance(user, User) else User()
    return own.length_unit or shop.length_unit, own.weight_unit or shop.weight_unit


def _zones() -> list[tuple[str, str]]:
    """The time zones of places, by name."""
    places = sorted(name for name in available_timezones() if "/" in name and not name.startswith("Etc/"))
    return [("", _("Choose …")), *((name, name.replace("_", " ")) for name in places)]


def _chosen(choices: Any) -> list[tuple[str, Any]]:
    return [("", gettext_lazy("Choose …")), *choices]


OF_THE_SHOP = ("name", "country", "timezone", "currency", "length_unit", "weight_unit", "paper")
"""Fields of a new shop, each by itself."""


class FirstOwnerForm(forms.Form):
    """The first owner's name and password, and what the shop is where there is none yet."""

    username = forms.CharField(
        label=gettext_lazy("Name to log in with"),
        max_length=150,
        validators=[User.username_validator],
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label=gettext_lazy("Password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
        help_text=gettext_lazy("At least ten characters."),
    )
    password_again = forms.CharField(
        label=gettext_lazy("Password again"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
    )
    shop_name = forms.CharField(label=gettext_lazy("Name of the shop"), max_length=120)
    shop_country = CountryField()
    shop_timezone = forms.ChoiceField(label=gettext_lazy("Time zone"), choices=_zones)
    shop_currency = forms.CharField(
        label=gettext_lazy("Currency"),
        max_length=3,
        validators=[CURRENCY],
        help_text=gettext_lazy("Three letters, such as EUR, SEK or USD."),
        widget=forms.TextInput(attrs={"class": "short", "autocapitalize": "characters", "autocomplete": "off"}),
    )
    shop_length_unit = forms.ChoiceField(
        label=gettext_lazy("Lengths in"),
        choices=_chosen(LengthUnit.choices),
        help_text=gettext_lazy("Stock and planning rules begin with sizes of these units."),
    )
    shop_weight_unit = forms.ChoiceField(label=gettext_lazy("Weights in"), choices=_chosen(WeightUnit.choices))
    shop_paper = forms.ChoiceField(label=gettext_lazy("Paper in the printer"), choices=_chosen(PaperSize.choices))

    def __init__(self, *args: Any, shop_exists: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if shop_exists:
            for name in OF_THE_SHOP:
                del self.fields[f"shop_{name}"]
        for field in self.fields.values():
            field.error_messages["required"] = _("%(field)s is needed.") % {"field": field.label}

    @property
    def shop_fields(self) -> dict[str, Any]:
        """The answers about a new shop, by the shop's own names; empty where there is one."""
        return {name: self.cleaned_data[f"shop_{name}"] for name in OF_THE_SHOP if f"shop_{name}" in self.cleaned_data}

    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        if User.objects.filter(username__iexact=username).exists():
            raise forms.ValidationError(_("“%(name)s” is taken: choose another name.") % {"name": username})
        return username

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        password_validation.validate_password(password, User(username=self.cleaned_data.get("username", "")))
        return password

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if cleaned.get("password") and cleaned.get("password_again") != cleaned["password"]:
            self.add_error("password_again", _("The two passwords differ."))
        return cleaned


class MemberForm(forms.Form):
    """A new member of the shop: a name and a first password to log in with, and a role."""

    username = forms.CharField(
        label=gettext_lazy("Name to log in with"),
        max_length=150,
        validators=[User.username_validator],
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label=gettext_lazy("First password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        strip=False,
        help_text=gettext_lazy("At least ten characters; hand it over in person."),
    )
    role = forms.ChoiceField(label=gettext_lazy("Role"), choices=Role.choices, initial=Role.PACKER)

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shop = shop

    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        if User.objects.filter(username__iexact=username).exists():
            raise forms.ValidationError(_("“%(name)s” is taken: choose another name.") % {"name": username})
        return username

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        password_validation.validate_password(password, User(username=self.cleaned_data.get("username", "")))
        return password

    def save(self) -> Membership:
        """Make the user and the membership."""
        user = User.objects.create_user(username=self.cleaned_data["username"], password=self.cleaned_data["password"])
        return Membership.objects.create(shop=self.shop, user=user, role=self.cleaned_data["role"])


class RoleForm(forms.Form):
    """Another role for a member, or none: the last owner stays."""

    role = forms.ChoiceField(
        label=gettext_lazy("Role"), choices=[*Role.choices, ("", gettext_lazy("no longer here"))], required=False
    )

    def __init__(self, *args: Any, membership: Membership, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].initial = membership.role
        self.membership = membership

    def clean_role(self) -> str:
        role: str = self.cleaned_data["role"]
        if self.add_prefix("role") not in self.data:
            raise forms.ValidationError(_("No role was chosen: nothing is changed."))
        self._refuse_no_owner(role)
        return role

    def _refuse_no_owner(self, role: str) -> None:
        owners = owners_of(self.membership.shop).exclude(pk=self.membership.pk)
        if self.membership.role == Role.OWNER and role != Role.OWNER and not owners.exists():
            raise forms.ValidationError(_("A shop needs an owner: make someone else an owner first."))

    def save(self) -> None:
        """Change the role or end the membership; ValidationError where by now that would leave no owner."""
        role = self.cleaned_data["role"]
        with transaction.atomic():
            # One at a time: two owners who each demote the other would leave none.
            Shop.objects.select_for_update().get(pk=self.membership.shop_id)
            self.membership.refresh_from_db()
            self._refuse_no_owner(role)
            if role:
                self.membership.role = role
                self.membership.save(update_fields=["role"])
            else:
                self.membership.delete()


class OwnUnitsForm(StoresChanges, forms.ModelForm):
    """The units a person reads and types in; empty follows the shop."""

    class Meta:
        model = User
        fields = ["length_unit", "weight_unit"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, units in (("length_unit", LengthUnit), ("weight_unit", WeightUnit)):
            field = self.fields[name]
            if isinstance(field, forms.ChoiceField):
                field.choices = [("", _("as the shop does")), *units.choices]

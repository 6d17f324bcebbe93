"""Forms: what people type is read once, here; every message names the field, the rule and the value."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.contrib.auth import password_validation
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from shop import door
from shop.measuring import OPTIONAL, WEIGHTS, Measures, MeasuresRefused, label, read_measures, record
from shop.models import (
    MEASURES,
    STATES_WITH_REASON,
    Block,
    Customer,
    LengthUnit,
    Mark,
    Order,
    OrderLine,
    Piece,
    PieceState,
    Product,
    ProductSet,
    Shop,
    User,
    WeightUnit,
)


def units_of(user: User | AnonymousUser, shop: Shop) -> tuple[str, str]:
    """The units a person sees and types: the person's own, else the shop's."""
    own = user if isinstance(user, User) else User()
    return own.length_unit or shop.length_unit, own.weight_unit or shop.weight_unit


class CommaDecimalField(forms.DecimalField):
    """A number with a decimal point or comma."""

    widget = forms.TextInput(attrs={"inputmode": "decimal"})

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class FirstOwnerForm(forms.Form):
    """The first owner's name and password, and the shop's name where there is none yet."""

    username = forms.CharField(label=_("Name to log in with"), max_length=150, validators=[User.username_validator])
    password = forms.CharField(
        label=_("Password"), widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}), strip=False
    )
    password_again = forms.CharField(
        label=_("Password again"), widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}), strip=False
    )
    shop_name = forms.CharField(label=_("Name of the shop"), max_length=120)

    def __init__(self, *args: Any, shop_exists: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if shop_exists:
            del self.fields["shop_name"]

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        password_validation.validate_password(password, User(username=self.cleaned_data.get("username", "")))
        return password

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if "password" in cleaned and cleaned.get("password_again") != cleaned["password"]:
            self.add_error("password_again", _("The two passwords differ."))
        return cleaned


class MeasureForm(forms.Form):
    """The seven measures and the weights of a piece, typed in the person's units or with units of their own."""

    def __init__(self, *args: Any, piece: Piece, units: tuple[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.piece = piece
        self.measures: Measures | None = None
        self.warnings: list[str] = []
        for name in (*MEASURES, *WEIGHTS):
            self.fields[name] = forms.CharField(label=label(name), max_length=40, required=False)
            self.fields[name].widget.attrs["inputmode"] = "text"
            self.fields[name].initial = piece.typed.get(name, "") if piece.typed else _shown(piece, name)
            if name not in OPTIONAL:
                self.fields[name].widget.attrs["aria-required"] = "true"
        self.fields["length_unit"] = forms.ChoiceField(
            label=_("Lengths in"), choices=LengthUnit.choices, initial=piece.measured_in or units[0]
        )
        self.fields["weight_unit"] = forms.ChoiceField(
            label=_("Weights in"), choices=WeightUnit.choices, initial=piece.weighed_in or units[1]
        )
        self.fields["mark"] = forms.ChoiceField(label=_("Marked cheek"), choices=Mark.choices, initial=piece.mark)
        self.fields["edge_guard_on"] = forms.BooleanField(
            label=_("Measured with its edge guard on"), required=False, initial=piece.edge_guard_on
        )
        self.fields["confirmed"] = forms.BooleanField(
            label=_("I have measured again: it is so"), required=False, initial=False
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if "length_unit" not in cleaned or "weight_unit" not in cleaned or "mark" not in cleaned:
            return cleaned
        pattern = self._pattern()
        if pattern is None:
            return cleaned
        try:
            self.measures = read_measures(
                cleaned,
                pattern,
                length_unit=cleaned["length_unit"],
                weight_unit=cleaned["weight_unit"],
                mark=cleaned["mark"],
            )
        except MeasuresRefused as refused:
            for name, sentence in refused.fields.items():
                self.add_error(name if name in self.fields else None, sentence)
            return cleaned
        self.warnings = self.measures.warnings
        if self.warnings and not cleaned["confirmed"]:
            self.add_error("confirmed", " ".join(self.warnings))
        return cleaned

    def save(self) -> Piece:
        """Record the measures on the piece; call only on a valid form."""
        if self.measures is None:
            raise ValueError("Only a valid form is saved.")
        cleaned = self.cleaned_data
        return record(self.piece, self.measures, confirmed=cleaned["confirmed"], edge_guard_on=cleaned["edge_guard_on"])

    def _pattern(self) -> Any:
        return self.piece.product.pattern


class NewPieceForm(MeasureForm):
    """A piece entered for the first time: its product and its number as stamped, and its measures."""

    def __init__(self, *args: Any, shop: Shop, units: tuple[str, str], **kwargs: Any) -> None:
        super().__init__(*args, piece=Piece(shop=shop), units=units, **kwargs)
        products = Product.objects.filter(shop=shop).select_related("pattern")
        first = {
            "product": forms.ModelChoiceField(label=_("Product"), queryset=products),
            "number": forms.IntegerField(label=_("Number as stamped"), min_value=1, max_value=99999),
        }
        self.fields = {**first, **self.fields}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        product, number = cleaned.get("product"), cleaned.get("number")
        if product is not None and number is not None:
            there = Piece.objects.filter(product=product, number=number).first()
            if there is not None:
                self.add_error(
                    "number",
                    _("%(piece)s is there already: it is %(state)s. A number is never given twice.")
                    % {"piece": there.label, "state": there.get_state_display()},
                )
        return cleaned

    def save(self) -> Piece:
        self.piece.product, self.piece.number = self.cleaned_data["product"], self.cleaned_data["number"]
        return super().save()

    def _pattern(self) -> Any:
        product = self.cleaned_data.get("product")
        return product.pattern if product is not None else None


class RetireForm(forms.Form):
    """Why a piece leaves the rack for another reason than an order."""

    state = forms.ChoiceField(
        label=_("State"), choices=[(state.value, state.label) for state in PieceState if state in STATES_WITH_REASON]
    )
    reason = forms.CharField(label=_("Reason"), max_length=200)


class OfShopForm(forms.ModelForm):
    """A form whose choices are rows of one shop, and whose row belongs to it."""

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.shop = shop
        for field in self.fields.values():
            if isinstance(field, forms.ModelChoiceField) and field.queryset is not None:
                field.queryset = field.queryset.filter(shop=shop)


class CustomerForm(OfShopForm):
    class Meta:
        model = Customer
        fields = ["name", "address", "country", "email", "phone", "length_unit", "weight_unit"]

    def clean_country(self) -> str:
        return str(self.cleaned_data["country"]).upper()


class OrderForm(OfShopForm):
    class Meta:
        model = Order
        fields = ["customer", "notes"]


class OrderLineForm(OfShopForm):
    """One line: a product, a set or a block, so many times, at a price each."""

    unit_price = CommaDecimalField(
        label=_("Price each"), min_value=Decimal(0), max_digits=12, decimal_places=4, required=False
    )

    class Meta:
        model = OrderLine
        fields = ["product", "product_set", "block", "quantity", "matched", "unit_price"]
        labels = {"product": _("Product"), "product_set": _("Set"), "block": _("Block")}

    def __init__(self, *args: Any, order: Order, may_price: bool, **kwargs: Any) -> None:
        super().__init__(*args, shop=order.shop, **kwargs)
        self.instance.order = order
        if not may_price:
            del self.fields["unit_price"]


class BlockForm(OfShopForm):
    class Meta:
        model = Block
        fields = ["name", "length", "width", "height", "weight_g", "upright"]


class ProductSetForm(OfShopForm):
    class Meta:
        model = ProductSet
        fields = ["series", "name", "full"]


class ShopForm(forms.ModelForm):
    """The shop's settings; its planning rules are read through the door."""

    class Meta:
        model = Shop
        fields = [
            "name",
            "address",
            "country",
            "timezone",
            "currency",
            "length_unit",
            "weight_unit",
            "paper",
            "plan_rules",
            "foam_name",
            "foam_density_kg_m3",
            "foam_fit_mm",
            "board",
        ]

    def clean_plan_rules(self) -> Any:
        rules = self.cleaned_data["plan_rules"]
        try:
            door.check_plan_rules(rules)
        except door.BadInput as fault:
            raise ValidationError(f"{fault.field}: {fault.message}") from fault
        return rules


def _shown(piece: Piece, name: str) -> str:
    value = getattr(piece, name)
    unit = "g" if name in WEIGHTS else "mm"
    return "" if value is None else f"{value.normalize():f} {unit}"

"""Forms of an order: what is ordered and for whom, which number goes where."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.countries import CountryField
from shop.forms.customers import is_known
from shop.forms.fields import Cleaned, CommaDecimalField
from shop.forms.stamps import NUMBER, Stamp, StampField, what_it_is, where_it_is
from shop.models import (
    MOST_ADDRESS,
    MOST_NOTES,
    Block,
    Customer,
    Order,
    OrderLine,
    Piece,
    PieceState,
    Product,
    ProductSet,
    Shop,
    check_address_lines,
)
from shop.services.orders import add_line


class LineForm(forms.Form):
    """One line: a product, a set or a block, so many times; a price each for those who may set it."""

    what = forms.ChoiceField(label=gettext_lazy("What"))
    quantity = forms.IntegerField(
        label=gettext_lazy("How many"),
        min_value=1,
        max_value=adapter.MOST_ITEMS,
        initial=1,
        widget=forms.TextInput(attrs=NUMBER),
    )
    matched = forms.BooleanField(label=gettext_lazy("matched: all of one number"), required=False)
    unit_price = CommaDecimalField(
        label=gettext_lazy("Price each"), min_value=Decimal(0), max_digits=12, decimal_places=4, required=False
    )

    def __init__(self, *args: Any, shop: Shop, may_price: bool, things: list[Any] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shop = shop
        what = self.fields["what"]
        if isinstance(what, forms.ChoiceField):
            what.choices = things if things is not None else things_to_order(shop)
        if may_price:
            self.fields["unit_price"].label = _("Price each, %(currency)s") % {"currency": shop.currency}
        else:
            del self.fields["unit_price"]

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if cleaned.get("matched") and not cleaned.get("what", "set").startswith("set"):
            self.add_error("matched", _("Only a set can be matched: all its pieces bear the same number."))
        return cleaned

    def save(self, order: Order) -> OrderLine:
        """Add the line to an open order of the form's shop; CannotTakeOff where it is open no more."""
        kind, _sep, pk = self.cleaned_data["what"].partition(":")
        field = {"product": "product_id", "set": "product_set_id", "block": "block_id"}[kind]
        return add_line(
            order,
            quantity=self.cleaned_data["quantity"],
            matched=self.cleaned_data["matched"],
            unit_price=self.cleaned_data.get("unit_price"),
            **{field: int(pk)},
        )


def things_to_order(shop: Shop) -> list[Any]:
    """Things that a line can be, in groups: products, sets, blocks."""
    return [
        ("", _("Choose …")),
        (_("Products"), [(f"product:{row.pk}", str(row)) for row in Product.objects.filter(shop=shop)]),
        (_("Sets"), [(f"set:{row.pk}", str(row)) for row in ProductSet.objects.filter(shop=shop)]),
        (_("Blocks"), [(f"block:{row.pk}", str(row)) for row in Block.objects.filter(shop=shop)]),
    ]


class NewOrderForm(forms.Form):
    """For whom the order is: a known customer, or a new one."""

    customer = forms.ModelChoiceField(
        label=gettext_lazy("Customer"),
        queryset=Customer.objects.none(),
        required=False,
        empty_label=gettext_lazy("A new customer"),
    )
    name = forms.CharField(label=gettext_lazy("Name"), max_length=120, required=False)
    address = forms.CharField(
        label=gettext_lazy("Address"),
        max_length=MOST_ADDRESS,
        validators=[check_address_lines],
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("One line of the address on each line."),
    )
    country = CountryField(required=False)
    email = forms.EmailField(label=gettext_lazy("E-mail"), required=False)
    notes = forms.CharField(
        label=gettext_lazy("Notes on the order"),
        max_length=MOST_NOTES,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shop = shop
        known = self.fields["customer"]
        if isinstance(known, forms.ModelChoiceField):
            known.queryset = Customer.objects.filter(shop=shop)

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if cleaned.get("customer") is not None and cleaned.get("name"):
            self.add_error("name", _("Choose a customer or name a new one, not both."))
        if cleaned.get("customer") is None and "customer" in cleaned:
            for name in ("name", "country"):
                if not cleaned.get(name) and name not in self.errors:
                    self.add_error(name, _("%(field)s is needed for a new customer.") % {"field": self[name].label})
            if is_known(self.shop, *(str(cleaned.get(name) or "") for name in ("name", "country", "address"))):
                sentence = _("%(name)s is a customer already: choose the name above, or give another address.")
                self.add_error("name", sentence % {"name": cleaned["name"]})
        return cleaned

    def who(self) -> Customer:
        """The customer chosen, or the new one, stored."""
        chosen: Customer | None = self.cleaned_data["customer"]
        if chosen is not None:
            return chosen
        fields = {name: self.cleaned_data[name] for name in ("name", "address", "country", "email")}
        shop = self.shop
        return Customer.objects.create(shop=shop, length_unit=shop.length_unit, weight_unit=shop.weight_unit, **fields)


@dataclass(frozen=True)
class OpenPlace:
    """A place of a line that has no piece yet, and the number proposed for it."""

    name: str
    line: OrderLine
    product: Product
    proposed: int | None


class PlacesForm(forms.Form):
    """Numbers for the open places of an order. A place left empty stays open."""

    def __init__(self, *args: Any, order: Order, places: Sequence[OpenPlace], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.order, self.places = order, places
        self.choices: list[tuple[OrderLine, Piece]] = []
        for place in places:
            self.fields[place.name] = StampField(
                label=_("Number for %(product)s") % {"product": place.product.code},
                required=False,
                initial=place.proposed,
            )

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        chosen: dict[int, str] = {}
        pieces = _pieces((place.product, cleaned.get(place.name)) for place in self.places)
        for place in self.places:
            stamp: Stamp | None = cleaned.get(place.name)
            if stamp is None:
                continue
            number = stamp.number
            piece = pieces.get((place.product.pk, number))
            if not stamp.is_of(place.product.code):
                self.add_error(place.name, self._of_another(place, stamp))
            elif piece is None:
                sentence = _("%(code)s has no number %(number)d on record: measure it first.")
                self.add_error(place.name, sentence % {"code": place.product.code, "number": number})
            elif piece.pk in chosen:
                self.add_error(place.name, _("%(piece)s is named twice here.") % {"piece": piece.label})
            # Told at its field here; the service asks again, for the piece may be taken before the form is stored.
            elif piece.state != PieceState.RACK:
                self.add_error(place.name, where_it_is(piece))
            else:
                chosen[piece.pk] = place.name
                self.choices.append((place.line, piece))
        if not self.errors and not self.choices:
            self.add_error(None, _("No number is typed: nothing is taken from the rack."))
        return cleaned

    def _of_another(self, place: OpenPlace, stamp: Stamp) -> str:
        """That a stamp is of another product than its place wants, with both."""
        named = {"it": what_it_is(self.order.shop, stamp), "line": place.line, "wanted": place.product}
        if place.proposed is None:
            return _("%(it)s; here “%(line)s” wants %(wanted)s.") % named
        proposed = Stamp(place.product.code, place.proposed).label
        return _("%(it)s; here “%(line)s” wants %(wanted)s, such as %(label)s.") % {**named, "label": proposed}


def _pieces(wanted: Iterable[tuple[Product, Stamp | None]]) -> dict[tuple[int, int], Piece]:
    pairs = [(product.pk, stamp.number) for product, stamp in wanted if stamp is not None]
    # One query for all pairs; it also finds other pairs of these products and numbers, which nobody looks up.
    found = Piece.objects.select_related("product").filter(
        product__in={product for product, _number in pairs}, number__in={number for _product, number in pairs}
    )
    return {(piece.product_id, piece.number): piece for piece in found}

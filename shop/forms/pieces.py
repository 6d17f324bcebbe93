"""Forms of a piece: its measures, its hardness readings, why it leaves the rack."""

from __future__ import annotations

from functools import partial
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.formatting import WEIGHTS, measure_label
from shop.forms.fields import Cleaned
from shop.forms.stale import SaysWhatChanged
from shop.forms.stamps import Stamp, StampField, what_it_is
from shop.models import (
    MEASURES,
    STATES_WITH_REASON,
    LengthUnit,
    Mark,
    Piece,
    PieceState,
    Product,
    Shop,
    WeightUnit,
)
from shop.models.base import key_of
from shop.services.errors import MeasuresRefused
from shop.services.measurements import (
    OPTIONAL,
    Measures,
    read_measures,
    record,
    refuse_bare_edge,
    refuse_gone,
)


class MeasureForm(SaysWhatChanged, forms.Form):
    """The seven measures and the weights of a piece, typed in the person's units or with units of their own.

    What is impossible is refused at its field; what is unlikely waits for the tick `confirmed`. A tool with an edge is
    measured with its edge guard on, and says so.
    """

    length_unit = forms.ChoiceField(label=gettext_lazy("Lengths in"), choices=LengthUnit.choices)
    weight_unit = forms.ChoiceField(label=gettext_lazy("Weights in"), choices=WeightUnit.choices)
    mark = forms.ChoiceField(
        label=gettext_lazy("Marked cheek, the handle pointing down"),
        choices=[
            (Mark.LEFT, gettext_lazy("face to the left")),
            (Mark.RIGHT, gettext_lazy("face to the right")),
            (Mark.NONE, gettext_lazy("no marked cheek")),
        ],
        widget=forms.RadioSelect,
    )
    edge_guard_on = forms.BooleanField(label=gettext_lazy("The edge guard was on while measuring"), required=False)
    confirmed = forms.BooleanField(label=gettext_lazy("I have measured again: it is so"), required=False)

    def __init__(self, *args: Any, piece: Piece, units: tuple[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.piece = piece
        self.measures: Measures | None = None
        self.warnings: list[str] = []
        self.fields["length_unit"].initial = piece.measured_in or units[0]
        self.fields["weight_unit"].initial = piece.weighed_in or units[1]
        for name in (*MEASURES, *WEIGHTS):
            self.fields[name] = self._measure_field(name)
        self.fields["eye_offset"].help_text = _("From the face or poll to the handle’s centre line. Empty: the middle.")
        self.fields["head_weight_g"].help_text = _("If the head was weighed before hanging.")
        self.fields["mark"].initial = piece.mark
        self.fields["edge_guard_on"].initial = piece.edge_guard_on
        self.watch(piece, (*MEASURES, *WEIGHTS, "mark"))

    def _measure_field(self, name: str) -> forms.CharField:
        chosen = str(self["weight_unit" if name in WEIGHTS else "length_unit"].value())
        # A number pad is quicker in gloves but has no stroke for fractions; bench.js follows the unit as well.
        attrs = {
            "inputmode": "decimal" if chosen in (LengthUnit.MM, WeightUnit.GRAM) else "text",
            "data-unit": "weight_unit" if name in WEIGHTS else "length_unit",
            "autocomplete": "off",
            "spellcheck": "false",
        }
        if name not in OPTIONAL:
            attrs["aria-required"] = "true"
        piece = self.piece
        return forms.CharField(
            label=measure_label(name),
            max_length=40,
            required=False,
            initial=piece.typed.get(name, "") if piece.typed else _shown(piece, name),
            widget=forms.TextInput(attrs=attrs),
        )

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        self.tell_changes()
        # Without a unit no measure can be read, and the unit's own error says enough.
        if not {"length_unit", "weight_unit", "mark"} <= cleaned.keys():
            return cleaned
        product = self._product()
        if product is None:
            return cleaned
        try:
            self.measures = read_measures(
                cleaned,
                product,
                length_unit=cleaned["length_unit"],
                weight_unit=cleaned["weight_unit"],
                mark=cleaned["mark"],
                piece=self.piece,
            )
        except MeasuresRefused as refused:
            for name, sentence in refused.fields.items():
                self.add_error(name if name in self.fields else None, sentence)
            return cleaned
        self.warnings = [*self.measures.warnings, *self._copied()]
        if self.warnings and not cleaned["confirmed"]:
            self.add_error("confirmed", " ".join(self.warnings))
        # The service refuses these too; asked here, they stand in the form before anybody confirms unlikely measures.
        for refuse in (
            partial(refuse_gone, self.piece),
            partial(refuse_bare_edge, product.pattern, cleaned["edge_guard_on"]),
        ):
            try:
                refuse()
            except MeasuresRefused as refused:
                for name, sentence in refused.fields.items():
                    self.add_error(name or None, sentence)
        return cleaned

    def save(self) -> Piece:
        """Record the measures on the piece; call only on a valid form."""
        if self.measures is None:
            raise ValueError("Only a valid form is saved.")
        cleaned = self.cleaned_data
        return record(self.piece, self.measures, confirmed=cleaned["confirmed"], edge_guard_on=cleaned["edge_guard_on"])

    def _product(self) -> Product | None:
        return self.piece.product

    def _copied(self) -> list[str]:
        """Questions to ask about lengths that were not typed."""
        return []


class NewPieceForm(MeasureForm):
    """A piece entered for the first time: its product and its number as stamped, and its measures."""

    product = forms.ModelChoiceField(
        label=gettext_lazy("Product"), queryset=Product.objects.none(), empty_label=gettext_lazy("Choose …")
    )
    number = StampField(label=gettext_lazy("Number as stamped"))
    like = forms.CharField(required=False, max_length=20, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, shop: Shop, units: tuple[str, str], begun_like: Piece | None = None, **kwargs: Any
    ) -> None:
        initial = {**lengths_of(begun_like), **kwargs.pop("initial", {})}
        super().__init__(*args, piece=Piece(shop=shop), units=units, initial=initial, **kwargs)
        if initial.get("product"):
            self.fields[MEASURES[0]].widget.attrs["autofocus"] = True
        product = self.fields["product"]
        if isinstance(product, forms.ModelChoiceField):
            product.queryset = Product.objects.filter(shop=shop).select_related("pattern")

    def clean(self) -> Cleaned:
        cleaned = super().clean()
        product, stamp = cleaned.get("product"), cleaned.get("number")
        if product is not None and stamp is not None:
            there = Piece.objects.filter(product=product, number=stamp.number).first()
            if not stamp.is_of(product.code):
                sentence = _("%(it)s; the product chosen is %(product)s.")
                self.add_error("number", sentence % {"it": what_it_is(self.piece.shop, stamp), "product": product})
            elif there is not None:
                self.add_error(
                    "number",
                    _("%(piece)s is already on record: it is %(state)s. A number is never given twice.")
                    % {"piece": there.label, "state": there.get_state_display()},
                )
        return cleaned

    def _copied(self) -> list[str]:
        """Lengths that are all another piece's: no two pieces made by hand are alike."""
        like = Piece.objects.filter(shop=self.piece.shop, pk=key_of(self.cleaned_data.get("like") or "")).first()
        if like is None or self.measures is None:
            return []
        if any(self.measures.values[name] != getattr(like, name) for name in MEASURES):
            return []
        return [_("Every length is still that of %(piece)s.") % {"piece": like.label}]

    def save(self) -> Piece:
        self.piece.product, self.piece.number = self.cleaned_data["product"], self.cleaned_data["number"].number
        return super().save()

    def _product(self) -> Product | None:
        chosen: Product | None = self.cleaned_data.get("product")
        return chosen


def lengths_of(piece: Piece | None) -> dict[str, object]:
    """The lengths of a piece as typed, with their unit, which another one's may begin with; weights never."""
    if piece is None:
        return {}
    shown = {name: piece.typed.get(name, "") if piece.typed else _shown(piece, name) for name in MEASURES}
    return {**shown, "length_unit": piece.measured_in or LengthUnit.MM, "like": piece.pk}


class RetireForm(forms.Form):
    """The reason why a piece leaves the rack other than for an order."""

    state = forms.ChoiceField(
        label=gettext_lazy("It is"),
        choices=[(state.value, state.label) for state in PieceState if state in STATES_WITH_REASON],
    )
    reason = forms.CharField(label=gettext_lazy("Reason"), max_length=200)


class CorrectNumberForm(forms.Form):
    """The number that is stamped on a piece, where another had been typed, and why."""

    number = StampField(
        label=gettext_lazy("Number as stamped"), error_messages={"required": gettext_lazy("Type the stamped number.")}
    )
    why = forms.CharField(
        label=gettext_lazy("Reason"),
        max_length=200,
        error_messages={"required": gettext_lazy("Give the reason: it stays on record.")},
    )

    def __init__(self, *args: Any, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.piece = piece

    def clean_number(self) -> int:
        stamp: Stamp = self.cleaned_data["number"]
        if not stamp.is_of(self.piece.product.code):
            sentence = _("%(it)s; this piece is %(product)s.")
            named = {"it": what_it_is(self.piece.shop, stamp), "product": self.piece.product}
            raise forms.ValidationError(sentence % named)
        return stamp.number


def _shown(piece: Piece, name: str) -> str:
    value = getattr(piece, name)
    unit = "g" if name in WEIGHTS else "mm"
    return "" if value is None else f"{value.normalize():f} {unit}"

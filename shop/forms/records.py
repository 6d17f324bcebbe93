"""Forms of what a shop sets up: steel, series, patterns, products, sets, blocks, cartons, stock for boxes."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.forms.fields import Cleaned, StoresChanges
from shop.forms.own_units import field_of, in_own_units
from shop.models import (
    MEASURES,
    SHAPE_COLUMNS,
    AllowanceRow,
    Block,
    BoardRow,
    Carton,
    FastenerRow,
    LabourTime,
    Lot,
    Pattern,
    Product,
    ProductSet,
    Series,
    SetMember,
    SheetRow,
    Shop,
    ShopOwned,
    WoodRow,
)
from shop.services.measurements import OPTIONAL

MADE_BY = ("source", "sureness")
TARGETS = tuple(f"target_{name}_mm" for name in MEASURES)


class RecordForm(StoresChanges, forms.ModelForm):
    """A row of one shop, new or known: measures in the person's units, choices among the shop's own rows."""

    def __init__(self, *args: Any, shop: Shop, units: tuple[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.shop = shop
        for field in self.fields.values():
            if isinstance(field, forms.ModelChoiceField) and field.queryset is not None:
                model = field.queryset.model
                field.queryset = field.queryset.filter(shop=shop) if issubclass(model, ShopOwned) else field.queryset
        in_own_units(self, units)


class LotForm(RecordForm):
    """A lot of steel; what is left is all of it where nothing else is said."""

    class Meta:
        model = Lot
        fields = ["name", "source", "received_on", "received_kg", "left_kg"]
        formfield_callback = field_of
        widgets = {"source": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["left_kg"].required = False
        self.fields["left_kg"].help_text = _("Weigh or reckon it now and then. Empty: all of it.")

    def clean_left_kg(self) -> Decimal | None:
        """Check that no more is left than came."""
        received: Decimal | None = self.cleaned_data.get("received_kg")
        left: Decimal | None = self.cleaned_data.get("left_kg")
        if left is None:
            return received
        if received is not None and left > received:
            raise ValidationError(_("There cannot be more left than was received."))
        return left


class SeriesForm(RecordForm):
    """A series; it closes after it opened, and opens again after it closed."""

    class Meta:
        model = Series
        fields = ["lot", "name", "planned_pieces", "opened_on", "closed_on", "reopened_on"]
        formfield_callback = field_of

    def clean(self) -> Cleaned:
        cleaned = super().clean()
        days = [(name, cleaned.get(name)) for name in ("opened_on", "closed_on", "reopened_on")]
        for (_name, before), (name, after) in pairwise(days):
            if before is not None and after is not None and after < before:
                sentence = _("%(after)s is before %(before)s: opened, closed, opened again, in this order.")
                self.add_error(name, sentence % {"after": after, "before": before})
        if cleaned.get("reopened_on") and not cleaned.get("closed_on"):
            self.add_error("reopened_on", _("A series that was never closed is not opened again."))
        return cleaned


class ChecksShape(forms.ModelForm):
    """A form of a pattern whose measures of shape are checked by the adapter."""

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if not self.errors:
            try:
                adapter.check_shape(
                    Pattern(**{name: cleaned[name] for name in ("form", "head_material", *SHAPE_COLUMNS)})
                )
            except adapter.BadInput as fault:
                self.add_error(fault.field if fault.field in self.fields else None, str(fault.message))
        return cleaned


class PatternForm(RecordForm, ChecksShape):
    """A pattern, the measures of its shape and a traced outline checked by the adapter."""

    outline_file = forms.FileField(
        label=gettext_lazy("traced outline"),
        required=False,
        help_text=gettext_lazy(
            "SVG or DXF: a closed figure of the head and one of the handle, seen on the cheek, x along the handle from "
            "the crown, y from the face or poll. It is scaled to each piece and stands instead of the measures above."
        ),
    )
    drop_outline = forms.BooleanField(label=gettext_lazy("take the traced outline away"), required=False)

    class Meta:
        model = Pattern
        fields = ["name", "form", "sharp", "may_stand", "head_material", *SHAPE_COLUMNS]
        formfield_callback = field_of
        help_texts = {"may_stand": gettext_lazy("Not known: hammers and mallets may, axes and adzes do not.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not self.instance.traced:
            del self.fields["drop_outline"]

    def clean_outline_file(self) -> Any:
        """Read the file at once, so that what is wrong with it is said beside it."""
        given = self.cleaned_data.get("outline_file")
        if given is None:
            return None
        try:
            return adapter.traced_from(given.name, given.read())
        except adapter.BadInput as fault:
            raise ValidationError(str(fault.message)) from None

    def save(self, commit: bool = True) -> Any:
        """Keep the traced outline too, whose file is no column."""
        traced, dropped = (self.cleaned_data.get(name) for name in ("outline_file", "drop_outline"))
        with transaction.atomic():
            pattern = super().save(commit)
            if traced or dropped:
                pattern.traced = traced
                pattern.save(update_fields=["traced"])
        return pattern


class ProductForm(RecordForm):
    """A product with what its pieces are meant to measure; targets that no tool can have are refused."""

    class Meta:
        model = Product
        fields = ["series", "pattern", "code", "name", "head_weight_g", *TARGETS, "target_weight_g"]
        formfield_callback = field_of
        help_texts = {
            "code": gettext_lazy("Capital letters, figures and dots, such as RH125; it stands before each number.")
        }

    def clean(self) -> Cleaned:
        cleaned = super().clean()
        values = {name: cleaned.get(f"target_{name}_mm") for name in MEASURES}
        needed = [value for name, value in values.items() if name not in OPTIONAL]
        self._refuse_leaving_sets(cleaned.get("series"))
        pattern, weight = cleaned.get("pattern"), cleaned.get("target_weight_g")
        if self.errors or pattern is None or None in needed:
            return cleaned
        weight = weight or cleaned["head_weight_g"]
        try:
            adapter.tool_findings(adapter.tool_content("target", pattern, {**values, "weight_g": weight}))
        except adapter.BadInput as fault:
            name = f"target_{fault.field.rpartition('.')[2]}_mm"
            self.add_error(name if name in self.fields else None, str(fault.message))
        return cleaned

    def _refuse_leaving_sets(self, series: Series | None) -> None:
        """Keep a product in its series while a set of that has it: a set is of one series."""
        if series is None or self.instance.pk is None:
            return
        left = ProductSet.objects.filter(members__product=self.instance.pk).exclude(series=series)
        if left:
            sentence = _("%(product)s cannot move to %(series)s while it is in a set of its series: %(sets)s.")
            named = {"product": self.instance.code, "series": series, "sets": ", ".join(made.name for made in left)}
            self.add_error("series", sentence % named)

    def save(self, commit: bool = True) -> Any:
        """Store the product; the full sets of its series have it as well."""
        with transaction.atomic():
            made = super().save(commit)
            for whole in ProductSet.objects.filter(series=made.series_id, full=True):
                SetMember.objects.get_or_create(product_set=whole, product=made)
        return made


class SetForm(RecordForm):
    """A set: several products of one series, or all of them."""

    products = forms.ModelMultipleChoiceField(
        Product.objects.select_related("series"),
        label=gettext_lazy("products"),
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )

    class Meta:
        model = ProductSet
        fields = ["series", "name", "full"]
        formfield_callback = field_of
        help_texts = {"full": gettext_lazy("Every product of the series, those to come as well.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is not None:
            self.fields["products"].initial = [member.product_id for member in self.instance.members.all()]

    def clean(self) -> Cleaned:
        cleaned = super().clean()
        series, chosen = cleaned.get("series"), list(cleaned.get("products") or ())
        strange = [product for product in chosen if series is not None and product.series_id != series.pk]
        if strange:
            sentence = _("%(products)s: not of the series %(series)s.")
            named = {"products": ", ".join(product.code for product in strange), "series": series}
            self.add_error("products", sentence % named)
        if series is not None and cleaned.get("full"):
            cleaned["products"] = chosen = list(series.products.all())
        if not self.errors and len(chosen) < 2:
            self.add_error(
                "products", _("A set has two products at least; %(count)d is chosen.") % {"count": len(chosen)}
            )
        return cleaned

    def save(self, commit: bool = True) -> Any:
        """Store the set and its products together."""
        with transaction.atomic():
            made = super().save(commit)
            chosen = {product.pk for product in self.cleaned_data["products"]}
            made.members.exclude(product__in=chosen).delete()
            known = set(made.members.values_list("product", flat=True))
            for product in sorted(chosen - known):
                SetMember.objects.create(product_set=made, product_id=product)
        return made


def _plain(row: type[ShopOwned], *columns: str) -> type[RecordForm]:
    """A form of a row that asks for nothing beyond its columns."""
    made: type[RecordForm] = forms.modelform_factory(row, RecordForm, fields=list(columns), formfield_callback=field_of)  # type: ignore[assignment]
    return made


BlockForm = _plain(Block, "name", "length", "width", "height", "weight_g", "upright")
CartonForm = _plain(Carton, "name", "length", "width", "height", "board", "count", "price", "currency")
BoardForm = _plain(
    BoardRow, "name", "in_stock", "flute", "wall", "grade", "caliper_mm", "caliper_tolerance_mm", "grammage_g_m2",
    "joint_mm", "burst_psi", "facings_lb", "ect_lb_in", "sheet_across_mm", "sheet_along_mm", "price_m2", "cut_by",
    *MADE_BY,
)  # fmt: skip
WoodForm = _plain(
    WoodRow, "name", "in_stock", "processed", "nominal", "thickness_mm", "thickness_tolerance_mm", "width_mm",
    "length_mm", "density_kg_m3", "kerf_mm", "nominal_thickness_in", "nominal_width_in", "price", "per", "cut_by",
    *MADE_BY,
)  # fmt: skip
FastenerForm = _plain(FastenerRow, "name", "in_stock", "kind", "diameter_mm", "length_mm", "each_g", *MADE_BY)
SheetForm = _plain(
    SheetRow, "material", "label", "nominal_mm", "thickness_mm", "tolerance_mm", "length_mm", "width_mm", "trim_mm",
    "kerf_mm", "cut_by", "turns", "count", "price", "offcut", *MADE_BY,
)  # fmt: skip
TimeForm = _plain(LabourTime, "minutes", "source")
AllowanceForm = _plain(AllowanceRow, "flute", "caliper_mm", "panel_mm", "layer_mm", *MADE_BY)

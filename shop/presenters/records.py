"""Kinds of record that a shop sets up: what belongs there and why, the form of one, and what a list shows of each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.adapter import work_called
from shop.formatting import Wording
from shop.forms import records as forms
from shop.models import (
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
    SheetRow,
    ShopOwned,
    WoodRow,
)

GRAMS_IN_A_KILOGRAM = 1000
Cell = Callable[[Any, Wording], str]
Text = str | Promise


@dataclass(frozen=True)
class Kind:
    """One kind of record.

    Parameters
    ----------
    model, form
        Its rows and the form of one.
    many, one
        Headings of the list and of a new row.
    why
        What belongs there and what for; all that an empty list says.
    columns
        Headings of a list beside the name, with what each shows of a row in the reader's units.
    priced
        The same of what a row costs, after those, for who may see prices.
    related
        Rows that a list shows something of, read along.
    adds
        Whether the shop may add rows and delete those that nothing uses.
    """

    model: type[ShopOwned]
    form: type[forms.RecordForm]
    many: Text
    one: Text
    why: Text
    columns: Mapping[Text, Cell] = field(default_factory=dict)
    related: tuple[str, ...] = ()
    adds: bool = True
    priced: Mapping[Text, Cell] = field(default_factory=dict)

    def name(self, row: ShopOwned) -> str:
        """The name of a row."""
        return str(work_called(row.what)) if isinstance(row, LabourTime) else str(row)

    def shown(self, prices: bool) -> Mapping[Text, Cell]:
        """Columns of a list, with or without what rows cost."""
        return {**self.columns, **self.priced} if prices else self.columns

    def cells(self, row: ShopOwned, wording: Wording, *, prices: bool) -> list[tuple[Text, str]]:
        """A row of the list, each cell with its heading."""
        return [(heading, shows(row, wording)) for heading, shows in self.shown(prices).items()]


def _kg(kg: Decimal, wording: Wording) -> str:
    return wording.heap(kg * GRAMS_IN_A_KILOGRAM)


def _yes(value: bool) -> str:
    return _("yes") if value else _("no")


def _price(value: Decimal | None) -> str:
    return _("not known") if value is None else f"{value.normalize():f}"


KINDS: dict[str, Kind] = {
    "lots": Kind(
        Lot, forms.LotForm, gettext_lazy("Lots of steel"), gettext_lazy("New lot"),
        gettext_lazy(
            "A lot is steel from one source: an axle, a leaf spring, a bar. Everything is made from one; what is left "
            "of it is an estimate."
        ),
        {
            gettext_lazy("Received"): lambda row, wording: _kg(row.received_kg, wording),
            gettext_lazy("Left, about"): lambda row, wording: _kg(row.left_kg, wording),
        },
    ),
    "series": Kind(
        Series, forms.SeriesForm, gettext_lazy("Series"), gettext_lazy("New series"),
        gettext_lazy(
            "A series is what is made and sold under one name from one lot. It is closed when the steel is used up, "
            "and may be opened again."
        ),
        {
            gettext_lazy("Lot"): lambda row, _wording: str(row.lot),
            gettext_lazy("State"): lambda row, _wording: _("open") if row.is_open else _("closed"),
        },
        ("lot",),
    ),
    "patterns": Kind(
        Pattern, forms.PatternForm, gettext_lazy("Patterns"), gettext_lazy("New pattern"),
        gettext_lazy(
            "A pattern is a kind of tool: its form, what of it is sharp and, for a snug insert, its shape beyond the "
            "measured rectangles."
        ),
        {
            gettext_lazy("Form"): lambda row, _wording: row.get_form_display(),
            gettext_lazy("Sharp"): lambda row, _wording: row.get_sharp_display(),
        },
    ),
    "products": Kind(
        Product, forms.ProductForm, gettext_lazy("Products"), gettext_lazy("New product"),
        gettext_lazy(
            "A product is one pattern in one head weight of a series; its pieces are numbered from 1. With its target "
            "measures a parcel can be quoted before a piece is made."
        ),
        {
            gettext_lazy("Series"): lambda row, _wording: str(row.series),
            gettext_lazy("Pattern"): lambda row, _wording: str(row.pattern),
            gettext_lazy("Nominal head"): lambda row, wording: wording.weight(row.head_weight_g),
            gettext_lazy("Targets"): lambda row, _wording: _yes(row.target_handle_length_mm is not None),
        },
        ("series", "pattern"),
    ),
    "sets": Kind(
        ProductSet, forms.SetForm, gettext_lazy("Sets"), gettext_lazy("New set"),
        gettext_lazy("A set is several products of a series sold together as one line of an order."),
        {
            gettext_lazy("Series"): lambda row, _wording: str(row.series),
            gettext_lazy("Full set"): lambda row, _wording: _yes(row.full),
        },
        ("series",),
    ),
    "blocks": Kind(
        Block, forms.BlockForm, gettext_lazy("Blocks"), gettext_lazy("New block"),
        gettext_lazy(
            "A block is anything else that rides along in a shape of its own: a tin of wax, a packet of wedges."
        ),
        {
            gettext_lazy("Size"): lambda row, wording: wording.size((row.length, row.width, row.height)),
            gettext_lazy("Weight"): lambda row, wording: wording.weight(row.weight_g),
        },
    ),
    "cartons": Kind(
        Carton, forms.CartonForm, gettext_lazy("Stock cartons"), gettext_lazy("New stock carton"),
        gettext_lazy("A carton bought ready-made is offered beside the boxes to make, as long as there are some."),
        {
            gettext_lazy("Inside"): lambda row, wording: wording.size((row.length, row.width, row.height)),
            gettext_lazy("In stock"): lambda row, _wording: str(row.count),
        },
        priced={gettext_lazy("Price each"): lambda row, _wording: _price(row.price)},
    ),
    "boards": Kind(
        BoardRow, forms.BoardForm, gettext_lazy("Boards"), gettext_lazy("New board"),
        gettext_lazy("Corrugated board as bought: every folded box is made of one that is in stock."),
        {
            gettext_lazy("Grade"): lambda row, _wording: row.grade,
            gettext_lazy("Caliper"): lambda row, wording: wording.measured(row.caliper_mm),
            gettext_lazy("In stock"): lambda row, _wording: _yes(row.in_stock),
        },
        priced={gettext_lazy("Price, m²"): lambda row, _wording: _price(row.price_m2)},
    ),
    "wood": Kind(
        WoodRow, forms.WoodForm, gettext_lazy("Wood"), gettext_lazy("New boards or panels"),
        gettext_lazy("Sawn boards and panels as bought, by actual size: wooden boxes are made of what is in stock."),
        {
            gettext_lazy("Size"): lambda row, wording: wording.measured(row.length_mm, row.width_mm, row.thickness_mm),
            gettext_lazy("In stock"): lambda row, _wording: _yes(row.in_stock),
        },
        priced={gettext_lazy("Price"): lambda row, _wording: _price(row.price)},
    ),
    "fasteners": Kind(
        FastenerRow, forms.FastenerForm, gettext_lazy("Screws and nails"), gettext_lazy("New screw or nail"),
        gettext_lazy("Screws and nails in stock; a wooden box takes those that its strength asks for."),
        {
            gettext_lazy("Shank"): lambda row, wording: wording.measured(row.diameter_mm),
            gettext_lazy("Length"): lambda row, wording: wording.measured(row.length_mm),
            gettext_lazy("In stock"): lambda row, _wording: _yes(row.in_stock),
        },
    ),
    "sheets": Kind(
        SheetRow, forms.SheetForm, gettext_lazy("Stock sheets and offcuts"), gettext_lazy("New sheets"),
        gettext_lazy("Sheets, panels, bars and offcuts by the piece: parts are laid on them before cutting."),
        {
            gettext_lazy("Size"): lambda row, wording: wording.measured(row.length_mm, row.width_mm, row.thickness_mm),
            gettext_lazy("Pieces left"): lambda row, _wording: str(row.count),
        },
        priced={gettext_lazy("Price of one"): lambda row, _wording: _price(row.price)},
    ),
    "times": Kind(
        LabourTime, forms.TimeForm, gettext_lazy("Times of work"), gettext_lazy("New time"),
        gettext_lazy("How long each kind of work takes in this shop; time them with a watch once."),
        {gettext_lazy("Minutes"): lambda row, _wording: f"{row.minutes.normalize():f}"},
        adds=False,
    ),
    "allowances": Kind(
        AllowanceRow, forms.AllowanceForm, gettext_lazy("Allowances for folding"), gettext_lazy("New allowance"),
        gettext_lazy("What folding takes from a size, by flute and caliper: fold a sample first and measure it."),
        {
            gettext_lazy("From score to score"): lambda row, wording: wording.measured(row.panel_mm),
            gettext_lazy("In height, each layer"): lambda row, wording: wording.measured(row.layer_mm),
        },
    ),
}  # fmt: skip
"""By the name in their address, in the order in which a new shop comes to need them."""

"""Facts that papers say beside the plan: who, for whom, which order, how each item is called, in which units."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from decimal import Decimal
from zoneinfo import ZoneInfo

from shop.adapter import SheetOnPaper, sources_of
from shop.formatting import Units
from shop.models import BoxPlan, PaperSize, Piece
from shop.services.stock import cut_with, stock_for


@dataclass(frozen=True, slots=True)
class ItemName:
    """The name of one item of the plan on papers.

    Parameters
    ----------
    item
        The item's id in the plan.
    label
        Code and number of a piece, such as CH125-007; empty for a block.
    number
        The number as stamped; None for a block.
    name
        The product's or block's name, or the name the piece is packed under.
    head_weight_g
        Weight of the head, measured or nominal; None where there is no head or it is not known.
    """

    item: str
    name: str
    label: str = ""
    number: int | None = None
    head_weight_g: Decimal | None = None


@dataclass(frozen=True, slots=True)
class PaperContext:
    """Everything a paper needs that is not in the plan's content.

    Parameters
    ----------
    date
        Printed in the title block and written into the file's metadata: the day the plan was made.
    bench, reader
        Units of the cut plans, and of the packing slip.
    page_size
        "A4" or "Letter".
    plan_hash
        Hash of the plan itself; the title block shows its beginning.
    demo
        True marks every page as invented for demonstration.
    stretch
        What lengths in full size are multiplied by, so that the shop's printer prints them true.
    stock
        What there was to cut from. A paper is no less right when others have taken of the stock since, so that this
        is not told in what it was made from.
    cut_with
        The parcels, this one among them, whose parts are cut together; () where it is cut alone.
    """

    shop_name: str
    customer_name: str
    order_number: str
    date: dt.date
    plan_hash: str
    shop_address: tuple[str, ...] = ()
    customer_address: tuple[str, ...] = ()
    parcel: int = 1
    parcels: int = 1
    names: tuple[ItemName, ...] = ()
    bench: Units = field(default_factory=Units)
    reader: Units = field(default_factory=Units)
    page_size: str = PaperSize.A4.value
    demo: bool = False
    stretch: float = 1.0
    stock: tuple[SheetOnPaper, ...] = field(default=(), repr=False)
    cut_with: tuple[str, ...] = field(default=(), repr=False)

    @property
    def parcel_name(self) -> str:
        """The order's number, with the parcel's where there are several: 17, or 17/2."""
        return self.order_number + (f"/{self.parcel}" if self.parcels > 1 else "")

    def name_of(self, item: str) -> ItemName:
        """The name of an item; its id where no row told more."""
        return next((name for name in self.names if name.item == item), ItemName(item=item, name=item))


def context_from_plan(plan: BoxPlan, *, page_size: str | None = None) -> PaperContext:
    """Gather the context of a stored plan from its rows.

    Parameters
    ----------
    plan
        A plan with status "planned".
    page_size
        "A4" or "Letter"; the shop's own when left out.

    Returns
    -------
    PaperContext
        Names, addresses and units as the rows are now; the date is the plan's, in the shop's time zone.
    """
    order, shop = plan.order, plan.shop
    customer = order.customer
    names = _names(plan)
    return PaperContext(
        shop_name=shop.name,
        shop_address=tuple(shop.address_lines),
        customer_name=customer.name,
        customer_address=(*customer.address_lines, customer.country_name),
        order_number=str(order.number),
        parcel=plan.parcel_number,
        parcels=plan.parcel_count,
        names=names,
        bench=Units(shop.length_unit, shop.weight_unit),
        reader=Units(customer.length_unit, customer.weight_unit),
        page_size=page_size or shop.paper,
        date=plan.created.astimezone(ZoneInfo(shop.timezone)).date(),
        plan_hash=plan.content_hash,
        demo=shop.is_demo,
        # The bar of 100 mm measures so much from the shop's printer: what is to come out true is drawn longer by the
        # inverse.
        stretch=float(100 / shop.printed_bar_mm),
        stock=stock_for(plan),
        cut_with=cut_with(plan),
    )


def _names(plan: BoxPlan) -> tuple[ItemName, ...]:
    sources = sources_of(plan)
    wanted = [source.pk for source in sources.values() if source.is_piece]
    pieces = Piece.objects.filter(shop=plan.shop, pk__in=wanted).select_related("product")
    # Names and numbers are those the plan was made with; of the rows of now only the head's weight is taken.
    heads = {piece.pk: piece.head_weight_g or piece.product.head_weight_g for piece in pieces}
    return tuple(
        ItemName(
            item=item,
            name=source.name,
            label=item if source.is_piece else "",
            number=source.number,
            head_weight_g=heads.get(source.pk) if source.is_piece else None,
        )
        for item, source in sources.items()
    )

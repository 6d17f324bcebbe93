"""Writes the invented scenario into the database, once."""

from __future__ import annotations

import datetime as dt
import random
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from shop.demo import scenario
from shop.demo.prices import prices_text
from shop.models import (
    BilledUnit,
    Block,
    BoardRow,
    Carton,
    Customer,
    Form,
    Lot,
    Mark,
    Order,
    OrderLine,
    Pattern,
    Piece,
    PieceState,
    Product,
    ProductSet,
    RateRule,
    Reading,
    Series,
    SetMember,
    Sharp,
    SheetRow,
    Shop,
    WoodRow,
)
from shop.services import allocation, measurements, prices
from shop.services.orders import open_order
from shop.services.shops import open_shop, today

# How far hand work strays from the pattern: common practice, no source.
SCATTER_MM = {
    "head_length": 2.5,
    "head_height": 1.0,
    "head_width": 1.0,
    "eye_offset": 1.5,
    "handle_length": 4.0,
    "handle_width": 1.0,
    "handle_thickness": 0.8,
}
SCATTER_G = 18


def load() -> Shop:
    """Make the invented shop, or return it where it is already there.

    Returns
    -------
    Shop
        With its stock, products, pieces and orders: all of it is stored, or nothing.
    """
    known = Shop.objects.filter(name=scenario.SHOP_NAME).first()
    if known is not None:
        return known
    with transaction.atomic():
        shop = open_shop(**scenario.SHOP)
        carrier, service = scenario.PRICED_BY
        rules = RateRule.objects.filter(shop=shop, carrier=carrier, service=service)
        shop.priced_by = rules.valid_on(today(shop)).first()
        shop.hour_price, shop.fastener_price = scenario.HOUR_PRICE, scenario.FASTENER_PRICE
        shop.foam_price_m3 = scenario.FOAM_PRICE_M3
        shop.billed_price, shop.billed_price_unit = scenario.BILLED_PRICE_A_POUND, BilledUnit.POUND
        shop.save()
        BoardRow.objects.filter(shop=shop).update(price_m2=scenario.BOARD_PRICE_M2)
        WoodRow.objects.filter(shop=shop, processed=False).update(price=scenario.PLANK_PRICE)
        WoodRow.objects.filter(shop=shop, processed=True).update(price=scenario.PANEL_PRICE)
        SheetRow.objects.filter(shop=shop).delete()
        for thickness, count in scenario.FOAM_SHEETS_MM.items():
            sizes = {"nominal_mm": thickness, "thickness_mm": thickness, **scenario.FOAM_SHEET_MM}
            SheetRow.objects.create(shop=shop, material=shop.foam_name, count=count, source=scenario.INVENTED, **sizes)
        lot = Lot.objects.create(shop=shop, **scenario.LOT)
        series = {
            name: Series.objects.create(lot=lot, name=name) for name in (scenario.FULL_SERIES, scenario.SECOND_SERIES)
        }
        products = {made.code: _product(made, series[made.series]) for made in scenario.PRODUCTS}
        _retire(products)
        _set(series[scenario.FULL_SERIES], products)
        for name, block in scenario.BLOCKS.items():
            Block.objects.create(shop=shop, name=name, **{k: _exact(v) for k, v in block.items()})
        for name, *inner in scenario.CARTONS:
            length, width, height = (Decimal(str(side)) for side in inner)
            Carton.objects.create(shop=shop, name=name, length=length, width=width, height=height, count=12)
        prices.store(shop, prices_text(today(shop).replace(month=1, day=1), shop.currency))
        _orders(shop, products)
    return shop


def main_order(shop: Shop) -> Order:
    """Find the order that the start plans: the matched full set with two blocks.

    Parameters
    ----------
    shop
        As `load` gives it.

    Returns
    -------
    Order
        The first by number that has a line of matched pieces.

    Raises
    ------
    Order.DoesNotExist
        The shop has none.
    """
    return Order.objects.filter(shop=shop, lines__matched=True).earliest("number")


def _exact(value: object) -> object:
    return value if isinstance(value, bool) else Decimal(str(value))


def _product(made: scenario.Made, series: Series) -> Product:
    pattern, _new = Pattern.objects.get_or_create(
        shop=series.shop, name=made.pattern, defaults={"form": made.form, "sharp": made.sharp}
    )
    product = Product.objects.create(
        series=series, pattern=pattern, code=made.code, name=made.pattern, head_weight_g=Decimal(made.head_g)
    )
    for number in made.numbers:
        _piece(made, product, number)
    return product


def _piece(made: scenario.Made, product: Product, number: int) -> None:
    """One piece as the smith would measure it: to half a millimetre and two grams, with the scatter of the hand."""
    # By its label: the demonstration has the same pieces on every machine.
    hand = random.Random(f"{made.code}-{number}")
    typed = {}
    for name, scatter in SCATTER_MM.items():
        typed[name] = f"{round(2 * (getattr(made, name) + hand.uniform(-scatter, scatter))) / 2:g} mm"
    typed["weight_g"] = f"{2 * round((made.weight_g + hand.uniform(-SCATTER_G, SCATTER_G)) / 2)} g"
    piece = Piece(product=product, number=number)
    mark = Mark.LEFT if made.form == Form.HAMMER else Mark.RIGHT
    # Read like typed ones, so that the demonstration has nothing that the shop would refuse.
    measures = measurements.read_measures(typed, product, length_unit="mm", weight_unit="g", mark=mark)
    measurements.record(piece, measures, edge_guard_on=made.sharp != Sharp.NONE)
    tested = timezone.now() - dt.timedelta(days=hand.randrange(20, 60))
    for place, before, after in made.hardness:
        for when, value in ((Reading.When.BEFORE, before), (Reading.When.AFTER, after)):
            Reading.objects.create(
                piece=piece, place=place, value=Decimal(value + hand.randrange(-2, 3)), when=when, tested_at=tested,
                by="Invented smith",
            )  # fmt: skip


def _retire(products: dict[str, Product]) -> None:
    for (code, number, reason), state in (
        (scenario.KEPT_BACK, PieceState.KEPT_BACK),
        (scenario.MIS_STAMPED, PieceState.MIS_STAMPED),
    ):
        piece = products[code].pieces.get(number=number)
        piece.state, piece.reason = state, reason
        piece.save()


def _set(series: Series, products: dict[str, Product]) -> None:
    full = ProductSet.objects.create(series=series, name=f"{series.name} full set", full=True)
    for made in scenario.PRODUCTS:
        if made.series == series.name:
            SetMember.objects.create(product_set=full, product=products[made.code])


def _orders(shop: Shop, products: dict[str, Product]) -> None:
    customers = {}
    for name, (address, country, length_unit, weight_unit) in scenario.CUSTOMERS.items():
        customers[name] = Customer.objects.create(
            shop=shop, name=name, address=address, country=country, length_unit=length_unit, weight_unit=weight_unit
        )
    for customer, notes, lines in scenario.ORDERS:
        order = open_order(customers[customer], notes=notes)
        for wanted in lines:
            OrderLine.objects.create(
                order=order, quantity=wanted.quantity, matched=wanted.matched, unit_price=Decimal(wanted.price),
                product=products.get(wanted.what),
                product_set=ProductSet.objects.get(shop=shop) if wanted.what == scenario.FULL_SET else None,
                block=Block.objects.filter(shop=shop, name=wanted.what).first(),
            )  # fmt: skip
        proposal = allocation.propose(order)
        chosen = [(slot.line, slot.piece) for slot in proposal.slots if slot.piece is not None]
        allocation.allocate(order, chosen)

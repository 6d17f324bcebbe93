"""Quotes of a mix: asked, answered from what is known already or planned at once, stored."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from shop import adapter
from shop.formatting import Units, Wording
from shop.models import (
    Block,
    Customer,
    KnownAnswer,
    Order,
    OrderLine,
    Piece,
    PriceTable,
    Product,
    ProductSet,
    Quote,
    QuoteLine,
    RateRule,
    Shop,
    User,
)
from shop.services import allocation
from shop.services.errors import CannotQuote
from shop.services.orders import open_order
from shop.services.passing import again_after_a_clash
from shop.services.shops import today

SECONDS_FEW, SECONDS_MANY, FEW_ITEMS = 0.5, 2.5, 6
"""A quote is asked for with the customer at the telephone; the box that is made is searched for longer."""
MOST_QUOTED = 60
"""A longer search than a visitor waits for would be needed for more."""
USUAL_DAYS = 30
TRIES = 5

_one_search = threading.Lock()
"""Two searches at once would each take twice as long: who asks second waits for the first."""


@dataclass(frozen=True)
class AskedLine:
    """One line of what is asked about: a chosen piece, or a product, a set or a block so many times."""

    product: Product | None = None
    product_set: ProductSet | None = None
    block: Block | None = None
    piece: Piece | None = None
    quantity: int = 1
    matched: bool = False

    def products(self) -> list[Product]:
        """The products of which pieces are still to be chosen, one entry a piece."""
        if self.piece is not None or self.block is not None:
            return []
        one = OrderLine(product=self.product, product_set=self.product_set, quantity=self.quantity)
        return one.products_wanted()


@dataclass(frozen=True)
class Asked:
    """A mix and where it goes: two letters of a country, and a postcode where it matters."""

    shop: Shop
    lines: tuple[AskedLine, ...]
    country: str
    postcode: str = ""


def answer(asked: Asked, *, on: dt.date | None = None) -> adapter.QuoteContent:
    """Tell what a mix would cost to send.

    Parameters
    ----------
    asked
        With at least one line.
    on
        The day whose rules and prices count; today where left out.

    Returns
    -------
    QuoteContent

    Raises
    ------
    CannotQuote
        There are too many items, or no box was found.
    NotReady, BadInput
        See `adapter.pack_orders`.
    """
    shop, day = asked.shop, on or today(asked.shop)
    orders = adapter.pack_orders(_request(asked))
    parcels = _known_or_planned(shop, orders).parcels
    tariffs = [adapter.tariff_of(row) for row in PriceTable.objects.filter(shop=shop)]
    services = adapter.service_quotes(
        parcels,
        RateRule.objects.filter(shop=shop),
        tariffs,
        day,
        sent_from=shop.country,
        to=asked.country,
        postcode=asked.postcode,
    )
    return adapter.QuoteContent(parcels, services, orders.names, orders.grounds, orders.own_scatter, orders.firm, day)


def store(asked: Asked, content: adapter.QuoteContent, *, good_until: dt.date, by: User | None = None) -> Quote:
    """Keep what a customer is told, under the shop's next number of quotes.

    Parameters
    ----------
    asked, content
        The mix and what `answer` told of it.
    good_until
        The last day on which it holds.
    by
        Who stores it.

    Returns
    -------
    Quote
    """
    for _try in range(TRIES - 1):
        try:
            return _store(asked, content, good_until, by)
        except IntegrityError:
            # Somebody else took the number meanwhile.
            continue
    return _store(asked, content, good_until, by)


@again_after_a_clash
def make_order(quote: Quote, customer: Customer, *, by: User | None = None) -> Order:
    """Open an order of what was quoted, with the pieces that were chosen.

    Parameters
    ----------
    quote
        Not ordered yet, and within its date.
    customer
        In the country that was quoted for.
    by
        Who opens it.

    Returns
    -------
    Order

    Raises
    ------
    CannotQuote
        The quote is past its date, has an order already, or is for another country; nothing is stored.
    CannotAllocate
        A chosen piece is on the rack no more; nothing is stored.
    """
    with transaction.atomic():
        locked = Quote.objects.select_for_update(of=("self",)).select_related("shop").get(pk=quote.pk)
        if locked.order_id is not None:
            raise CannotQuote(_("Quote %(number)d has an order already.") % {"number": locked.number})
        if is_past(locked):
            raise CannotQuote(past_words(locked))
        if customer.country != locked.country:
            named = {"number": locked.number, "country": locked.country, "customer": customer.name}
            raise CannotQuote(
                _("Quote %(number)d is for %(country)s, and %(customer)s lives elsewhere: ask again for there.") % named
            )
        order = open_order(customer, notes=_("From quote %(number)d.") % {"number": locked.number})
        choices = []
        for line in locked.lines.select_related("product", "product_set", "block", "piece"):
            made = OrderLine.objects.create(
                order=order,
                product=line.product,
                product_set=line.product_set,
                block=line.block,
                quantity=line.quantity,
                matched=line.matched,
            )
            if line.piece is not None:
                choices.append((made, line.piece))
        # In the same transaction: where a piece is gone there is no order either.
        if choices:
            allocation.allocate(order, choices, by=by)
        Quote.objects.filter(pk=locked.pk).update(order=order)
    return order


def is_past(quote: Quote) -> bool:
    """Tell whether a quote holds no more."""
    return quote.good_until < today(quote.shop)


def past_words(quote: Quote) -> str:
    """That a quote holds no more, and what to do."""
    named = {"number": quote.number, "day": quote.good_until.isoformat()}
    return _("Quote %(number)d held until %(day)s: ask again what it costs now.") % named


def usual_end(shop: Shop, content: adapter.QuoteContent) -> dt.date:
    """The last day that a new quote holds: the usual time, or less where a rule or price it stands on ends sooner."""
    ends = [today(shop) + dt.timedelta(days=USUAL_DAYS)]
    for service in content.services:
        ends += [one.valid_to for one in service.most.bills if one.valid_to is not None]
        ends += [one.valid_to for one in service.most.charges if one.valid_to is not None]
    return min(ends)


def typed(quote: Quote) -> str:
    """The mix of a stored quote as it is typed, to be asked about anew."""
    lines = quote.lines.select_related("product", "product_set", "block", "piece__product")
    return ", ".join(_typed(line) for line in lines)


def _typed(line: QuoteLine) -> str:
    if line.piece is not None:
        return line.piece.label
    name = line.product.code if line.product is not None else str(line.what)
    return f"{line.quantity} {name}{' matched' if line.matched else ''}"


def _request(asked: Asked) -> adapter.PackRequest:
    pieces = tuple(line.piece for line in asked.lines if line.piece is not None)
    products = tuple(product for line in asked.lines for product in line.products())
    blocks = tuple(line.block for line in asked.lines if line.block is not None for _copy in range(line.quantity))
    count = len(pieces) + len(products) + len(blocks)
    if count > MOST_QUOTED:
        named = {"count": count, "most": MOST_QUOTED}
        raise CannotQuote(_("These are %(count)d items; at most %(most)d can be asked about at once.") % named)
    sets = tuple(
        tuple(line.products()[: len(line.products()) // line.quantity])
        for line in asked.lines
        if line.product_set is not None
        for _copy in range(line.quantity)
    )
    return adapter.PackRequest(asked.shop, asked.country, pieces, products, blocks, sets)


def _known_or_planned(shop: Shop, orders: adapter.PackOrders) -> adapter.Answer:
    key = adapter.answer_key(shop, orders)
    known = KnownAnswer.objects.filter(shop=shop, key=key).first()
    if known is not None:
        return adapter.read_answer(known.content)
    # Held while the box is searched for and no longer: known answers wait for nobody.
    with _one_search:
        few = len(orders.names) <= FEW_ITEMS
        try:
            found = adapter.plan_answer(shop, orders, seconds=SECONDS_FEW if few else SECONDS_MANY)
        except adapter.NoAnswer as fault:
            raise CannotQuote(Wording(Units(shop.length_unit, shop.weight_unit)).message(fault.reason)) from fault
    # Answers of an earlier state of the code would never be asked for again.
    state = adapter.code_state()
    KnownAnswer.objects.filter(shop=shop).exclude(code_state=state).delete()
    KnownAnswer.objects.get_or_create(
        shop=shop, key=key, defaults={"code_state": state, "content": adapter.answer_content(found)}
    )
    return found


def _store(asked: Asked, content: adapter.QuoteContent, good_until: dt.date, by: User | None) -> Quote:
    with transaction.atomic():
        Shop.objects.select_for_update(no_key=True).get(pk=asked.shop.pk)  # one at a time takes the next number
        highest = Quote.objects.filter(shop=asked.shop).order_by("-number").values_list("number", flat=True).first()
        quote = Quote.objects.create(
            shop=asked.shop,
            number=(highest or 0) + 1,
            country=asked.country,
            postcode=asked.postcode,
            content=content.content(),
            made_by=by,
            good_until=good_until,
        )
        _store_lines(quote, asked.lines)
    return quote


def _store_lines(quote: Quote, lines: Sequence[AskedLine]) -> None:
    for line in lines:
        QuoteLine.objects.create(
            quote=quote,
            product=line.piece.product if line.piece is not None else line.product,
            product_set=line.product_set,
            block=line.block,
            piece=line.piece,
            quantity=line.quantity,
            matched=line.matched,
        )

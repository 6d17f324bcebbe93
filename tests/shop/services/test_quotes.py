"""What a mix would cost to send: answered, known again, stored, made an order, past its date."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from shop import adapter
from shop.demo.prices import prices_text
from shop.models import Block, Customer, KnownAnswer, Order, PriceTable, Product, Quote, RateRule, Shop
from shop.services import allocation, prices, quotes
from shop.services.errors import CannotAllocate, CannotQuote
from shop.services.shops import today
from tests.shop.conftest import make_piece

DAY = dt.date(2026, 3, 7)


@pytest.fixture(autouse=True)
def _short_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(quotes, "SECONDS_FEW", 0.1)


@pytest.fixture
def priced(stocked: Shop, product: Product) -> Any:
    """Our forge in the United States, with its rules, invented prices, and two hammers on the rack."""
    stocked.country, stocked.currency = "US", "USD"
    stocked.save()
    RateRule.objects.bulk_create(RateRule(shop=stocked, **row) for row in adapter.published_rules())
    prices.store(stocked, prices_text(dt.date(2026, 1, 1), "USD"))
    make_piece(product, 1, weight_g=Decimal(1400))
    make_piece(product, 2, weight_g=Decimal(1480), handle_length=Decimal(262))
    return stocked


def asked(shop: Any, *lines: Any, country: str = "US", postcode: str = "05201") -> Any:
    return quotes.Asked(
        shop, lines or (quotes.AskedLine(product=Product.objects.get(code="CH125")),), country, postcode
    )


@pytest.fixture
def american(priced: Shop) -> Any:
    return Customer.objects.create(shop=priced, name="B. Mason", country="US")


def service(content: Any, carrier: str, name: str) -> Any:
    return next(one for one in content.services if one.carrier == carrier and one.service.startswith(name))


def stored(shop: Any, *lines: Any, until: Any = None) -> Any:
    wanted = asked(shop, *lines)
    return quotes.store(wanted, quotes.answer(wanted), good_until=until or today(shop) + dt.timedelta(days=9))


def test_every_service_that_goes_there_is_told_and_no_other(priced: Shop) -> None:
    home = {(one.carrier, one.service) for one in quotes.answer(asked(priced), on=DAY).services}
    assert ("UPS", "Ground, United States") in home and ("DHL", "Express") not in home
    abroad = quotes.answer(asked(priced, country="SE"), on=DAY).services
    assert ("DHL", "Express") in {(one.carrier, one.service) for one in abroad}
    assert not any("United States" in one.service for one in abroad)


def test_a_price_is_that_of_the_billed_weight_in_the_zone(priced: Shop) -> None:
    ground = service(quotes.answer(asked(priced), on=DAY), "UPS", "Ground")
    # Zone 2 of the invented table: 9.40 for the first pound and 0.52 for each further one.
    assert ground.least.price == Decimal("9.40") + (ground.least.billed - 1) * Decimal("0.52")
    assert ground.least.billed <= ground.most.billed


def test_what_has_a_price_stands_first_the_cheapest_before_the_dearer(priced: Shop) -> None:
    found = [one.most.price for one in quotes.answer(asked(priced), on=DAY).services if one.taken]
    known = [price for price in found if price is not None]
    assert len(known) == 2 and known == sorted(known) and found[: len(known)] == known


def test_rules_and_prices_are_those_of_the_day(priced: Shop) -> None:
    early = quotes.answer(asked(priced), on=dt.date(2025, 3, 7))
    assert service(early, "UPS", "Ground").most.charges == ()
    assert service(early, "UPS", "Ground").most.bills[0].valid_from < dt.date(2025, 3, 7)


def test_an_answer_that_is_known_is_not_planned_again(priced: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    first = quotes.answer(asked(priced))
    monkeypatch.setattr(adapter, "plan_answer", None)
    assert quotes.answer(asked(priced)) == first
    assert KnownAnswer.objects.count() == 1


def test_prices_of_now_count_for_a_known_answer(priced: Shop) -> None:
    quotes.answer(asked(priced), on=DAY)
    PriceTable.objects.all().delete()
    assert service(quotes.answer(asked(priced), on=DAY), "UPS", "Ground").most.price is None


def test_an_answer_of_other_code_is_put_away(priced: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    quotes.answer(asked(priced))
    monkeypatch.setattr("shop.adapter.answers.code_state", lambda: "e" * 64)
    monkeypatch.setattr(adapter, "code_state", lambda: "e" * 64)
    quotes.answer(asked(priced))
    assert [row.code_state for row in KnownAnswer.objects.all()] == ["e" * 64]


def test_a_stored_quote_keeps_what_was_told_whatever_changes_after(priced: Shop) -> None:
    quote = stored(priced)
    told = adapter.read_quote(Quote.objects.get().content)
    RateRule.objects.all().delete()
    PriceTable.objects.all().delete()
    make_piece(Product.objects.get(), 3, weight_g=Decimal(1900))
    assert adapter.read_quote(Quote.objects.get().content) == told
    assert (quote.number, stored(priced).number) == (1, 2)


def test_a_quote_becomes_an_order_without_retyping(priced: Shop, american: Customer, wax: Block) -> None:
    product = Product.objects.get()
    chosen = product.pieces.get(number=2)
    lines = (quotes.AskedLine(product=product), quotes.AskedLine(piece=chosen), quotes.AskedLine(block=wax, quantity=2))
    quote = stored(priced, *lines)
    assert quotes.typed(quote) == "1 CH125, CH125-002, 2 wax"
    order = quotes.make_order(quote, american)
    assert [(line.what, line.quantity) for line in order.lines.all()] == [(product, 1), (product, 1), (wax, 2)]
    assert [held.piece for held in order.lines.all()[1].allocations.all()] == [chosen]
    quote.refresh_from_db()
    assert quote.order == order


def test_a_quote_makes_one_order(priced: Shop, american: Customer) -> None:
    quote = stored(priced)
    quotes.make_order(quote, american)
    with pytest.raises(CannotQuote, match="has an order already"):
        quotes.make_order(quote, american)


def test_a_quote_past_its_date_says_so_and_makes_no_order(priced: Shop, american: Customer) -> None:
    now = today(priced)
    quote = stored(priced, until=now)
    assert not quotes.is_past(quote)
    Quote.objects.update(good_until=now - dt.timedelta(days=1))
    quote.refresh_from_db()
    assert quotes.is_past(quote)
    with pytest.raises(CannotQuote, match="held until"):
        quotes.make_order(quote, american)
    assert not Order.objects.exists()


def test_a_customer_who_lives_elsewhere_is_asked_for_again(priced: Shop, customer: Customer) -> None:
    with pytest.raises(CannotQuote, match="lives elsewhere"):
        quotes.make_order(stored(priced), customer)
    assert not Order.objects.exists()


def test_a_chosen_piece_that_was_taken_meanwhile_leaves_nothing_half_done(
    priced: Shop, american: Customer, order: Order
) -> None:
    piece = Product.objects.get().pieces.get(number=2)
    quote = stored(priced, quotes.AskedLine(product=piece.product), quotes.AskedLine(piece=piece))
    line = order.lines.create(product=piece.product, shop=priced)
    allocation.allocate(order, [(line, piece)])
    with pytest.raises(CannotAllocate, match="CH125-002"):
        quotes.make_order(quote, american)
    assert Order.objects.count() == 1
    quote.refresh_from_db()
    assert quote.order is None


def test_a_new_quote_holds_no_longer_than_a_price_it_stands_on(priced: Shop) -> None:
    now = today(priced)
    content = quotes.answer(asked(priced))
    assert quotes.usual_end(priced, content) == now + dt.timedelta(days=quotes.USUAL_DAYS)
    PriceTable.objects.filter(carrier="UPS").update(valid_to=now + dt.timedelta(days=3))
    assert quotes.usual_end(priced, quotes.answer(asked(priced))) == now + dt.timedelta(days=3)


def test_more_than_can_be_answered_at_once_is_refused(priced: Shop) -> None:
    many = quotes.AskedLine(product=Product.objects.get(), quantity=quotes.MOST_QUOTED + 1)
    with pytest.raises(CannotQuote, match="These are 61 items; at most 60"):
        quotes.answer(asked(priced, many))


def test_a_rule_that_cannot_be_used_is_told_with_its_fault(priced: Shop) -> None:
    RateRule.objects.filter(carrier="DHL").update(triggers=[{"name": ""}])
    broken = service(quotes.answer(asked(priced, country="SE"), on=DAY), "DHL", "Express")
    assert not broken.taken and "triggers[0]" in broken.fault

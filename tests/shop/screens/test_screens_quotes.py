"""“What would it cost to send?”: asked on the front page, stored, printed, made an order; prices from a file."""

import datetime as dt
import io
import re
import time
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as django_settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from shop import adapter
from shop.demo.prices import prices_text
from shop.models import Customer, Order, Piece, PriceTable, Product, Quote, RateRule, Shop
from shop.services import prices, quotes
from tests.shop.conftest import make_piece
from tests.shop.screens.browser import CHROMIUM, look_at
from tests.shop.screens.keyboard import Keyboard

MIX = {"mix": "ch125, 2 wax", "country": "US", "postcode": "05201"}


@pytest.fixture(autouse=True)
def _short_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(quotes, "SECONDS_FEW", 0.1)


@pytest.fixture
def priced(stocked: Shop, product: Product, wax: Any) -> Any:
    stocked.country, stocked.currency, stocked.is_demo = "US", "USD", True
    stocked.save()
    RateRule.objects.bulk_create(RateRule(shop=stocked, **row) for row in adapter.published_rules())
    prices.store(stocked, prices_text(dt.date(2026, 1, 1), "USD"))
    make_piece(product, 1, weight_g=Decimal(1400))
    make_piece(product, 2, weight_g=Decimal(1480), handle_length=Decimal(262))
    return stocked


@pytest.fixture
def quote(at_the_bench: Client, priced: Shop) -> Any:
    store(at_the_bench)
    return Quote.objects.get()


def ask(client: Client, **changes: Any) -> Any:
    return client.get(reverse("ask-quote"), {**MIX, **changes})


def store(client: Client, **changes: Any) -> Any:
    page = ask(client).content.decode()
    (seen,) = re.findall(r'name="seen" value="(\w+)"', page)
    until = (timezone.localdate() + dt.timedelta(days=5)).isoformat()
    return client.post(reverse("quotes"), {**MIX, "good_until": until, "seen": seen, **changes})


def text_of(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def test_the_front_page_asks_and_one_screen_answers(at_the_bench: Client, priced: Shop) -> None:
    assert "What would it cost to send?" in at_the_bench.get("/").content.decode()
    page = ask(at_the_bench).content.decode()
    assert "UPS: Ground, United States" in page and "USD" in page
    assert "A range, as pieces are not chosen yet" in page
    assert "none of them has to do with Stowright" in page
    assert "Invented for demonstration" in page


def test_a_chosen_piece_makes_it_firm(at_the_bench: Client, priced: Shop) -> None:
    assert "Firm: every piece is chosen." in ask(at_the_bench, mix="CH125-001").content.decode()


@pytest.mark.parametrize(
    ("mix", "words"),
    [
        ("", "Say what is to be sent."),
        (" ; ", "Say what is to be sent."),
        ("moon", "“moon” is no product, set or block of the shop."),
        ("61 CH125", "how many must be from 1 to 60, not 61"),
        ("CH125-009", "is no piece of the shop"),
        ("CH125-001, CH125-001", "named twice"),
        ("CH125 matched", "Only a set can be matched"),
        ("CH125, SP080", "SP080 SP080 has no measures"),
        ("40 CH125, 30 wax", "These are 70 items; at most 60"),
    ],
)
def test_what_cannot_be_asked_about_is_told_and_what_was_typed_stays(
    at_the_bench: Client, priced: Shop, other_product: Any, mix: str, words: str
) -> None:
    answer = ask(at_the_bench, mix=mix)
    page = answer.content.decode()
    assert (answer.status_code, words in page) == (400, True)
    assert f'value="{mix}"' in page or not mix.strip()


def test_a_word_that_could_be_several_things_names_them(at_the_bench: Client, priced: Shop, pair: Any) -> None:
    assert "“s” could be SP080" not in ask(at_the_bench, mix="pair").content.decode()
    Product.objects.update(name="Cross peen")
    assert "“cross” could be CH125, SP080" in ask(at_the_bench, mix="cross").content.decode()


@pytest.mark.parametrize("typed", ["2 CH125", "2x ch125", "CH125 x2", "2 × CH125", "ch125, ch125"])
def test_a_count_is_typed_before_or_after(at_the_bench: Client, priced: Shop, typed: str) -> None:
    assert "2 × CH125" in ask(at_the_bench, mix=typed).content.decode()


def test_a_piece_that_is_not_on_the_rack_says_where_it_is(at_the_bench: Client, priced: Shop) -> None:
    Piece.objects.filter(number=1).update(state="sent")
    assert "CH125-001 is sent." in ask(at_the_bench, mix="CH125-001").content.decode()


def test_a_packer_is_told_weights_and_no_prices(log_in: Any, priced: Shop) -> None:
    page = ask(log_in("packer")).content.decode()
    assert "Billed weight" in page
    assert "USD" not in page and "Price" not in page and "Store" not in page


def test_a_quote_is_stored_as_it_was_seen(at_the_bench: Client, priced: Shop) -> None:
    answer = store(at_the_bench)
    assert answer["Location"] == reverse("quote", args=[1])
    page = at_the_bench.get(answer.url).content.decode()
    assert "1 × CH125 CH125" in page and "2 × wax" in page


def test_nothing_is_stored_that_was_not_seen(at_the_bench: Client, priced: Shop) -> None:
    answer = store(at_the_bench, seen="another")
    assert answer.status_code == 400
    assert "have changed meanwhile" in answer.content.decode()
    assert not Quote.objects.exists()
    (again,) = re.findall(r'name="seen" value="(\w+)"', answer.content.decode())
    assert store(at_the_bench, seen=again).status_code == 302


@pytest.mark.parametrize("day", ["2020-01-01", "2099-01-01", "tomorrow", ""])
def test_a_day_that_no_quote_holds_until_is_refused(at_the_bench: Client, priced: Shop, day: str) -> None:
    assert store(at_the_bench, good_until=day).status_code == 400
    assert not Quote.objects.exists()


def test_the_customers_page_is_one_page_without_the_shops_costs(at_the_bench: Client, quote: Any) -> None:
    quote.shop.hour_price = Decimal(32)
    quote.shop.save()
    answer = at_the_bench.get(reverse("print-quote", args=[1]))
    text = text_of(answer.content)
    assert len(PdfReader(io.BytesIO(answer.content)).pages) == 1
    for words in ("Quote 1", quote.good_until.isoformat(), "UPS: Ground", "USD", "INVENTED", "Rules and prices as"):
        assert words in text
    for secret in ("material", "minutes", "hour", "board", "foam"):
        assert secret not in text.lower()
    assert at_the_bench.get(reverse("print-quote", args=[1])).content == answer.content


def test_a_quote_past_its_date_says_so_on_screen_and_paper(at_the_bench: Client, quote: Any) -> None:
    Quote.objects.update(good_until=dt.date(2026, 1, 5))
    assert "Quote 1 held until 2026-01-05" in at_the_bench.get(reverse("quote", args=[1])).content.decode()
    assert "Quote 1 held until 2026-01-05" in text_of(at_the_bench.get(reverse("print-quote", args=[1])).content)
    assert "past" in at_the_bench.get(reverse("quotes")).content.decode()
    answer = at_the_bench.post(reverse("order-quote", args=[1]), {"name": "B. Mason", "country": "US"})
    assert answer["Location"] == reverse("quote", args=[1])
    assert not Order.objects.exists() and not Customer.objects.exists()


def test_a_quote_becomes_an_order_of_a_new_customer(at_the_bench: Client, quote: Any) -> None:
    answer = at_the_bench.post(reverse("order-quote", args=[1]), {"name": "B. Mason", "country": "US"})
    order = Order.objects.get()
    assert answer["Location"] == reverse("order", args=[order.number])
    assert [str(line) for line in order.lines.all()] == ["1 × CH125 CH125", "2 × wax"]
    page = at_the_bench.get(reverse("quote", args=[1])).content.decode()
    assert f"It became order {order.number}." in page and "Open the order" not in page


def test_an_order_without_a_customer_is_refused_in_the_form(at_the_bench: Client, quote: Any) -> None:
    answer = at_the_bench.post(reverse("order-quote", args=[1]), {"name": "", "country": "US"})
    assert (answer.status_code, Order.objects.exists()) == (400, False)


ADDRESSES = {
    "quote": ("get", ("owner", "packer", "bookkeeper")),
    "print-quote": ("get", ("owner", "bookkeeper")),
    "order-quote": ("post", ("owner",)),
}


@pytest.mark.parametrize("role", ["owner", "packer", "bookkeeper"])
@pytest.mark.parametrize("name", ADDRESSES)
def test_a_quote_is_for_the_roles_that_may(log_in: Any, quote: Any, role: str, name: str) -> None:
    method, allowed = ADDRESSES[name]
    answer = getattr(log_in(role), method)(reverse(name, args=[1]))
    assert (answer.status_code == 403) == (role not in allowed)


@pytest.mark.parametrize("name", ADDRESSES)
def test_a_quote_does_not_exist_for_a_stranger(log_in: Any, quote: Any, name: str) -> None:
    assert getattr(log_in("stranger"), ADDRESSES[name][0])(reverse(name, args=[1])).status_code == 404


def test_a_strangers_quotes_and_prices_show_nothing_of_ours(log_in: Any, quote: Any) -> None:
    client = log_in("stranger")
    assert b"2026" not in client.get(reverse("quotes")).content.split(b"<main")[1].split(b"<footer")[0]
    assert b"UPS" not in client.get(reverse("prices")).content
    assert b"UPS" not in client.get(reverse("prices-file")).content
    assert "is no product" in ask(client).content.decode()


@pytest.mark.parametrize(("role", "status"), [("packer", 403), ("bookkeeper", 403)])
def test_only_the_owner_stores_quotes_and_prices(log_in: Any, priced: Shop, role: str, status: int) -> None:
    client = log_in(role)
    assert client.post(reverse("quotes"), MIX).status_code == status
    assert client.post(reverse("prices"), {"text": "x"}).status_code == status


def test_prices_are_looked_through_then_stored_and_come_out_as_a_file(at_the_bench: Client, priced: Shop) -> None:
    text = prices_text(dt.date(2027, 1, 1), "USD")
    upload = SimpleUploadedFile("prices.csv", text.encode("utf-8-sig"))
    page = at_the_bench.post(reverse("prices"), {"file": upload}).content.decode()
    assert "What would be stored" in page and "then ends on 2026-12-31" in page
    assert PriceTable.objects.count() == 3
    assert at_the_bench.post(reverse("prices"), {"text": text, "store": "yes"}).status_code == 302
    assert PriceTable.objects.count() == 6
    assert at_the_bench.get(reverse("prices-file")).content.decode().count("2027-01-01") > 300


def test_a_file_with_a_fault_is_told_by_line_and_nothing_is_stored(at_the_bench: Client, priced: Shop) -> None:
    text = prices_text(dt.date(2027, 1, 1), "USD").replace("9.40", "-9.40", 1)
    for data in ({"text": text}, {"text": text, "store": "yes"}):
        answer = at_the_bench.post(reverse("prices"), data)
        assert answer.status_code == 400
        assert "Line 3, price: must be zero or more, not -9.40." in answer.content.decode()
    assert PriceTable.objects.count() == 3


@pytest.mark.parametrize("data", [{"text": " "}, {}, {"file": SimpleUploadedFile("x.csv", b"")}])
def test_no_file_at_all_is_refused(at_the_bench: Client, priced: Shop, data: Any) -> None:
    assert at_the_bench.post(reverse("prices"), data).status_code == 400


@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium")
def test_quotes_and_prices_keep_the_rules_for_everyone(at_the_bench: Client, quote: Any, tmp_path: Path) -> None:
    text = prices_text(dt.date(2027, 1, 1), "USD")
    pages = [
        ask(at_the_bench),
        at_the_bench.get(reverse("quote", args=[1])),
        at_the_bench.get(reverse("quotes")),
        at_the_bench.post(reverse("prices"), {"text": text}),
    ]
    for answer in pages:
        for found in look_at(answer.content.decode(), tmp_path):
            assert found == {"texts": [], "targets": [], "broken": [], "overflow": 0}


@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium")
def test_from_the_front_page_to_a_printed_quote_in_twenty_five_strokes(
    live_server: Any, log_in: Any, priced: Shop, tmp_path: Path
) -> None:
    client = log_in("owner")
    key = client.cookies[django_settings.SESSION_COOKIE_NAME].value
    with Keyboard(tmp_path) as keyboard:
        keyboard.open(live_server.url + "/", **{django_settings.SESSION_COOKIE_NAME: key})
        began = time.monotonic()
        keyboard.click("#id_mix")
        keyboard.type("2 ch125, wax")
        keyboard.press("Enter")
        keyboard.click("button[name=print]")
        end = began + 60
        while not Quote.objects.exists() and time.monotonic() < end:
            time.sleep(0.1)
        keyboard.until("location.pathname == '/quotes/1/print/'")
        seconds = time.monotonic() - began
        strokes = keyboard.strokes
    assert text_of(client.get(reverse("print-quote", args=[1])).content).startswith("Test forge")
    assert (strokes <= 25, seconds < 60) == (True, True), (strokes, seconds)

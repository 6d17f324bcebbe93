"""Carriers' prices from a file: looked through, stored whole or not at all, the table before ended."""

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from shop import adapter
from shop.demo.prices import prices_text
from shop.models import PriceTable, RateRule, Shop
from shop.services import prices
from shop.services.errors import PricesRefused

HEAD = "row,carrier,service,valid_from,currency,zone,up_to,price\n"


@pytest.fixture
def ruled(forge: Shop) -> Any:
    for service in ("parcel", "letter"):
        RateRule.objects.create(
            shop=forge, carrier="Post", service=service, valid_from="2025-01-01", system="cm/kg", max_weight=Decimal(20)
        )
    return forge


def table(service: str = "parcel", start: str = "2026-01-01", price: str = "6.50", up_to: str = "20") -> str:
    return f"price,Post,{service},{start},EUR,,{up_to},{price}\n"


def on_file() -> Any:
    rows = PriceTable.objects.order_by("service", "valid_from")
    return [(row.service, str(row.valid_from), row.valid_to and str(row.valid_to)) for row in rows]


def test_looking_through_stores_nothing(ruled: Shop) -> None:
    found = prices.preview(ruled, HEAD + table())
    assert [one.zones for one in found.tables] == [1]
    assert not PriceTable.objects.exists()


def test_a_table_from_a_later_day_ends_the_one_before_it(ruled: Shop) -> None:
    prices.store(ruled, HEAD + table() + table("letter"))
    (new,) = prices.preview(ruled, HEAD + table(start="2026-07-12")).tables
    assert new.ends is not None
    assert (new.ends.service, new.last_day) == ("parcel", dt.date(2026, 7, 11))
    prices.store(ruled, HEAD + table(start="2026-07-12"))
    assert on_file() == [
        ("letter", "2026-01-01", None),
        ("parcel", "2026-01-01", "2026-07-11"),
        ("parcel", "2026-07-12", None),
    ]


def test_a_table_from_the_same_day_replaces_it(ruled: Shop) -> None:
    prices.store(ruled, HEAD + table())
    prices.store(ruled, HEAD + table(price="7"))
    (row,) = PriceTable.objects.all()
    assert adapter.tariff_of(row).price_of("", Fraction(1)) == Decimal(7)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (HEAD + table() + table(up_to="20"), "must be more than 20"),
        (HEAD + table("air"), "no carrier’s rule “air” of Post"),
        (HEAD + table(start="2025-06-01"), "two tables overlap"),
        (HEAD + "zone,Post,parcel,2026-01-01,EUR,north,,\n" + table(), "zone north has destinations and no price"),
        ("x" * 2_000_001, "too long"),
    ],
)
def test_a_file_with_a_fault_is_stored_in_no_part(ruled: Shop, text: str, words: str) -> None:
    prices.store(ruled, HEAD + table(price="5"))
    assert any(words in fault.sentence for fault in prices.preview(ruled, text).faults)
    with pytest.raises(PricesRefused, match="what was in force stays"):
        prices.store(ruled, text)
    (row,) = PriceTable.objects.all()
    assert adapter.tariff_of(row).price_of("", Fraction(1)) == Decimal(5)


def test_prices_that_end_below_the_services_limit_and_strange_surcharges_are_noted(ruled: Shop) -> None:
    head = HEAD.replace("price\n", "price,surcharge\n")
    text = head + table(up_to="10").replace("\n", ",\n") + "surcharge,Post,parcel,2026-01-01,EUR,,,3,moon fee\n"
    notes = prices.preview(ruled, text).notes
    assert notes == (
        "Post parcel: prices end at 10, the service takes 20.",
        "Post parcel: “moon fee” is no surcharge of its rule.",
    )


def test_the_invented_tables_are_sound_and_say_what_they_are(ruled: Shop) -> None:
    RateRule.objects.bulk_create(RateRule(shop=ruled, **row) for row in adapter.published_rules())
    found = prices.store(ruled, prices_text(dt.date(2026, 1, 1), "USD"))
    assert found.notes == ()
    assert {row.source for row in PriceTable.objects.all()} == {"Invented for demonstration"}


def test_the_tables_on_file_come_back_as_they_went_out(ruled: Shop) -> None:
    prices.store(ruled, HEAD + table() + table("letter"))
    out = adapter.write_prices(PriceTable.objects.all())
    before = [adapter.tariff_of(row) for row in PriceTable.objects.all()]
    PriceTable.objects.all().delete()
    prices.store(ruled, out)
    assert [adapter.tariff_of(row) for row in PriceTable.objects.all()] == before

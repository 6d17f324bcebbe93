"""Price tables: which zone a destination is in, what a bill costs, what is wrong with a table, the file in and out."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from packing.carry import (
    Service,
    SurchargePrice,
    Tariff,
    Trigger,
    WeightPrice,
    Zone,
    bill,
    charge,
    faults_of,
    read_tariffs,
    tariff_on,
    write_tariffs,
)
from packing.carry.kinds import Measure

JANUARY, JULY = dt.date(2026, 1, 1), dt.date(2026, 7, 1)
SERVICE = Service(
    "carrier",
    "ground",
    JANUARY,
    divisor=None,
    triggers=(Trigger("long", Measure.LONGEST, Decimal(48)), Trigger("heavy", Measure.WEIGHT, Decimal(50))),
)
TABLE = Tariff(
    carrier="carrier",
    service="ground",
    valid_from=JANUARY,
    valid_to=None,
    currency="USD",
    prices=(
        WeightPrice("near", Decimal(0), Decimal(1), Decimal("7.50")),
        WeightPrice("near", Decimal(1), Decimal(60), Decimal("8.25")),
        WeightPrice("far", Decimal(0), Decimal(60), Decimal(11)),
    ),
    zones=(Zone("near", "US", "100", "149"), Zone("far", "US"), Zone("near", "US", "9021", "9021")),
    surcharges=(SurchargePrice("long", Decimal("4.10")),),
    source="a page",
    as_of=JANUARY,
)
INCH, POUND_MG = 25_400, 453_592


def priced(sides: Any, pounds: Any, *, to: str = "US", postcode: str = "10001", table: Tariff = TABLE) -> Any:
    answer = bill(tuple(side * INCH for side in sides), pounds * POUND_MG, SERVICE)
    return charge(answer, table, to, postcode)


@pytest.mark.parametrize(
    ("postcode", "zone"),
    [("10001", "near"), ("14999", "near"), ("15000", "far"), ("09999", "far"), ("902-10", "near"), ("90220", "far")],
)
def test_the_longest_beginning_of_a_postcode_decides_the_zone(postcode: str, zone: str) -> None:
    assert TABLE.zone_of("US", postcode) == zone


def test_a_countrys_own_rows_come_before_those_of_any_country() -> None:
    table = replace(TABLE, zones=(Zone("far", ""), Zone("near", "SE")))
    assert (table.zone_of("SE", "1"), table.zone_of("NO", "1")) == ("near", "far")


@pytest.mark.parametrize(("billed", "price"), [("1", "7.50"), ("1.0001", "8.25"), ("60", "8.25"), ("60.1", None)])
def test_a_row_holds_up_to_its_weight_and_no_further(billed: str, price: str | None) -> None:
    found = TABLE.price_of("near", Fraction(billed))
    assert found == (None if price is None else Decimal(price))


def test_the_total_is_weight_and_surcharges() -> None:
    found = priced((49, 5, 5), 3)
    assert (found.zone, found.weight_price, found.total) == ("near", Decimal("8.25"), Decimal("12.35"))
    assert found.unpriced == ()


def test_a_surcharge_without_a_price_is_named_and_not_in_the_total() -> None:
    found = priced((10, 5, 5), 51)
    assert found.total == Decimal("8.25")
    assert found.unpriced == ("heavy",)


def test_why_there_is_no_price_is_said() -> None:
    assert str(priced((10, 5, 5), 61).missing) == "The price table of carrier ground has no price for 61 lb."
    assert str(priced((10, 5, 5), 1, to="SE").missing) == "No zone of carrier ground leads to SE 10001."
    by_code = replace(TABLE, zones=TABLE.zones[:1])
    assert "go by postcode" in str(priced((10, 5, 5), 1, postcode="", table=by_code).missing)


def test_a_table_holds_on_its_first_and_last_day() -> None:
    first = replace(TABLE, valid_to=dt.date(2026, 6, 30))
    tables = [first, replace(TABLE, valid_from=JULY)]
    days = (dt.date(2025, 12, 31), JANUARY, dt.date(2026, 6, 30), JULY)
    found = [tariff_on(tables, "carrier", "ground", day) for day in days]
    assert [one and one.valid_from for one in found] == [None, JANUARY, JANUARY, JULY]
    assert tariff_on(tables, "carrier", "air", JULY) is None


def test_a_sound_table_has_no_fault() -> None:
    assert faults_of([TABLE]) == []


NEAR = Zone("near", "US")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"prices": TABLE.prices[1:]}, "zone near: no price up to 1"),
        (
            {"prices": (*TABLE.prices, WeightPrice("near", Decimal(61), Decimal(70), Decimal(9)))},
            "a gap, no price above",
        ),
        ({"prices": (*TABLE.prices, WeightPrice("far", Decimal(59), Decimal(70), Decimal(9)))}, "two prices above 59"),
        ({"prices": ()}, "there is no price"),
        ({"zones": (*TABLE.zones, Zone("moon", "US", "999", "999"))}, "zone moon has destinations and no price"),
        ({"zones": (NEAR,)}, "zone far has prices and no destination"),
        ({"zones": ()}, "has prices and no destination"),
        ({"zones": (*TABLE.zones, Zone("far", "US", "140", "160"))}, "zones near and far both take US 140"),
        ({"valid_to": dt.date(2025, 12, 31)}, "its last day is before its first"),
        ({"surcharges": TABLE.surcharges * 2}, "the surcharge “long” has two prices"),
    ],
)
def test_what_is_wrong_with_a_table_is_said(changes: Any, words: str) -> None:
    found = [str(one) for one in faults_of([replace(TABLE, **changes)])]
    assert any(words in sentence for sentence in found), found


def test_two_tables_of_one_service_do_not_share_a_day() -> None:
    later = replace(TABLE, valid_from=JULY)
    assert "two tables overlap" in str(faults_of([TABLE, later])[0])
    ended = replace(TABLE, valid_to=dt.date(2026, 6, 30))
    assert faults_of([ended, later]) == []
    assert faults_of([TABLE, replace(later, service="air")]) == []


def test_a_table_goes_out_as_a_file_and_comes_back() -> None:
    tables = (replace(TABLE, valid_to=dt.date(2026, 6, 30), note="a, “quoted” note"), replace(TABLE, valid_from=JULY))
    found = read_tariffs(write_tariffs(tables))
    assert found.faults == ()
    assert found.tariffs == tables


SHORT = """row;carrier;service;valid_from;currency;zone;up_to;price
price;carrier;ground;2026-01-01;eur;;2;4,50
price;carrier;ground;2026-01-01;;;5;6,10
"""


def test_semicolons_decimal_commas_and_what_is_left_out_are_read() -> None:
    (table,) = read_tariffs("\ufeff" + SHORT).tariffs
    assert table.currency == "EUR"
    assert [(row.above, row.up_to, row.price) for row in table.prices] == [
        (Decimal(0), Decimal(2), Decimal("4.50")),
        (Decimal(2), Decimal(5), Decimal("6.10")),
    ]
    assert table.zone_of("SE", "") == ""


@pytest.mark.parametrize(
    ("old", "new", "line", "column", "words"),
    [
        (
            "price;carrier;ground;2026-01-01;;;5;6,10",
            "price;carrier;ground;2026-01-01;;;5;-1",
            3,
            "price",
            "zero or more",
        ),
        ("6,10", "six", 3, "price", "must be a number, not “six”"),
        ("6,10", "NaN", 3, "price", "zero or more"),
        (";5;", ";2;", 3, "up_to", "must be more than 2, not 2"),
        ("price;carrier;ground;2026-01-01;;", "fee;carrier;ground;2026-01-01;;", 3, "row", "price, zone, surcharge"),
        ("2026-01-01;;", "1.1.2026;;", 3, "valid_from", "a day such as"),
        ("2026-01-01;;", "2026-01-01;usd;", 3, "currency", "is “usd” here and “eur” above"),
        ("eur", "e", 0, "currency", "three letters"),
        ("currency", "cash", 1, "cash", "is not known"),
        ("carrier;service", "service;service", 1, "carrier", "is missing"),
        (SHORT, "", 0, "", "There are no rows"),
    ],
)
def test_a_bad_row_is_told_with_its_line_and_column(old: str, new: str, line: int, column: str, words: str) -> None:
    found = read_tariffs(SHORT.replace(old, new, 1)).faults
    assert found and (found[0].line, found[0].column) == (line, column)
    assert words in str(found[0].message)

"""Both sides of every limit, trigger and first day of the carriers' rules that come along.

Boxes are in whole inches or centimetres unless a check says otherwise, so that rounding moves nothing.
"""

import datetime as dt
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from packing.carry import SERVICES, bill, services_on
from tests.outside import sources as src
from tests.outside.sources import against

INCH, CM = 25_400, 10_000
POUND = Fraction(45_359_237, 100)
TODAY = "2026-11-27"
HANDLING, LARGE = "additional handling", "large package"


def service(carrier: Any, name: Any, day: Any = TODAY) -> Any:
    on = dt.date.fromisoformat(day)
    (found,) = [s for s in services_on(SERVICES, on) if s.carrier.startswith(carrier) and s.service.startswith(name)]
    return found


def sent(row: Any, *inches: Any, lb: int | str = "1", packaging: str = "corrugated") -> Any:
    length, width, height = (int(Fraction(side) * INCH) for side in inches)
    return bill((length, width, height), int(Fraction(lb) * POUND), row, packaging=packaging)


def names(answer: Any) -> Any:
    return {flag.name for flag in answer.flags}


PRIVATE = [
    ("UPS", "Ground", LARGE),
    ("UPS", "abroad", LARGE),
    ("FedEx", "Ground", "oversize"),
    ("FedEx", "Express", "oversize"),
]
private = pytest.mark.parametrize(("carrier", "name", "large"), PRIVATE)
SPELLS = ("2020-06-01", "2025-12-01", TODAY)
spell = pytest.mark.parametrize("day", SPELLS)


@private
@spell
@against(src.HANDLING_LIST, src.FEDEX_2018)
def test_handling_is_charged_above_48_in_of_length(carrier: Any, name: Any, large: Any, day: Any) -> None:
    row = service(carrier, name, day)
    assert names(sent(row, 48, 6, 6)) == set()
    assert names(sent(row, 49, 6, 6)) == {HANDLING}


@private
@spell
@against(src.HANDLING_LIST)
def test_handling_is_charged_above_30_in_of_the_second_side(carrier: Any, name: Any, large: Any, day: Any) -> None:
    row = service(carrier, name, day)
    assert names(sent(row, 30, 30, 5)) == set()
    assert names(sent(row, 31, 31, 5)) == {HANDLING}


@private
@spell
@against(src.HANDLING_LIST)
def test_handling_is_charged_above_105_in_of_length_and_girth(carrier: Any, name: Any, large: Any, day: Any) -> None:
    row = service(carrier, name, day)
    assert names(sent(row, 45, 15, 15)) == set()
    assert names(sent(row, 46, 15, 15)) == {HANDLING}


@pytest.mark.parametrize(
    ("carrier", "name", "day", "pounds"),
    [
        ("UPS", "Ground", "2019-12-28", 70),
        ("UPS", "Ground", "2019-12-29", 50),
        ("UPS", "Ground", TODAY, 50),
        ("UPS", "abroad", "2020-06-01", 70),
        ("UPS", "abroad", TODAY, 70),
        ("FedEx", "Ground", "2020-01-19", 70),
        ("FedEx", "Ground", "2020-01-20", 50),
        ("FedEx", "Ground", TODAY, 50),
        ("FedEx", "Express", "2020-01-19", 70),
        ("FedEx", "Express", TODAY, 50),
    ],
)
@against(src.WEIGHT_2020, src.HANDLING_LIST)
def test_handling_by_weight_fell_from_70_to_50_lb_with_the_rates_of_2020(
    carrier: Any, name: Any, day: Any, pounds: Any
) -> None:
    row = service(carrier, name, day)
    assert names(sent(row, 15, 10, 8, lb=pounds)) == set()
    assert names(sent(row, 15, 10, 8, lb=pounds + 1)) == {HANDLING}


@private
@against(src.VOLUME_2026)
def test_handling_by_volume_begins_above_10368_cubic_inches(carrier: Any, name: Any, large: Any) -> None:
    """With sides as measured, since no whole inches make 10,369."""
    row = replace(service(carrier, name), side_rounding="none")
    assert names(sent(row, 32, 18, 18)) == set()
    assert names(sent(row, "32.001", 18, 18)) == {HANDLING}


@private
@spell
@against(src.UPS_LARGE_2026, src.FEDEX_2018, src.UPS_LARGE)
def test_a_large_package_is_longer_than_96_in_and_billed_90_lb(carrier: Any, name: Any, large: Any, day: Any) -> None:
    row = service(carrier, name, day)
    assert names(sent(row, 96, 4, 4)) == {HANDLING}
    answer = sent(row, 97, 4, 4)
    assert (names(answer), answer.billed) == ({large}, 90)


@private
@spell
@against(src.UPS_LARGE_2026, src.FEDEX_2018)
def test_a_large_package_has_more_than_130_in_of_length_and_girth(
    carrier: Any, name: Any, large: Any, day: Any
) -> None:
    row = service(carrier, name, day)
    assert names(sent(row, 90, 10, 10)) == {HANDLING}
    answer = sent(row, 91, 10, 10)
    assert (names(answer), answer.billed) == ({large}, 90)


@private
@against(src.VOLUME_2026)
def test_a_large_package_has_more_than_17280_cubic_inches(carrier: Any, name: Any, large: Any) -> None:
    assert names(sent(service(carrier, name), 30, 24, 24)) == {HANDLING}
    assert names(sent(service(carrier, name), 35, 26, 19)) == {large}
    assert names(sent(service(carrier, name, "2025-12-01"), 35, 26, 19)) == {HANDLING}


@private
@against(src.VOLUME_2026)
def test_a_large_package_weighs_more_than_110_lb(carrier: Any, name: Any, large: Any) -> None:
    assert names(sent(service(carrier, name), 15, 10, 8, lb=110)) == {HANDLING}
    assert names(sent(service(carrier, name), 15, 10, 8, lb="110.5")) == {large}
    assert names(sent(service(carrier, name, "2025-12-01"), 15, 10, 8, lb="110.5")) == {HANDLING}


@pytest.mark.parametrize(("carrier", "first"), [("UPS", "2026-01-26"), ("FedEx", "2026-01-12")])
@against(src.VOLUME_2026)
def test_volume_counts_from_the_carriers_own_day_in_january_2026(carrier: Any, first: Any) -> None:
    before = (dt.date.fromisoformat(first) - dt.timedelta(days=1)).isoformat()
    assert names(sent(service(carrier, "Ground", first), 46, 24, 16)) != {HANDLING}
    assert names(sent(service(carrier, "Ground", before), 46, 24, 16)) == {HANDLING}


@private
@against(src.HANDLING_LIST)
@pytest.mark.parametrize("packaging", ["wood", "metal", "foam"])
def test_an_outside_that_is_not_board_is_charged_handling(carrier: Any, name: Any, large: Any, packaging: Any) -> None:
    row = service(carrier, name)
    assert names(sent(row, 12, 8, 6, packaging=packaging)) == {HANDLING}
    assert names(sent(row, 12, 8, 6)) == set()


@against(src.UPS_LARGE_2026)
def test_a_large_wooden_box_is_not_charged_handling_as_well() -> None:
    assert names(sent(service("UPS", "Ground"), 97, 4, 4, packaging="wood")) == {LARGE}


@pytest.mark.parametrize(
    ("carrier", "name", "longest"), [("UPS", "Ground", 108), ("UPS", "abroad", 108), ("FedEx", "Ground", 108)]
)
@against(src.UPS_SIZES)
def test_the_longest_side_taken_is_108_in(carrier: Any, name: Any, longest: Any) -> None:
    row = service(carrier, name)
    assert sent(row, longest, 4, 4).over == ()
    assert len(sent(row, longest + 1, 4, 4).over) == 1


@against(src.EXPRESS_LIMITS)
def test_the_express_service_takes_119_in() -> None:
    assert sent(service("FedEx", "Express"), 119, 4, 4).over == ()
    assert len(sent(service("FedEx", "Express"), 120, 4, 4).over) == 1


@private
@against(src.UPS_SIZES)
def test_150_lb_and_165_in_of_length_and_girth_are_taken(carrier: Any, name: Any, large: Any) -> None:
    row = service(carrier, name)
    assert sent(row, 65, 30, 20, lb=150).over == ()
    assert len(sent(row, 66, 30, 20).over) == 1
    assert len(sent(row, 20, 20, 20, lb="150.1").over) == 1


@against(src.POSTAL_LAST_MILE)
def test_the_service_with_postal_last_mile_takes_70_lb_60_in_and_130_in() -> None:
    row = service("UPS", "economy")
    assert sent(row, 60, 20, 15, lb=70).over == ()
    assert len(sent(row, 61, 15, 15).over) == 1
    assert len(sent(row, 59, 20, 16).over) == 1
    assert len(sent(row, 10, 10, 10, lb="70.1").over) == 1


@against(src.POSTAL_LAST_MILE, src.ROUND_UP_2025)
def test_the_service_with_postal_last_mile_rounds_as_the_carriers_others_do() -> None:
    answer = sent(service("UPS", "economy"), "11.1", "8.5", "6.2")
    assert (answer.dimensional_exact, answer.dimensional) == (Fraction(756, 139), 6)


@pytest.mark.parametrize(("carrier", "name"), [row[:2] for row in PRIVATE])
@against(src.UPS_DIMENSIONAL, src.ROUND_UP_2025)
def test_volume_is_divided_by_139_in_every_spell(carrier: Any, name: Any) -> None:
    """5.4388 lb for 756 in³; the trade page cuts it off to 5.43."""
    for day in (*SPELLS, "2019-06-01"):
        answer = sent(service(carrier, name, day), 12, 9, 7)
        assert float(answer.dimensional_exact) == pytest.approx(5.4388, abs=0.0005)
        assert answer.dimensional == 6


@against(src.ROUND_UP_2025)
@pytest.mark.parametrize("carrier", ["UPS", "FedEx"])
def test_20_3_4_by_20_1_4_by_20_in_goes_up_to_21_by_21_by_20(carrier: Any) -> None:
    """To the nearest inch it was 21 × 20 × 20."""
    sides = ("20.75", "20.25", "20")
    assert sent(service(carrier, "Ground"), *sides).sides == (21, 21, 20)
    assert sent(service(carrier, "Ground", "2025-08-17"), *sides).sides == (21, 20, 20)


@against(src.ROUND_UP_2025)
def test_a_side_of_8_2_in_counts_as_9() -> None:
    assert sent(service("UPS", "Ground"), "8.2", 8, 8).sides == (9, 8, 8)


@against(src.UPS_DIMENSIONAL)
def test_before_august_2025_1_49_in_was_1_and_1_5_in_was_2() -> None:
    row = service("UPS", "Ground", "2025-08-17")
    assert sent(row, "1.49", 1, 1).sides == (1, 1, 1)
    assert sent(row, "1.5", 1, 1).sides == (2, 1, 1)


@pytest.mark.parametrize("name", ["Priority", "Ground"])
@against(src.USPS_2019, src.USPS_GIRTH, src.USPS_2026)
def test_a_post_counts_volume_above_1728_cubic_inches(name: Any) -> None:
    row = service("USPS", name)
    assert sent(row, 12, 12, 12).dimensional is None
    assert sent(row, 19, 13, 7).volume == 1729
    assert sent(row, 19, 13, 7).dimensional == 13


@pytest.mark.parametrize(
    ("day", "divisor"), [("2019-06-22", 194), ("2019-06-23", 166), ("2026-07-11", 166), ("2026-07-12", 139)]
)
@against(src.USPS_GIRTH, src.USPS_2019, src.USPS_2026)
def test_the_posts_divisor_on_both_sides_of_its_changes(day: Any, divisor: Any) -> None:
    assert sent(service("USPS", "Priority", day), 24, 12, 10).dimensional_exact == Fraction(2880, divisor)


@against(src.USPS_2022)
@pytest.mark.parametrize(
    ("inches", "fees"),
    [
        ((16, 15, 15), {"nonstandard volume"}),
        ((25, 12, 12), {"nonstandard length", "nonstandard volume"}),
        ((35, 10, 10), {"nonstandard length over 30 in", "nonstandard volume"}),
        ((30, 8, 6), {"nonstandard length"}),
        (("30.25", 8, 6), {"nonstandard length over 30 in"}),
        ((22, 8, 6), set()),
        (("22.25", 8, 6), {"nonstandard length"}),
    ],
)
def test_the_trade_pages_examples_of_nonstandard_fees(inches: Any, fees: Any) -> None:
    assert names(sent(service("USPS", "Priority"), *inches)) == fees


@against(src.USPS_2022)
def test_the_volume_fee_begins_above_two_cubic_feet_exactly() -> None:
    """20 × 19.75 × 8.75 in is 3456.25 in³, in quarter inches as the fee measures."""
    row = service("USPS", "Priority", "2026-07-01")
    assert names(sent(row, 18, 16, 12)) == set()
    assert names(sent(row, 20, "19.75", "8.75")) == {"nonstandard volume"}


@pytest.mark.parametrize(("name", "first"), [("Priority", "2022-04-03"), ("Ground", "2023-07-09")])
@against(src.USPS_2022, src.USPS_130)
def test_the_fees_begin_with_their_day(name: Any, first: Any) -> None:
    assert names(sent(service("USPS", name, first), 36, 8, 6)) == {"nonstandard length over 30 in"}


@against(src.USPS_2022)
def test_there_were_no_such_fees_the_day_before() -> None:
    assert names(sent(service("USPS", "Priority", "2022-04-02"), 36, 8, 6)) == set()


@pytest.mark.parametrize(("name", "most"), [("Priority", 108), ("Ground", 130)])
@against(src.USPS_LIMITS, src.USPS_130)
def test_the_post_takes_70_lb_and_108_or_130_in_of_length_and_girth(name: Any, most: Any) -> None:
    row = service("USPS", name)
    assert sent(row, most - 40, 10, 10, lb=70).over == ()
    assert len(sent(row, most - 39, 10, 10).over) == 1
    assert len(sent(row, 10, 10, 10, lb="70.1").over) == 1


@against(src.USPS_GIRTH)
def test_by_the_rule_of_2007_the_price_of_70_lb_is_the_most_that_volume_costs() -> None:
    """30 × 26 × 18 in is 72.4 lb at 194; the rule charges 70."""
    answer = sent(service("USPS", "Priority", "2018-06-01"), 30, 26, 18)
    assert (answer.dimensional, answer.billed) == (73, 70)
    at = sent(service("USPS", "Priority", "2018-06-01"), 30, 25, 18)
    assert (at.billed, at.notes) == (70, ())
    over = sent(service("USPS", "Priority", "2018-06-01"), 27, 24, 21)
    assert (over.dimensional, over.billed, len(over.notes)) == (71, 70, 1)
    assert sent(service("USPS", "Priority", "2018-06-01"), 30, 24, 18).billed == 67


@against(src.USPS_2026)
def test_where_no_rule_caps_it_a_weight_beyond_the_prices_is_said() -> None:
    """36 × 18 × 18 in is 84 lb at 139: the post's prices end at 70."""
    answer = sent(service("USPS", "Priority"), 36, 18, 18, lb=5)
    assert answer.billed == 84
    (note,) = answer.notes
    assert "84 lb" in str(note) and "70 lb" in str(note)
    assert sent(service("USPS", "Priority"), 24, 18, 18, lb=5).notes == ()


@pytest.mark.parametrize(
    ("carrier", "name", "first"),
    [
        ("UPS", "Ground", "2017-01-01"),
        ("UPS", "economy", "2025-08-18"),
        ("FedEx", "Ground", "2018-01-22"),
        ("USPS", "Priority", "2007-05-14"),
        ("USPS", "Ground", "2023-07-09"),
        ("DHL", "Express", "2000-01-01"),
        ("air", "6000", "2000-01-01"),
        ("post, letter", "small", "2000-01-01"),
        ("post, parcel", "parcel", "2000-01-01"),
    ],
)
@against(src.FEDEX_2018, src.USPS_GIRTH, src.USPS_130)
def test_a_service_is_known_from_its_first_day_on(carrier: Any, name: Any, first: Any) -> None:
    """Some first days are from memory, which the rows' notes say."""
    day = dt.date.fromisoformat(first)

    def known(on: Any) -> Any:
        return [s for s in services_on(SERVICES, on) if s.carrier.startswith(carrier) and s.service.startswith(name)]

    assert len(known(day)) == 1
    assert known(day - dt.timedelta(days=1)) == []


@against(src.DHL_DIVISOR, src.HALF_KILO)
def test_express_abroad_divides_by_5000_and_rounds_to_half_kilos() -> None:
    row = service("DHL", "Express")
    exact = bill((50 * CM, 30 * CM, 20 * CM), 1_000_000, row)
    assert exact.dimensional_exact == exact.dimensional == 6
    more = bill((51 * CM, 30 * CM, 20 * CM), 1_000_000, row)
    assert (more.dimensional_exact, more.dimensional) == (Fraction("6.12"), Fraction("6.5"))
    assert list(bill((50 * CM + 1, 30 * CM, 20 * CM), 1_000_000, row).sides) == [51, 30, 20]


@against(src.AIR_6000, src.HALF_KILO)
def test_air_freight_divides_by_6000() -> None:
    row = service("air", "6000")
    assert bill((50 * CM, 30 * CM, 20 * CM), 1_000_000, row).dimensional_exact == 5
    assert bill((50 * CM, 30 * CM, 20 * CM), 5_200_000, row).billed == Fraction("5.5")


@against(src.SMALL_PACKET)
def test_a_small_packet_is_at_most_2_kg_600_mm_and_900_mm_in_all() -> None:
    row = service("post, letter", "small")
    assert bill((600_000, 200_000, 100_000), 2_000_000, row).over == ()
    assert bill((600_000, 200_000, 100_000), 2_000_000, row).flags == ()
    assert len(bill((600_100, 100_000, 100_000), 2_000_000, row).over) == 1
    assert len(bill((600_000, 200_000, 100_000), 2_000_001, row).over) == 1
    assert len(bill((600_000, 200_000, 100_100), 2_000_000, row).flags) == 1
    assert len(bill((600_000, 200_000, 99_900), 2_000_000, row).flags) == 0


@against(src.SMALL_PACKET)
def test_a_small_packet_is_billed_by_the_gram() -> None:
    row = service("post, letter", "small")
    assert bill((600_000, 200_000, 100_000), 1_234_200, row).billed == Fraction("1.235")


@against(src.SMALL_PACKET)
def test_a_parcel_abroad_is_at_most_20_kg_1_5_m_and_3_m_of_length_and_girth() -> None:
    row = service("post, parcel", "parcel")
    assert bill((1_500_000, 400_000, 350_000), 20_000_000, row).over == ()
    assert len(bill((1_501_000, 300_000, 300_000), 1_000_000, row).over) == 1
    assert len(bill((1_500_000, 400_000, 350_500), 1_000_000, row).over) == 1
    assert len(bill((500_000, 400_000, 300_000), 20_000_001, row).over) == 1
    assert bill((500_000, 400_000, 300_000), 1_200_000, row).billed == 2
    assert bill((500_000, 400_000, 300_000), 2_200_000, row).billed == 3


@against(src.BENCH)
def test_a_filled_box_grows_by_6_mm_a_side_for_the_hint() -> None:
    row = service("UPS", "Ground")
    assert "the billed weight is" in str(bill((300_000, 254_000, 254_000), 1_000_000, row).hint)
    quiet = (12 * INCH - 6_000, 10 * INCH - 6_000, 10 * INCH - 6_000)
    assert bill(quiet, 1_000_000, row).hint is None
    assert bill((quiet[0] + 50, *quiet[1:]), 1_000_000, row).hint != ""


@against(src.HANDLING_LIST, src.UPS_LARGE)
def test_handling_is_charged_once_however_many_of_its_limits_are_passed() -> None:
    """50 × 31 × 5 in of 60 lb passes four of them, in wood five: the highest is charged, once."""
    answer = sent(service("UPS", "Ground"), 50, 31, 5, lb=60, packaging="wood")
    (flag,) = answer.flags
    assert flag.name == HANDLING
    assert len(flag.reasons) == 5
    assert str(flag.sentence).count("It counts once, at the highest of these.") == 1


@against(src.UPS_LARGE)
def test_a_large_package_is_charged_once_too() -> None:
    (flag,) = sent(service("UPS", "Ground"), 97, 20, 10, lb=120).flags
    assert (flag.name, len(flag.reasons)) == (LARGE, 4)


@pytest.mark.parametrize(
    ("carrier", "name", "day", "box", "pounds", "read"),
    [
        ("UPS", "Ground", TODAY, (49, 6, 6), 1, "2023-01-01"),
        ("UPS", "Ground", "2019-06-01", (15, 10, 8), 71, "2019-09-16"),
        ("UPS", "abroad", TODAY, (15, 10, 8), 71, "2019-09-16"),
        ("UPS", "Ground", TODAY, (15, 10, 8), 51, "2020-01-20"),
        ("UPS", "Ground", TODAY, (97, 4, 4), 1, "2018-04-30"),
        ("UPS", "Ground", TODAY, (15, 10, 8), 111, "2026-01-26"),
        ("FedEx", "Ground", TODAY, (15, 10, 8), 111, "2026-01-12"),
        ("USPS", "Priority", TODAY, (23, 8, 6), 1, "2022-03-31"),
    ],
)
@against(src.HANDLING_LIST, src.WEIGHT_2020, src.FEDEX_2018, src.VOLUME_2026, src.USPS_2022)
def test_each_limit_bears_the_day_of_the_page_it_stands_on(
    carrier: Any, name: Any, day: Any, box: Any, pounds: Any, read: Any
) -> None:
    """Pages that bear a year alone count from its first day; rates announced in autumn from their own day."""
    (flag,) = sent(service(carrier, name, day), *box, lb=pounds).flags
    assert read in {reason.as_of.isoformat() for reason in flag.reasons}

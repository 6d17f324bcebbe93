"""Billed weight against published rules and worked examples.

Sources, by the day they speak of: the parcel carriers' pages on dimensional weight ("round each measurement to the
nearest whole inch", divisor 139, up to the next pound) and size limits; trade press on the change to rounding any
fraction up from 2025-08-18, with its worked examples; trade press of January 2026 on surcharges by cubic volume; the
US Postal Service's rule of one cubic foot (1,728 in³) from its Domestic Mail Manual, and trade pages on its notice of
2026-05-11 (139 and any fraction up from 2026-07-12, which one page says was still to be approved); an air carrier's
page for 5000 cm³/kg and a post office's example of 62 × 49 × 39 cm for 6000. Examples marked "derived" follow from
those rules by arithmetic.
"""

import datetime as dt
import math
from fractions import Fraction
from typing import Any

import pytest

from packing.carry import SERVICES, bill, services_on
from packing.units import parse_length
from tests.outside import sources as src
from tests.outside.sources import against

POUND = Fraction(45_359_237, 100)


def service(carrier: Any, name: Any, day: Any) -> Any:
    (found,) = [s for s in services_on(SERVICES, day) if s.carrier.startswith(carrier) and s.service.startswith(name)]
    return found


def billed(carrier: Any, name: Any, day: Any, inches: Any, pounds: str = "1", **options: Any) -> Any:
    on = dt.date.fromisoformat(day)
    length, width, height = (int(Fraction(side) * 25_400) for side in inches.split("x"))
    return bill((length, width, height), int(Fraction(pounds) * POUND), service(carrier, name, on), on=on, **options)


@against(src.ROUND_UP_2025, src.ROUND_UP_2025_B)
@pytest.mark.parametrize(
    ("inches", "sides", "volume", "pounds"),
    [
        ("11.1x8.5x6.2", (12, 9, 7), 756, 6),  # trade press on 2025-08-18
        ("11.1x8.1x4.1", (12, 9, 5), 540, 4),  # trade press on 2025-08-18
        ("11x10x9", (11, 10, 9), 990, 8),  # trade press
        ("18.2x14.6x7.1", (19, 15, 8), 2280, 17),  # derived
        ("36.5x8.25x6.25", (37, 9, 7), 2331, 17),  # derived
    ],
)
@pytest.mark.parametrize("carrier", ["UPS", "FedEx"])
def test_from_2025_08_18_any_fraction_of_an_inch_goes_up(
    carrier: Any, inches: Any, sides: Any, volume: Any, pounds: Any
) -> None:
    answer = billed(carrier, "Ground", "2025-08-18", inches)
    assert (answer.sides, answer.volume, answer.dimensional) == (sides, volume, pounds)


@against(src.UPS_DIMENSIONAL)
def test_the_day_before_it_went_to_the_nearest_inch() -> None:
    """The carrier's page on dimensional weight; the weight is derived."""
    answer = billed("UPS", "Ground", "2025-08-17", "11.1x8.5x6.2")
    assert (answer.sides, answer.volume, answer.dimensional) == ((11, 9, 6), 594, 5)


@against(src.YARD_AND_POUND, src.BINARY_FRACTIONS)
@pytest.mark.parametrize(("text", "inches"), [("304.8 mm", 12), ("177.8 mm", 7), ("76.2 mm", 3), ("30.48 cm", 12)])
def test_a_whole_inch_typed_in_millimetres_is_billed_as_a_whole_inch(text: Any, inches: Any) -> None:
    """Derived from 25.4 mm: in binary floating point 304.8 / 25.4 is 12.000000000000002, which goes up to 13."""
    assert math.ceil(304.8 / 25.4) == 13
    side = int(parse_length(text) * 1000)
    on = dt.date(2026, 8, 1)
    assert bill((side, side, side), 1_000_000, service("UPS", "Ground", on), on=on).sides == (inches,) * 3


@against(src.YARD_AND_POUND, src.BINARY_FRACTIONS)
def test_every_whole_inch_up_to_ten_feet_is_billed_as_it_is_and_a_hair_more_as_the_next() -> None:
    """Derived; division in floating point puts 41 of these 120 up, which the last line makes sure of."""
    on = dt.date(2026, 8, 1)
    row = service("UPS", "Ground", on)
    for inches in range(1, 121):
        assert bill((inches * 25_400, 25_400, 25_400), 1_000_000, row).sides[0] == inches
        assert bill((inches * 25_400 + 1, 25_400, 25_400), 1_000_000, row).sides[0] == inches + 1
    assert sum(math.ceil(round(inches * 25.4, 1) / 25.4) != inches for inches in range(1, 121)) == 41


@against(src.YARD_AND_POUND, src.ROUND_UP_2025)
def test_a_box_of_304_8_mm_is_billed_as_a_cubic_foot() -> None:
    on = dt.date(2026, 8, 1)
    answer = bill((304_800, 304_800, 304_800), 1_000_000, service("UPS", "Ground", on), on=on)
    assert [*answer.sides, answer.volume] == [12, 12, 12, 1728]


@against(src.USPS_2019, src.USPS_2026)
@pytest.mark.parametrize(
    ("day", "inches", "pounds"),
    [
        ("2026-08-01", "12x12x12", None),
        ("2026-08-01", "12x12x12.1", 14),
        ("2026-07-12", "12x12x12.1", 14),
        ("2026-07-11", "12x12x12.1", None),
        ("2026-07-01", "12x12x12.1", None),
        ("2026-07-01", "36x8x6", None),
    ],
)
@pytest.mark.parametrize("name", ["Priority", "Ground"])
def test_the_post_counts_dimensional_weight_above_one_cubic_foot_only(
    name: Any, day: Any, inches: Any, pounds: Any
) -> None:
    assert billed("USPS", name, day, inches).dimensional == pounds


@against(src.USPS_GIRTH, src.USPS_2019)
@pytest.mark.parametrize(("day", "pounds"), [("2019-06-22", 10), ("2019-06-23", 12)])
def test_the_posts_divisor_went_from_194_to_166_on_2019_06_23(day: Any, pounds: Any) -> None:
    """18 × 15 × 7 = 1890 in³: 9.74 and 11.39 lb, derived from the dates and divisors."""
    assert billed("USPS", "Priority", day, "18.2x14.6x7.1").dimensional == pounds


@against(src.AIR_6000, src.DHL_DIVISOR, src.HALF_KILO)
def test_half_kilos_by_6000_and_by_5000() -> None:
    """62 × 49 × 39 cm of 10 kg: 19.747 and 23.696 kg before they go up."""
    on = dt.date(2026, 8, 1)
    size = (620_000, 490_000, 390_000)
    assert bill(size, 10_000_000, service("air", "6000", on)).billed == 20
    assert bill(size, 10_000_000, service("DHL", "Express", on)).billed == 24


@against(src.DHL_DIVISOR, src.HALF_KILO)
def test_40_by_30_by_20_cm_by_5000_is_5_kg() -> None:
    on = dt.date(2026, 8, 1)
    assert bill((400_000, 300_000, 200_000), 1_000_000, service("DHL", "Express", on)).billed == 5


@against(src.UPS_DIMENSIONAL)
@pytest.mark.parametrize(("pounds", "rounded"), [("5", 5), ("5.01", 6)])
def test_exact_pounds_stay_and_5_01_becomes_6(pounds: Any, rounded: Any) -> None:
    """The carriers' own rounding rule for actual weight; a whole milligram is the program's finest weight."""
    on = dt.date(2026, 8, 1)
    mg = int(Fraction(pounds) * POUND)
    assert bill((25_400, 25_400, 25_400), mg, service("UPS", "Ground", on)).actual_rounded == rounded


@against(src.YARD_AND_POUND, src.UPS_DIMENSIONAL)
def test_a_kilogram_is_3_lb_on_the_bill_and_453_6_g_are_2() -> None:
    """2.2046 lb and a hundredth of a gram over one pound: derived."""
    on = dt.date(2026, 8, 1)
    assert bill((25_400, 25_400, 25_400), 1_000_000, service("UPS", "Ground", on)).actual_rounded == 3
    assert bill((25_400, 25_400, 25_400), 453_600, service("UPS", "Ground", on)).actual_rounded == 2


def names(answer: Any) -> Any:
    return {flag.name for flag in answer.flags}


@against(src.VOLUME_2026)
def test_46_by_24_by_16_is_a_large_package_since_2026_only() -> None:
    """Trade press of January 2026: 17,664 in³ is more than 17,280; length and girth are 126."""
    after, before = (billed("UPS", "Ground", day, "46x24x16") for day in ("2026-01-26", "2026-01-25"))
    assert (after.volume, after.length_plus_girth) == (17_664, 126)
    assert names(after) == {"large package"}
    assert after.billed == 17_664 / Fraction(139) // 1 + 1
    assert names(before) == {"additional handling"}


@against(src.VOLUME_2026)
def test_the_other_carrier_began_two_weeks_earlier() -> None:
    assert names(billed("FedEx", "Ground", "2026-01-12", "46x24x16")) == {"oversize"}
    assert names(billed("FedEx", "Ground", "2026-01-11", "46x24x16")) == {"additional handling"}


@against(src.VOLUME_2026)
def test_exactly_17280_cubic_inches_are_not_a_large_package() -> None:
    """ "Exceeds": 30 × 24 × 24, with length and girth of 126."""
    answer = billed("UPS", "Ground", "2026-02-15", "30x24x24")
    assert (answer.volume, answer.length_plus_girth) == (17_280, 126)
    assert "large package" not in names(answer)


@against(src.VOLUME_2026)
def test_6_cubic_feet_are_just_not_additional_handling() -> None:
    """10,368 in³ is 32 × 18 × 18, 104 in of length and girth; derived, from 2026-01-26."""
    assert names(billed("UPS", "Ground", "2026-02-15", "32x18x18")) == set()
    assert names(billed("UPS", "Ground", "2026-02-15", "33x18x18")) == {"additional handling"}


@against(src.HANDLING_LIST)
@pytest.mark.parametrize(
    ("inches", "handling"), [("48x12x10", False), ("49x12x10", True), ("30x30x5", False), ("31x31x5", True)]
)
def test_additional_handling_starts_above_48_in_and_above_30_in(inches: Any, handling: Any) -> None:
    assert ("additional handling" in names(billed("UPS", "Ground", "2026-02-15", inches))) == handling


@against(src.HANDLING_LIST, src.WEIGHT_2020)
@pytest.mark.parametrize(
    ("name", "pounds", "handling"), [("Ground", "50", 0), ("Ground", "51", 1), ("abroad", "70", 0), ("abroad", "71", 1)]
)
def test_additional_handling_by_weight_starts_above_50_lb_at_home_and_70_lb_abroad(
    name: Any, pounds: Any, handling: Any
) -> None:
    assert len(billed("UPS", name, "2026-02-15", "15x10x8", pounds).flags) == handling


@against(src.HANDLING_LIST)
@pytest.mark.parametrize("carrier", ["UPS", "FedEx"])
def test_a_wooden_outer_box_pays_additional_handling_whatever_its_size(carrier: Any) -> None:
    """The carriers' lists of what additional handling is for, text copies of 2021 to 2023."""
    answer = billed(carrier, "Ground", "2026-02-15", "15x10x8", "20", packaging="wood")
    assert names(answer) == {"additional handling"}
    assert billed(carrier, "Ground", "2026-02-15", "15x10x8", "20").flags == ()


@against(src.UPS_LARGE)
def test_a_large_package_is_billed_at_90_lb_at_least() -> None:
    assert billed("UPS", "Ground", "2026-02-15", "97x5x5").billed == 90


@against(src.USPS_2022)
@pytest.mark.parametrize(
    ("inches", "fees"),
    [
        ("22x8x6", set()),
        ("22.2x8x6", set()),  # down to the quarter inch: 22
        ("22.25x8x6", {"nonstandard length"}),
        ("36x8x6", {"nonstandard length over 30 in"}),
        ("24x12x12", {"nonstandard length"}),  # 3,456 in³ exactly
        ("24x12x12.25", {"nonstandard length", "nonstandard volume"}),
    ],
)
def test_the_posts_nonstandard_fees_of_2022(inches: Any, fees: Any) -> None:
    """Trade pages on the fees of 2022-04-03: sides down to 0.25 in, never two length fees, the volume fee adds."""
    assert names(billed("USPS", "Priority", "2026-07-01", inches)) == fees
    assert names(billed("USPS", "Priority", "2022-04-02", inches)) == set()


@against(src.UPS_SIZES)
def test_165_in_of_length_and_girth_are_taken_and_166_are_not() -> None:
    """The carrier's page on size limits: 108 in, 165 in, 150 lb."""
    assert billed("UPS", "Ground", "2026-02-15", "65x30x20", "150").over == ()
    assert len(billed("UPS", "Ground", "2026-02-15", "66x30x20", "151").over) == 2


@against(src.SMALL_PACKET)
def test_a_long_hammer_is_no_small_packet() -> None:
    """620 × 90 × 60 mm of 1.6 kg: over the letter post's 600 mm, within the parcel post's (post offices' pages)."""
    on = dt.date(2026, 8, 1)
    size = (620_000, 90_000, 60_000)
    (sentence,) = bill(size, 1_600_000, service("post, letter", "small", on)).over
    assert "62 cm, at most 60 cm" in str(sentence)
    assert bill(size, 1_600_000, service("post, parcel", "parcel", on)).over == ()


@against(src.SMALL_PACKET)
def test_a_small_packet_is_at_most_900_mm_in_all() -> None:
    on = dt.date(2026, 8, 1)
    small = service("post, letter", "small", on)
    assert bill((500_000, 250_000, 150_000), 1_000_000, small).flags == ()
    assert len(bill((500_000, 250_000, 151_000), 1_000_000, small).flags) == 1

"""Billed weight: rounding, thresholds, dates, rows. The published examples are in tests/outside."""

import datetime as dt
import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from packing.carry import (
    SERVICES,
    Service,
    Trigger,
    bill,
    bill_plan,
    read_service,
    round_side,
    service_row,
    services_on,
)
from packing.carry.kinds import Measure, Rounding, System
from packing.measure import BadInput

INCH = 25_400
POUND_MG = 453_592  # 0.37 mg short of a pound

PLAIN = Service(
    "carrier", "service", dt.date(2026, 1, 1), dt.date(2026, 6, 30), divisor=Decimal(139), side_rounding=Rounding.UP
)


def inches(*sides: Any) -> Any:
    return tuple(round(Fraction(str(side)) * INCH) for side in sides)


@pytest.mark.parametrize(
    ("rounding", "value", "rounded"),
    [
        ("nearest", "12.5", 13),
        ("nearest", "12.49999", 12),
        ("nearest", "0.2", 1),
        ("up", "12", 12),
        ("up", "12.00001", 13),
        ("down", "12.99", 12),
        ("down", "0.99", 1),
        ("none", "12.34", Fraction("12.34")),
        ("down_quarter", "22.24", 22),
        ("down_quarter", "22.25", Fraction("22.25")),
        ("down_quarter", "0.1", Fraction("0.25")),
    ],
)
def test_a_side_is_rounded_as_the_row_says(rounding: Any, value: Any, rounded: Any) -> None:
    assert round_side(Fraction(value), rounding) == rounded


def test_exact_pounds_stay_and_any_more_goes_up() -> None:
    small = inches(2, 2, 2)
    assert bill(small, 5 * POUND_MG, PLAIN).actual_rounded == 5
    assert bill(small, 5 * POUND_MG + 2, PLAIN).actual_rounded == 6


def test_half_kilos_go_up_by_halves() -> None:
    metric = replace(PLAIN, system=System.CENTIMETRES_KILOGRAMS, weight_step=Decimal("0.5"), divisor=None)
    assert bill((1, 1, 1), 2_000_000, metric).billed == 2
    assert bill((1, 1, 1), 2_000_001, metric).billed == Fraction("2.5")


def test_sides_are_sorted_before_length_and_girth() -> None:
    answer = bill(inches(9, 12, 7), POUND_MG, PLAIN)
    assert [*answer.sides, answer.length_plus_girth] == [12, 9, 7, 12 + 2 * (9 + 7)]


def test_the_greater_of_actual_and_dimensional_weight_is_billed() -> None:
    assert bill(inches(12, 9, 7), POUND_MG, PLAIN).billed == 6
    assert bill(inches(12, 9, 7), 20 * POUND_MG, PLAIN).billed == 20


def test_a_dimensional_weight_that_comes_out_whole_is_not_rounded_further() -> None:
    answer = bill(inches(139, 2, 1), POUND_MG, PLAIN)
    assert answer.dimensional_exact == answer.dimensional == 2


def test_without_a_divisor_there_is_no_dimensional_weight() -> None:
    answer = bill(inches(40, 40, 40), POUND_MG, replace(PLAIN, divisor=None))
    assert answer.dimensional is None
    assert answer.billed == 1


def test_the_least_billed_weight_of_a_row_holds() -> None:
    assert bill(inches(1, 1, 1), POUND_MG, replace(PLAIN, min_billable=Decimal(3))).billed == 3


def test_the_least_billed_weight_of_a_trigger_holds_where_it_applies() -> None:
    row = replace(PLAIN, triggers=(Trigger("large", Measure.LONGEST, Decimal(96), "", Decimal(90)),))
    assert bill(inches(96, 2, 2), POUND_MG, row).billed == 3
    assert bill(inches("96.1", 2, 2), POUND_MG, row).billed == 90


@pytest.mark.parametrize(
    ("measure", "above", "at", "over"),
    [
        ("longest", 48, (48, 2, 2), (49, 2, 2)),
        ("second", 30, (40, 30, 2), (40, 31, 2)),
        ("sum", 90, (40, 30, 20), (41, 30, 20)),
        ("length_girth", 105, (45, 20, 10), (46, 20, 10)),
        ("volume", 1728, (12, 12, 12), (13, 12, 12)),
    ],
)
def test_every_trigger_needs_more_than_its_threshold(measure: Any, above: Any, at: Any, over: Any) -> None:
    row = replace(PLAIN, triggers=(Trigger("it", measure, Decimal(above)),))
    assert bill(inches(*at), POUND_MG, row).flags == ()
    assert [flag.name for flag in bill(inches(*over), POUND_MG, row).flags] == ["it"]


def test_the_weight_trigger_looks_at_the_scale_not_at_the_rounded_weight() -> None:
    row = replace(PLAIN, triggers=(Trigger("heavy", Measure.WEIGHT, Decimal("50.5")),))
    assert bill(inches(2, 2, 2), 50 * POUND_MG + 200_000, row).flags == ()
    assert len(bill(inches(2, 2, 2), 51 * POUND_MG, row).flags) == 1


def test_only_an_outside_that_is_not_corrugated_trips_the_packaging_trigger() -> None:
    row = replace(PLAIN, triggers=(Trigger("handling", Measure.PACKAGING, Decimal(0)),))
    assert bill(inches(2, 2, 2), POUND_MG, row).flags == ()
    assert "wood, not corrugated board" in str(bill(inches(2, 2, 2), POUND_MG, row, packaging="wood").flags[0].sentence)


def test_a_trigger_takes_the_place_of_the_one_it_overrides() -> None:
    triggers = (
        Trigger("less", Measure.LONGEST, Decimal(10)),
        Trigger("more", Measure.LONGEST, Decimal(20), overrides="less"),
    )
    row = replace(PLAIN, triggers=triggers)
    assert [flag.name for flag in bill(inches(15, 2, 2), POUND_MG, row).flags] == ["less"]
    assert [flag.name for flag in bill(inches(25, 2, 2), POUND_MG, row).flags] == ["more"]


def test_limits_are_reached_but_not_passed() -> None:
    row = replace(PLAIN, max_length=Decimal(108), max_length_girth=Decimal(130), max_weight=Decimal(70))
    assert bill(inches(108, 6, 5), 70 * POUND_MG, row).over == ()
    over = bill(inches(109, 6, 5), 71 * POUND_MG, row).over
    assert len(over) == 3
    assert "the longest side is 109 in, at most 108 in" in str(over[1])


def test_what_is_hardly_more_than_a_limit_looks_more() -> None:
    row = replace(PLAIN, max_weight=Decimal(1))
    (sentence,) = bill(inches(2, 2, 2), POUND_MG + 1, row).over
    assert "the weight is 1.001 lb, at most 1 lb" in str(sentence)


def test_growth_that_would_change_the_bill_is_pointed_out() -> None:
    assert "the billed weight is 8 lb" in str(bill(inches("11.9", "8.9", "6.9"), POUND_MG, PLAIN).hint)
    assert bill(inches("11.5", "8.5", "6.5"), POUND_MG, PLAIN).hint is None


def test_growth_that_would_trip_a_trigger_is_pointed_out() -> None:
    row = replace(PLAIN, divisor=None, triggers=(Trigger("additional handling", Measure.LONGEST, Decimal(48)),))
    assert "additional handling applies" in str(bill(inches("47.9", 2, 2), POUND_MG, row).hint)
    assert bill(inches(49, 2, 2), POUND_MG, row).hint is None


@pytest.mark.parametrize(
    ("day", "valid"), [("2025-12-31", False), ("2026-01-01", True), ("2026-06-30", True), ("2026-07-01", False)]
)
def test_a_row_holds_from_its_first_day_to_its_last(day: Any, valid: Any) -> None:
    on = dt.date.fromisoformat(day)
    assert services_on([PLAIN], on) == ([PLAIN] if valid else [])


def test_a_row_that_is_not_in_force_is_refused() -> None:
    with pytest.raises(
        BadInput, match=r"on: must be a day on which the rule is in force.*2026-06-30, not on 2026-07-01"
    ):
        bill(inches(2, 2, 2), POUND_MG, PLAIN, on=dt.date(2026, 7, 1))


@pytest.mark.parametrize(("sides", Measure.WEIGHT, "field"), [((0, 1, 1), 1, "outer"), ((1, 1, 1), 0, "gross")])
def test_sizes_and_weights_must_be_greater_than_zero(sides: Any, weight: Any, field: Any) -> None:
    with pytest.raises(BadInput, match=f"{field}: must be greater than zero"):
        bill(sides, weight, PLAIN)


@pytest.mark.parametrize("service", SERVICES, ids=lambda s: f"{s.carrier} {s.service} {s.valid_from}")
def test_every_row_that_comes_along_can_be_stored_read_back_and_says_where_it_is_from(service: Any) -> None:
    row = service_row(service)
    json.dumps(row["triggers"])
    assert read_service(row) == service
    assert service.source
    assert "check before quoting" in str(bill(inches(10, 10, 10), POUND_MG, service).published)


def test_no_two_rows_of_one_service_are_in_force_on_the_same_day() -> None:
    days = sorted({day for s in SERVICES for day in (s.valid_from, s.valid_to) if day})
    for day in days:
        names = [(service.carrier, service.service) for service in services_on(SERVICES, day)]
        assert len(names) == len(set(names))


def test_a_row_may_come_as_text() -> None:
    row = {"carrier": "c", "service": "s", "valid_from": "2026-01-01", "divisor": "139.5", "valid_to": None}
    service = read_service(row)
    assert (service.divisor, service.valid_from) == (Decimal("139.5"), dt.date(2026, 1, 1))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"divisor": 139.0}, "divisor: must be a decimal number, as text or whole, not 139.0"),
        ({"divisor": "0"}, "divisor: must be greater than zero, not 0"),
        ({"divisor": "NaN"}, "divisor: must be greater than zero, not NaN"),
        ({"weight_step": True}, "weight_step: must be a decimal number"),
        ({"dim_threshold": "-1"}, "dim_threshold: must be zero or more"),
        ({"system": "ft/st"}, "system: must be one of in/lb, cm/kg"),
        ({"side_rounding": "down_quarter"}, "side_rounding: must be one of nearest, up, down, none"),
        ({"valid_from": "soon"}, "valid_from: must be a date such as 2026-07-12"),
        ({"valid_from": None}, "valid_from: must be a date, it is missing"),
        ({"valid_to": "2025-01-01"}, "valid_to: must not be before valid_from"),
        ({"carrier": " "}, "carrier: must be a text that is not empty"),
        ({"colour": "red"}, "colour: is not known here"),
        ({"triggers": "many"}, "triggers: must be a list"),
        (
            {"triggers": [{"name": "x", "measure": "smell", "above": 1}]},
            r"triggers\[0\].measure: must be one of longest",
        ),
        (
            {"triggers": [{"name": "x", "measure": "volume", "above": 1, "fee": 5}]},
            r"triggers\[0\].fee: is not known here",
        ),
        ({"triggers": ["x"]}, r"triggers\[0\]: must be an object"),
    ],
)
def test_a_wrong_row_is_refused_by_field_rule_and_value(change: Any, message: Any) -> None:
    with pytest.raises(BadInput, match=message):
        read_service(service_row(PLAIN) | change)


def test_a_bill_is_plain_json_in_the_services_units() -> None:
    plan = bill_plan(bill(inches("11.1", "8.5", "6.2"), POUND_MG, PLAIN))
    assert (plan.sides, plan.billed, plan.weight_unit) == ((12, 9, 7), 6, "lb")
    assert plan.dimensional_exact == 5.4388


def test_a_surcharge_carries_the_mark_of_each_limit_and_is_as_sure_as_the_least_sure() -> None:
    marked = {"source": "a page", "sureness": "memory", "as_of": "2021-05-01"}
    triggers = [
        {"name": "large", "measure": "longest", "above": 10, **marked},
        {"name": "large", "measure": "second", "above": 5},
    ]
    row = read_service(dict(service_row(PLAIN)) | {"triggers": triggers, "source": "the rule", "sureness": "primary"})
    (surcharge,) = bill_plan(bill(inches(12, 6, 2), POUND_MG, row)).surcharges
    assert surcharge.sureness == "memory"
    marks = [(reason.source, reason.as_of, reason.sureness) for reason in surcharge.reasons]
    assert marks[0] == ("a page", dt.date(2021, 5, 1), "memory")
    assert marks[1][0] == "the rule" and marks[1][2] == "primary"


def test_a_cap_on_billed_weight_belongs_to_the_dimensional_weight_alone() -> None:
    for trigger in ({"measure": "weight", "maximum_billed": 70}, {"measure": "dimensional"}):
        row = dict(service_row(PLAIN)) | {"triggers": [{"name": "cap", "above": 70, **trigger}]}
        with pytest.raises(BadInput, match="maximum_billed: must be given for the measure dimensional"):
            read_service(row)


def test_every_limit_of_the_published_rows_has_a_source_and_says_how_sure_it_is() -> None:
    for service in SERVICES:
        for trigger in service.triggers:
            assert trigger.source or service.source
            assert trigger.sureness or service.sureness

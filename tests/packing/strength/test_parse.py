"""Rules for board grades as rows: read, given back, and refused in a sentence where they are bad."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from packing.materials import C_FLUTE
from packing.measure import BadInput
from packing.strength import RULES, Load, Tables, grade, read_tables, table_rows
from packing.strength.parse import KINDS

FROM = {"source": "a handbook", "year": "1999", "sureness": "secondary"}
FREIGHT = {"kind": "freight", "wall": "single", "weight_lb": 65, "size_in": 75, "burst_psi": 200, "facings_lb": 84}


def days(up_to: Any, factor: Any) -> Any:
    return {"kind": "days", "up_to": up_to, "factor": Decimal(factor), **FROM}


def heavy(**tables: Any) -> Any:
    inner, outer = (400_000, 300_000, 200_000), (408_000, 308_000, 216_000)
    return Load(20_000_000, inner, outer, tables=Tables(**tables))


def test_rows_give_the_tables_back() -> None:
    rows = table_rows(Tables())
    assert read_tables(rows) == Tables()
    assert {row["kind"] for row in rows} == set(KINDS)


def test_a_kind_without_rows_keeps_the_published_lines() -> None:
    tables = read_tables([days(200, "0.4")])
    assert [(line.up_to, line.factor) for line in tables.days] == [(200, Fraction(2, 5))]
    assert (tables.postal, tables.humidity) == (Tables().postal, Tables().humidity)


def test_every_check_shows_the_source_of_the_line_it_went_by() -> None:
    rows = [dict(row) | FROM for row in table_rows(Tables())]
    load = heavy(**{name: getattr(read_tables(rows), name) for name in Tables.__slots__})
    for check in grade(C_FLUTE, load, [name for name, _ in RULES]).checks:
        assert "a handbook" in {mark.name for mark in check.marks}


def test_stacking_is_as_sure_as_the_least_sure_of_formula_range_and_lines() -> None:
    (check,) = grade(C_FLUTE, heavy(), ("stacking",)).checks
    assert check.source.sureness == "memory"
    assert [mark.sureness for mark in check.marks] == ["memory", "memory", "secondary"]
    assert {mark.year for mark in check.marks} == {"1963", "pages read in 2026"}


def test_a_shops_own_line_can_make_stacking_less_sure() -> None:
    rows = [
        row if row["kind"] != "days" else dict(row) | FROM | {"sureness": "practice"} for row in table_rows(Tables())
    ]
    (check,) = grade(C_FLUTE, heavy(days=read_tables(rows).days), ("stacking",)).checks
    assert check.source.sureness == "practice"
    assert check.marks[0].name == "a handbook"


def test_the_density_limit_is_a_row_too() -> None:
    rows = [{"kind": "high density", "weight_lb": 15, "limit_lb_ft2": 10, **FROM}]
    (check,) = grade(C_FLUTE, heavy(density=read_tables(rows).density), ("high density",)).checks
    assert (check.verdict, check.limit) == ("fails", "10 lb/ft²")


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ({"kind": "lloyd"}, "kind: must be one of postal, dense board, high density"),
        ({"kind": "postal", "size_in": 67, "burst_psi": 125}, "weight_lb: must be given for easy or for difficult"),
        (
            {"kind": "postal", "weight_lb": 20, "burst_psi": 0, "size_in": 9},
            "burst_psi: must be a whole number greater",
        ),
        ({"kind": "dense board", "weight_lb": 45}, "burst_psi: must be a whole number .* not empty"),
        ({"kind": "dense board", "weight_lb": 45, "burst_psi": 200, "factor": 1}, "factor: must be empty in a line of"),
        ({"kind": "high density", "weight_lb": -1, "limit_lb_ft2": 60}, "weight_lb: must be a whole number zero or"),
        ({**FREIGHT, "wall": "thick", "ect_lb_in": 32}, "wall: must be one of single, double, triple .* not thick"),
        ({**FREIGHT, "ect_lb_in": 3.5}, "ect_lb_in: must be a whole number greater than zero .* not 3.5"),
        (days(30, "1.2"), "factor: must be above 0 and at most 1 in a line of “days”, not 1.2"),
        ({**days(130, "0.2"), "kind": "humidity"}, "up_to: must be at most 100 %"),
        ({**days(30, "0.5"), "source": " "}, "source: must say where the line was read"),
        ({**days(30, "0.5"), "sureness": "quite"}, "sureness: must be one of primary, secondary, memory, practice"),
    ],
)
def test_a_bad_line_is_refused_by_field_rule_and_value(row: Any, sentence: Any) -> None:
    with pytest.raises(BadInput, match=sentence):
        read_tables([{**FROM, **row}])


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([days(30, "0.5"), days(30, "0.4")], "days: must not have two lines for 30"),
        ([days(30, "0.5"), days(90, "0.6")], "days: must not leave more strength further on: up to 30 leaves 0.5"),
        ([{"kind": "high density", "weight_lb": 15, "limit_lb_ft2": 60, **FROM}] * 2, "must have one line, not 2"),
    ],
)
def test_a_table_that_contradicts_itself_is_refused(rows: Any, sentence: Any) -> None:
    with pytest.raises(BadInput, match=sentence):
        read_tables(rows)

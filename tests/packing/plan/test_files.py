"""A plan's file gives the plan again, and says what is wrong with it where it cannot be read."""

import json
from pathlib import Path
from typing import Any

import pytest

from packing.plan import (
    SCHEMA_VERSION,
    BadPlanFile,
    Length,
    Message,
    Name,
    Plan,
    Refusal,
    Series,
    from_json,
    json_schema,
    plan_from_json,
    to_json,
)
from packing.plan.kinds import SundryKind
from packing.plan.message_file import message_from_json, message_to_json

BEFORE = Path(__file__).parent.parent.parent / "data" / "plan-before-versions.json"


@pytest.fixture
def before() -> dict[str, Any]:
    """A plan as it was written before files had a version."""
    content: dict[str, Any] = json.loads(BEFORE.read_text())
    return content


def test_a_plan_of_before_is_brought_to_this_version(before: dict[str, Any]) -> None:
    plan = plan_from_json(before)
    assert isinstance(plan, Plan)
    assert to_json(plan)["schema_version"] == SCHEMA_VERSION
    assert plan.box.closing.tape_um == before["box"]["closing"]["tape_m"] * 1_000_000


def test_what_is_written_is_read_again(before: dict[str, Any]) -> None:
    plan = plan_from_json(before)
    assert plan_from_json(json.loads(json.dumps(to_json(plan)))) == plan


def test_the_fixed_part_of_the_file_stays_as_it_is(before: dict[str, Any]) -> None:
    after = to_json(plan_from_json(before))
    for key in ("order", "status", "interior_mm", "lower_bound_mm3", "proven", "seconds", "layers", "items", "rules"):
        assert after[key] == before[key]
    assert after["insert"]["sheets"] == before["insert"]["sheets"]
    assert after["box"]["outer_mm"] == before["box"]["outer_mm"]
    assert {key: value for key, value in after["weight"].items() if key != "sundries"} == {
        key: value for key, value in before["weight"].items() if key != "sundries"
    }
    for row, old in zip(after["weight"]["sundries"], before["weight"]["sundries"], strict=True):
        assert {key: value for key, value in row.items() if key != "kind"} == old


def test_what_rides_along_is_told_from_its_name_once_when_an_old_file_is_read(before: dict[str, Any]) -> None:
    first = {**to_json(plan_from_json(before)), "schema_version": 1}
    first["weight"]["sundries"] = [
        {"what": what, "quantity": 1, "unit": "each", "each_g": 1, "weight_g": 1}
        for what in ("closing tape, 60 mm", "lift tape, 25 mm cotton", "papers, one sheet A4 or Letter",
                     "fills and rests of thin foam", "PE foam that fills the carton")
    ]  # fmt: skip
    kinds = [row.kind for row in plan_from_json(first).weight.sundries]
    assert kinds == [
        SundryKind.CLOSING_TAPE, SundryKind.LIFT_TAPE, SundryKind.PAPERS, SundryKind.THIN_FOAM, SundryKind.CARTON_FILL,
    ]  # fmt: skip
    assert "kind" not in first["weight"]["sundries"][0]


def test_inside_there_are_whole_micrometres_and_milligrams(before: dict[str, Any]) -> None:
    plan = plan_from_json(before)
    assert plan.interior_um == tuple(round(side * 1000) for side in before["interior_mm"])
    assert plan.weight.gross_mg == round(before["weight"]["gross_g"] * 1000)
    assert plan.insert.density_g_m3 == before["insert"]["density_kg_m3"] * 1000


def test_a_refusal_is_read_as_one() -> None:
    content = {
        "order": "A-17", "status": "impossible", "limit": "max_interior length", "item": "CH125-007", "by_mm": 12.5,
        "message": "too long", "seconds": 0, "steps": 0, "seed": 0, "version": "0.1.0", "input_sha256": "0",
    }  # fmt: skip
    refusal = from_json(content)
    assert isinstance(refusal, Refusal)
    assert refusal.by_um == 12_500
    with pytest.raises(BadPlanFile, match="must be planned, not 'impossible'"):
        plan_from_json(content)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"interior_mm": [488, 188]}, "interior_mm"),
        ({"interior_mm": [488, 188, "123"]}, "must be a number, not '123'"),
        ({"interior_mm": [488, 188, 123.0004]}, "finer than a thousandth"),
        ({"schema_version": 3}, "schema_version: must be a whole number up to 2, not 3"),
    ],
)
def test_what_cannot_be_read_is_named(before: dict[str, Any], change: dict[str, Any], says: str) -> None:
    with pytest.raises(BadPlanFile, match=says):
        plan_from_json({**to_json(plan_from_json(before)), **change})


@pytest.mark.parametrize("key", ["insert", "box", "weight"])
def test_a_plan_of_before_that_lacks_a_part_is_refused_with_its_name(before: dict[str, Any], key: str) -> None:
    del before[key]
    with pytest.raises(BadPlanFile, match=f"'{key}' is missing"):
        plan_from_json(before)


def test_sentences_keep_what_they_speak_of() -> None:
    said = Message("{who} stay {gap} apart", who=Series((Name("A"), Name("B")), " and "), gap=Length(1_500))
    assert message_from_json(json.loads(json.dumps(message_to_json(said)))) == said
    assert message_to_json(Message("plain")) == "plain"


def test_the_schema_speaks_of_numbers_where_the_types_have_thousandths() -> None:
    parts = json_schema()["$defs"]
    assert parts["WeightPlan"]["properties"]["gross_g"]["type"] == "number"
    assert parts["Plan"]["properties"]["steps"]["type"] == "integer"

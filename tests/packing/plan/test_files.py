"""A plan's file gives the plan again, and says what is wrong with it where it cannot be read."""

import json
from pathlib import Path
from typing import Any

import pytest

from packing.plan import (
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
    assert to_json(plan)["schema_version"] == 1
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
    assert after["weight"] == before["weight"]


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
        ({"schema_version": 2}, "schema_version: must be a whole number up to 1, not 2"),
    ],
)
def test_what_cannot_be_read_is_named(before: dict[str, Any], change: dict[str, Any], says: str) -> None:
    with pytest.raises(BadPlanFile, match=says):
        plan_from_json({**to_json(plan_from_json(before)), **change})


def test_sentences_keep_what_they_speak_of() -> None:
    said = Message("{who} stay {gap} apart", who=Series((Name("A"), Name("B")), " and "), gap=Length(1_500))
    assert message_from_json(json.loads(json.dumps(message_to_json(said)))) == said
    assert message_to_json(Message("plain")) == "plain"


def test_the_schema_speaks_of_numbers_where_the_types_have_thousandths() -> None:
    parts = json_schema()["$defs"]
    assert parts["WeightPlan"]["properties"]["gross_g"]["type"] == "number"
    assert parts["Plan"]["properties"]["steps"]["type"] == "integer"

"""The JSON schema of a plan file describes the plans that are really written, and refuses broken ones."""

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from packing.plan import json_schema, to_json
from tests.packing.box_specs import EVERY
from tests.packing.drawn_zoo import boxed, in_box, one_hammer_in, planned, sample

SCHEMA = json_schema()


def faults(content: dict[str, Any], schema: dict[str, Any] = SCHEMA) -> list[str]:
    """Where the content breaks the schema."""
    return [error.json_path for error in Draft202012Validator(schema).iter_errors(content)]


def without_other_keys() -> dict[str, Any]:
    """The same schema where an object has the keys it names and no others."""
    schema = copy.deepcopy(SCHEMA)
    for part in schema["$defs"].values():
        if "properties" in part:
            part["additionalProperties"] = False
    return schema


def as_read(plan: Any) -> Any:
    """A plan as it comes out of its file."""
    return json.loads(json.dumps(to_json(plan)))


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("code", EVERY)
def test_plans_in_every_style_of_box_keep_the_schema_and_have_no_other_keys(code: str) -> None:
    strict = without_other_keys()
    for plan in (in_box(code), one_hammer_in(code)):
        assert faults(as_read(plan)) == []
        assert faults(as_read(plan), strict) == []


@pytest.mark.parametrize("plan", [sample, boxed, lambda: planned(12)], ids=["sample", "box of boxes", "twelve items"])
def test_plans_of_many_kinds_keep_the_schema(plan: Callable[[], Any]) -> None:
    assert faults(as_read(plan()), without_other_keys()) == []


BREAKS: dict[str, tuple[str, Callable[[dict[str, Any]], object]]] = {
    "a missing weight": ("$", lambda plan: plan.pop("weight")),
    "a side too few": ("$.interior_mm", lambda plan: plan["interior_mm"].pop()),
    "a length as text": ("$.layers[0].floor_mm", lambda plan: plan["layers"][0].update(floor_mm="50")),
    "a pose nobody knows": ("$.items[0].pose", lambda plan: plan["items"][0].update(pose="upside down")),
    "half a step": ("$.steps", lambda plan: plan.update(steps=1.5)),
    "a number for a sentence": ("$.box.closing.text", lambda plan: plan["box"]["closing"].update(text=3)),
}


@pytest.mark.parametrize("name", BREAKS)
def test_a_broken_plan_is_refused_where_it_is_broken(name: str) -> None:
    place, spoil = BREAKS[name]
    content = as_read(one_hammer_in("0201"))
    spoil(content)
    assert faults(content) == [place]

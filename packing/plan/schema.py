"""The JSON schema of a plan's file, generated from the types."""

from typing import Any

import msgspec

from packing.measure import RULES, RuleKind, Rules, mm
from packing.messages import Message
from packing.plan.model import Plan
from packing.plan.scaling import IN_THOUSANDS, scaled


def json_schema() -> dict[str, Any]:
    """The JSON schema of a plan file, generated from the types.

    Returns
    -------
    dict
        JSON schema 2020-12; lengths are numbers of millimetres, weights of grams.
    """
    (reference, *_), parts = msgspec.json.schema_components((Plan,), schema_hook=_schema, ref_template="#/$defs/{name}")
    for part in parts.values():
        # The first sentence alone: the sections below it speak of the fields by the names they have inside.
        part["description"] = part.get("description", "").partition("\n")[0]
        for key, schema in part.get("properties", {}).items():
            if key.endswith(IN_THOUSANDS):
                _as_numbers(schema)
    parts[Rules.__name__] = _rules(parts[Rules.__name__])
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **reference, "$defs": parts}


def _rules(part: dict[str, Any]) -> dict[str, Any]:
    """Name the rules as an order file does, where lengths are in millimetres without saying so."""
    # In a file the rules have no unit in their keys: an order has them so, and a plan repeats them.
    named = {}
    for name, rule in RULES.items():
        schema = part["properties"][rule.field]
        if rule.kind not in (RuleKind.FLAG, RuleKind.STEP):
            _as_numbers(schema)
        named[name] = schema
    return {**part, "properties": named}


def _as_numbers(schema: Any) -> None:
    """Turn whole thousandths of the types into the numbers that a file has, also where they are a default."""
    if isinstance(schema, dict):
        if schema.get("type") == "integer":
            schema["type"] = "number"
        if "default" in schema:
            schema["default"] = scaled(schema.pop("default"), mm, scaling=True)
        for value in schema.values():
            _as_numbers(value)
    elif isinstance(schema, list):
        for value in schema:
            _as_numbers(value)


def _schema(kind: type) -> dict[str, Any]:
    if kind is Message:
        return {
            "description": "a sentence, or its template in English with what it speaks of",
            "type": ["string", "object"],
        }
    raise NotImplementedError(kind)

"""The plan's file: JSON in millimetres and grams, read and written here alone."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import fields
from decimal import Decimal
from typing import Any, TypeVar

import msgspec

from packing.measure import PackingError, Rules, mm, rules_content
from packing.plan.box import BoxPlan
from packing.plan.kinds import ContainerKind, PieceRole, Shell, Status
from packing.plan.messages import (
    Count,
    Figure,
    Length,
    Message,
    Name,
    Percent,
    Quantity,
    Run,
    Series,
    Sides,
    Weight,
    verbatim,
)
from packing.plan.model import Plan, Refusal
from packing.plan.rows import FILE_SUFFIXES, Row

SCHEMA_VERSION = 1
"""Raised when a file of before cannot be read as it stands; `_UPGRADES` then takes it one version further."""

_IN_THOUSANDS = tuple(FILE_SUFFIXES.values())
_EXACT = 1e-6
R = TypeVar("R", bound=Row)


class BadPlanFile(PackingError):
    """A plan file that cannot be read; the message names the place and what is wrong there."""


def to_json(row: Row) -> dict[str, Any]:
    """A plan, or a part of one, as plain JSON values: lengths in mm, weights in g.

    Parameters
    ----------
    row
        A `Plan`, a `Refusal` or any row of them.

    Returns
    -------
    dict
        For `json.dumps`; whole numbers are integers.
    """
    content: dict[str, Any] = _scaled(msgspec.to_builtins(row, enc_hook=_encoded), mm)
    if isinstance(row, Plan):
        content["rules"] = rules_content(row.rules)
    return content


def dumps(row: Row) -> str:
    """A plan, or a part of one, as the text of a file."""
    return json.dumps(to_json(row), ensure_ascii=False, indent=1) + "\n"


def from_json(content: Mapping[str, Any]) -> Plan | Refusal:
    """Read a plan file's content, of this version or an earlier one.

    Parameters
    ----------
    content
        As `json.loads` gives it.

    Returns
    -------
    Plan or Refusal
        By its status.

    Raises
    ------
    BadPlanFile
        Something is missing, of the wrong type, finer than a micrometre or a milligram, or of a later version.
    """
    upgraded = upgrade(content)
    if upgraded.get("status") == Status.PLANNED:
        return read_row(upgraded, Plan)
    return read_row(upgraded, Refusal)


def plan_from_json(content: Mapping[str, Any]) -> Plan:
    """Read the content of a plan that was found.

    Parameters
    ----------
    content
        As `json.loads` gives it.

    Returns
    -------
    Plan

    Raises
    ------
    BadPlanFile
        See `from_json`; or the file says why there is no plan.
    """
    plan = from_json(content)
    if isinstance(plan, Refusal):
        raise BadPlanFile(f"status: there is no plan in this file: it must be planned, not {plan.status.value!r}.")
    return plan


def read_row(content: Mapping[str, Any], kind: type[R]) -> R:
    """Read one kind of row from plain JSON values."""
    try:
        inside = _scaled(content, _from_file)
        if "rules" in inside:
            inside["rules"] = _rules_inside(content["rules"])
        return msgspec.convert(inside, kind, dec_hook=_decoded)
    except (msgspec.ValidationError, ValueError) as fault:
        raise BadPlanFile(f"This plan file cannot be read: {fault}") from fault


def upgrade(content: Mapping[str, Any]) -> dict[str, Any]:
    """Bring a file's content to this version, one version at a time; what was read is not changed."""
    version = content.get("schema_version", 0)
    if not isinstance(version, int) or not 0 <= version <= SCHEMA_VERSION:
        raise BadPlanFile(f"schema_version: must be a whole number up to {SCHEMA_VERSION}, not {version!r}.")
    current = dict(content)
    while version < SCHEMA_VERSION:
        current = _UPGRADES[version](current)
        version += 1
        current["schema_version"] = version
    return current


def read_box(content: Mapping[str, Any]) -> BoxPlan:
    """Read a box as files of before version 1 have it."""
    current: dict[str, Any] = _with_units(content)
    _first_box(current)
    return read_row(current, BoxPlan)


def _first(content: dict[str, Any]) -> dict[str, Any]:
    """Version 1: every length has its unit in its key, and what a loose piece is cut from is a list."""
    if content.get("status") != Status.PLANNED:
        return content
    current: dict[str, Any] = _with_units(content)
    for loose in (*current["insert"]["saddles"], *current["insert"]["plugs"]):
        if "from_sheet" in loose:
            loose["from_sheets"] = loose.pop("from_sheet").split(" + ")
    _first_box(current["box"])
    return current


_FLAP_LAYERS = {"0201": 2, "carton": 2, "0203": 3}
"""Styles that were slotted cases when their plans did not say so."""


def _first_box(box: dict[str, Any]) -> None:
    """Version 1 of a box: pieces and flaps say what they are."""
    closing = box["closing"]
    closing["tape_mm"] = round(closing.pop("tape_m") * 1000)
    box.setdefault("flap_layers", _FLAP_LAYERS.get(box["style"], 0))
    for piece in box["flats"]:
        if "role" not in piece:
            _name_piece(piece)
    ids = {piece["what"]: piece["id"] for piece in box["flats"]}
    for step in box["steps"]:
        if "shell" not in step and step["text"].startswith("Outer case"):
            step["shell"] = Shell.CASE.value
        for plate in step.get("plates", ()):
            plate.setdefault("piece", ids.get(plate["name"], ""))
    if box["family"] == ContainerKind.WOOD and box["board"] is not None and "case" not in box:
        box["case"] = _case_of(box)


def _case_of(box: dict[str, Any]) -> dict[str, Any]:
    """Tell the case outside a wooden box from its blank: one with two layers of flaps at either end."""
    board, outer = box["board"]["caliper_mm"], box["outer_mm"]
    inner = [outer[0] - 2 * board, outer[1] - 2 * board, outer[2] - 4 * board]
    blanks = [piece for piece in box["flats"] if piece.get("shell") == Shell.CASE]
    areas = (area for piece in blanks for area in piece["panels"] if area["name"] == "inner flap")
    flap = next((area["max_mm"][1] - area["min_mm"][1] for area in areas), inner[0] / 2)
    return {
        "inner_mm": [round(side, 3) for side in inner],
        "flap_gap_mm": max(0, round(inner[0] - 2 * flap, 3)),
        "flap_layers": 2,
        "weight_g": round(sum(piece["count"] * piece["weight_g"] for piece in blanks), 1),
    }


def _name_piece(piece: dict[str, Any]) -> None:
    """Say of a piece in a plan of before what it is: once its name alone did."""
    name: str = piece["what"]
    if name.startswith("carton "):
        piece |= {"role": PieceRole.CARTON.value, "carton": name.removeprefix("carton ")}
        return
    if name.startswith("outer "):
        piece["shell"] = Shell.CASE.value
    role = name.removeprefix("outer ")
    piece["role"] = role if role in list(PieceRole) else None


def _with_units(value: Any) -> Any:
    """A copy in which the two ends of a line are `from_mm` and `to_mm`."""
    if isinstance(value, list):
        return [_with_units(inner) for inner in value]
    if not isinstance(value, Mapping):
        return value
    if value.keys() == {"from", "to"}:
        return {"from_mm": value["from"], "to_mm": value["to"]}
    return {key: _with_units(inner) for key, inner in value.items()}


_UPGRADES: tuple[Callable[[dict[str, Any]], dict[str, Any]], ...] = (_first,)


def json_schema() -> dict[str, Any]:
    """The JSON schema of a plan file, generated from the types.

    Returns
    -------
    dict
        JSON schema 2020-12; lengths are numbers of millimetres, weights of grams.
    """
    (reference, *_), parts = msgspec.json.schema_components((Plan,), schema_hook=_schema, ref_template="#/$defs/{name}")
    for part in parts.values():
        for key, schema in part.get("properties", {}).items():
            if key.endswith(_IN_THOUSANDS):
                _as_numbers(schema)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **reference, "$defs": parts}


def _as_numbers(schema: Any) -> None:
    """Integers of the types are thousandths: in a file they are numbers."""
    if isinstance(schema, dict):
        if schema.get("type") == "integer":
            schema["type"] = "number"
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
    if kind is Rules:
        return {"type": "object"}
    raise NotImplementedError(kind)


def _scaled(value: Any, change: Callable[[Any], Any], scaling: bool = False) -> Any:
    """A copy of plain values in which every number under a key with a unit is changed; sentences are left alone."""
    if isinstance(value, Mapping):
        if "template" in value:
            return value
        return {key: _scaled(inner, change, key.endswith(_IN_THOUSANDS)) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_scaled(inner, change, scaling) for inner in value]
    return change(value) if scaling and value is not None else value


def _rules_inside(content: Mapping[str, Any]) -> dict[str, Any]:
    """The rules of a plan by the names of their fields; a rule that is not there has its default."""
    inside: dict[str, Any] = {}
    for field in fields(Rules):
        key = field.name.removesuffix("_um")
        key = key.removesuffix("_mg") + "_g" if key.endswith("_mg") else key
        if key in content:
            value = content[key]
            inside[field.name] = value if isinstance(value, bool) else _scaled(value, _from_file, scaling=True)
    return inside


def _from_file(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"a length or a weight must be a number, not {value!r}")
    whole = round(value * 1000)
    if abs(value * 1000 - whole) > _EXACT * max(1, abs(whole)):
        raise ValueError(f"{value!r} is finer than a thousandth")
    return whole


def _encoded(value: Any) -> Any:
    if isinstance(value, Message):
        return message_to_json(value)
    raise NotImplementedError(type(value))


def message_to_json(message: Message) -> Any:
    """A sentence as plain JSON values: a text where it has no quantities, else its template and what it speaks of."""
    if not message.quantities:
        return message.template.replace("{{", "{").replace("}}", "}")
    return {
        "template": message.template,
        "quantities": {name: _quantity_to_json(value) for name, value in message.quantities.items()},
    }


def message_from_json(content: Any) -> Message:
    """Read a sentence as `message_to_json` writes it; raises ValueError where it is none."""
    if isinstance(content, str):
        return verbatim(content)
    if not isinstance(content, Mapping) or not isinstance(content.get("template"), str):
        raise ValueError(f"a sentence must be a text or a template with its quantities, not {content!r}")
    quantities = {str(name): _quantity_from_json(value) for name, value in content.get("quantities", {}).items()}
    return Message(content["template"], **quantities)


def _quantity_to_json(value: Quantity) -> Any:
    match value:
        case Length(um):
            return {"length_mm": mm(um)}
        case Run(um):
            return {"run_mm": mm(um)}
        case Sides(sides):
            return {"sides_mm": [mm(side) for side in sides]}
        case Weight(mg):
            return {"weight_g": mm(mg)}
        case Count(number):
            return {"count": number}
        case Percent(number):
            return {"percent": str(number)}
        case Figure(text, unit):
            return {"figure": text, "unit": unit}
        case Name(text):
            return {"name": text}
        case Series(parts, separator):
            return {"series": [_quantity_to_json(part) for part in parts], "separator": separator}
        case Message():
            return {"sentence": message_to_json(value)}


def _quantity_from_json(content: Any) -> Quantity:
    match content:
        case {"length_mm": value}:
            return Length(_from_file(value))
        case {"run_mm": value}:
            return Run(_from_file(value))
        case {"sides_mm": [*values]}:
            return Sides(tuple(_from_file(value) for value in values))
        case {"weight_g": value}:
            return Weight(_from_file(value))
        case {"count": int(number)}:
            return Count(number)
        case {"percent": str(number)}:
            return Percent(Decimal(number))
        case {"figure": str(text), "unit": str(unit)}:
            return Figure(text, unit)
        case {"name": str(text)}:
            return Name(text)
        case {"series": [*parts], "separator": str(separator)}:
            return Series(tuple(_quantity_from_json(part) for part in parts), separator)
        case {"sentence": sentence}:
            return message_from_json(sentence)
    raise ValueError(f"a sentence speaks of {content!r}, which is no quantity")


def _decoded(kind: type, value: Any) -> Any:
    if kind is Message:
        return message_from_json(value)
    raise NotImplementedError(kind)

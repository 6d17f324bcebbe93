"""The plan's file: JSON in millimetres and grams, read and written here alone."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, TypeVar

import msgspec

from packing.measure import BadInput, mm, read_rules, rules_content
from packing.messages import Message
from packing.plan.kinds import Status
from packing.plan.message_file import message_from_json, message_to_json
from packing.plan.model import Plan, Refusal
from packing.plan.rows import Row
from packing.plan.scaling import from_file, scaled
from packing.plan.upgrades import BadPlanFile, upgrade

R = TypeVar("R", bound=Row)


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
    content: dict[str, Any] = scaled(msgspec.to_builtins(row, enc_hook=_encoded), mm)
    if isinstance(row, Plan):
        # As an order file has them, in its own units: one reader then does for both.
        content["rules"] = rules_content(row.rules)
    return content


def dumps(row: Row) -> str:
    """Write a plan, or a part of one, as the text of a file.

    Parameters
    ----------
    row
        A `Plan`, a `Refusal` or any row of them.

    Returns
    -------
    str
        JSON with a line break at its end.
    """
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
    """Read one kind of row from plain JSON values.

    Parameters
    ----------
    content
        Lengths in millimetres, weights in grams.
    kind
        The type to read.

    Returns
    -------
    Row
        Of that type, in micrometres and milligrams.

    Raises
    ------
    BadPlanFile
        Something is missing, of the wrong type, or finer than a thousandth.
    """
    try:
        inside = scaled(content, from_file)
        if "rules" in inside:
            # From the file's own values, not the scaled ones: that reader knows unit and limits of each rule.
            inside["rules"] = asdict(read_rules(content["rules"]))
        return msgspec.convert(inside, kind, dec_hook=_decoded)
    except (msgspec.ValidationError, ValueError, BadInput) as fault:
        raise BadPlanFile(f"This plan file cannot be read: {fault}") from fault


def _encoded(value: Any) -> Any:
    if isinstance(value, Message):
        return message_to_json(value)
    raise NotImplementedError(type(value))


def _decoded(kind: type, value: Any) -> Any:
    if kind is Message:
        return message_from_json(value)
    raise NotImplementedError(kind)

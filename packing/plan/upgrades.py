"""Plan files of earlier versions, brought to this one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from packing.measure import PackingError
from packing.plan.kinds import ContainerKind, PieceRole, Shell, Status, SundryKind
from packing.plan.model import SCHEMA_VERSION


class BadPlanFile(PackingError):
    """A plan file that cannot be read; the message names the place and what is wrong there."""


def upgrade(content: Mapping[str, Any]) -> dict[str, Any]:
    """Bring a file's content to this version, one version at a time.

    Parameters
    ----------
    content
        As `json.loads` gives it; it is not changed.

    Returns
    -------
    dict
        Of `SCHEMA_VERSION`.

    Raises
    ------
    BadPlanFile
        Of a later version, or without what every file of its version has.
    """
    version = content.get("schema_version", 0)
    if not isinstance(version, int) or not 0 <= version <= SCHEMA_VERSION:
        raise BadPlanFile(f"schema_version: must be a whole number up to {SCHEMA_VERSION}, not {version!r}.")
    # A copy: what a shop has stored is never changed by reading it.
    current = dict(content)
    # One version at a time: each step knows the one before it alone.
    while version < SCHEMA_VERSION:
        try:
            current = _UPGRADES[version](current)
        except KeyError as fault:
            raise BadPlanFile(f"This plan file of version {version} cannot be read: {fault} is missing.") from fault
        except (AttributeError, TypeError) as fault:
            raise BadPlanFile(f"This plan file of version {version} cannot be read: {fault}.") from fault
        version += 1
        current["schema_version"] = version
    return current


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


_SUNDRY_KINDS = {
    "closing tape": SundryKind.CLOSING_TAPE,
    "lift tape": SundryKind.LIFT_TAPE,
    "papers": SundryKind.PAPERS,
    "packing slip": SundryKind.PAPERS,
    "corrosion-inhibiting wrap": SundryKind.WRAP,
    "edge guard": SundryKind.EDGE_GUARD,
    "fills and rests of thin foam": SundryKind.THIN_FOAM,
}
"""Beginnings of the names of sundries before version 2; any other named the foam that fills a carton."""


def _second(content: dict[str, Any]) -> dict[str, Any]:
    """Version 2: what rides along says what it is."""
    if content.get("status") != Status.PLANNED:
        return content
    sundries = [{"kind": _sundry_kind(row["what"]), **row} for row in content["weight"].get("sundries", ())]
    return {**content, "weight": {**content["weight"], "sundries": sundries}}


def _sundry_kind(what: str) -> str:
    return _SUNDRY_KINDS.get(what.split(",", maxsplit=1)[0], SundryKind.CARTON_FILL).value


_UPGRADES: tuple[Callable[[dict[str, Any]], dict[str, Any]], ...] = (_first, _second)

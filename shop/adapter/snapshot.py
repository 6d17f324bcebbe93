"""The rows that a box was made from, kept with its plan, and what has become of them since."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from packing import materials
from packing.materials import Fastener, Timber, allowance_for
from packing.planning import Terms
from packing.strength import Load, grade

Figures = dict[str, Any]
Snapshot = dict[str, dict[str, Any]]
BOARD = (
    "flute",
    "wall",
    "grade",
    "caliper_um",
    "caliper_tolerance_um",
    "grammage_mg_m2",
    "joint_um",
    "burst_psi",
    "facings_lb",
    "ect_lb_in",
    "sheet_um",
    "cut_by",
)
WOOD = ("thickness_um", "thickness_tolerance_um", "width_um", "length_um", "density_g_m3", "processed", "cut_by")
FASTENER = ("diameter_um", "length_um", "each_mg")
NAMES = {
    "board": gettext_lazy("Board"),
    "wood": gettext_lazy("Wood"),
    "fastener": gettext_lazy("Hardware"),
    "carton": gettext_lazy("Stock carton"),
    "second carton": gettext_lazy("Stock carton"),
}
WORDS = {
    "flute": gettext_lazy("flute"),
    "wall": gettext_lazy("wall"),
    "grade": gettext_lazy("grade"),
    "caliper_um": gettext_lazy("caliper"),
    "caliper_tolerance_um": gettext_lazy("caliper’s tolerance"),
    "grammage_mg_m2": gettext_lazy("weight of a square metre"),
    "joint_um": gettext_lazy("joint flap"),
    "burst_psi": gettext_lazy("burst in psi"),
    "facings_lb": gettext_lazy("facings in lb"),
    "ect_lb_in": gettext_lazy("edge crush in lb/in"),
    "sheet_um": gettext_lazy("sheet"),
    "cut_by": gettext_lazy("cut by"),
    "panel_um": gettext_lazy("allowance from score to score"),
    "layer_um": gettext_lazy("allowance for a layer of flaps"),
    "thickness_um": gettext_lazy("thickness"),
    "thickness_tolerance_um": gettext_lazy("thickness’s tolerance"),
    "width_um": gettext_lazy("width"),
    "length_um": gettext_lazy("length"),
    "density_g_m3": gettext_lazy("weight of a cubic metre"),
    "processed": gettext_lazy("panel"),
    "diameter_um": gettext_lazy("shank"),
    "each_mg": gettext_lazy("weight of one"),
    "inner_um": gettext_lazy("inner size"),
    "board": gettext_lazy("board"),
}


def snapshot(content: Mapping[str, Any], terms: Terms) -> Snapshot:
    """What of the shop's rows a plan's box was made from.

    Parameters
    ----------
    content
        A plan's content, planned.
    terms
        What it was made with.

    Returns
    -------
    dict
        By kind ("board", "wood", "fastener", "carton") and name the figures that decide the box, prices and sources
        left out, and under "grade" the checks of its board with the load they were made for. Plain JSON.
    """
    box, carton = content["box"], content.get("carton") or {}
    stuffs = [(flat["stuff"]["kind"], flat["stuff"]["name"]) for flat in box["flats"]]
    used = {
        "board": {name for kind, name in stuffs if kind == "board"} | {carton.get("board", "")},
        "wood": {name for kind, name in stuffs if kind == "timber"},
        "fastener": {line["what"] for line in box["hardware"]},
        "carton": _cartons(box),
        "second carton": {carton.get("name", "")} - _cartons(box),
    }
    there = _rows(terms)
    kept: Snapshot = {
        kind: {name: figures for name, figures in there[kind].items() if name in names} for kind, names in used.items()
    }
    if box.get("grade") and box.get("board"):
        kept["grade"] = _graded(content, terms)
    return {kind: rows for kind, rows in kept.items() if rows}


def changed_rows(kept: Mapping[str, Mapping[str, Any]], terms: Terms) -> list[str]:
    """What has become of the rows a plan was made from, a sentence each; empty where each is as it was.

    Parameters
    ----------
    kept
        As `snapshot` gave it; empty for a plan that was stored before plans kept their rows.
    terms
        What the shop makes boxes of now.
    """
    there, sentences = _rows(terms), []
    for kind, title in NAMES.items():
        for name, figures in kept.get(kind, {}).items():
            now = there[kind].get(name)
            if now is None and kind != "second carton":
                sentences.append(_("%(kind)s “%(name)s” is not in stock any more.") % {"kind": title, "name": name})
            elif now is not None and now != figures:
                values = {"kind": title, "name": name, "what": _differences(figures, now)}
                sentences.append(_("%(kind)s “%(name)s” has changed: %(what)s.") % values)
    if not sentences and kept.get("grade"):
        sentences += _regraded(kept["grade"], terms)
    return sentences


def _cartons(box: Mapping[str, Any]) -> set[str]:
    """The name of the stock carton that the box itself is."""
    return {flat["carton"] for flat in box["flats"] if flat["carton"]}


def _rows(terms: Terms) -> Snapshot:
    """Every row in stock by kind and name."""
    cartons = {carton.name: carton for carton in terms.materials.cartons}
    boards = [carton.board for carton in cartons.values()] + [terms.materials.board, *terms.boards]
    joinery = terms.joinery
    sizes: dict[str, Figures] = {
        name: {"inner_um": list(carton.inner_um), "board": carton.board.name} for name, carton in cartons.items()
    }
    return {
        "board": {board.name: _board(board, terms) for board in boards},
        "wood": {one.name: _figures(one, WOOD) for one in (*joinery.planks, *joinery.panels)},
        "fastener": {one.name: _figures(one, FASTENER) for one in (*joinery.screws, *joinery.nails)},
        "carton": sizes,
        "second carton": sizes,
    }


def _figures(row: materials.Board | Timber | Fastener, names: Sequence[str]) -> Figures:
    values = {name: getattr(row, name) for name in names}
    return {name: list(value) if isinstance(value, tuple) else value for name, value in values.items()}


def _board(board: materials.Board, terms: Terms) -> Figures:
    """A board's figures, what folding takes from it among them."""
    row = allowance_for(board, terms.allowances)
    return {**_figures(board, BOARD), "panel_um": row.panel_um, "layer_um": row.layer_um}


def _graded(content: Mapping[str, Any], terms: Terms) -> Figures:
    """The load of a plan's box, and what each rule makes of its board."""
    box, weight = content["box"], content["weight"]
    case = box.get("case") or {
        "weight_g": weight["box_g"],
        "inner_mm": box["inner_mm"],
        "flap_layers": box["flap_layers"],
    }
    load = {
        "gross_mg": _thousandths(weight["gross_g"]),
        "contents_mg": _thousandths(weight["gross_g"]) - _thousandths(case["weight_g"]),
        "inner_um": [_thousandths(side) for side in case["inner_mm"]],
        "outer_um": [_thousandths(side) for side in box["outer_mm"]],
        "slotted": case["flap_layers"] > 0,
    }
    name = box["board"]["name"]
    return {"board": name, "load": load, "checks": _checks(name, load, terms)}


def _checks(name: str, load: Mapping[str, Any], terms: Terms) -> list[list[str]]:
    """Each rule with its result, limit and verdict; empty where the board is not in stock."""
    boards = [carton.board for carton in terms.materials.cartons] + [terms.materials.board, *terms.boards]
    board = next((one for one in reversed(boards) if one.name == name), None)
    if board is None:
        return []
    inner, outer = load["inner_um"], load["outer_um"]
    held = Load(
        gross_mg=load["gross_mg"],
        inner_um=(inner[0], inner[1], inner[2]),
        outer_um=(outer[0], outer[1], outer[2]),
        contents_mg=load["contents_mg"],
        slotted=load["slotted"],
        stack_um=terms.stack_um,
        days=terms.days,
        humidity=terms.humidity,
        tables=terms.tables,
    )
    checks = grade(board, held, terms.rules).checks
    return [[check.rule, check.result, check.limit, check.verdict] for check in checks]


def _regraded(kept: Mapping[str, Any], terms: Terms) -> list[str]:
    """The rules for board grades that say something else now of the very same box."""
    before = {check[0]: check for check in kept["checks"]}
    now = {check[0]: check for check in _checks(kept["board"], kept["load"], terms)}
    sentences = []
    for rule, (_rule, result, limit, verdict) in now.items():
        if before.get(rule) == [rule, result, limit, verdict]:
            continue
        values = {"rule": rule, "board": kept["board"], "result": result, "limit": limit, "verdict": verdict}
        sentences.append(
            _("The rule “%(rule)s” has changed: of %(board)s it says %(result)s, limit %(limit)s, %(verdict)s.")
            % values
        )
    return sentences


def _differences(before: Figures, now: Figures) -> str:
    return ", ".join(
        _("%(what)s %(now)s, was %(before)s")
        % {"what": WORDS[key], "now": _shown(key, value), "before": _shown(key, before.get(key))}
        for key, value in now.items()
        if before.get(key) != value
    )


def _shown(key: str, value: Any) -> str:
    """A figure with its unit."""
    if value is None:
        return _("any size") if key == "sheet_um" else "–"
    if isinstance(value, list):
        texts = [_thousand(one) if key.endswith("_um") else str(one) for one in value]
        return f"{' × '.join(texts)} mm" if key.endswith("_um") else ", ".join(texts)
    for ending, unit in (("_um", "mm"), ("_mg_m2", "g"), ("_g_m3", "kg"), ("_mg", "g")):
        if key.endswith(ending):
            return f"{_thousand(value)} {unit}"
    return str(value)


def _thousand(value: int) -> str:
    return format((Decimal(value) / 1000).normalize(), "f")


def _thousandths(value: float) -> int:
    return int(Decimal(str(value)) * 1000)

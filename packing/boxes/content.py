"""A box of any style as the plan's content: plain JSON, lengths in mm, weights in g."""

from typing import Any

from packing.box import Area, Blank, Point, blank_content, board_content
from packing.boxes.design import Flat, Hardware, Made, NoBox, Plate
from packing.material import Board, grams_shown
from packing.materials import timber_content
from packing.measure import mm


def _point(point: Point) -> list[int | float]:
    return [mm(point[0]), mm(point[1])]


def _line(line: tuple[Point, Point]) -> dict[str, Any]:
    return {"from": _point(line[0]), "to": _point(line[1])}


def _area(area: Area) -> dict[str, Any]:
    return {"name": area.name, "min_mm": _point(area.low), "max_mm": _point(area.high)}


def stuff_content(flat: Flat) -> dict[str, Any]:
    """What a piece is cut from, and how that may be cut."""
    if isinstance(flat.stuff, Board):
        return {"kind": "board", **board_content(flat.stuff), "cut_by": list(flat.stuff.cut_by)}
    return {"kind": "timber", **timber_content(flat.stuff), "cut_by": list(flat.stuff.cut_by)}


def flat_content(flat: Flat) -> dict[str, Any]:
    """One piece to cut, everything a drawing or a cut file needs."""
    return {
        "id": flat.id,
        "what": flat.what,
        "material": flat.stuff.name,
        "thickness_mm": mm(flat.thickness_um),
        "size_mm": _point(flat.size_um),
        "count": flat.count,
        "weight_g": grams_shown(flat.each_mg),
        "stock_g": grams_shown(flat.stock_mg),
        "grain": flat.grain,
        "from": flat.source or flat.stuff.name,
        "outline_mm": [_point(point) for point in flat.outline],
        "creases": [_line(line) for line in flat.creases],
        "slots": [{"min_mm": _point(slot.low), "max_mm": _point(slot.high)} for slot in flat.slots],
        "panels": [_area(panel) for panel in flat.panels],
        "joint": None if flat.joint is None else _area(flat.joint),
        "grooves": [
            {"name": g.name, "min_mm": _point(g.low), "max_mm": _point(g.high), "depth_mm": mm(g.depth_um)}
            for g in flat.grooves
        ],
        "marks": [_line(line) for line in flat.marks],
    }


def hardware_content(one: Hardware) -> dict[str, Any]:
    """One line of screws or nails."""
    return {
        "what": one.what,
        "count": one.count,
        "weight_g": grams_shown(one.each_mg * one.count),
        "where": one.where,
        "spacing_mm": mm(one.spacing_um),
        "rule": one.rule,
    }


def _plate(plate: Plate) -> dict[str, Any]:
    return {"name": plate.name, "min_mm": [mm(v) for v in plate.low], "max_mm": [mm(v) for v in plate.high]}


def made_content(made: Made) -> dict[str, Any]:
    """A box as the plan's content: the keys of `packing.box.box_content` and more; see DEVELOPERS.md.

    Parameters
    ----------
    made
        As `make_box` gives it.

    Returns
    -------
    dict
        `board` and `blank` are None where the box has none, or more than one blank and it is no slotted case.
    """
    return {
        "style": made.style,
        "name": made.name,
        "family": made.family,
        "packaging": made.packaging,
        "inner_mm": [mm(v) for v in made.inner_um],
        "outer_mm": [mm(v) for v in made.outer_um],
        "most_mm": [mm(v) for v in made.most_um],
        "weight_g": grams_shown(made.weight_mg),
        "fill_g": grams_shown(made.fill_mg),
        "fit_mm": [mm(v) for v in made.fit_um],
        "board": None if made.board is None else board_content(made.board),
        "blank": _blank(made),
        "parts": [
            {
                "id": flat.id,
                "what": flat.what,
                "material": flat.stuff.name,
                "thickness_mm": mm(flat.thickness_um),
                "size_mm": _point(flat.size_um),
                "count": flat.count,
                "weight_g": grams_shown(flat.each_mg * flat.count),
                "grain": flat.grain,
                "from": flat.source or flat.stuff.name,
            }
            for flat in made.flats
        ],
        "flats": [flat_content(flat) | {"stuff": stuff_content(flat)} for flat in made.flats],
        "hardware": [hardware_content(one) for one in made.hardware],
        "steps": [
            {"text": step.text, "plates": [_plate(plate) for plate in step.plates], "new": list(step.new)}
            for step in made.steps
        ],
        "closing": {
            "text": made.closing.text,
            "pattern": made.closing.pattern,
            "tape_m": round(made.closing.tape_um / 10**6, 2),
        },
        "folds": [{"name": fold.name, "flats": list(fold.flats)} for fold in made.folds],
        "flap_gap_mm": mm(made.flap_gap_um),
        "notes": list(made.notes),
        "facts": [{"text": fact.text, "source": fact.source, "sureness": fact.sureness} for fact in made.facts],
    }


def _blank(made: Made) -> dict[str, Any] | None:
    """The blank of a case that has one blank in one piece, as a plan has always shown it."""
    if made.family == "wood" or len(made.folds) != 1 or len(made.folds[0].flats) != 1:
        return None
    flat = next(flat for flat in made.flats if flat.id == made.folds[0].flats[0])
    joint = flat.joint or Area("joint", (0, 0), (0, 0))
    blank = Blank(flat.size_um, flat.outline, flat.creases, flat.slots, flat.panels, joint)
    return blank_content(blank, made.flap_gap_um)


def no_box_content(refused: NoBox) -> dict[str, Any]:
    """A refusal as plain JSON."""
    return {
        "style": refused.style,
        "limit": refused.limit,
        "value_mm": mm(refused.value_um),
        "limit_mm": mm(refused.limit_um),
        "reason": refused.reason,
    }

"""A box of any style as the plan's content: plain JSON, lengths in mm, weights in g."""

from typing import Any

from packing.boxes.design import Area, BoxDesign, CutPiece, Hardware, Infeasible, PlacedPanel, Point
from packing.materials import Board, board_content, timber_content
from packing.measure import mm
from packing.sureness import fact_content
from packing.units import grams_shown


def _point(point: Point) -> list[int | float]:
    return [mm(point[0]), mm(point[1])]


def _line(line: tuple[Point, Point]) -> dict[str, Any]:
    return {"from": _point(line[0]), "to": _point(line[1])}


def _extent(area: Area) -> dict[str, Any]:
    return {"min_mm": _point(area.low), "max_mm": _point(area.high)}


def _area(area: Area) -> dict[str, Any]:
    return {"name": area.name, **_extent(area)}


def material_content(cut_piece: CutPiece) -> dict[str, Any]:
    """What a piece is cut from, and how that may be cut."""
    if isinstance(cut_piece.material, Board):
        return {"kind": "board", **board_content(cut_piece.material), "cut_by": list(cut_piece.material.cut_by)}
    return {"kind": "timber", **timber_content(cut_piece.material), "cut_by": list(cut_piece.material.cut_by)}


def cut_piece_content(cut_piece: CutPiece) -> dict[str, Any]:
    """One piece to cut, everything a drawing or a cut file needs."""
    return {
        "id": cut_piece.id,
        "what": cut_piece.what,
        "material": cut_piece.material.name,
        "thickness_mm": mm(cut_piece.thickness_um),
        "size_mm": _point(cut_piece.size_um),
        "count": cut_piece.count,
        "weight_g": grams_shown(cut_piece.each_mg),
        "stock_g": grams_shown(cut_piece.stock_mg),
        "grain": cut_piece.grain,
        "from": cut_piece.source or cut_piece.material.name,
        "outline_mm": [_point(point) for point in cut_piece.outline],
        "creases": [_line(line) for line in cut_piece.creases],
        "slots": [_extent(slot) for slot in cut_piece.slots],
        "panels": [_area(panel) for panel in cut_piece.panels],
        "joint": None if cut_piece.joint is None else _area(cut_piece.joint),
        "grooves": [
            {"name": g.name, "min_mm": _point(g.low), "max_mm": _point(g.high), "depth_mm": mm(g.depth_um)}
            for g in cut_piece.grooves
        ],
        "marks": [_line(line) for line in cut_piece.marks],
    }


def hardware_content(one: Hardware) -> dict[str, Any]:
    """One line of screws or nails."""
    return {
        "what": one.what,
        "count": one.count,
        "weight_g": grams_shown(one.each_mg * one.count),
        "where": one.where,
        "spacing_mm": mm(one.spacing_um),
        "rule": one.rule.text,
        "source": one.rule.source,
        "year": one.rule.year,
        "sureness": one.rule.sureness,
    }


def _plate(placed_panel: PlacedPanel) -> dict[str, Any]:
    return {
        "name": placed_panel.name,
        "min_mm": [mm(v) for v in placed_panel.low],
        "max_mm": [mm(v) for v in placed_panel.high],
    }


def design_content(design: BoxDesign) -> dict[str, Any]:
    """A box as the plan's content; see DEVELOPERS.md.

    Parameters
    ----------
    design
        As `make_box` gives it.

    Returns
    -------
    dict
        `board` and `blank` are None where the box has none, or more than one blank and it is no slotted case.
    """
    return {
        "style": design.style,
        "name": design.name,
        "family": design.family,
        "packaging": design.packaging,
        "inner_mm": [mm(v) for v in design.inner_um],
        "outer_mm": [mm(v) for v in design.outer_um],
        "most_mm": [mm(v) for v in design.most_um],
        "weight_g": grams_shown(design.weight_mg),
        "fill_g": grams_shown(design.fill_mg),
        "fit_mm": [mm(v) for v in design.fit_um],
        "board": None if design.board is None else board_content(design.board),
        "blank": _blank(design),
        "parts": [
            {
                "id": cut_piece.id,
                "what": cut_piece.what,
                "material": cut_piece.material.name,
                "thickness_mm": mm(cut_piece.thickness_um),
                "size_mm": _point(cut_piece.size_um),
                "count": cut_piece.count,
                "weight_g": grams_shown(cut_piece.each_mg * cut_piece.count),
                "grain": cut_piece.grain,
                "from": cut_piece.source or cut_piece.material.name,
            }
            for cut_piece in design.cut_pieces
        ],
        "flats": [
            cut_piece_content(cut_piece) | {"stuff": material_content(cut_piece)} for cut_piece in design.cut_pieces
        ],
        "hardware": [hardware_content(one) for one in design.hardware],
        "steps": [
            {
                "text": step.text,
                "plates": [_plate(placed_panel) for placed_panel in step.placed_panels],
                "new": list(step.new),
            }
            for step in design.steps
        ],
        "closing": {
            "text": design.closing.text,
            "pattern": design.closing.pattern,
            "tape_m": round(design.closing.tape_um / 10**6, 2),
        },
        "folds": [{"name": fold.name, "flats": list(fold.cut_pieces)} for fold in design.folds],
        "flap_gap_mm": mm(design.flap_gap_um),
        "notes": list(design.notes),
        "facts": [fact_content(fact) for fact in design.facts],
    }


def _blank(design: BoxDesign) -> dict[str, Any] | None:
    """The blank of a case that has one blank in one piece, as a plan has always shown it."""
    if design.family == "wood" or len(design.folds) != 1 or len(design.folds[0].cut_pieces) != 1:
        return None
    cut_piece = next(cut_piece for cut_piece in design.cut_pieces if cut_piece.id == design.folds[0].cut_pieces[0])
    joint = cut_piece.joint or Area("joint", (0, 0), (0, 0))
    return {
        "size_mm": _point(cut_piece.size_um),
        "outline_mm": [_point(point) for point in cut_piece.outline],
        "creases": [_line(crease) for crease in cut_piece.creases],
        "slots": [_extent(slot) for slot in cut_piece.slots],
        "panels": [_area(panel) for panel in cut_piece.panels],
        "joint": {**_extent(joint), "width_mm": mm(joint.high[0] - joint.low[0])},
        "flap_gap_mm": mm(design.flap_gap_um),
    }


def infeasible_content(refused: Infeasible) -> dict[str, Any]:
    """A refusal as plain JSON."""
    return {
        "style": refused.style,
        "limit": refused.limit,
        "value_mm": mm(refused.value_um),
        "limit_mm": mm(refused.limit_um),
        "reason": refused.reason,
    }

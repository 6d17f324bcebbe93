"""An insert as the plan's content."""

from typing import Any

from packing.insert.model import Insert, Lift, Loose, Rect, Sheet, letter_of
from packing.material import grams_shown
from packing.measure import mm


def _corners(rect: Rect) -> dict[str, Any]:
    return {"min_mm": [mm(rect[0]), mm(rect[1])], "max_mm": [mm(rect[2]), mm(rect[3])]}


def _loose(loose: Loose, insert: Insert) -> dict[str, Any]:
    x0, y0, x1, y1 = loose.rect
    return {
        "id": loose.id,
        "item": insert.item_ids[loose.item],
        "letter": letter_of(loose.item),
        "part": loose.part,
        "layer": loose.layer,
        "min_mm": [mm(x0), mm(y0), mm(loose.z0_um)],
        "max_mm": [mm(x1), mm(y1), mm(loose.z1_um)],
        "weight_g": grams_shown(loose.weight_mg, 2),
        "from_sheet": " + ".join(piece[0] for piece in loose.pieces),
    }


def _lift(lift: Lift, insert: Insert) -> dict[str, Any]:
    content: dict[str, Any] = {
        "item": insert.item_ids[lift.item],
        "letter": letter_of(lift.item),
        "kind": lift.kind,
        "layer": lift.layer,
    }
    if lift.rect:
        return content | _corners(lift.rect)
    return content | {
        "length_mm": mm(lift.length_um),
        "along": lift.along,
        "weight_g": grams_shown(lift.weight_mg, 2),
    }


def _material(sheet: Sheet) -> dict[str, Any]:
    if sheet.material is None:
        return {}
    return {"material": sheet.material.name, "density_kg_m3": mm(sheet.material.density_g_m3)}


def insert_content(insert: Insert) -> dict[str, Any]:
    """The insert as the plan's content: lengths in mm, weights in g; see "The plan's content" in DEVELOPERS.md.

    Parameters
    ----------
    insert
        As `make_insert` gives it.

    Returns
    -------
    dict
        Plain JSON. `from_sheet` of a plug of several pieces names their sheets from the bottom up, "S3 + S4". The
        insert's notes belong among the plan's.
    """
    size = [mm(insert.size_um[0]), mm(insert.size_um[1])]
    return {
        "material": insert.foam.name,
        "density_kg_m3": mm(insert.foam.density_g_m3),
        "weight_g": grams_shown(insert.weight_mg),
        "fit_mm": mm(insert.fit_um),
        "sheets": [
            {
                "id": sheet.id,
                "role": sheet.role,
                "layer": sheet.layer,
                "thickness_mm": mm(sheet.thickness_um),
                "stock": sheet.stock,
                "floor_mm": mm(sheet.floor_um),
                "size_mm": list(size),
                **_material(sheet),
                "pockets": [
                    {
                        "item": insert.item_ids[pocket.item],
                        "letter": letter_of(pocket.item),
                        "part": pocket.part,
                        **_corners(pocket.rect),
                    }
                    for pocket in sheet.pockets
                ],
            }
            for sheet in insert.sheets
        ],
        "saddles": [_loose(saddle, insert) for saddle in insert.saddles],
        "plugs": [_loose(plug, insert) for plug in insert.plugs],
        "lifts": [_lift(lift, insert) for lift in insert.lifts],
        "cut_list": [
            {
                "what": row.what,
                "ids": list(row.ids),
                "thickness_mm": mm(row.thickness_um),
                "size_mm": [mm(row.size_um[0]), mm(row.size_um[1])],
                "count": row.count,
                "from": row.source,
            }
            for row in insert.cut_list
        ],
        "cut_length_mm": mm(insert.cut_um),
        "pocketed_sheets": insert.pocketed_sheets,
    }

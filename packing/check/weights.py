"""Weights counted again, and whether the insert goes into the box."""

import math
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from packing.check.cut_pieces import check_pieces, pieces_g
from packing.check.figures import figures_area
from packing.check.insert_reader import CutInsert, Sheet
from packing.check.plan_reader import PlanView, Reader
from packing.check.rectangles import union_area
from packing.check.report import Problem, missed, shown
from packing.measure import Order, mm

ROUNDING_G = Decimal("0.1")
"""Figures are shown rounded to a tenth of a gram."""
LOOSE_G = Decimal("0.05")
"""Half of that, for one figure that was rounded once."""
TOLERANCE_G = Decimal("0.5")
"""For the tolerance, a root of a sum of squares that were rounded one by one."""
SPREADS = Decimal("2.6")
"""Standard deviations in a tolerance: 99 boxes of 100 lie within it."""
UM3_PER_M3 = 10**18
"""Densities are for a cubic metre."""


def _off(given: Decimal, counted: Fraction | Decimal, least: Decimal) -> bool:
    """Tell whether a weight differs by more than one part in a hundred and more than `least` grams."""
    return abs(Fraction(given) - Fraction(counted)) > max(Fraction(least), Fraction(counted) / 100)


def _open_um2(sheet: Sheet) -> Fraction:
    """The area that is cut out of a sheet."""
    if any(pocket.outline for pocket in sheet.pockets):
        return Fraction(figures_area(pocket.figure for pocket in sheet.pockets))
    return Fraction(union_area(pocket.rect for pocket in sheet.pockets))


def check_insert_weight(insert: CutInsert) -> Iterator[Problem]:
    """Sheets less their pockets by density, saddles and plugs added, to 1 g or 1 %; thin stock counts as a sundry."""
    density_g_um3 = Fraction(insert.density_kg_m3) * 1000 / UM3_PER_M3
    total = Fraction(0)
    for sheet in insert.sheets:
        solid = sheet.size_um[0] * sheet.size_um[1] - _open_um2(sheet)
        own = sheet.content.get("density_kg_m3")
        density = density_g_um3 if own is None else Fraction(str(own)) * 1000 / UM3_PER_M3
        total += solid * sheet.thickness_um * density
    for piece in insert.loose:
        weight = piece.box.side(0) * piece.box.side(1) * piece.box.side(2) * density_g_um3
        total += 0 if piece.thin else weight
        if _off(piece.weight_g, weight, LOOSE_G):
            message = f"weighs {piece.weight_g} g; its size and the density give {float(weight):.2f} g."
            yield Problem("insert_weight", piece.id, message)
    if _off(insert.weight_g, total, Decimal(1)):
        message = f"weighs {insert.weight_g} g; its sheets, pockets and loose pieces come to {float(total):.1f} g."
        yield Problem("insert_weight", "insert", message)


def check_cut_list(reader: Reader, insert: CutInsert) -> Iterator[Problem]:
    """Every sheet, saddle and plug is in the cut list with its sizes; a loose piece may be made of several slices."""
    if "cut_list" not in insert.content:
        return
    rects = {sheet.id: sheet.size_um for sheet in insert.sheets}
    heights = {sheet.id: sheet.thickness_um for sheet in insert.sheets}
    for piece in insert.loose:
        rects[piece.id], heights[piece.id] = (piece.box.side(0), piece.box.side(1)), piece.box.side(2)
    for plate in insert.plates:
        thick = plate.thicknesses_um[0] if plate.thicknesses_um else 0
        wide = plate.box.side(1) if plate.box.side(0) == thick else plate.box.side(0)
        rects[plate.id], heights[plate.id] = (wide, plate.box.side(2)), thick
    listed = dict.fromkeys(rects, 0)
    for index, raw in enumerate(reader.objects(insert.content, "cut_list", "insert")):
        where = f"cut_list[{index}]"
        held = reader.mapping(raw, where)
        if held is None:
            continue
        ids = [str(name) for name in reader.objects(held, "ids", where)]
        thickness, size = reader.length(held, "thickness_mm", where), reader.lengths(held, "size_mm", where, 2)
        if held.get("count") != len(ids):
            yield Problem("cut_list", where, f"counts {held.get('count')!r} and names {len(ids)}.")
        for name in ids:
            if name not in rects:
                yield Problem("cut_list", where, f"{name} is not in the insert.")
                continue
            listed[name] += thickness or 0
            if size is not None and sorted(size) != sorted(rects[name]):
                yield Problem("cut_list", where, f"{name} is listed with another length or width than it has.")
    for name, height in heights.items():
        if listed[name] != height:
            message = f"is {shown(height)} thick, the cut list has {shown(listed[name])} of it."
            yield missed("cut_list", name, message, listed[name] - height)


def check_box(reader: Reader, content: Mapping[str, Any], plan: PlanView) -> Iterator[Problem]:
    """The insert goes into the box, the box is larger outside than inside, and its blank weighs what it says."""
    held = reader.mapping(content.get("box"), "box")
    if held is None:
        return
    yield from _case(reader, held, "box", plan)
    weight = reader.number(held, "weight_g", "box", least=0)
    if "flats" in held:
        yield from check_pieces(reader, held)
        counted = pieces_g(reader, held)
        if weight is not None and counted is not None and _off(weight, counted, Decimal(1)):
            message = f"weighs {weight} g; its pieces and hardware come to {float(counted):.1f} g."
            yield Problem("box_weight", "box", message)
        return
    board, blank = held.get("board"), held.get("blank")
    if isinstance(board, Mapping) and isinstance(blank, Mapping) and weight is not None:
        grammage, size = (
            reader.number(board, "grammage_g_m2", "box board"),
            reader.lengths(blank, "size_mm", "blank", 2),
        )
        if grammage is not None and size is not None:
            counted = Fraction(size[0] * size[1], 10**12) * Fraction(grammage)
            if _off(weight, counted, Decimal(1)):
                message = f"weighs {weight} g; its blank by its grammage comes to {float(counted):.1f} g."
                yield Problem("box_weight", "box", message)


def check_carton(reader: Reader, content: Mapping[str, Any], plan: PlanView) -> Iterator[Problem]:
    """A stock carton, where there is one, takes the insert too."""
    if content.get("carton") is None:
        return
    held = reader.mapping(content["carton"], "carton")
    if held is not None:
        yield from _case(reader, held, "carton", plan)


def _case(reader: Reader, held: Mapping[str, Any], where: str, plan: PlanView) -> Iterator[Problem]:
    inner, outer = reader.lengths(held, "inner_mm", where, 3), reader.lengths(held, "outer_mm", where, 3)
    if inner is None or outer is None:
        return
    length, width, height = plan.interior_um
    have = (max(inner[:2]), min(inner[:2]), inner[2])
    for name, room, need in zip(
        ("length", "width", "height"), have, (max(length, width), min(length, width), height), strict=True
    ):
        if room < need:
            message = f"its inner {name} is {shown(room)}, the insert needs {shown(need)}."
            yield missed("box", where, message, need - room)
    if any(outside <= inside for outside, inside in zip(outer, inner, strict=True)):
        sizes = [" x ".join(str(mm(side)) for side in sides) for sides in (outer, inner)]
        yield Problem("box", where, f"outside {sizes[0]} mm is not larger each way than inside {sizes[1]} mm.")


def check_weight(reader: Reader, content: Mapping[str, Any], order: Order) -> Iterator[Problem]:
    """The gross weight is the sum of what the plan and the order say, and its tolerance follows from its sources."""
    held = reader.mapping(content.get("weight"), "weight")
    if held is None:
        return
    names = ("pieces_g", "insert_g", "box_g", "sundries_g", "gross_g", "tolerance_g")
    given = {name: reader.number(held, name, "weight", least=0) for name in names}
    pieces = Decimal(sum(item.weight_mg for item in order.items)) / 1000
    sources: dict[str, Decimal | None] = {"pieces_g": pieces, "sundries_g": _sundries(reader, held)}
    for name in ("insert", "box"):
        part = content.get(name)
        if isinstance(part, Mapping) and "weight_g" in part:
            sources[f"{name}_g"] = Reader().number(part, "weight_g", name)
    for name, want in sources.items():
        value = given[name]
        if value is not None and want is not None and abs(value - want) > ROUNDING_G:
            yield Problem("weight", name, f"is {value} g; what it sums up comes to {want} g.")
    parts = [value for name, value in given.items() if name in names[:4] and value is not None]
    gross = given["gross_g"]
    if gross is not None and len(parts) == 4 and abs(gross - sum(parts)) > ROUNDING_G:
        yield Problem("weight", "gross_g", f"is {gross} g; its parts come to {sum(parts)} g.")
    yield from _spread(reader, held, given["tolerance_g"])
    limit = order.rules.max_gross_mg
    if limit is not None and gross is not None and gross * 1000 > limit:
        yield Problem("max_gross", "gross_g", f"is {gross} g, more than the {Decimal(limit) / 1000} g allowed.")


def _sundries(reader: Reader, held: Mapping[str, Any]) -> Decimal | None:
    """Sum of the listed sundries, None where none are listed."""
    if "sundries" not in held:
        return None
    total = Decimal(0)
    for index, raw in enumerate(reader.objects(held, "sundries", "weight")):
        one = reader.mapping(raw, f"sundries[{index}]")
        weight = None if one is None else reader.number(one, "weight_g", f"sundries[{index}]", least=0)
        total += weight or 0
    return total


def _spread(reader: Reader, held: Mapping[str, Any], tolerance: Decimal | None) -> Iterator[Problem]:
    if "tolerance" not in held:
        return
    squares = Decimal(0)
    for index, raw in enumerate(reader.objects(held, "tolerance", "weight")):
        one = reader.mapping(raw, f"tolerance[{index}]")
        spread = None if one is None else reader.number(one, "sd_g", f"tolerance[{index}]", least=0)
        squares += (spread or 0) ** 2
    counted = SPREADS * Decimal(math.sqrt(squares))
    if tolerance is not None and _off(tolerance, counted, TOLERANCE_G):
        message = f"is {tolerance} g; {SPREADS} standard deviations of its sources make {counted:.1f} g."
        yield Problem("tolerance", "tolerance_g", message)

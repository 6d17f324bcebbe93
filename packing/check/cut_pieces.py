"""The pieces a box is cut from: their outlines against their sizes, the parts list, and what they weigh together."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

from packing.check.kinds import Stuff
from packing.check.plan_reader import Reader
from packing.check.report import Problem

UM2_PER_M2 = 10**12
"""Grammages are for a square metre."""
UM3_PER_M3 = 10**18
"""Densities are for a cubic metre."""


def _area(outline: Sequence[tuple[int, ...]]) -> Fraction:
    """Inside a closed outline, by the shoelace rule."""
    twice = sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(outline, [*outline[1:], outline[0]], strict=True))
    return Fraction(abs(twice), 2)


def _outline(reader: Reader, held: Mapping[str, Any], where: str) -> list[tuple[int, ...]]:
    points = []
    for raw in reader.objects(held, "outline_mm", where):
        point = reader.lengths({"point": raw}, "point", where, 2)
        if point is None:
            return []
        points.append(point)
    return points


def _piece_g(reader: Reader, held: Mapping[str, Any], area: Fraction, where: str) -> Fraction | None:
    """Weight of one piece from its area, thickness, grooves and material."""
    stuff = reader.mapping(held.get("stuff"), where)
    thickness = reader.length(held, "thickness_mm", where)
    if stuff is None or thickness is None:
        return None
    if stuff.get("kind") == Stuff.BOARD:
        grammage = reader.number(stuff, "grammage_g_m2", where)
        return None if grammage is None else area / UM2_PER_M2 * Fraction(grammage)
    density = reader.number(stuff, "density_kg_m3", where)
    volume = area * thickness
    for raw in reader.objects(held, "grooves", where):
        groove = reader.mapping(raw, where)
        rect = None if groove is None else reader.rect(groove, where)
        depth = None if groove is None else reader.length(groove, "depth_mm", where)
        if rect is not None and depth is not None:
            volume -= (rect.x1 - rect.x0) * (rect.y1 - rect.y0) * depth
    return None if density is None else volume / UM3_PER_M3 * Fraction(density) * 1000


def check_pieces(reader: Reader, box: Mapping[str, Any]) -> Iterator[Problem]:
    """Every piece's outline has the size it is listed with, and the parts list names every piece as it is."""
    parts: dict[Any, Any] = {}
    for raw in reader.objects(box, "parts", "box"):
        part = reader.mapping(raw, "box parts")
        if part is not None:
            parts[part.get("id")] = part
    for index, raw in enumerate(reader.objects(box, "flats", "box")):
        where = f"flats[{index}]"
        held = reader.mapping(raw, where)
        if held is None:
            continue
        size, outline = reader.lengths(held, "size_mm", where, 2), _outline(reader, held, where)
        if size is None or len(outline) < 3:
            continue
        extent = tuple(max(p[axis] for p in outline) - min(p[axis] for p in outline) for axis in (0, 1))
        if extent != size:
            yield Problem("box_parts", where, f"is listed {held['size_mm']} mm; its outline is another size.")
        part = parts.get(held.get("id"))
        if part is None:
            yield Problem("box_parts", where, f"{held.get('id')!r} is not in the parts list.")
        elif any(part.get(key) != held.get(key) for key in ("what", "size_mm", "thickness_mm", "count")):
            yield Problem("box_parts", where, f"{held.get('id')!r} is not as the parts list has it.")


def pieces_g(reader: Reader, box: Mapping[str, Any]) -> Fraction | None:
    """Weight in grams of all pieces and hardware from their outlines; None where something cannot be read."""
    total = Fraction(0)
    for index, raw in enumerate(reader.objects(box, "flats", "box")):
        where = f"flats[{index}]"
        held = reader.mapping(raw, where)
        outline = [] if held is None else _outline(reader, held, where)
        count = None if held is None else reader.number(held, "count", where, least=1)
        if held is None or len(outline) < 3 or count is None:
            return None
        each = _piece_g(reader, held, _area(outline), where)
        if each is None:
            return None
        total += each * Fraction(count)
    for raw in reader.objects(box, "hardware", "box", needed=False):
        one = reader.mapping(raw, "hardware")
        weight = None if one is None else reader.number(one, "weight_g", "hardware", least=0)
        total += Fraction(weight or 0)
    return total

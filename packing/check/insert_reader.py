"""Reads the insert's part of a plan's content: sheets with their pockets, loose pieces, lifts."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from packing.check.figures import Figure, corners_of
from packing.check.kinds import Lifting
from packing.check.plan_reader import Reader
from packing.check.rectangles import Box, Rect


@dataclass(frozen=True, slots=True)
class Pocket:
    """One hole in a sheet: for an item's part, or its finger notch."""

    item: str
    part: str
    rect: Rect
    content: Mapping[str, Any]
    outline: tuple[tuple[int, int], ...] = ()

    @property
    def figure(self) -> Figure:
        """Its edge: its outline where it has one, else its rectangle."""
        return self.outline or corners_of(self.rect)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of the insert."""

    id: str
    thickness_um: int
    floor_um: int
    size_um: tuple[int, int]
    pockets: tuple[Pocket, ...]
    content: Mapping[str, Any]

    @property
    def top_um(self) -> int:
        """Its top above the interior's bottom."""
        return self.floor_um + self.thickness_um

    def holes(self, item: str) -> list[Rect]:
        """The rectangles cut square for one item, notches included."""
        return [pocket.rect for pocket in self.pockets if pocket.item == item and not pocket.outline]

    def figures(self, item: str) -> list[Figure]:
        """The figures cut to an outline for one item."""
        return [pocket.outline for pocket in self.pockets if pocket.item == item and pocket.outline]


@dataclass(frozen=True, slots=True)
class Loose:
    """A saddle or a plug of waste; a rest or a fill of thin stock, with the thicknesses it is made of."""

    what: str
    id: str
    item: str
    part: str
    box: Box
    weight_g: Decimal
    thicknesses_um: tuple[int, ...]
    content: Mapping[str, Any]

    @property
    def thin(self) -> bool:
        """True for thin stock."""
        return self.what in ("fill", "rest")


@dataclass(frozen=True, slots=True)
class Lift:
    """The lift of an item: a notch (its rectangle) or a tape (its length)."""

    item: str
    kind: str
    rect: Rect | None
    content: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class CutInsert:
    """The insert as the plan has it; sheets from the bottom up."""

    density_kg_m3: Decimal
    weight_g: Decimal
    sheets: tuple[Sheet, ...]
    loose: tuple[Loose, ...]
    lifts: tuple[Lift, ...]
    butt_air_um: int
    plates: tuple[Loose, ...]
    grip_um: int
    content: Mapping[str, Any]

    @property
    def has_covers(self) -> bool:
        """True where it was made by the rule that sheets over a part stay whole; plans of before list no fills."""
        return "fills" in self.content


def read_insert(reader: Reader, content: Mapping[str, Any]) -> CutInsert | None:
    """The insert, or None where any of it cannot be read."""
    before = len(reader.problems)
    held = reader.mapping(content.get("insert"), "insert")
    if held is None:
        return None
    density, weight = reader.number(held, "density_kg_m3", "insert"), reader.number(held, "weight_g", "insert", least=0)
    if density is not None and density <= 0:
        reader.wrong("insert", f"“density_kg_m3” must be greater than zero, not {density}.")
    reader.text(held, "material", "insert")
    sheets = [_sheet(reader, raw, index) for index, raw in enumerate(reader.objects(held, "sheets", "insert"))]
    loose = [
        _loose(reader, raw, what, f"{what}s[{index}]")
        for what in ("saddle", "plug", "fill", "rest")
        for index, raw in enumerate(reader.objects(held, f"{what}s", "insert", needed=False))
    ]
    grip = reader.length(held, "grip_mm", "insert") if "grip_mm" in held else 0
    raw_plates = reader.objects(held, "plates", "insert", needed=False)
    plates = [_loose(reader, raw, "plate", f"plates[{index}]") for index, raw in enumerate(raw_plates)]
    air = reader.length(held, "butt_air_mm", "insert") if "butt_air_mm" in held else 0
    raw_lifts = reader.objects(held, "lifts", "insert", needed=False)
    lifts = [_lift(reader, raw, f"lifts[{index}]") for index, raw in enumerate(raw_lifts)]
    if len(reader.problems) > before or density is None or weight is None or air is None or grip is None:
        return None
    ordered = sorted((sheet for sheet in sheets if sheet is not None), key=lambda sheet: (sheet.floor_um, sheet.top_um))
    return CutInsert(
        density,
        weight,
        tuple(ordered),
        tuple(piece for piece in loose if piece is not None),
        tuple(lift for lift in lifts if lift is not None),
        air,
        tuple(plate for plate in plates if plate is not None),
        grip,
        held,
    )


def _sheet(reader: Reader, raw: Any, index: int) -> Sheet | None:
    held = reader.mapping(raw, f"sheets[{index}]")
    name = None if held is None else reader.text(held, "id", f"sheets[{index}]")
    if held is None or name is None:
        return None
    thickness, floor = reader.length(held, "thickness_mm", name), reader.length(held, "floor_mm", name)
    size = reader.lengths(held, "size_mm", name, 2)
    pockets = [_pocket(reader, one, name) for one in reader.objects(held, "pockets", name)]
    if thickness is not None and thickness <= 0:
        reader.wrong(name, f"“thickness_mm” must be greater than zero, not {held['thickness_mm']}.")
    if thickness is None or floor is None or size is None:
        return None
    known = tuple(pocket for pocket in pockets if pocket is not None)
    return Sheet(name, thickness, floor, (size[0], size[1]), known, held)


def _pocket(reader: Reader, raw: Any, sheet: str) -> Pocket | None:
    held = reader.mapping(raw, sheet)
    if held is None:
        return None
    item, part, rect = reader.text(held, "item", sheet), reader.text(held, "part", sheet), reader.rect(held, sheet)
    outline = _outline(reader, held, sheet) if "outline" in held else ()
    if item is None or part is None or rect is None or outline is None:
        return None
    return Pocket(item, part, rect, held, outline)


def _outline(reader: Reader, held: Mapping[str, Any], sheet: str) -> tuple[tuple[int, int], ...] | None:
    """The corners of a pocket with straight sides; None (and noted) where they are none."""
    points = [reader.lengths({"outline": raw}, "outline", sheet, 2) for raw in reader.objects(held, "outline", sheet)]
    known = tuple((point[0], point[1]) for point in points if point is not None)
    if len(known) < len(points):
        return None
    if len(known) < 3:
        reader.wrong(sheet, f"“outline” must have at least three points, not {len(known)}.")
        return None
    return known


def _loose(reader: Reader, raw: Any, what: str, where: str) -> Loose | None:
    held = reader.mapping(raw, where)
    name = None if held is None else reader.text(held, "id", where)
    if held is None or name is None:
        return None
    item, part, box = reader.text(held, "item", name), reader.text(held, "part", name), reader.box(held, name)
    weight = reader.number(held, "weight_g", name, least=0)
    if item is None or part is None or box is None or weight is None:
        return None
    made_of = reader.objects(held, "thicknesses_mm", name, needed=what in ("fill", "rest"))
    thicknesses = reader.lengths(held, "thicknesses_mm", name, len(made_of)) if made_of else ()
    return None if thicknesses is None else Loose(what, name, item, part, box, weight, thicknesses, held)


def _lift(reader: Reader, raw: Any, where: str) -> Lift | None:
    held = reader.mapping(raw, where)
    if held is None:
        return None
    item, kind = reader.text(held, "item", where), reader.text(held, "kind", where)
    if item is None or kind is None:
        return None
    if kind not in tuple(Lifting):
        reader.wrong(where, f"“kind” must be notch or tape, not {kind!r}.")
        return None
    return Lift(item, kind, reader.rect(held, where) if kind == Lifting.NOTCH else None, held)

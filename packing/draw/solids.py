"""Solids that a picture shows of a plan: upright boxes, pockets by layer, names by letter; whole micrometres."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from packing.draw.hatch import Material
from packing.draw.scale import length_text
from packing.draw.shapes import Rect
from packing.plan import ItemPlan, LoosePlan, PiecePlan, Plan, PocketPlan, SheetPlan
from packing.plan.kinds import Form, Part, StockKind
from packing.plan.rows import Point, Size


class Rectangular(Protocol):
    """A row of a plan with a least and a greatest corner."""

    @property
    def min_um(self) -> Point:
        """Least corner."""

    @property
    def max_um(self) -> Point:
        """Greatest corner."""


def rect_of(row: Rectangular) -> Rect:
    """The rectangle of a row, in whole micrometres."""
    (x0, y0), (x1, y1) = row.min_um, row.max_um
    return Rect(x0, y0, x1, y1)


@dataclass(frozen=True, slots=True)
class Solid:
    """An upright box in the interior's frame, in whole micrometres: a part of a piece, a saddle, a plug.

    Parameters
    ----------
    name
        A `Part`; for loose foam its id.
    shape
        Corners of its outline seen from above, as its pocket is cut; empty where it is a box.
    """

    letter: str
    name: str
    material: Material
    layer: int | None
    low: Size
    high: Size
    shape: tuple[Point, ...] = ()

    @property
    def footprint(self) -> Rect:
        """Seen from above."""
        return Rect(self.low[0], self.low[1], self.high[0], self.high[1])

    def facing(self, axis: int) -> Rect:
        """Seen along x (axis 0) or y (axis 1): the other of them across, z up."""
        across = 1 - axis
        return Rect(self.low[across], self.low[2], self.high[across], self.high[2])


def _material(item: ItemPlan, part: Part) -> Material:
    if part == Part.HANDLE or (part == Part.HEAD and item.form == Form.MALLET):
        return Material.WOOD
    return Material.STEEL if part == Part.HEAD else Material.OTHER


def _shown(plan: Plan, layer: int | None) -> tuple[ItemPlan, ...]:
    """The items of one layer; all of them where none is given."""
    return plan.items if layer is None else plan.items_of(layer)


def solids(plan: Plan, layer: int | None = None) -> list[Solid]:
    """The parts of every item, those of one layer where it is given; head before handle."""
    shapes = {
        (pocket.letter, pocket.part): pocket.traced_um or pocket.outline_um
        for sheet in plan.insert.sheets
        for pocket in sheet.pockets
    }
    return [
        Solid(
            item.letter,
            part.part,
            _material(item, part.part),
            item.layer,
            part.min_um,
            part.max_um,
            shapes.get((item.letter, part.part), ()),
        )
        for item in _shown(plan, layer)
        for part in item.parts
    ]


def loose(rows: Iterable[LoosePlan], material: Material, layer: int | None = None) -> list[Solid]:
    """Loose foam as solids, that of one layer where it is given."""
    return [
        Solid(row.letter, row.id, material, row.layer, row.min_um, row.max_um)
        for row in rows
        if layer is None or row.layer == layer
    ]


def cut_alike(sheet: SheetPlan) -> object:
    """A key that two sheets share where they are cut alike."""
    return sheet.size_um, sheet.thickness_um, sheet.layer, sheet.pockets, sheet.grip


def cut_together(sheet: SheetPlan) -> object:
    """A key that two sheets with the same cuts share, whatever their thickness; without any, `cut_alike`."""
    return (sheet.size_um, sheet.pockets, sheet.grip) if sheet.pockets else cut_alike(sheet)


def layer_pockets(plan: Plan, layer: int | None) -> list[PocketPlan]:
    """Every pocket of a layer once, whichever sheets it goes through."""
    stack = [sheet for sheet in plan.insert.sheets if layer is not None and sheet.layer == layer]
    return list(dict.fromkeys(pocket for sheet in stack for pocket in sheet.pockets))


def by_letter(pockets: Iterable[PocketPlan]) -> dict[str, list[Rect]]:
    """Pockets' rectangles gathered by item."""
    gathered: dict[str, list[Rect]] = {}
    for pocket in pockets:
        gathered.setdefault(pocket.letter, []).append(rect_of(pocket))
    return gathered


def fluted(piece: PiecePlan) -> bool:
    """Tell whether a flat piece is cut from corrugated board."""
    return piece.stock is not None and piece.stock.kind == StockKind.BOARD


def grain_words(piece: PiecePlan, unit: str) -> str:
    """The direction of flutes or grain on a flat piece in words, its side as on the cut list."""
    flutes = fluted(piece)
    along = length_text(piece.size_um[1 if flutes else 0], unit)
    return f"{'flutes' if flutes else 'grain'} along the {along} {unit}"


def listing(plan: Plan, layer: int | None = None) -> str:
    """The items by letter in one sentence, for those who hear the picture."""
    names: Sequence[str] = [f"{item.letter} is {item.id}" for item in _shown(plan, layer)]
    return "; ".join(names) + "." if names else ""

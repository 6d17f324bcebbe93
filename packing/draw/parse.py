"""What a picture needs of a plan's content, read once: solids, sheets and pockets."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from packing.draw.hatch import OTHER, STEEL, WOOD
from packing.draw.scale import length_text
from packing.draw.shapes import Rect
from packing.measure import BadInput

Content = Mapping[str, Any]
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Solid:
    """An upright box in the interior's frame, in mm: a part of a piece, a saddle, a plug.

    Parameters
    ----------
    name
        "head", "handle" or "block"; for loose foam its id.
    """

    letter: str
    name: str
    material: str
    layer: int | None
    low: Triple
    high: Triple

    @property
    def footprint(self) -> Rect:
        """Seen from above."""
        return Rect(self.low[0], self.low[1], self.high[0], self.high[1])

    def facing(self, axis: int) -> Rect:
        """Seen along x (axis 0) or y (axis 1): the other of them across, z up."""
        across = 1 - axis
        return Rect(self.low[across], self.low[2], self.high[across], self.high[2])


@dataclass(frozen=True, slots=True)
class Pocket:
    """A hole in a sheet, in mm."""

    letter: str
    part: str
    rect: Rect


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of the insert, in mm."""

    id: str
    role: str
    layer: int | None
    floor: float
    thickness: float
    size: tuple[float, float]
    pockets: tuple[Pocket, ...]

    @property
    def top(self) -> float:
        """Its upper side above the interior's bottom."""
        return self.floor + self.thickness


def require_planned(content: Content) -> None:
    """Raise BadInput unless there is a plan to draw."""
    status = content.get("status")
    if status != "planned":
        raise BadInput("status", f"there is no plan to draw: it must be planned, not {status!r}.")


def interior(content: Content) -> Triple:
    """Length, width and height of the insert."""
    length, width, height = content["interior_mm"]
    return float(length), float(width), float(height)


def _triple(values: Sequence[float]) -> Triple:
    x, y, z = values
    return float(x), float(y), float(z)


def _rect(holder: Mapping[str, Any]) -> Rect:
    (x0, y0), (x1, y1) = holder["min_mm"][:2], holder["max_mm"][:2]
    return Rect(float(x0), float(y0), float(x1), float(y1))


def _material(item: Mapping[str, Any], part: str) -> str:
    if part == "handle" or (part == "head" and item.get("form") == "mallet"):
        return WOOD
    return STEEL if part == "head" else OTHER


def solids(content: Content, layer: int | None = None) -> list[Solid]:
    """The parts of every item, those of one layer where it is given; head before handle."""
    return [
        Solid(
            str(item["letter"]), part["part"], _material(item, part["part"]), item["layer"],
            _triple(part["min_mm"]), _triple(part["max_mm"]),
        )
        for item in content["items"]
        if layer is None or item["layer"] == layer
        for part in item["parts"]
    ]  # fmt: skip


def loose(content: Content, kind: str, layer: int | None = None) -> list[Solid]:
    """The saddles or the plugs; `kind` is "saddle" or "plug"."""
    return [
        Solid(str(row["letter"]), str(row["id"]), kind, row["layer"], _triple(row["min_mm"]), _triple(row["max_mm"]))
        for row in content["insert"][f"{kind}s"]
        if layer is None or row["layer"] == layer
    ]


def sheets(content: Content) -> list[Sheet]:
    """The insert's sheets from the bottom up."""
    return _sheets_of(content["insert"]["sheets"])


def sheet_and_alike(content: Content, sheet_id: str) -> tuple[Sheet, list[str]] | None:
    """One sheet with the ids of all that are cut alike, from the bottom up; None where there is no such sheet."""
    rows = content["insert"]["sheets"]
    own = next((row for row in rows if row["id"] == sheet_id), None)
    if own is None:
        return None
    same = ("layer", "thickness_mm", "size_mm", "pockets")
    ids = [str(row["id"]) for row in rows if all(row[name] == own[name] for name in same)]
    return _sheets_of([own])[0], ids


def _sheets_of(rows: Sequence[Mapping[str, Any]]) -> list[Sheet]:
    """Sheets from their rows; neighbours with the same pockets share what was read of them."""
    stack: list[Sheet] = []
    raw: object = None
    pockets: tuple[Pocket, ...] = ()
    for row in rows:
        if row["pockets"] != raw:
            raw = row["pockets"]
            pockets = tuple(Pocket(str(p["letter"]), p["part"], _rect(p)) for p in row["pockets"])
        length, width = row["size_mm"]
        floor, thickness = float(row["floor_mm"]), float(row["thickness_mm"])
        size = (float(length), float(width))
        stack.append(Sheet(str(row["id"]), row["role"], row["layer"], floor, thickness, size, pockets))
    return stack


def layer_pockets(content: Content, layer: int | None) -> list[Pocket]:
    """Every pocket of a layer once, whichever sheets it goes through."""
    found: dict[Pocket, None] = {}
    rows = [row for row in content["insert"]["sheets"] if row["layer"] == layer and layer is not None]
    for sheet in _sheets_of(rows):
        found.update(dict.fromkeys(sheet.pockets))
    return list(found)


def by_letter(pockets: Sequence[Pocket]) -> dict[str, list[Rect]]:
    """Pockets' rectangles gathered by item."""
    gathered: dict[str, list[Rect]] = {}
    for pocket in pockets:
        gathered.setdefault(pocket.letter, []).append(pocket.rect)
    return gathered


def grain_words(flat: Content, unit: str) -> str:
    """Which way flutes or grain run on a flat piece, its side as on the cut list."""
    flutes = flat["stuff"]["kind"] == "board"
    along = length_text(flat["size_mm"][1 if flutes else 0], unit)
    return f"{'flutes' if flutes else 'grain'} along the {along} {unit}"


def letters(content: Content, layer: int | None = None) -> list[str]:
    """The letters of the items, of one layer where it is given."""
    return [str(item["letter"]) for item in content["items"] if layer is None or item["layer"] == layer]


def listing(content: Content, layer: int | None = None) -> str:
    """The items by letter in one sentence, for those who hear the picture."""
    names = [
        f"{item['letter']} is {item['id']}" for item in content["items"] if layer is None or item["layer"] == layer
    ]
    return "; ".join(names) + "." if names else ""

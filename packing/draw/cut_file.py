"""Cut files: each flat piece of a box, each sheet of its insert, at full size in four layers, from a plan's content."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from packing.draw.canvas import clean, number
from packing.draw.insert_sheet import alike, id_runs
from packing.draw.parse import Sheet, by_letter, grain_words, sheets
from packing.draw.scale import between_text, length_text
from packing.draw.shapes import Point, Rect, union_loops
from packing.measure import BadInput

CUT, CREASE, MARK, LETTERING = "through-cut", "crease", "mark", "lettering"
LAYERS = (CUT, CREASE, MARK, LETTERING)
COLOURS = {CUT: "#c00000", CREASE: "#0000c0", MARK: "#008000", LETTERING: "#000000"}
MARGIN_MM = 5.0
SMALLEST_MM, LARGEST_MM = 3.0, 12.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line or figure of one layer: its points in mm, y upwards; closed where it is a figure."""

    layer: str
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Lettering:
    """A text: its middle in mm, y upwards, its height in mm, degrees counter-clockwise."""

    text: str
    at: Point
    height: float
    turn: int = 0


@dataclass(frozen=True, slots=True)
class CutSheet:
    """Everything of one flat piece that is cut, creased, marked and written.

    Parameters
    ----------
    id, what
        As on the parts list.
    size_mm
        Of the piece.
    strokes, letters
        See there.
    """

    id: str
    what: str
    size_mm: Point
    strokes: tuple[Stroke, ...]
    letters: tuple[Lettering, ...]

    @property
    def file_name(self) -> str:
        """A plain file name without its ending: id and what it is."""
        words = "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in f"{self.id} {self.what}")
        return "-".join(word for word in words.lower().split("-") if word)


def size_text(low_mm: Sequence[float], high_mm: Sequence[float]) -> str:
    """The size of a rectangle between two corners, as on the drawing: such as ``1451 × 512``."""
    return " × ".join(between_text(low, high, "mm") for low, high in zip(low_mm, high_mm, strict=True))


def _rectangle(held: Mapping[str, Any]) -> tuple[Point, ...]:
    (x0, y0), (x1, y1) = held["min_mm"], held["max_mm"]
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def _strokes(flat: Mapping[str, Any]) -> Iterator[Stroke]:
    yield Stroke(CUT, tuple((x, y) for x, y in flat["outline_mm"]), closed=True)
    for crease in flat["creases"]:
        yield Stroke(CREASE, (tuple(crease["from"]), tuple(crease["to"])))
    for groove in flat["grooves"]:
        yield Stroke(MARK, _rectangle(groove), closed=True)
    for mark in flat["marks"]:
        yield Stroke(MARK, (tuple(mark["from"]), tuple(mark["to"])))


def _fitting(text: str, room: Point, at: Point) -> Lettering | None:
    """A text as large as goes into a room, turned where that helps; None where it would be too small to read."""
    level, upright = (
        min(LARGEST_MM, across / 2.5, along / (0.75 * max(1, len(text)))) for along, across in (room, room[::-1])
    )
    turn, height = (90, upright) if upright > 1.3 * level else (0, level)
    return Lettering(text, at, height, turn) if height >= SMALLEST_MM else None


def _room(panel: Mapping[str, Any]) -> float:
    (x0, y0), (x1, y1) = panel["min_mm"], panel["max_mm"]
    return float((x1 - x0) * (y1 - y0))


def _letters(flat: Mapping[str, Any], order: str) -> Iterator[Lettering]:
    """Names and sizes of the panels; on a piece without panels its own; grooves with width and depth."""
    count = f", {flat['count']} pieces" if flat["count"] > 1 else ""
    title = f"{order} {flat['id']} {flat['what']} {size_text((0, 0), flat['size_mm'])} mm{count}"
    grain = grain_words(flat, "mm")
    named = [*flat["panels"], *([flat["joint"]] if flat["joint"] else [])]
    rooms = named or [{"name": title, "min_mm": [0, 0], "max_mm": flat["size_mm"]}]
    widest = max(range(len(rooms)), key=lambda index: _room(rooms[index]))
    for index, panel in enumerate(rooms):
        (x0, y0), (x1, y1) = panel["min_mm"], panel["max_mm"]
        words = [panel["name"]] if not named else [f"{panel['name']} {size_text(panel['min_mm'], panel['max_mm'])}"]
        words += [title, grain] if named and index == widest else [grain] if not named else []
        step = (y1 - y0) / (len(words) + 1)
        for line, text in enumerate(words, start=1):
            found = _fitting(text, (0.9 * (x1 - x0), step), ((x0 + x1) / 2, y1 - line * step))
            if found is None:
                found = _fitting(text, (0.9 * (x1 - x0), y1 - y0), ((x0 + x1) / 2, (y0 + y1) / 2))
                if len(words) > 1:
                    continue
            if found is not None:
                yield found
    for groove in flat["grooves"]:
        (x0, y0), (x1, y1) = groove["min_mm"], groove["max_mm"]
        wide, deep = length_text(min(x1 - x0, y1 - y0), "mm"), length_text(groove["depth_mm"], "mm")
        text = f"{groove['name']} {wide} wide {deep} deep"
        turn = 0 if x1 - x0 >= y1 - y0 else 90
        yield Lettering(text, ((x0 + x1) / 2, (y0 + y1) / 2), SMALLEST_MM, turn)


def cut_sheets(content: Mapping[str, Any]) -> tuple[CutSheet, ...]:
    """The flat pieces of a plan's box and the sheets of its insert as layers of strokes and texts.

    Parameters
    ----------
    content
        A plan's content, planned, whose box has `flats`.

    Returns
    -------
    tuple of CutSheet
        One for each kind of piece, in the order of the parts list, then one for all insert sheets cut alike, from the
        bottom up; full size, lower left corner at the origin.

    Raises
    ------
    BadInput
        Where the content is no plan, or its box has no flat pieces.
    """
    box = content.get("box")
    if content.get("status") != "planned" or not isinstance(box, Mapping) or not box.get("flats"):
        raise BadInput("plan", "must be planned and have a box with flat pieces to cut.")
    order = str(content.get("order", ""))
    pieces = [
        CutSheet(
            flat["id"],
            flat["what"],
            (flat["size_mm"][0], flat["size_mm"][1]),
            tuple(_strokes(flat)),
            tuple(_letters(flat, order)),
        )
        for flat in box["flats"]
    ]
    if content.get("insert") is None:
        return tuple(pieces)
    stack = {sheet.id: sheet for sheet in sheets(content)}
    return (*pieces, *(_insert_sheet(stack[ids[0]], ids, order) for ids in alike(content)))


def _insert_sheet(sheet: Sheet, ids: Sequence[str], order: str) -> CutSheet:
    """A sheet of the insert, seen from above: its edge and each item's pockets cut through, their letters in them."""
    width, height = sheet.size
    groups = by_letter(sheet.pockets)
    loops = [loop for rects in groups.values() for loop in union_loops(rects)]
    edge = Stroke(CUT, Rect(0.0, 0.0, width, height).corners, closed=True)
    letters = [
        _fitting(letter, (0.6 * rect.width, 0.6 * rect.height), rect.centre)
        for letter, rects in groups.items()
        for rect in rects[:1]
    ]
    thick = length_text(sheet.thickness, "mm")
    title = f"{order} {id_runs(ids)} {size_text((0, 0), sheet.size)} × {thick} mm, cut {len(ids)}, this side up"
    wall = min([height, *(y for loop in loops for _x, y in loop)])
    letters.append(_fitting(title, (0.9 * width, 0.8 * wall), (width / 2, wall / 2)))
    strokes = (edge, *(Stroke(CUT, loop, closed=True) for loop in loops))
    return CutSheet(sheet.id, "insert sheet", (width, height), strokes, tuple(one for one in letters if one))


def _path(stroke: Stroke, height: float) -> str:
    path = "M" + "L".join(f"{number(x)} {number(height - y)}" for x, y in stroke.points)
    return f'<path d="{path}{"Z" if stroke.closed else ""}"/>'


def _text(letters: Lettering, height: float) -> str:
    x, y = letters.at
    turned = f' transform="rotate({-letters.turn} {number(x)} {number(height - y)})"' if letters.turn else ""
    return (
        f'<text x="{number(x)}" y="{number(height - y)}" font-size="{number(letters.height)}"{turned}>'
        f"{clean(letters.text)}</text>"
    )


def svg_of(sheet: CutSheet) -> str:
    """One piece as SVG at full size: a group for each layer, millimetres throughout.

    Parameters
    ----------
    sheet
        From `cut_sheets`.

    Returns
    -------
    str
        A whole SVG file; 5 mm of ground all round.
    """
    width, height = sheet.size_mm
    m = MARGIN_MM
    view = f"{number(-m)} {number(-m)} {number(width + 2 * m)} {number(height + 2 * m)}"
    groups = []
    for layer in LAYERS:
        colour = COLOURS[layer]
        if layer == LETTERING:
            inner = "".join(_text(one, height) for one in sheet.letters)
            style = f'fill="{colour}" font-family="sans-serif" text-anchor="middle" dominant-baseline="central"'
        else:
            inner = "".join(_path(stroke, height) for stroke in sheet.strokes if stroke.layer == layer)
            dash = ' stroke-dasharray="6 3"' if layer == CREASE else ""
            style = f'fill="none" stroke="{colour}" stroke-width="0.25"{dash}'
        groups.append(f'<g id="{layer}" {style}>{inner}</g>')
    size = f'width="{number(width + 2 * m)}mm" height="{number(height + 2 * m)}mm"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="{view}">'
        f"<title>{clean(f'{sheet.id} {sheet.what}')}</title>{''.join(groups)}</svg>\n"
    )

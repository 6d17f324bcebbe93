"""Cut files: each flat piece of a box and each sheet of its insert, at full size in five layers."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from msgspec import structs

from packing.draw.canvas import BLUE, INK
from packing.draw.cut_way import FOAM_ALONE, ON_THE_LINE, CutWay
from packing.draw.hole_marks import hole_notes
from packing.draw.insert_sheet import alike, id_runs
from packing.draw.pocket_shapes import grouped, pocket_loops
from packing.draw.scale import View, between_text, length_text, said
from packing.draw.shapes import Point, Rect
from packing.draw.solids import Rectangular, by_letter, grain_words, rect_of
from packing.draw.tool_path import ToolPaths, tool_paths
from packing.draw.worked_face import WorkedFace, worked_face
from packing.measure import BadInput
from packing.plan import AreaPlan, CutRowPlan, HardwarePlan, Message, PiecePlan, Plan, SheetPlan, StockCartonPlan
from packing.plan.kinds import LooseKind
from packing.plan.rows import Point as PlanPoint


class CutLayer(StrEnum):
    """The cut along a line of a cut file, by the name of its layer."""

    CUT = "cut"
    CREASE = "crease"
    MARK = "mark"
    DRILL = "drill"
    LETTERING = "lettering"


@dataclass(frozen=True, slots=True)
class LineStyle:
    """The looks of the lines of a layer: their colour, their width in mm."""

    colour: str
    width: float


STYLES = {
    CutLayer.CUT: LineStyle(INK, 0.35),
    CutLayer.CREASE: LineStyle(BLUE, 0.25),
    CutLayer.MARK: LineStyle("#57503f", 0.25),
    CutLayer.DRILL: LineStyle(BLUE, 0.13),
    CutLayer.LETTERING: LineStyle(INK, 0.13),
}
"""As on the papers: black ink, marking-out blue, grey-brown, thin black."""
MARGIN_MM = 5.0
"""Round the piece, so that no cutter begins at the very edge of its drawing."""
UNIT = "mm"
FULL_SIZE = View(1.0, UNIT)
SMALLEST_MM, LARGEST_MM = 3.0, 12.0
"""Letters are scribed or burnt at full size: smaller ones run together, larger ones waste time."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line or figure of one layer: its points in mm, y upwards; closed where it is a figure."""

    layer: CutLayer
    points: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Drilled:
    """A hole through the face: its middle in mm, y upwards, its diameter."""

    at: Point
    diameter: float


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
    strokes, letters, drilled
        See there.
    """

    id: str
    what: str
    size_mm: Point
    strokes: tuple[Stroke, ...]
    letters: tuple[Lettering, ...]
    drilled: tuple[Drilled, ...] = ()

    @property
    def file_name(self) -> str:
        """A plain file name without its ending: id and what it is."""
        words = "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in f"{self.id} {self.what}")
        return "-".join(word for word in words.lower().split("-") if word)


def size_text(low_um: PlanPoint, high_um: PlanPoint) -> str:
    """The size in mm of a rectangle between two corners, as on the drawing: such as ``1451 × 512``."""
    return " × ".join(between_text(low, high, UNIT) for low, high in zip(low_um, high_um, strict=True))


def _drawn(points: Iterable[Point]) -> tuple[Point, ...]:
    """Points of a plan at full size, in mm."""
    return tuple((x / 1000, y / 1000) for x, y in points)


def _rect(row: Rectangular) -> Rect:
    low, high = _drawn((row.min_um, row.max_um))
    return Rect(*low, *high)


def piece_strokes(piece: PiecePlan, way: CutWay = ON_THE_LINE) -> Iterator[Stroke]:
    """The lines of a piece of the box: its outline, its creases, its grooves and what is marked on it.

    Parameters
    ----------
    piece
        Of the box.
    way
        How it is cut.

    Yields
    ------
    Stroke
        Full size, from the piece's lower left corner.

    Raises
    ------
    BadInput
        The cut is wider than a slot of the piece.
    """
    yield from cut_strokes(tool_paths(_drawn(piece.outline_um), (), way, give_mm=0.0, name=piece.id))
    for crease in piece.creases:
        yield Stroke(CutLayer.CREASE, _drawn((crease.start_um, crease.end_um)))
    for groove in piece.grooves:
        yield Stroke(CutLayer.MARK, _drawn(rect_of(groove).corners), closed=True)
    for mark in piece.marks:
        yield Stroke(CutLayer.MARK, _drawn((mark.start_um, mark.end_um)))


def cut_strokes(paths: ToolPaths) -> Iterator[Stroke]:
    """The lines a sheet is cut along: its edge, its pockets, the ways in to them."""
    yield from (Stroke(CutLayer.CUT, loop, closed=True) for loop in (paths.edge, *paths.pockets))
    yield from (Stroke(CutLayer.CUT, line) for line in paths.entries)


def _fitting(text: str, room: Point, at: Point) -> Lettering | None:
    """A text as large as goes into a room, turned where that helps; None where it would be too small to read."""
    # Three quarters of its height is taken for a letter's width: the typeface is the machine's, and not known here.
    level, upright = (
        min(LARGEST_MM, across / 2.5, along / (0.75 * max(1, len(text)))) for along, across in (room, room[::-1])
    )
    # Turned only where that makes it clearly larger: level words are read without walking round the piece.
    turn, height = (90, upright) if upright > 1.3 * level else (0, level)
    return Lettering(text, at, height, turn) if height >= SMALLEST_MM else None


def _letters(face: WorkedFace, order: str, hardware: Sequence[HardwarePlan]) -> Iterator[Lettering]:
    """Names and sizes of the panels; on a piece without panels its own, its face and its screws; grooves."""
    piece = face.piece
    count = f", {piece.count} pieces" if piece.count > 1 else ""
    what, size = said(piece.what, UNIT), size_text((0, 0), piece.size_um)
    title = f"{order} {piece.id} {what} {size} mm{count}"
    grain = grain_words(piece, UNIT)
    told = [*([face.words] if face.words else []), *hole_notes(piece, hardware, FULL_SIZE)]
    named = [*piece.panels, *([piece.joint] if piece.joint else [])]
    rooms = named or [AreaPlan(title, (0, 0), piece.size_um)]
    widest = max(range(len(rooms)), key=lambda index: _area(rooms[index]))
    for index, panel in enumerate(rooms):
        room = _rect(panel)
        words = [f"{panel.name} {size_text(panel.min_um, panel.max_um)}" if named else panel.name]
        words += [title, grain] if named and index == widest else [] if named else [grain, *told]
        yield from _lines(words, room)
    for groove in piece.grooves:
        (x0, y0), (x1, y1) = groove.min_um, groove.max_um
        wide, deep = length_text(min(x1 - x0, y1 - y0), UNIT), length_text(groove.depth_um, UNIT)
        text = f"{groove.name} {wide} wide {deep} deep"
        yield Lettering(text, _rect(groove).centre, SMALLEST_MM, 0 if x1 - x0 >= y1 - y0 else 90)


def _area(panel: AreaPlan) -> int:
    (x0, y0), (x1, y1) = panel.min_um, panel.max_um
    return (x1 - x0) * (y1 - y0)


def _lines(words: Sequence[str], room: Rect) -> Iterator[Lettering]:
    """Texts under each other in a room; one that is alone may stand upright, those that do not fit are left out."""
    step = room.height / (len(words) + 1)
    for line, text in enumerate(words, start=1):
        found = _fitting(text, (0.9 * room.width, step), (room.centre[0], room.y1 - line * step))
        if found is None and len(words) == 1:
            found = _fitting(text, (0.9 * room.width, room.height), room.centre)
        if found is not None:
            yield found


def cut_sheets(plan: Plan, way: CutWay = ON_THE_LINE) -> tuple[CutSheet, ...]:
    """Lay out the flat pieces of a plan's box and the sheets of its insert as layers of strokes and texts.

    Parameters
    ----------
    plan
        Whose box and insert they are.
    way
        How they are cut; what the tool cannot cut is left out.

    Returns
    -------
    tuple of CutSheet
        One for each kind of piece, in the order of the parts list, but none for a bought carton; then one for all
        insert sheets cut alike, from the bottom up, as large as a bought carton takes. Full size in mm, lower left
        corner at the origin, a grooved piece seen on its grooved face.

    Raises
    ------
    BadInput
        Where the box has no flat pieces, or the cut is too wide for one of them; see `packing.draw.tool_path`.
    """
    box = plan.box
    if not box.pieces:
        raise BadInput("plan", "must have a box with flat pieces to cut.")
    every = way.tool not in FOAM_ALONE
    pieces = [_piece_sheet(worked_face(box, piece), plan, way) for piece in box.pieces if every and not piece.carton]
    stack = {sheet.id: sheet for sheet in plan.insert.sheets if every or sheet.material is None}
    sheets = [_insert_sheet(stack[ids[0]], ids, plan, way) for ids in alike(plan.insert) if ids[0] in stack]
    if plan.bought is not None and plan.bought.top_sheet_um:
        sheets.append(_top_sheet(plan.bought, plan.order, way))
    return (*pieces, *sheets)


def _piece_sheet(face: WorkedFace, plan: Plan, way: CutWay) -> CutSheet:
    piece = face.piece
    return CutSheet(
        piece.id,
        said(piece.what, UNIT),
        _drawn([piece.size_um])[0],
        tuple(piece_strokes(piece, way)),
        tuple(_letters(face, plan.order, plan.box.hardware)),
        tuple(
            Drilled(_drawn([hole.at_um])[0], hole.drill_um / 1000)
            for hole in piece.holes
            if hole.drill_um and not hole.edge
        ),
    )


def _insert_sheet(sheet: SheetPlan, ids: Sequence[str], plan: Plan, way: CutWay) -> CutSheet:
    """A sheet of the insert, seen from above: its edge and each item's pockets cut through, their letters in them.

    In a bought carton the sheets are cut as large as that, the pockets where they are.
    """
    cut_um = plan.sheet_size_um or sheet.size_um
    width, height = size = _drawn([cut_um])[0]
    paths = sheet_paths(sheet, plan, way)
    letters: list[Lettering | None] = list(pocket_letters(sheet))
    thick = length_text(sheet.thickness_um, UNIT)
    title = f"{plan.order} {id_runs(ids)} {size_text((0, 0), cut_um)} × {thick} mm, cut {len(ids)}, this side up"
    # The strip below the lowest pocket: what is written there does not fall out with the waste.
    wall = min([height, *(y for loop in paths.pockets for _x, y in loop)])
    letters.append(_fitting(title, (0.9 * width, 0.8 * wall), (width / 2, wall / 2)))
    return CutSheet(sheet.id, "insert sheet", size, tuple(cut_strokes(paths)), tuple(one for one in letters if one))


def pocket_letters(sheet: SheetPlan) -> Iterator[Lettering]:
    """The letter of each item in its pocket, where it is large enough."""
    for letter, rects in by_letter(sheet.pockets).items():
        room = Rect(*_drawn([(rects[0].x0, rects[0].y0)])[0], *_drawn([(rects[0].x1, rects[0].y1)])[0])
        found = _fitting(letter, (0.6 * room.width, 0.6 * room.height), room.centre)
        if found is not None:
            yield found


def sheet_paths(sheet: SheetPlan, plan: Plan, way: CutWay) -> ToolPaths:
    """The lines a sheet of the insert is cut along by a machine, in mm.

    Parameters
    ----------
    sheet, plan
        The sheet, and whose it is: in a bought carton it is cut as large as that.
    way
        How it is cut.

    Returns
    -------
    ToolPaths

    Raises
    ------
    BadInput
        The cut is wider than one of its webs, walls or pockets.
    """
    edge, loops = sheet_loops(sheet, plan.sheet_size_um or sheet.size_um, traced=True)
    # Foam gives what the order says; plywood and board do not.
    give = plan.rules.give_um / 1000 if sheet.material is None else 0.0
    return tool_paths(edge, loops, way, give_mm=give, name=sheet.id)


def sheet_loops(
    sheet: SheetPlan, cut_um: PlanPoint, *, traced: bool = False
) -> tuple[tuple[Point, ...], list[tuple[Point, ...]]]:
    """The lines a sheet of the insert is cut along, in mm, seen from above, y upwards from its lower left corner.

    Parameters
    ----------
    sheet
        Whose pockets they are.
    cut_um
        What it is cut to, length by width: its own size, or what a bought carton takes.
    traced
        With every point of a traced outline, as a machine cuts it; else in straight sides, as a knife does.

    Returns
    -------
    tuple
        The corners of its edge, and those of each pocket, an item's pockets that meet as one.
    """
    groups = grouped(sheet.pockets).values()
    loops = [_drawn(loop) for own in groups for loop in pocket_loops(own, traced=traced)]
    return Rect(0.0, 0.0, *_drawn([cut_um])[0]).corners, loops


def as_cut(plan: Plan) -> Plan:
    """The plan with its insert's sheets as large as they are cut, in drawings of a sheet and on the cut list.

    Parameters
    ----------
    plan
        Whose box may be a bought carton.

    Returns
    -------
    Plan
        The same where it is none; else with every sheet as large as the carton takes, its pockets where they are, and
        on the cut list the sheet that is laid on top.
    """
    carton = plan.bought
    if carton is None:
        return plan
    size = carton.sheet_um
    rows = [structs.replace(row, size_um=size) if row.what is LooseKind.SHEET else row for row in plan.insert.cut_list]
    if carton.top_sheet_um:
        source = Message("{foam}, on top in the carton", foam=plan.insert.material)
        rows.append(CutRowPlan(LooseKind.SHEET, (), carton.top_sheet_um, size, 1, source))
    sheets = tuple(structs.replace(sheet, size_um=size) for sheet in plan.insert.sheets)
    return structs.replace(plan, insert=structs.replace(plan.insert, sheets=sheets, cut_list=tuple(rows)))


def _top_sheet(carton: StockCartonPlan, order: str, way: CutWay) -> CutSheet:
    """The sheet that is laid on top of the insert in a bought carton that is higher."""
    width, height = size = _drawn([carton.sheet_um])[0]
    paths = tool_paths(Rect(0.0, 0.0, width, height).corners, (), way, give_mm=0.0, name="the sheet on top")
    thick = length_text(carton.top_sheet_um, UNIT)
    title = f"{order} on top {size_text((0, 0), carton.sheet_um)} × {thick} mm, cut 1"
    letters = _fitting(title, (0.9 * width, 0.8 * height), (width / 2, height / 2))
    return CutSheet("on-top", "insert sheet", size, tuple(cut_strokes(paths)), () if letters is None else (letters,))

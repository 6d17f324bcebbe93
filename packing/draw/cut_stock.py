"""Cut files of whole sheets of stock, each with all that is cut from it."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial

from packing.draw.cut_file import (
    SMALLEST_MM,
    CutLayer,
    CutSheet,
    Lettering,
    Stroke,
    cut_strokes,
    piece_strokes,
    pocket_letters,
    sheet_paths,
)
from packing.draw.cut_way import FOAM_ALONE, ON_THE_LINE, CutWay
from packing.draw.scale import length_text
from packing.draw.shapes import Point, Rect
from packing.draw.tool_path import Loop, ToolPaths, tool_paths
from packing.messages import Length, Message, Name
from packing.plan import PiecePlan, Plan, SheetPlan
from packing.plan.kinds import StockKind
from packing.polygon import area2, clipped
from packing.stock import CutFromStock, Half, LaidPart, LaidSheet, StockRow
from packing.stock import Rect as Laid

_NAME_MM = 8.0
"""Height of a part's name at most."""
_WIDE_KERF = (
    "{what} is not among the files: its rows of stock say that a cut takes {laid}, and the files are for a cut of "
    "{kerf}. Enter {kerf} in the row; parts are then laid that far apart."
)
_NOT_SO = "{what} is not among the files: its rows of stock do not allow a {tool}."


@dataclass(frozen=True, slots=True)
class Nested:
    """Files of sheets of stock; a sentence for each material of which there is none, and why."""

    sheets: tuple[CutSheet, ...] = ()
    left_out: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class _Figure:
    """The lines and letters of one part, in mm from its lower left corner as it lies with the grain along x."""

    strokes: tuple[Stroke, ...]
    letters: tuple[Lettering, ...] = ()


def nested_sheets(
    plans: Mapping[str, Plan],
    cuts: Iterable[CutFromStock],
    rows: Iterable[StockRow],
    labels: Sequence[Sequence[Sequence[str]]],
    way: CutWay = ON_THE_LINE,
) -> Nested:
    """Draw each sheet of stock with every part that is cut from it, in one file.

    Parameters
    ----------
    plans
        Whose parts they are, by what stands before the ids of their parts; "" where there is one plan.
    cuts
        As `packing.stock.cut_from_stock` lays them.
    rows
        The stock that they are laid on.
    labels
        By need and sheet what is written on its offcuts.
    way
        How the files are cut. What the tool cannot cut is left out.

    Returns
    -------
    Nested
        The stock's edge, offcuts and what is written on them are marked; parts and pockets are cut. A sheet stands as
        often as it is cut.

    Raises
    ------
    BadInput
        The cut is too wide for a part; see `packing.draw.tool_path`.
    """
    cuts = tuple(cuts)
    figures = _Figures(plans, (half for cut in cuts for half in cut.halves), way)
    allowed: dict[str, tuple[str, ...]] = {row.sheet.id: row.cut_by for row in rows}
    made: list[CutSheet] = []
    left_out: list[Message] = []
    for cut, named in zip(cuts, labels, strict=True):
        if cut.layout is None or (way.tool in FOAM_ALONE and not cut.need.insert):
            continue
        what = Message("{material} of {thickness}", material=cut.need.material, thickness=Length(cut.need.thickness_um))
        if way.kerf_um > cut.layout.kerf_um:
            kerfs = {"laid": Length(cut.layout.kerf_um), "kerf": Length(way.kerf_um)}
            left_out.append(Message(_WIDE_KERF, what=what, **kerfs))
        elif any(way.tool not in allowed[sheet.stock.id] for sheet in cut.layout.sheets):
            left_out.append(Message(_NOT_SO, what=what, tool=Name(way.tool)))
        else:
            called = f"{cut.need.material} {length_text(cut.need.thickness_um, 'mm')} mm"
            for sheet, own in zip(cut.layout.sheets, named, strict=True):
                made.append(_sheet(f"stock {len(made) + 1}", called, sheet, own, figures.of))
    return Nested(tuple(made), tuple(left_out))


class _Figures:
    """The figures of parts by their ids, each worked out once, when it is first asked for."""

    def __init__(self, plans: Mapping[str, Plan], halves: Iterable[Half], way: CutWay) -> None:
        self._makers: dict[str, Callable[[LaidPart], _Figure]] = {}
        self._way = way
        halves = tuple(halves)
        for prefix, plan in plans.items():
            for sheet in plan.insert.sheets:
                paths = cache(partial(sheet_paths, sheet, plan, way))
                self._makers[prefix + sheet.id] = _always(partial(_of_sheet, sheet, paths))
                for half in halves:
                    if half.of == prefix + sheet.id:
                        self._makers[half.id] = _half_of(paths, half, way)
            for piece in plan.box.pieces:
                self._makers[prefix + piece.id] = _always(partial(_of_piece, piece, way))

    def of(self, laid: LaidPart) -> _Figure:
        """The figure of a part; a rectangle where the plan has no more to say of it."""
        maker = self._makers.get(laid.part.id)
        made = _Figure(tuple(_plain(laid, self._way))) if maker is None else maker(laid)
        length, width = (um / 1000 for um in laid.part.size_um)
        named = Lettering(laid.part.id, (length / 2, min(_NAME_MM, width / 3)), min(_NAME_MM, width / 4, length / 8))
        letters = (named,) if named.height >= SMALLEST_MM / 2 else ()
        return replace(made, letters=(*made.letters, *letters))


def _always(make: Callable[[], _Figure]) -> Callable[[LaidPart], _Figure]:
    made = cache(make)
    return lambda _: made()


def _of_sheet(sheet: SheetPlan, paths: Callable[[], ToolPaths]) -> _Figure:
    return _Figure(tuple(cut_strokes(paths())), tuple(pocket_letters(sheet)))


def _of_piece(piece: PiecePlan, way: CutWay) -> _Figure:
    strokes = tuple(piece_strokes(piece, way))
    if piece.stock is not None and piece.stock.kind is StockKind.BOARD:
        # A board's pieces are drawn across the flutes; on a sheet the length runs along them.
        strokes = tuple(_turned(one, piece.size_um[0] / 1000) for one in strokes)
    return _Figure(strokes)


def _plain(laid: LaidPart, way: CutWay) -> Iterator[Stroke]:
    length, width = (um / 1000 for um in laid.part.size_um)
    corners = Rect(0.0, 0.0, length, width).corners
    yield from cut_strokes(tool_paths(corners, (), way, give_mm=0.0, name=laid.part.id))


def _half_of(paths: Callable[[], ToolPaths], half: Half, way: CutWay) -> Callable[[LaidPart], _Figure]:
    """A half of a sheet: its pockets as far as they are on it, open towards the joint."""

    def made(laid: LaidPart) -> _Figure:
        aside = way.aside_um
        (x0, y0), (length, width) = half.at_um, laid.part.size_um
        window = (x0 - aside, y0 - aside, x0 + length + aside, y0 + width + aside)
        loops = [_within(loop, window) for loop in paths().pockets]
        edge = Rect(*(um / 1000 for um in window)).corners
        entries = tuple(line for line in paths().entries if all(_holds(window, end) for end in line))
        there = ToolPaths(edge, tuple(loop for loop in loops if loop), entries)
        return _Figure(tuple(_shifted(one, -x0 / 1000, -y0 / 1000) for one in cut_strokes(there)))

    return made


def _within(loop: Loop, window: Laid) -> Loop:
    """The part of a figure in a rectangle."""
    whole = tuple((round(1000 * x), round(1000 * y)) for x, y in loop)
    standing = area2(whole) < 0
    inside = clipped(whole[::-1] if standing else whole, window)
    return tuple((x / 1000, y / 1000) for x, y in (inside[::-1] if standing else inside))


def _holds(window: Laid, point: Point) -> bool:
    x, y = 1000 * point[0], 1000 * point[1]
    return window[0] <= x <= window[2] and window[1] <= y <= window[3]


def _moved(stroke: Stroke, where: Callable[[Point], Point]) -> Stroke:
    return replace(stroke, points=tuple(where(point) for point in stroke.points))


def _shifted(stroke: Stroke, dx: float, dy: float) -> Stroke:
    return _moved(stroke, lambda point: (point[0] + dx, point[1] + dy))


def _turned(stroke: Stroke, across: float) -> Stroke:
    """A quarter turn clockwise, back into the corner."""
    return _moved(stroke, lambda point: (point[1], across - point[0]))


def _sheet(
    name: str, called: str, sheet: LaidSheet, labels: Sequence[str], figure_of: Callable[[LaidPart], _Figure]
) -> CutSheet:
    length, width = (um / 1000 for um in sheet.stock.size_um)
    strokes = [Stroke(CutLayer.MARK, Rect(0.0, 0.0, length, width).corners, closed=True)]
    letters: list[Lettering] = []
    for rest, label in zip(sheet.offcuts, labels, strict=True):
        rect = Rect(*(um / 1000 for um in rest))
        strokes.append(Stroke(CutLayer.MARK, rect.corners, closed=True))
        letters.append(Lettering(label, rect.centre, 2 * _NAME_MM))
    for laid in sheet.parts:
        figure, where, turn = figure_of(laid), _place(laid), 90 if laid.turned else 0
        strokes += [_moved(stroke, where) for stroke in figure.strokes]
        letters += [replace(one, at=where(one.at), turn=one.turn + turn) for one in figure.letters]
    return CutSheet(name, called, (length, width), tuple(strokes), tuple(letters))


def _place(laid: LaidPart) -> Callable[[Point], Point]:
    """From a part's own corner to where it lies: a quarter turn counter-clockwise where it is turned."""
    x0, y0 = laid.rect[0] / 1000, laid.rect[1] / 1000
    if not laid.turned:
        return lambda point: (x0 + point[0], y0 + point[1])
    width = laid.part.size_um[1] / 1000
    return lambda point: (x0 + width - point[1], y0 + point[0])

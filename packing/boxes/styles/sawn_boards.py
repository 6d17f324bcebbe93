"""A box of butt-jointed sawn boards with a screwed lid on battens."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.boxes.design import BoxDesign, CutPiece, Hardware, Infeasible, Size, Step
from packing.boxes.registry import register
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.wooden import (
    END_GRAIN,
    WORK_FACT,
    PlacedPiece,
    handles,
    hardware,
    outside,
    place_piece,
    placed_panels_of,
    plank_of,
    rows_of,
    screwed_shut,
    too_long,
    wood_parts,
    wood_work,
)
from packing.materials import Timber, clinched, nailed, screwed
from packing.measure import mm

CODE, NAME = "boards", "box of sawn boards, screwed lid"
BATTEN_UM = 38_000
LONG_LID_UM = 900_000
Row = tuple[Timber, int, int]


def _pieces(
    inner: Size,
    walls: tuple[Timber, int, int],
    tops: tuple[Timber, int, int],
    floor: tuple[Timber, int, int],
    batten: Timber,
) -> tuple[tuple[PlacedPiece, ...], Size]:
    """Every board in place, and the outside."""
    length, width, height = inner
    wall, courses, course = walls
    t = wall.thickness_um
    whole = (length + 2 * t, width + 2 * t)
    zs = [course * index for index in range(courses)]
    plank, count, each = floor
    top, top_count, top_each = tops
    pieces = [
        place_piece(
            "X1", "long side", wall, (whole[0], course), [(-t, y, z) for y in (-t, width) for z in zs], (0, 2, 1)
        ),
        place_piece("X2", "end", wall, (width, course), [(x, 0, z) for x in (-t, length) for z in zs], (2, 0, 1)),
        place_piece(
            "X3",
            "bottom board",
            plank,
            (whole[1], each),
            [(-t + each * i, -t, -plank.thickness_um) for i in range(count)],
            (1, 0, 2),
        ),
        place_piece(
            "X4",
            "lid board",
            top,
            (whole[0], top_each),
            [(-t, -t + top_each * i, height) for i in range(top_count)],
            (0, 1, 2),
        ),
    ]
    high = height + top.thickness_um
    if top_count > 1:
        across = batten.width_um
        places = [-t + 2 * t, length - across - t]
        if whole[0] > LONG_LID_UM:
            places.insert(1, (length - across) // 2)
        pieces.append(
            place_piece("X5", "lid batten", batten, (whole[1], across), [(x, -t, high) for x in places], (1, 0, 2))
        )
        high += batten.thickness_um
    low = plank.thickness_um
    outer = (whole[0], whole[1], low + high)
    if courses > 1:
        across = batten.width_um
        at = [(x, y, 0) for x in (-t - batten.thickness_um, length + t) for y in (0, width - across)]
        pieces.append(place_piece("X6", "end cleat", batten, (height, across), at, (2, 1, 0)))
        outer = (whole[0] + 2 * batten.thickness_um, whole[1], outer[2])
    return tuple(pieces), outer


@dataclass(frozen=True, slots=True)
class _Rows:
    """Boards side by side for walls, bottom and lid (which, how many, how wide each), and what battens are made of."""

    walls: Row
    floor: Row
    tops: Row
    batten: Timber


def _rows(spec: BoxSpec) -> _Rows | Infeasible:
    """The fewest boards for each face; where courses do not come out even, the walls are a little higher."""
    length, width, height = spec.inner_um
    walls, batten = rows_of(spec, height), plank_of(spec, BATTEN_UM)
    if walls is None or batten is None:
        return Infeasible(
            CODE, "material", height, 0, f"There are no sawn boards in stock for sides {mm(height)} mm high."
        )
    t = walls[0].thickness_um
    if walls[1] * walls[2] < height:
        walls = (walls[0], walls[1], walls[2] + 1)
    floor, tops = rows_of(spec, length + 2 * t), rows_of(spec, width + 2 * t)
    if floor is None or tops is None:
        reason = f"There are no sawn boards for a bottom {mm(length + 2 * t)} mm long."
        return Infeasible(CODE, "material", length, 0, reason)
    return _Rows(walls, floor, tops, batten)


def _swell(rows: _Rows, cut_pieces: Sequence[CutPiece]) -> Size:
    """How much larger outside it is in boards as thick as they may be: end cleats, walls, all that lies flat."""
    batten = rows.batten.thickness_tolerance_um
    what = {cut_piece.what for cut_piece in cut_pieces}
    high = rows.floor[0].thickness_tolerance_um + rows.tops[0].thickness_tolerance_um
    return (
        2 * batten * ("end cleat" in what),
        2 * rows.walls[0].thickness_tolerance_um,
        high + batten * ("lid batten" in what),
    )


def _fastenings(spec: BoxSpec, inner: Size, rows: _Rows, pieces: Sequence[PlacedPiece]) -> tuple[Hardware, ...]:
    """Nails of walls and bottom, screws of the lid, clinched nails of battens and cleats, in this order."""
    nails, screws = spec.joinery.nails, spec.joinery.screws
    (wall, courses, course), (plank, count, each), (top, tops, wide) = rows.walls, rows.floor, rows.tops
    t = wall.thickness_um
    lid = screwed(top.thickness_um, inner[2], inner[1], edge_um=t, screws=screws)
    found = [
        hardware(nailed(t, inner[1], course, nails=nails), 4 * courses, "long side into end"),
        hardware(nailed(plank.thickness_um, inner[2], each, nails=nails), 2 * count, "bottom into long sides"),
        hardware(lid, 2, "lid into ends"),
    ]
    for one in pieces:
        if one.cut_piece.what == "lid batten":
            nail = clinched(top.thickness_um + rows.batten.thickness_um, wide, nails=nails)
            found.append(hardware(nail, tops * one.cut_piece.count, "lid boards into battens"))
        if one.cut_piece.what == "end cleat":
            nail = clinched(t + rows.batten.thickness_um, course, nails=nails)
            found.append(hardware(nail, courses * one.cut_piece.count, "ends into cleats"))
    return tuple(found)


def _steps(pieces: Sequence[PlacedPiece], fastenings: Sequence[Hardware]) -> tuple[Step, ...]:
    walls, bottom, lid = fastenings[:3]
    shell = tuple(dict.fromkeys(one.cut_piece.what for one in pieces if one.cut_piece.what[:3] != "lid"))
    names = tuple(dict.fromkeys(one.cut_piece.what for one in pieces))
    sides = ("long side", "end", "end cleat")
    return (
        Step("Cut and rip all boards; grain along the first size.", placed_panels_of(pieces, ("end",)), ("end",)),
        Step(
            f"Glue and nail the long sides to the ends: {walls.count} × {walls.what}.",
            placed_panels_of(pieces, sides),
            sides,
        ),
        Step(
            f"Nail the bottom boards across: {bottom.count} × {bottom.what}.",
            placed_panels_of(pieces, shell),
            ("bottom board",),
        ),
        Step(
            f"Put the insert in and screw the lid to the ends: {lid.count} × {lid.what}.",
            placed_panels_of(pieces, names),
            ("lid board", "lid batten"),
        ),
    )


@register(CODE, NAME, "wood", order=70)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Sides and ends of one board each where one is wide enough, else of courses held by cleats on the ends."""
    rows = _rows(spec)
    if not isinstance(rows, Infeasible):
        spec = with_tolerance_room(spec, (2 * rows.walls[0].thickness_tolerance_um, 0, 0))
        rows = _rows(spec)
    if isinstance(rows, Infeasible):
        return rows
    inner = (*spec.inner_um[:2], rows.walls[1] * rows.walls[2])
    pieces, outer = _pieces(inner, rows.walls, rows.tops, rows.floor, rows.batten)
    cut_pieces = tuple(one.cut_piece for one in pieces)
    refused = too_long(CODE, cut_pieces)
    if refused is not None:
        return refused
    fastenings = _fastenings(spec, inner, rows, pieces)
    return BoxDesign(
        style=CODE,
        name=NAME,
        family="wood",
        fit_um=spec.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging=outside(spec),
        cut_pieces=cut_pieces,
        closing=screwed_shut(fastenings[2]),
        assembly=lambda: _steps(pieces, fastenings),
        board=None,
        spread=rows.walls[0].spread,
        hardware=(*fastenings, *handles(spec)),
        wood=wood_parts(cut_pieces),
        facts=(DRIFT, END_GRAIN, WORK_FACT),
        work=wood_work(cut_pieces, fastenings),
        more_um=_swell(rows, cut_pieces),
    )

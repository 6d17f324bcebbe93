"""A box of butt-jointed sawn boards with a screwed lid on battens."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.boxes.design import Flat, Hardware, Made, NoBox, Size, Step
from packing.boxes.registry import register
from packing.boxes.spec import DRIFT, Need, roomy
from packing.boxes.wooden import (
    END_GRAIN,
    WORK_FACT,
    Placed,
    handles,
    hardware,
    outside,
    piece,
    placed_plates,
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
) -> tuple[tuple[Placed, ...], Size]:
    """Every board in place, and the outside."""
    length, width, height = inner
    wall, courses, course = walls
    t = wall.thickness_um
    whole = (length + 2 * t, width + 2 * t)
    zs = [course * index for index in range(courses)]
    plank, count, each = floor
    top, top_count, top_each = tops
    pieces = [
        piece("X1", "long side", wall, (whole[0], course), [(-t, y, z) for y in (-t, width) for z in zs], (0, 2, 1)),
        piece("X2", "end", wall, (width, course), [(x, 0, z) for x in (-t, length) for z in zs], (2, 0, 1)),
        piece(
            "X3",
            "bottom board",
            plank,
            (whole[1], each),
            [(-t + each * i, -t, -plank.thickness_um) for i in range(count)],
            (1, 0, 2),
        ),
        piece(
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
        pieces.append(piece("X5", "lid batten", batten, (whole[1], across), [(x, -t, high) for x in places], (1, 0, 2)))
        high += batten.thickness_um
    low = plank.thickness_um
    outer = (whole[0], whole[1], low + high)
    if courses > 1:
        across = batten.width_um
        at = [(x, y, 0) for x in (-t - batten.thickness_um, length + t) for y in (0, width - across)]
        pieces.append(piece("X6", "end cleat", batten, (height, across), at, (2, 1, 0)))
        outer = (whole[0] + 2 * batten.thickness_um, whole[1], outer[2])
    return tuple(pieces), outer


@dataclass(frozen=True, slots=True)
class _Rows:
    """Boards side by side for walls, bottom and lid (which, how many, how wide each), and what battens are made of."""

    walls: Row
    floor: Row
    tops: Row
    batten: Timber


def _rows(need: Need) -> _Rows | NoBox:
    """The fewest boards for each face; where courses do not come out even, the walls are a little higher."""
    length, width, height = need.inner_um
    walls, batten = rows_of(need, height), plank_of(need, BATTEN_UM)
    if walls is None or batten is None:
        return NoBox(CODE, "material", height, 0, f"There are no sawn boards in stock for sides {mm(height)} mm high.")
    t = walls[0].thickness_um
    if walls[1] * walls[2] < height:
        walls = (walls[0], walls[1], walls[2] + 1)
    floor, tops = rows_of(need, length + 2 * t), rows_of(need, width + 2 * t)
    if floor is None or tops is None:
        reason = f"There are no sawn boards for a bottom {mm(length + 2 * t)} mm long."
        return NoBox(CODE, "material", length, 0, reason)
    return _Rows(walls, floor, tops, batten)


def _swell(rows: _Rows, flats: Sequence[Flat]) -> Size:
    """How much larger outside it is in boards as thick as they may be: end cleats, walls, all that lies flat."""
    batten = rows.batten.thickness_tolerance_um
    what = {flat.what for flat in flats}
    high = rows.floor[0].thickness_tolerance_um + rows.tops[0].thickness_tolerance_um
    return (
        2 * batten * ("end cleat" in what),
        2 * rows.walls[0].thickness_tolerance_um,
        high + batten * ("lid batten" in what),
    )


def _fastenings(need: Need, inner: Size, rows: _Rows, pieces: Sequence[Placed]) -> tuple[Hardware, ...]:
    """Nails of walls and bottom, screws of the lid, clinched nails of battens and cleats, in this order."""
    nails, screws = need.joinery.nails, need.joinery.screws
    (wall, courses, course), (plank, count, each), (top, tops, wide) = rows.walls, rows.floor, rows.tops
    t = wall.thickness_um
    lid = screwed(top.thickness_um, inner[2], inner[1], edge_um=t, screws=screws)
    found = [
        hardware(nailed(t, inner[1], course, nails=nails), 4 * courses, "long side into end"),
        hardware(nailed(plank.thickness_um, inner[2], each, nails=nails), 2 * count, "bottom into long sides"),
        hardware(lid, 2, "lid into ends"),
    ]
    for one in pieces:
        if one.flat.what == "lid batten":
            nail = clinched(top.thickness_um + rows.batten.thickness_um, wide, nails=nails)
            found.append(hardware(nail, tops * one.flat.count, "lid boards into battens"))
        if one.flat.what == "end cleat":
            nail = clinched(t + rows.batten.thickness_um, course, nails=nails)
            found.append(hardware(nail, courses * one.flat.count, "ends into cleats"))
    return tuple(found)


def _steps(pieces: Sequence[Placed], fastenings: Sequence[Hardware]) -> tuple[Step, ...]:
    walls, bottom, lid = fastenings[:3]
    shell = tuple(dict.fromkeys(one.flat.what for one in pieces if one.flat.what[:3] != "lid"))
    names = tuple(dict.fromkeys(one.flat.what for one in pieces))
    sides = ("long side", "end", "end cleat")
    return (
        Step("Cut and rip all boards; grain along the first size.", placed_plates(pieces, ("end",)), ("end",)),
        Step(
            f"Glue and nail the long sides to the ends: {walls.count} × {walls.what}.",
            placed_plates(pieces, sides),
            sides,
        ),
        Step(
            f"Nail the bottom boards across: {bottom.count} × {bottom.what}.",
            placed_plates(pieces, shell),
            ("bottom board",),
        ),
        Step(
            f"Put the insert in and screw the lid to the ends: {lid.count} × {lid.what}.",
            placed_plates(pieces, names),
            ("lid board", "lid batten"),
        ),
    )


@register(CODE, NAME, "wood", order=70)
def make(need: Need) -> Made | NoBox:
    """Sides and ends of one board each where one is wide enough, else of courses held by cleats on the ends."""
    rows = _rows(need)
    if not isinstance(rows, NoBox):
        need = roomy(need, (2 * rows.walls[0].thickness_tolerance_um, 0, 0))
        rows = _rows(need)
    if isinstance(rows, NoBox):
        return rows
    inner = (*need.inner_um[:2], rows.walls[1] * rows.walls[2])
    pieces, outer = _pieces(inner, rows.walls, rows.tops, rows.floor, rows.batten)
    flats = tuple(one.flat for one in pieces)
    refused = too_long(CODE, flats)
    if refused is not None:
        return refused
    fastenings = _fastenings(need, inner, rows, pieces)
    return Made(
        style=CODE,
        name=NAME,
        family="wood",
        fit_um=need.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging=outside(need),
        flats=flats,
        closing=screwed_shut(fastenings[2]),
        assembly=lambda: _steps(pieces, fastenings),
        board=None,
        spread=rows.walls[0].spread,
        hardware=(*fastenings, *handles(need)),
        wood=wood_parts(flats),
        facts=(DRIFT, END_GRAIN, WORK_FACT),
        work=wood_work(flats, fastenings),
        more_um=_swell(rows, flats),
    )

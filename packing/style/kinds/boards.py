"""A box of butt-jointed sawn boards with a screwed lid on battens."""

from packing.measure import mm
from packing.style.model import Made, NoBox, Size, Step
from packing.style.need import DRIFT, Need
from packing.style.registry import register
from packing.style.wooden import (
    END_GRAIN,
    WORK_FACT,
    Placed,
    hardware,
    piece,
    placed_plates,
    plank_of,
    rows_of,
    screwed_shut,
    too_long,
    wood_parts,
    wood_work,
)
from packing.timber import Timber, clinched, nailed, screwed

CODE, NAME = "boards", "box of sawn boards, screwed lid"
BATTEN_UM = 38_000
LONG_LID_UM = 900_000


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


@register(CODE, NAME, "wood", order=70)
def make(need: Need) -> Made | NoBox:
    """Sides and ends of one board each where one is wide enough, else of courses held by cleats on the ends."""
    length, width, height = inner = need.inner_um
    walls = rows_of(need, height)
    batten = plank_of(need, BATTEN_UM)
    if walls is None or batten is None:
        return NoBox(CODE, "material", height, 0, f"There are no sawn boards in stock for sides {mm(height)} mm high.")
    t = walls[0].thickness_um
    height = walls[1] * walls[2]
    floor, tops = rows_of(need, length + 2 * t), rows_of(need, width + 2 * t)
    if floor is None or tops is None:
        return NoBox(
            CODE, "material", length, 0, f"There are no sawn boards for a bottom {mm(length + 2 * t)} mm long."
        )
    inner = (length, width, max(height, inner[2]))
    if height < inner[2]:
        walls = (walls[0], walls[1], walls[2] + 1)
        inner = (length, width, walls[1] * walls[2])
    pieces, outer = _pieces(inner, walls, tops, floor, batten)
    flats = tuple(one.flat for one in pieces)
    refused = too_long(CODE, flats)
    if refused is not None:
        return refused
    nails, screws = need.joinery.nails, need.joinery.screws
    fastenings = [
        hardware(nailed(t, width, walls[2], nails=nails), 4 * walls[1], "long side into end"),
        hardware(
            nailed(floor[0].thickness_um, inner[2], floor[2], nails=nails), 2 * floor[1], "bottom into long sides"
        ),
    ]
    lid = hardware(screwed(tops[0].thickness_um, inner[2], width, edge_um=t, screws=screws), 2, "lid into ends")
    fastenings.append(lid)
    for one in pieces:
        if one.flat.what == "lid batten":
            each = clinched(tops[0].thickness_um + batten.thickness_um, tops[2], nails=nails)
            fastenings.append(hardware(each, tops[1] * one.flat.count, "lid boards into battens"))
        if one.flat.what == "end cleat":
            each = clinched(t + batten.thickness_um, walls[2], nails=nails)
            fastenings.append(hardware(each, walls[1] * one.flat.count, "ends into cleats"))
    shell = tuple(dict.fromkeys(one.flat.what for one in pieces if one.flat.what[:3] != "lid"))
    names = tuple(dict.fromkeys(one.flat.what for one in pieces))
    return Made(
        style=CODE,
        name=NAME,
        family="wood",
        fit_um=need.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging="wood",
        flats=flats,
        closing=screwed_shut(lid),
        steps=(
            Step("Cut and rip all boards; grain along the first size.", placed_plates(pieces, ("end",)), ("end",)),
            Step(
                f"Glue and nail the long sides to the ends: {fastenings[0].count} × {fastenings[0].what}.",
                placed_plates(pieces, ("long side", "end", "end cleat")),
                ("long side", "end", "end cleat"),
            ),
            Step(
                f"Nail the bottom boards across: {fastenings[1].count} × {fastenings[1].what}.",
                placed_plates(pieces, shell),
                ("bottom board",),
            ),
            Step(
                f"Put the insert in and screw the lid to the ends: {lid.count} × {lid.what}.",
                placed_plates(pieces, names),
                ("lid board", "lid batten"),
            ),
        ),
        board=None,
        spread=walls[0].spread,
        hardware=tuple(fastenings),
        wood=wood_parts(flats),
        facts=(DRIFT, END_GRAIN, WORK_FACT),
        work=wood_work(flats, fastenings),
    )

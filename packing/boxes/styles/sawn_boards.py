"""A box of butt-jointed sawn boards with a screwed lid on battens."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from packing.boxes.design import BoxDesign, Hardware, Infeasible, Step
from packing.boxes.fastenings import Joint, Line, laid_out, with_holes
from packing.boxes.feet import Feet, feet
from packing.boxes.piece import CutPiece, Size
from packing.boxes.placed_piece import PlacedPiece, panels_of, place_piece
from packing.boxes.registry import register
from packing.boxes.rope_handles import RopeHandles, rope_handles
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.wooden import (
    BATTEN_UM,
    END_GRAIN,
    WORK_FACT,
    plank_of,
    rows_of,
    screwed_shut,
    too_long,
    wood_parts,
    wood_work,
)
from packing.materials import Timber, clinched, nailed, screwed
from packing.messages import Length, Message
from packing.plan.kinds import ContainerKind, PieceRole

CODE, NAME = "boards", "box of sawn boards, screwed lid"
LONG_LID_UM = 900_000
"""A longer lid of boards has a third batten, so that its boards cannot move against each other."""
Row = tuple[Timber, int, int]
"""Boards side by side: which, how many, how wide each is ripped."""


@dataclass(frozen=True, slots=True)
class _Rows:
    """Boards side by side for walls, bottom and lid, and what battens are made of."""

    walls: Row
    floor: Row
    tops: Row
    batten: Timber

    @property
    def courses(self) -> int:
        return self.walls[1]

    @property
    def wall_um(self) -> int:
        return self.walls[0].thickness_um


def _batten_places(inner: Size, rows: _Rows) -> list[int]:
    """The beginnings of the lid's battens along the box; none where the lid is one board."""
    if rows.tops[1] == 1:
        return []
    length, t, across = inner[0], rows.wall_um, rows.batten.width_um
    places = [t, length - across - t]
    if length + 2 * t > LONG_LID_UM:
        places.insert(1, (length - across) // 2)
    return places


def _cleat_places(width: int, across: int) -> tuple[int, ...]:
    """The places of the cleats across an end: at both its sides, or one in the middle where two would overlap."""
    return (0, width - across) if width >= 2 * across else ((width - across) // 2,)


def _rows(spec: BoxSpec) -> _Rows | Infeasible:
    """The fewest boards for each face; where courses do not come out even, the walls are a little higher."""
    length, width, height = spec.inner_um
    walls, batten = rows_of(spec, height), plank_of(spec, BATTEN_UM)
    if walls is None or batten is None:
        reason = Message("There are no sawn boards in stock for sides {height} high.", height=Length(height))
        return Infeasible(CODE, "material", height, 0, reason)
    t = walls[0].thickness_um
    # Equal courses of whole micrometres may come out short: each is a little higher then, for a box must not be too
    # low.
    if walls[1] * walls[2] < height:
        walls = (walls[0], walls[1], walls[2] + 1)
    floor, tops = (rows_of(spec, side + 2 * t, spec.step) for side in (length, width))
    if floor is None or tops is None:
        reason = Message("There are no sawn boards for a bottom {length} long.", length=Length(length + 2 * t))
        return Infeasible(CODE, "material", length, 0, reason)
    return _Rows(walls, floor, tops, batten)


def _pieces(inner: Size, rows: _Rows) -> tuple[tuple[PlacedPiece, ...], Size]:
    """Every board in place, and the outside."""
    length, width, height = inner
    wall, courses, course = rows.walls
    t, batten = wall.thickness_um, rows.batten
    whole = (length + 2 * t, width + 2 * t)
    zs = [course * index for index in range(courses)]
    (plank, count, each), (top, top_count, top_each) = rows.floor, rows.tops
    sides = [(-t, y, z) for y in (-t, width) for z in zs]
    ends = [(x, 0, z) for x in (-t, length) for z in zs]
    floors = [(-t + each * i, -t, -plank.thickness_um) for i in range(count)]
    tops = [(-t, -t + top_each * i, height) for i in range(top_count)]
    pieces = [
        place_piece("X1", PieceRole.LONG_SIDE, wall, (whole[0], course), sides, (0, 2, 1)),
        place_piece("X2", PieceRole.END, wall, (width, course), ends, (2, 0, 1)),
        place_piece("X3", PieceRole.BOTTOM_BOARD, plank, (whole[1], each), floors, (1, 0, 2)),
        place_piece("X4", PieceRole.LID_BOARD, top, (whole[0], top_each), tops, (0, 1, 2)),
    ]
    high, across = height + top.thickness_um, batten.width_um
    places = _batten_places(inner, rows)
    if places:
        at = [(x, -t, high) for x in places]
        pieces.append(place_piece("X5", PieceRole.LID_BATTEN, batten, (whole[1], across), at, (1, 0, 2)))
        high += batten.thickness_um
    outer = (whole[0], whole[1], plank.thickness_um + high)
    if courses > 1:
        at = [(x, y, 0) for x in (-t - batten.thickness_um, length + t) for y in _cleat_places(width, across)]
        pieces.append(place_piece("X6", PieceRole.END_CLEAT, batten, (height, across), at, (2, 1, 0)))
        outer = (whole[0] + 2 * batten.thickness_um, whole[1], outer[2])
    return tuple(pieces), outer


def _swell(rows: _Rows, cut_pieces: Sequence[CutPiece]) -> Size:
    """The growth outside in boards as thick as they may be: end cleats, walls, all that lies flat."""
    batten = rows.batten.thickness_tolerance_um
    roles = {cut_piece.role for cut_piece in cut_pieces}
    high = rows.floor[0].thickness_tolerance_um + rows.tops[0].thickness_tolerance_um
    return (
        2 * batten * (PieceRole.END_CLEAT in roles),
        2 * rows.walls[0].thickness_tolerance_um,
        high + batten * (PieceRole.LID_BATTEN in roles),
    )


def _lid_lines(inner: Size, rows: _Rows) -> tuple[Line, ...]:
    """Along the ends, one for each lid board; the outer boards reach over the long sides, where no end is."""
    length, width, height = inner
    top, count, each = rows.tops
    t, z = rows.wall_um, height + top.thickness_um
    lines = []
    for x in (-t // 2, length + t // 2):
        for index in range(count):
            low, high = max(0, -t + each * index), min(width, -t + each * (index + 1))
            lines.append(Line((x, low, z), 1, 2, -1, high - low))
    return tuple(lines)


def _wall_joints(spec: BoxSpec, inner: Size, rows: _Rows) -> list[Joint]:
    """Walls, bottom, lid."""
    nails, screws = spec.joinery.nails, spec.joinery.screws
    length, width, height = inner
    (_wall, courses, course), (plank, count, each), (top, *_rest) = rows.walls, rows.floor, rows.tops
    t = rows.wall_um
    corners = tuple(
        Line((x, y, course * index), 2, 1, way, course)
        for index in range(courses)
        for x in (-t // 2, length + t // 2)
        for y, way in ((-t, 1), (width + t, -1))
    )
    floors = tuple(
        Line((-t + each * index, y, -plank.thickness_um), 0, 2, 1, each)
        for index in range(count)
        for y in (-t // 2, width + t // 2)
    )
    return [
        Joint(Message("long side into end"), nailed(t, width, edge_um=t, nails=nails), corners, "X1", "X2"),
        Joint(
            Message("bottom into long sides"),
            nailed(plank.thickness_um, height, edge_um=t, nails=nails),
            floors,
            "X3",
            "X1",
        ),
        Joint(
            Message("lid into ends"),
            screwed(top.thickness_um, height, edge_um=t, screws=screws),
            _lid_lines(inner, rows),
            "X4",
            "X2",
        ),
    ]


def _batten_joints(spec: BoxSpec, inner: Size, rows: _Rows) -> list[Joint]:
    """Clinched nails of lid battens and end cleats, driven from the inside."""
    length, width, height = inner
    (_wall, courses, course), (top, tops, wide) = rows.walls, rows.tops
    t, batten, nails = rows.wall_um, rows.batten, spec.joinery.nails
    half, joints = batten.width_um // 2, []
    places = _batten_places(inner, rows)
    if places:
        lines = tuple(
            Line((x + half, -t + wide * index, height), 1, 2, 1, wide) for x in places for index in range(tops)
        )
        nail = clinched(top.thickness_um + batten.thickness_um, nails=nails)
        joints.append(Joint(Message("lid boards into battens"), nail, lines, "X4", "X5"))
    if courses > 1:
        lines = tuple(
            Line((x, y, course * index), 2, 0, way, course)
            for x, way in ((0, -1), (length, 1))
            for y in (low + half for low in _cleat_places(width, batten.width_um))
            for index in range(courses)
        )
        nail = clinched(t + batten.thickness_um, nails=nails)
        joints.append(Joint(Message("ends into cleats"), nail, lines, "X2", "X6"))
    return joints


_BATTENED = {
    PieceRole.END_CLEAT: (
        "Lay the courses of each end side by side and nail them into the cleats: {count} × {nail}, driven from the "
        "inside, heads flush; bend the points over across the grain outside, on the cleats.",
        PieceRole.END,
    ),
    PieceRole.LID_BATTEN: (
        "Lay the lid boards side by side and nail them into the battens: {count} × {nail}, driven from the inside, "
        "heads flush; bend the points over across the grain outside, on the battens.",
        PieceRole.LID_BOARD,
    ),
}


def _batten_steps(pieces: Sequence[PlacedPiece], held: Mapping[str, Hardware], role: PieceRole) -> list[Step]:
    """Nailing cleats to the ends, or battens to the lid, while these still lie on the bench."""
    if not any(one.cut_piece.role is role for one in pieces):
        return []
    template, boards = _BATTENED[role]
    nails = held["X5" if role is PieceRole.LID_BATTEN else "X6"]
    text = Message(template, count=nails.count, nail=nails.what)
    return [Step(text, panels_of(pieces, (boards, role)), (boards.value, role.value))]


def _steps(
    roped: RopeHandles, standing: Feet, fastenings: Sequence[Hardware], held: Mapping[str, Hardware]
) -> tuple[Step, ...]:
    pieces = roped.pieces
    walls, bottom, lid = fastenings[:3]
    sides = (PieceRole.LONG_SIDE, PieceRole.END, PieceRole.END_CLEAT)
    shell = (*sides, PieceRole.BOTTOM_BOARD)
    lids = (PieceRole.LID_BOARD, PieceRole.LID_BATTEN)
    return (
        Step(
            Message("Cut and rip all boards; grain along the first size. Mark the nails and screws."),
            panels_of(pieces, (PieceRole.END,)),
            (PieceRole.END.value,),
        ),
        *_batten_steps(pieces, held, PieceRole.END_CLEAT),
        Step(
            Message("Glue and nail the long sides to the ends: {count} × {nail}.", count=walls.count, nail=walls.what),
            panels_of(pieces, sides),
            tuple(role.value for role in sides),
        ),
        Step(
            Message("Nail the bottom boards across: {count} × {nail}.", count=bottom.count, nail=bottom.what),
            panels_of(pieces, shell),
            (PieceRole.BOTTOM_BOARD.value,),
        ),
        *standing.steps(held.get("X7"), pieces, shell),
        *roped.steps((*shell, PieceRole.FOOT)),
        *_batten_steps(pieces, held, PieceRole.LID_BATTEN),
        Step(
            Message(
                "Put the insert in and screw the lid to the ends: {count} × {screw}.", count=lid.count, screw=lid.what
            ),
            panels_of(pieces, (*shell, PieceRole.FOOT, *lids)),
            tuple(role.value for role in lids),
        ),
    )


@register(CODE, NAME, ContainerKind.WOOD, order=70)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Sides and ends of one board each where one is wide enough, else of courses held by cleats on the ends."""
    rows = _rows(spec)
    if not isinstance(rows, Infeasible):
        # Chosen once more: with room for thicker walls a face may want another board.
        spec = with_tolerance_room(spec, (2 * rows.walls[0].thickness_tolerance_um, 0, 0))
        rows = _rows(spec)
    if isinstance(rows, Infeasible):
        return rows
    inner = (*spec.inner_um[:2], rows.walls[1] * rows.walls[2])
    bare, outer = _pieces(inner, rows)
    refused = too_long(CODE, [one.cut_piece for one in bare])
    if refused is not None:
        return refused
    plank, count, each = rows.floor
    floor = [(-rows.wall_um + each * index, -rows.wall_um + each * (index + 1)) for index in range(count)]
    standing = feet(spec, inner, rows.wall_um, plank.thickness_um, floor, "X7")
    joints = [*_wall_joints(spec, inner, rows), *_batten_joints(spec, inner, rows), *standing.joints]
    bare, outer = (*bare, *standing.pieces), (*outer[:2], outer[2] + standing.height_um)
    fastenings, shafts = laid_out(joints)
    held = {joint.holding: row for joint, row in zip(joints, fastenings, strict=True)}
    roped = rope_handles(spec, with_holes(bare, joints, shafts), shafts, len(fastenings), inner)
    pieces = roped.pieces
    cut_pieces = tuple(one.cut_piece for one in pieces)
    return BoxDesign(
        style=CODE,
        name=NAME,
        family=ContainerKind.WOOD,
        fit_um=spec.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging=roped.packaging,
        cut_pieces=cut_pieces,
        # The lid's joint is the third, see `_wall_joints`.
        closing=screwed_shut(fastenings[2:3]),
        assembly=lambda: _steps(roped, standing, fastenings, held),
        board=None,
        spread=rows.walls[0].spread,
        hardware=(*fastenings, *roped.hardware),
        wood=wood_parts(cut_pieces),
        facts=(DRIFT, END_GRAIN, WORK_FACT),
        work=wood_work(cut_pieces, fastenings),
        more_um=(*(swell := _swell(rows, cut_pieces))[:2], swell[2] + standing.tolerance_um),
        notes=(*roped.notes, *standing.notes),
        insert_notes=roped.insert_notes,
    )

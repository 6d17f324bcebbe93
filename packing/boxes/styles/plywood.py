"""A plywood box with a screwed lid: long sides over the ends, bottom and lid over all."""

from collections.abc import Sequence

from packing.boxes.design import BoxDesign, Hardware, Infeasible, Step
from packing.boxes.fastenings import Joint, Line, laid_out, with_holes
from packing.boxes.feet import Feet, feet
from packing.boxes.placed_piece import PlacedPiece, panels_of, place_piece
from packing.boxes.registry import register
from packing.boxes.rope_handles import RopeHandles, rope_handles
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.wooden import (
    SIDE_FACT,
    UNDERSIZE_UM,
    WORK_FACT,
    panel_of,
    screwed_shut,
    side_thickness_um,
    too_long,
    wood_parts,
    wood_work,
)
from packing.materials import Timber, screwed
from packing.messages import Length, Message
from packing.plan.kinds import ContainerKind, PieceRole

CODE, NAME = "ply", "plywood box, screwed lid"
CORNERS, BOTTOM, LID = slice(0, 1), slice(1, 3), slice(3, 5)
"""Rows of hardware at the corners, the bottom and the lid."""


def _pieces(spec: BoxSpec, panel: Timber) -> tuple[PlacedPiece, ...]:
    length, width, height = spec.inner_um
    t = panel.thickness_um
    whole = (length + 2 * t, width + 2 * t)
    return (
        place_piece("X1", PieceRole.LONG_SIDE, panel, (whole[0], height), ((-t, -t, 0), (-t, width, 0)), (0, 2, 1)),
        place_piece("X2", PieceRole.END, panel, (width, height), ((-t, 0, 0), (length, 0, 0)), (2, 0, 1)),
        place_piece("X3", PieceRole.BOTTOM, panel, whole, ((-t, -t, -t),), (0, 1, 2)),
        place_piece("X4", PieceRole.LID, panel, whole, ((-t, -t, height),), (0, 1, 2)),
    )


def _joints(spec: BoxSpec, panel: Timber) -> tuple[Joint, ...]:
    """Corners, then bottom, then lid; long sides first."""
    length, width, height = spec.inner_um
    t, screws = panel.thickness_um, spec.joinery.screws
    half, whole = t // 2, length + 2 * t
    corner = screwed(t, width, edge_um=t, screws=screws)
    flat = screwed(t, height, edge_um=t, screws=screws)
    corners = tuple(
        Line((x, y, 0), 2, 1, way, height) for x in (-half, length + half) for y, way in ((-t, 1), (width + t, -1))
    )

    def along(z: int, way: int) -> tuple[Line, ...]:
        return tuple(Line((-t, y, z), 0, 2, way, whole) for y in (-half, width + half))

    def across(z: int, way: int) -> tuple[Line, ...]:
        return tuple(Line((x, 0, z), 1, 2, way, width) for x in (-half, length + half))

    top = height + t
    return (
        Joint(Message("long side into end"), corner, corners, "X1", "X2"),
        Joint(Message("bottom into long sides"), flat, along(-t, 1), "X3", "X1"),
        Joint(Message("bottom into ends"), flat, across(-t, 1), "X3", "X2"),
        Joint(Message("lid into long sides"), flat, along(top, -1), "X4", "X1"),
        Joint(Message("lid into ends"), flat, across(top, -1), "X4", "X2"),
    )


def _apart(rows: Sequence[Hardware]) -> Length:
    return Length(max(row.spacing_um for row in rows))


def _steps(roped: RopeHandles, standing: Feet, rows: Sequence[Hardware]) -> tuple[Step, ...]:
    pieces = roped.pieces
    walls = (PieceRole.LONG_SIDE, PieceRole.END)
    shell = (*walls, PieceRole.BOTTOM)
    corners = rows[CORNERS][0]
    return (
        Step(
            Message("Cut all panels; face grain along the first size. Mark and drill the holes."),
            panels_of(pieces, (PieceRole.BOTTOM,)),
            (PieceRole.BOTTOM.value,),
        ),
        Step(
            Message(
                "Glue and screw the long sides to the ends: {count} × {screw}, drilled before.",
                count=corners.count,
                screw=corners.what,
            ),
            panels_of(pieces, walls),
            tuple(role.value for role in walls),
        ),
        Step(
            Message(
                "Glue and screw the bottom on: {count} screws, up to {apart} apart.",
                count=sum(row.count for row in rows[BOTTOM]),
                apart=_apart(rows[BOTTOM]),
            ),
            panels_of(pieces, shell),
            (PieceRole.BOTTOM.value,),
        ),
        *standing.steps(rows[LID.stop] if len(rows) > LID.stop else None, pieces, shell),
        *roped.steps((*shell, PieceRole.FOOT)),
        Step(
            Message(
                "Put the insert in and screw the lid on without glue: {count} screws, up to {apart} apart.",
                count=sum(row.count for row in rows[LID]),
                apart=_apart(rows[LID]),
            ),
            panels_of(pieces, (*shell, PieceRole.FOOT, PieceRole.LID)),
            (PieceRole.LID.value,),
        ),
    )


@register(CODE, NAME, ContainerKind.WOOD, order=80)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Six panels of one thickness; glue and screws at the corners and the bottom, screws alone in the lid."""
    panel = panel_of(CODE, spec, side_thickness_um(spec), undersize_um=UNDERSIZE_UM)
    if isinstance(panel, Infeasible):
        return panel
    twice = 2 * panel.thickness_tolerance_um
    spec = with_tolerance_room(spec, (twice, 0, 0))
    length, width, height = inner = spec.inner_um
    t = panel.thickness_um
    bare = _pieces(spec, panel)
    refused = too_long(CODE, [one.cut_piece for one in bare])
    if refused is not None:
        return refused
    standing = feet(spec, inner, t, t, [(0, length)], "X5")
    bare = (*bare, *standing.pieces)
    joints = (*_joints(spec, panel), *standing.joints)
    rows, shafts = laid_out(joints)
    roped = rope_handles(spec, with_holes(bare, joints, shafts), shafts, len(rows), inner)
    pieces = roped.pieces
    cut_pieces = tuple(one.cut_piece for one in pieces)
    return BoxDesign(
        style=CODE,
        name=NAME,
        family=ContainerKind.WOOD,
        fit_um=spec.room_um,
        inner_um=inner,
        outer_um=(length + 2 * t, width + 2 * t, height + 2 * t + standing.height_um),
        packaging=roped.packaging,
        cut_pieces=cut_pieces,
        closing=screwed_shut(rows[LID]),
        assembly=lambda: _steps(roped, standing, rows),
        board=None,
        spread=panel.spread,
        hardware=(*rows, *roped.hardware),
        wood=wood_parts(cut_pieces),
        facts=(DRIFT, SIDE_FACT, WORK_FACT),
        work=wood_work(cut_pieces, rows),
        more_um=(0, twice, twice + standing.tolerance_um),
        notes=(*roped.notes, *standing.notes),
        insert_notes=roped.insert_notes,
    )

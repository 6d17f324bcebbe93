"""Panels and boards of a box in their places, as pictures in space show them, and the hollow in a sliding lid."""

from collections.abc import Sequence

from packing.draw.canvas import THIN, Canvas
from packing.draw.hatch import Material
from packing.draw.isometric_projection import Brick, Corner, Eye
from packing.plan import BoxPlan, PanelPlan, StepPlan
from packing.plan.kinds import GrooveKind, Shell

_HOLLOW = "#d9d4c6"
Quad = list[Corner]


def panel_bricks(plates: Sequence[PanelPlan], material: Material) -> list[Brick]:
    """Panels as bricks, the lowest corner of all at the origin."""
    x0, y0, z0 = _least(plates)
    return [
        Brick(
            "",
            plate.name,
            material,
            (plate.min_um[0] - x0, plate.min_um[1] - y0, plate.min_um[2] - z0),
            (plate.max_um[0] - x0, plate.max_um[1] - y0, plate.max_um[2] - z0),
            2 if plate.flutes is None else plate.flutes,
        )
        for plate in plates
    ]


def _least(plates: Sequence[PanelPlan]) -> Corner:
    x0, y0, z0 = (min(plate.min_um[axis] for plate in plates) for axis in range(3))
    return x0, y0, z0


def pulls_of(box: BoxPlan, step: StepPlan | None = None) -> list[Quad]:
    """Finger pulls in the upper faces of lying boards after a step, the last where none is given; as `panel_bricks`."""
    step = step or (box.steps[-1] if box.steps else None)
    if step is None or not step.plates or step.shell != Shell.BOX:
        return []
    pieces = {piece.id: piece for piece in box.pieces}
    x0, y0, z0 = _least(step.plates)
    found = []
    for plate in step.plates:
        grooves = pieces[plate.piece].grooves if plate.piece in pieces else ()
        for groove in grooves:
            if groove.name == GrooveKind.FINGER_PULL:
                (left, low), (right, high) = groove.min_um, groove.max_um
                x, y, z = plate.min_um[0] - x0, plate.min_um[1] - y0, plate.max_um[2] - z0
                corners = ((left, low), (right, low), (right, high), (left, high))
                found.append([(x + across, y + along, z) for across, along in corners])
    return found


def draw_pulls(canvas: Canvas, pulls: Sequence[Quad], eye: Eye) -> None:
    """Draw hollows in an upper face."""
    for corners in pulls:
        canvas.polygon([eye.at(*corner) for corner in corners], THIN, fill=_HOLLOW)

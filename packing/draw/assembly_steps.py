"""Pictures of the steps in which a box is folded or put together, from its plates."""

from collections.abc import Mapping
from typing import Any

from packing.draw.box_geometry import CASE
from packing.draw.canvas import WHITE, Canvas, Drawing
from packing.draw.hatch import BOARD, WOOD
from packing.draw.isometric_projection import Brick, Eye, bounds, draw_brick, farthest_first
from packing.draw.parse import Content, require_planned
from packing.draw.scale import Paper
from packing.measure import BadInput

_NEW = "#dfe8f3"


def step_drawing(
    content: Content, index: int, *, paper: Paper = (80.0, 65.0), ground: str | None = None
) -> Drawing | None:
    """What stands after one step; what the step has added or moved is tinted and drawn bolder.

    Parameters
    ----------
    content
        A plan's content, planned, whose box has `steps`.
    index
        Which step, from 0.
    paper
        Room for the picture in mm; all steps of one box are best drawn with the same.
    ground
        See `plan_view`.

    Returns
    -------
    Drawing or None
        Not to scale; None where the step has nothing to show.

    Raises
    ------
    BadInput
        Where the content is no plan, or its box has no such step.
    """
    require_planned(content)
    steps = content["box"].get("steps", [])
    if not 0 <= index < len(steps):
        raise BadInput("step", f"must be from 0 to {len(steps) - 1}, not {index}.")
    step = steps[index]
    if not step["plates"]:
        return None
    material = _material(content["box"], step["text"])
    bricks = [_brick(plate, material) for plate in step["plates"]]
    unit = bounds(bricks, Eye(1.0))
    scale = max(unit.width / (paper[0] - 4.0), unit.height / (paper[1] - 4.0), 0.2)
    eye, canvas = Eye(scale), Canvas()
    new = set(step["new"])
    for brick in farthest_first(bricks, eye):
        fresh = brick.name in new
        draw_brick(canvas, brick, eye, width=0.5 if fresh else 0.25, fill=_NEW if fresh else WHITE)
    title = f"Order {content['order']}: step {index + 1} of {len(steps)}"
    return canvas.finish(title, step["text"], None, ground)


def _material(box: Mapping[str, Any], text: str) -> str:
    return WOOD if box.get("family") == "wood" and not text.startswith(CASE) else BOARD


def _brick(plate: Mapping[str, Any], material: str) -> Brick:
    (x0, y0, z0), (x1, y1, z1) = plate["min_mm"], plate["max_mm"]
    return Brick("", plate["name"], material, (x0, y0, z0), (x1, y1, z1))

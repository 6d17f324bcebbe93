"""Pictures of the steps in which a box is folded or put together, from its plates."""

from packing.draw.canvas import WHITE, Canvas, Drawing
from packing.draw.hatch import Material
from packing.draw.isometric_projection import Eye, bounds, draw_brick, farthest_first
from packing.draw.placed_panels import draw_pulls, panel_bricks, pulls_of
from packing.draw.scale import Paper, said
from packing.measure import BadInput
from packing.plan import BoxPlan, Plan, StepPlan
from packing.plan.kinds import ContainerKind, Shell

_NEW = "#dfe8f3"


def step_drawing(
    plan: Plan, index: int, *, unit: str = "mm", paper: Paper = (80.0, 65.0), ground: str | None = None
) -> Drawing | None:
    """Draw the box after one step; the parts that the step has added or moved are tinted and drawn bolder.

    Parameters
    ----------
    plan
        Whose box it is.
    index
        Which step, from 0.
    unit
        "mm" or "in", for the sentence that goes with it.
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
        Where the box has no such step.
    """
    steps = plan.box.steps
    if not 0 <= index < len(steps):
        raise BadInput("step", f"must be from 0 to {len(steps) - 1}, not {index}.")
    step = steps[index]
    if not step.plates:
        return None
    bricks = panel_bricks(step.plates, _material(plan.box, step))
    whole = bounds(bricks, Eye(1.0))
    scale = max(whole.width / (paper[0] - 4.0), whole.height / (paper[1] - 4.0), 0.2)
    eye, canvas = Eye(scale), Canvas()
    new = set(step.new)
    for brick in farthest_first(bricks, eye):
        fresh = brick.name in new
        draw_brick(canvas, brick, eye, width=0.5 if fresh else 0.25, fill=_NEW if fresh else WHITE)
    draw_pulls(canvas, pulls_of(plan.box, step), eye)
    title = f"Order {plan.order}: step {index + 1} of {len(steps)}"
    return canvas.finish(title, said(step.text, unit), None, ground)


def _material(box: BoxPlan, step: StepPlan) -> Material:
    return Material.WOOD if box.family == ContainerKind.WOOD and step.shell == Shell.BOX else Material.BOARD

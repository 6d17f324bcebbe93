"""A wrap for long flat parcels: five panels round the parcel, flaps over its ends."""

from packing.boxes.design import BoxDesign, Closing, Fold, Infeasible, Step, length_of
from packing.boxes.fold import pictured
from packing.boxes.piece import CutPiece, Size
from packing.boxes.registry import register
from packing.boxes.slotted import GRADE_FACT, board_work
from packing.boxes.spec import DRIFT, BoxSpec, with_panels_on_step, with_tolerance_room
from packing.boxes.strip import Panel, sheet_of, strip, too_large
from packing.boxes.tape import overlap_um, wrap_strips
from packing.materials import allowance_fact, allowance_for
from packing.measure import down_to_step, up_to_step
from packing.messages import Length, Message, Run
from packing.plan import FactPlan
from packing.plan.kinds import ContainerKind, Packaging, PanelKind, TapePattern

BOTTOM = "bottom"
"""The panel that the others fold up from."""
CODE, NAME = "wrap", "five-panel wrap"
SHORT_UM = 3_000
"""The inner top ends this far before the side it reaches to (common practice, no source)."""
RELIEF_UM = 500
"""Between the inner top and the side flaps at each of its ends (common practice, no source)."""
LEAST_CALIPERS = 3
"""Lower than three calipers the end flaps would lie on each other without a fold between them."""
PANELS, SIDES = 5, ("side 1", "side 2")
"""Panels in a row, and the two that stand beside the bottom."""
AXES = (1, 0, 2)
"""The bottom stays flat: across it lies the width, along it the length."""
ENDS = FactPlan(
    Message("Three layers at each end: side flaps, bottom flap, top flap. Long tools strike through ends first."),
    "follows from the flaps; the reason is common practice, no source",
    "practice",
)


def _tape(outer_um: Size) -> Closing:
    strips = wrap_strips(outer_um)
    text = Message(
        "Tape the long seam from end to end, each end across, and one band right round the parcel near each end: "
        "{tape} in all, run {over} over the edges.",
        tape=Run(sum(length_of(strip) for strip in strips)),
        over=Length(overlap_um(outer_um[2])),
    )
    return Closing(text, TapePattern.STRIPS, strips)


def _steps(blank: CutPiece, base: int) -> tuple[Step, ...]:
    """The steps of wrapping; `base` is the bottom panel's index."""
    flaps = set(range(PANELS, len(blank.panels)))
    sides = {i for i, panel in enumerate(blank.panels[:PANELS]) if panel.name in SIDES}
    return (
        Step(
            Message("Cut the blank, cut the slots, crease along the dashed lines; the flutes run along the parcel."),
            pictured(blank, AXES, frozenset(), base=base),
        ),
        Step(
            Message("Lay the insert on the bottom panel and fold both sides up."),
            pictured(blank, AXES, sides, base=base),
            SIDES,
        ),
        Step(
            Message(
                "Close the ends of the bottom: fold the side flaps in. Fold the inner top over, then the outer top."
            ),
            pictured(blank, AXES, set(range(len(blank.panels))) - flaps, base=base),
            ("inner top", "outer top"),
        ),
        Step(
            Message("Close the ends: bottom flap up, top flap down over it."),
            pictured(blank, AXES, None, base=base),
            ("side flap", "bottom flap", "top flap"),
        ),
    )


@register(CODE, NAME, ContainerKind.CORRUGATED, order=60)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Bottom, two sides and two tops that lie over one another; end flaps on bottom, sides and outer top.

    Both tops are narrower than the room between the sides, and the inner top is shorter than the room between the end
    flaps: no panel has to go where board is already.
    """
    board, row = spec.board, allowance_for(spec.board, spec.allowances)
    over = board.caliper_tolerance_um
    swell = (3 * over, over, (3 * over + 1) // 2)
    folds = row.layer_um + (row.layer_um + 1) // 2
    # The side flaps halve the bottom.
    added = (3 * row.layer_um, row.panel_um, folds)
    spec = with_panels_on_step(with_tolerance_room(spec, swell), added, times=(1, 2, 1))
    (length, width, height), step = spec.inner_um, spec.cut_step
    t = board.caliper_um
    if height < LEAST_CALIPERS * t:
        reason = Message(
            "The ends of a wrap need {least} of height for their flaps, not {height}.",
            least=Length(LEAST_CALIPERS * t),
            height=Length(height),
        )
        return Infeasible(CODE, "height", LEAST_CALIPERS * t, height, reason)
    rise, across = height + folds, width + row.panel_um
    top = down_to_step(width + row.panel_um // 2, step)
    flap = down_to_step(height, step)
    side_flap = across // 2
    inner, middle = PanelKind.INNER_FLAP, PanelKind.MIDDLE_FLAP
    ends = up_to_step(folds + RELIEF_UM, step)
    panels = [
        Panel("inner top", down_to_step(top - SHORT_UM, step), "", 0, kind=inner, short_um=ends),
        Panel("side 1", rise, "side flap", side_flap, inner),
        Panel(BOTTOM, across, "bottom flap", flap, middle),
        Panel("side 2", rise, "side flap", side_flap, inner),
        Panel("outer top", top, "top flap", flap),
    ]
    blank = strip(panels, length + 3 * row.layer_um, board, joint_um=0)
    sheet = sheet_of(board)
    if blank.size_um[0] > sheet[0] or blank.size_um[1] > sheet[1]:
        return too_large(CODE, blank, board, may_halve=False)
    outer = (length + 6 * t, width + 2 * t, height + 3 * t)
    closing = _tape(outer)
    base = next(i for i, panel in enumerate(blank.panels) if panel.name == BOTTOM)
    return BoxDesign(
        style=CODE,
        name=NAME,
        family=ContainerKind.CORRUGATED,
        fit_um=spec.room_um,
        inner_um=(length, width, height),
        outer_um=outer,
        packaging=Packaging.CORRUGATED,
        cut_pieces=(blank,),
        closing=closing,
        assembly=lambda: _steps(blank, base),
        board=board,
        spread=board.spread,
        folds=(Fold("case", (blank.id,), AXES, base=base),),
        facts=(DRIFT, allowance_fact(row), ENDS, GRADE_FACT),
        work=board_work((blank,), 0),
        more_um=swell,
    )

"""A stock carton as bought, or cut down in height: what a small shop does first."""

from packing.boxes.cartons import CartonChoice, NoCarton, choose_carton
from packing.boxes.design import BoxDesign, Fold, Infeasible, Step
from packing.boxes.registry import register
from packing.boxes.slotted import (
    GRADE_FACT,
    PAD_FACT,
    TAPE_FACT,
    TUBE_AXES,
    gap_notes,
    h_tape,
    needs_pad,
    pad_of,
    tube_steps,
)
from packing.boxes.spec import DRIFT, BoxSpec
from packing.boxes.strip import Panel, strip
from packing.materials import allowance_for
from packing.measure import mm

CODE, NAME = "carton", "stock carton"


def carton_for(spec: BoxSpec) -> CartonChoice | NoCarton:
    """The smallest stock carton that takes the insert and, where a head lies over the gap of the flaps, a pad."""
    length, width, _ = spec.interior_um
    pad = needs_pad(spec, max(length, width) - min(length, width))
    return choose_carton(spec.interior_um, spec.cartons, spec.foam, pad=pad)


@register(CODE, NAME, "carton", order=10)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """The smallest stock carton that takes the insert; it may fit without play, foam gives."""
    length, width, height = spec.interior_um
    pad = needs_pad(spec, max(length, width) - min(length, width))
    choice = carton_for(spec)
    if isinstance(choice, NoCarton):
        return Infeasible(CODE, "carton", max(length, width), 0, choice.reason)
    board = choice.carton.board
    over = board.caliper_tolerance_um
    inner = choice.inner_um
    row = allowance_for(board, spec.allowances)
    flap = (inner[1] + row.panel_um + 1) // 2
    panels = [
        Panel(f"{way} {turn}", side + row.panel_um, kind, flap)
        for turn in (1, 2)
        for way, side, kind in (("length", inner[0], "outer flap"), ("width", inner[1], "inner flap"))
    ]
    name = f"carton {choice.carton.name}"
    used = strip(panels, inner[2] + 2 * row.layer_um, board, joint_um=board.joint_um, what=name)
    cut_pieces = (used, *((pad_of(inner, board, "X2"),) if pad else ()))
    gap = inner[0] - inner[1]
    first = "Set the carton up."
    if choice.cut_down_um:
        first = (
            f"Crease the carton {mm(choice.cut_down_um)} mm below its upper crease, slit the corners down to the new "
            f"crease, trim {mm(choice.cut_down_um)} mm off the flaps."
        )

    def assembly() -> tuple[Step, ...]:
        folding = tube_steps((used,), 4, pad=pad, inner_first="inner flap", outer_last="outer flap")
        return (Step(first, folding[0].placed_panels), *folding[2:])

    metres = 2 * (inner[0] + inner[1]) / 10**6
    lowered = (("crease m", metres), ("cut m", metres)) if choice.cut_down_um else ()
    return BoxDesign(
        style=CODE,
        name=f"{NAME}, cut down" if choice.cut_down_um else NAME,
        family="carton",
        fit_um=(inner[0] - max(length, width), inner[1] - min(length, width), inner[2] - height),
        inner_um=inner,
        outer_um=choice.outer_um,
        packaging="corrugated",
        cut_pieces=cut_pieces,
        closing=h_tape(choice.outer_um),
        assembly=assembly,
        board=board,
        spread=board.spread,
        folds=(Fold("case", ("X1",), TUBE_AXES),),
        flap_gap_um=gap,
        fill_mg=choice.fill_mg,
        notes=(choice.fill, *choice.notes, *gap_notes(gap, pad)),
        facts=(DRIFT, PAD_FACT, GRADE_FACT, TAPE_FACT),
        work=(("carton", 1.0), *lowered),
        more_um=(2 * over, 2 * over, 4 * over),
    )

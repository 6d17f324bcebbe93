"""A stock carton as bought, or cut down in height: what a small shop does first."""

from dataclasses import replace

from packing.boxes.cartons import FILLED, CartonChoice, NoCarton, choose_carton
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
    tube_panels,
    tube_steps,
)
from packing.boxes.spec import DRIFT, BoxSpec
from packing.boxes.strip import strip
from packing.insert import passes
from packing.materials import Carton, allowance_for
from packing.messages import Length, Message
from packing.plan.kinds import ContainerKind, InsertWork, Packaging, PieceRole

CODE, NAME = "carton", "stock carton"


def carton_for(spec: BoxSpec) -> CartonChoice | NoCarton:
    """The smallest stock carton that takes the insert and, where a head lies over the gap of its flaps, a pad."""

    def padded(carton: Carton) -> bool:
        inside = max(carton.inner_um[:2])
        return needs_pad(spec, inside - min(carton.inner_um[:2]), inside)

    return choose_carton(spec.interior_um, spec.cartons, spec.foam, padded=padded)


@register(CODE, NAME, ContainerKind.CARTON, order=10)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """The smallest stock carton that takes the insert; it may fit without play, foam gives."""
    length, width, height = spec.interior_um
    choice = carton_for(spec)
    if isinstance(choice, NoCarton):
        return Infeasible(CODE, "carton", max(length, width), 0, choice.reason)
    board = choice.carton.board
    over = board.caliper_tolerance_um
    inner = choice.inner_um
    row = allowance_for(board, spec.allowances)
    flap = (inner[1] + row.panel_um + 1) // 2
    panels = tube_panels((inner[0] + row.panel_um, inner[1] + row.panel_um), (flap, flap))
    used = replace(
        strip(panels, inner[2] + 2 * row.layer_um, board, joint_um=board.joint_um, role=PieceRole.CARTON),
        carton=choice.carton.name,
    )
    pad = choice.padded
    cut_pieces = (used, *((pad_of(inner, board, "X2"),) if pad else ()))
    gap = inner[0] - inner[1]
    first = Message("Set the carton up.")
    if choice.cut_down_um:
        first = Message(
            "Crease the carton {by} below its upper crease, slit the corners down to the new crease, trim {by} off the "
            "flaps.",
            by=Length(choice.cut_down_um),
        )

    def assembly() -> tuple[Step, ...]:
        folding = tube_steps((used,), pad=pad)
        return (Step(first, folding[1].placed_panels, folding[1].new), *folding[2:])

    metres = 2 * (inner[0] + inner[1]) / 10**6
    lowered = (("crease m", metres), ("cut m", metres)) if choice.cut_down_um else ()
    on_top = _sheet_work(choice) if choice.top_sheet_um else ()
    return BoxDesign(
        style=CODE,
        name=f"{NAME}, cut down" if choice.cut_down_um else NAME,
        family=ContainerKind.CARTON,
        fit_um=(inner[0] - max(length, width), inner[1] - min(length, width), inner[2] - height),
        inner_um=inner,
        outer_um=choice.outer_um,
        packaging=Packaging.CORRUGATED,
        cut_pieces=cut_pieces,
        closing=h_tape(choice.outer_um),
        assembly=assembly,
        board=board,
        spread=board.spread,
        folds=(Fold("case", ("X1",), TUBE_AXES),),
        flap_gap_um=gap,
        flap_layers=2,
        fill_mg=choice.fill_mg,
        notes=(*choice.fill, *choice.notes, *gap_notes(gap, pad)),
        facts=(DRIFT, PAD_FACT, GRADE_FACT, TAPE_FACT),
        work=(("carton", 1.0), *lowered, *on_top),
        more_um=(2 * over, 2 * over, 4 * over),
        insert_notes=tuple(note for note in choice.fill if note != FILLED),
    )


def _sheet_work(choice: CartonChoice) -> tuple[tuple[str, float], ...]:
    """The work on the sheet that is laid on top of the insert: it is no sheet of the insert's own."""
    around = 2 * sum(choice.sheet_um) / 10**6
    return (
        (InsertWork.SHEET.value, 1.0),
        (InsertWork.EDGE.value, around * passes(choice.top_sheet_um)),
        (InsertWork.STACKED.value, 1.0),
    )

"""0201, the regular slotted case: outer flaps meet in the middle."""

from packing.measure import mm
from packing.style.model import Fold, Made, NoBox
from packing.style.need import DRIFT, Need, allowance_for
from packing.style.registry import register
from packing.style.slotted import (
    GRADE_FACT,
    PAD_FACT,
    TAPE_FACT,
    TUBE_AXES,
    board_work,
    gap_notes,
    h_tape,
    needs_pad,
    pad_of,
    tube_steps,
)
from packing.style.strip import Panel, cut_to_sheet

CODE, NAME = "0201", "regular slotted case"


@register(CODE, NAME, "corrugated", order=20)
def make(need: Need) -> Made | NoBox:
    """A regular slotted case: four panels, eight flaps, one joint; two layers of flaps at bottom and lid."""
    board, row = need.board, allowance_for(need.board, need.allowances)
    length, width, height = need.inner_um
    gap = length - width
    padded = needs_pad(need, gap)
    height += board.caliper_um * padded
    flap = (width + row.panel_um + 1) // 2
    panels = [
        Panel(f"{way} {turn}", side + row.panel_um, kind, flap)
        for turn in (1, 2)
        for way, side, kind in (("length", length, "outer flap"), ("width", width, "inner flap"))
    ]
    blanks = cut_to_sheet(CODE, panels, height + 2 * row.layer_um, board)
    if isinstance(blanks, NoBox):
        return blanks
    inner = (length, width, height)
    t = board.caliper_um
    outer = (length + 2 * t, width + 2 * t, height + 4 * t)
    flats = (*blanks, *((pad_of(inner, board, f"X{len(blanks) + 1}"),) if padded else ()))
    order = tuple(flat for flat in blanks for _ in range(flat.count))
    notes = gap_notes(gap, padded)
    if len(order) > 1:
        notes += (f"The blank is made of two pieces: the sheet is {mm((board.sheet_um or (0, 0))[0])} mm across.",)
    return Made(
        style=CODE,
        name=NAME,
        family="corrugated",
        fit_um=need.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging="corrugated",
        flats=flats,
        closing=h_tape(outer),
        steps=tube_steps(order, 4, pad=padded, inner_first="inner flap", outer_last="outer flap"),
        board=board,
        spread=board.spread,
        folds=(Fold("case", tuple(flat.id for flat in order), TUBE_AXES),),
        flap_gap_um=gap,
        notes=notes,
        facts=(DRIFT, PAD_FACT, GRADE_FACT, TAPE_FACT),
        work=board_work(flats, len(order)),
    )

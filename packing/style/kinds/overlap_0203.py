"""0203, the slotted case with full-overlap flaps: three layers at bottom and lid, stiff on its edge."""

from packing.measure import mm
from packing.style.model import Fact, Fold, Made, NoBox
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

CODE, NAME = "0203", "slotted case with full-overlap flaps"
SHORT_UM = 3_000
SHORT = Fact(
    "Outer flaps end 3 mm short of the far edge, so that they do not jam.", "common practice, no source", "practice"
)


@register(CODE, NAME, "corrugated", order=30)
def make(need: Need) -> Made | NoBox:
    """As 0201, but each outer flap covers the whole opening; inner flaps are cut to meet at most."""
    board, row = need.board, allowance_for(need.board, need.allowances)
    length, width, height = need.inner_um
    outer_flap = width + row.panel_um - SHORT_UM
    inner_flap = min(outer_flap, (length + row.panel_um) // 2)
    gap = max(0, length - 2 * inner_flap)
    padded = needs_pad(need, gap)
    height += board.caliper_um * padded
    if outer_flap <= 0:
        return NoBox(CODE, "material", width, SHORT_UM, f"A width of {mm(width)} mm leaves no flap to fold over.")
    panels = [
        Panel(f"{way} {turn}", side + row.panel_um, kind, flap)
        for turn in (1, 2)
        for way, side, kind, flap in (
            ("length", length, "outer flap", outer_flap),
            ("width", width, "inner flap", inner_flap),
        )
    ]
    blanks = cut_to_sheet(CODE, panels, height + 3 * row.layer_um, board)
    if isinstance(blanks, NoBox):
        return blanks
    t = board.caliper_um
    inner, outer = (length, width, height), (length + 2 * t, width + 2 * t, height + 6 * t)
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
        facts=(DRIFT, SHORT, PAD_FACT, GRADE_FACT, TAPE_FACT),
        work=board_work(flats, len(order)),
    )

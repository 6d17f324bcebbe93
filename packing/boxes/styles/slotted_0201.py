"""0201, the regular slotted case: outer flaps meet in the middle."""

from packing.boxes.design import Made, NoBox
from packing.boxes.registry import register
from packing.boxes.slotted import needs_pad, slotted_tube, tube_need
from packing.boxes.spec import Need, allowance_for

CODE, NAME = "0201", "regular slotted case"


@register(CODE, NAME, "corrugated", order=20)
def make(need: Need) -> Made | NoBox:
    """A regular slotted case: four panels, eight flaps, one joint; two layers of flaps at bottom and lid."""
    length, width = need.inner_um[:2]
    gap = length - width
    padded = needs_pad(need, gap)
    need = tube_need(need, 2, padded=padded)
    length, width, height = need.inner_um
    flap = (width + allowance_for(need.board, need.allowances).panel_um + 1) // 2
    inner = (length, width, height + need.board.caliper_um * padded)
    return slotted_tube(need, CODE, NAME, flaps_um=(flap, flap), layers=2, inner_um=inner, gap_um=gap, padded=padded)

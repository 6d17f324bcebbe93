"""0201, the regular slotted case: outer flaps meet in the middle."""

from packing.boxes.design import BoxDesign, Infeasible
from packing.boxes.registry import register
from packing.boxes.slotted import needs_pad, slotted_tube, tube_spec
from packing.boxes.spec import BoxSpec
from packing.materials import allowance_for

CODE, NAME = "0201", "regular slotted case"


@register(CODE, NAME, "corrugated", order=20)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """A regular slotted case: four panels, eight flaps, one joint; two layers of flaps at bottom and lid."""
    length, width = spec.inner_um[:2]
    gap = length - width
    padded = needs_pad(spec, gap)
    spec = tube_spec(spec, 2, padded=padded)
    length, width, height = spec.inner_um
    flap = (width + allowance_for(spec.board, spec.allowances).panel_um + 1) // 2
    inner = (length, width, height + spec.board.caliper_um * padded)
    return slotted_tube(spec, CODE, NAME, flaps_um=(flap, flap), layers=2, inner_um=inner, gap_um=gap, padded=padded)

"""0201, the regular slotted case: outer flaps meet in the middle."""

from packing.boxes.design import BoxDesign, Infeasible
from packing.boxes.registry import register
from packing.boxes.slotted import FILL, needs_pad, slotted_tube, tube_spec
from packing.boxes.spec import BoxSpec
from packing.materials import allowance_for
from packing.messages import Message
from packing.plan.kinds import ContainerKind

CODE, NAME = "0201", "regular slotted case"


@register(CODE, NAME, ContainerKind.CORRUGATED, order=20)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """A regular slotted case: four panels, eight flaps, one joint; two layers of flaps at bottom and lid."""
    return regular_case(spec)


def regular_case(spec: BoxSpec, fill: Message = FILL) -> BoxDesign | Infeasible:
    """A regular slotted case; `fill` is the step in which its contents go in."""
    length, width, _height = tube_spec(spec, 2, padded=False).inner_um
    gap = length - width
    padded = needs_pad(spec, gap)
    spec = tube_spec(spec, 2, padded=padded)
    length, width, height = spec.inner_um
    flap = (width + allowance_for(spec.board, spec.allowances).panel_um + 1) // 2
    inner = (length, width, height + spec.board.caliper_um * padded)
    return slotted_tube(
        spec, CODE, NAME, flaps_um=(flap, flap), layers=2, inner_um=inner, gap_um=gap, padded=padded, fill=fill
    )

"""0203, the slotted case with full-overlap flaps: three layers at bottom and lid, stiff on its edge."""

from packing.boxes.design import BoxDesign, Infeasible
from packing.boxes.registry import register
from packing.boxes.slotted import needs_pad, slotted_tube, tube_spec
from packing.boxes.spec import BoxSpec
from packing.materials import allowance_for
from packing.measure import down_to_step
from packing.messages import Length, Message
from packing.plan import FactPlan
from packing.plan.kinds import ContainerKind

CODE, NAME = "0203", "slotted case with full-overlap flaps"
SHORT_UM = 3_000
SHORT = FactPlan(
    Message("Outer flaps end {short} short of the far edge, so that they do not jam.", short=Length(SHORT_UM)),
    "common practice, no source",
    "practice",
)


@register(CODE, NAME, ContainerKind.CORRUGATED, order=30)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """As 0201, but each outer flap covers the whole opening; inner flaps are cut to meet at most."""
    row = allowance_for(spec.board, spec.allowances)
    length, width, _height = tube_spec(spec, 3, padded=False).inner_um
    outer_flap = down_to_step(max(0, width + row.panel_um - SHORT_UM), spec.step)
    inner_flap = min(outer_flap, down_to_step((length + row.panel_um) // 2, spec.step))
    gap = max(0, length + row.panel_um - 2 * inner_flap)
    padded = needs_pad(spec, gap)
    if outer_flap <= 0:
        reason = Message("A width of {width} leaves no flap to fold over.", width=Length(width))
        return Infeasible(CODE, "material", width, SHORT_UM, reason)
    spec = tube_spec(spec, 3, padded=padded)
    height = spec.inner_um[2]
    inner = (length, width, height + spec.board.caliper_um * padded)
    return slotted_tube(
        spec,
        CODE,
        NAME,
        flaps_um=(outer_flap, inner_flap),
        layers=3,
        inner_um=inner,
        gap_um=gap,
        padded=padded,
        seam_at_edge=True,
        facts=(SHORT,),
    )

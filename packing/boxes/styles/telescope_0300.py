"""The 0300 family: a tray and a lid that slips over it, to the ground or part of the way."""

from dataclasses import replace

from packing.boxes.design import BoxDesign, Closing, Fold, Infeasible, PlacedPanel, Step, length_of
from packing.boxes.fold import pictured
from packing.boxes.piece import CutPiece, Size
from packing.boxes.registry import register
from packing.boxes.slotted import GRADE_FACT, board_work
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.strip import sheet_of, too_large
from packing.boxes.tape import bands, overlap_um
from packing.boxes.tray import AXES, rim_um, tray, tray_loss, tray_outer, tray_spec, tray_swell
from packing.materials import allowance_fact, allowance_for
from packing.measure import BadInput, down_to_step, mm, up_to_step
from packing.messages import Length, Message, Run, Sides
from packing.plan import FactPlan
from packing.plan.kinds import ContainerKind, Packaging, PieceRole, TapePattern

SLACK_UM = 2_000
SLACK = FactPlan(
    Message("Inside of the lid: outside of the body and {slack} in length and width.", slack=Length(SLACK_UM)),
    "makers' practice, 1 to 3 mm, from memory",
    "memory",
)
LEAST_LID_UM = 40_000
"""A shallower lid comes off when the box is lifted by it."""


def _moved(placed_panels: tuple[PlacedPanel, ...], by: Size, name: str) -> tuple[PlacedPanel, ...]:
    return tuple(
        replace(
            panel,
            name=f"{name} {panel.name}",
            low=(panel.low[0] + by[0], panel.low[1] + by[1], panel.low[2] + by[2]),
            high=(panel.high[0] + by[0], panel.high[1] + by[1], panel.high[2] + by[2]),
        )
        for panel in placed_panels
    )


def _steps(body: CutPiece, lid: CutPiece, body_outer: Size) -> tuple[Step, ...]:
    standing = pictured(body, AXES)
    folded = pictured(lid, AXES)
    depth = max(placed_panel.high[2] for placed_panel in folded)
    turned = tuple(
        replace(
            panel,
            low=(panel.low[0], panel.low[1], depth - panel.high[2]),
            high=(panel.high[0], panel.high[1], depth - panel.low[2]),
        )
        for panel in folded
    )
    half = [(max(p.high[axis] for p in folded) - body_outer[axis]) // 2 for axis in (0, 1)]
    top = body_outer[2] + lid.thickness_um - depth
    lidded = _moved(turned, (-half[0], -half[1], top), "lid")
    return (
        Step(
            Message("Cut both blanks; crease along the dashed lines with a blunt wheel."),
            pictured(body, AXES, frozenset()),
        ),
        Step(
            Message(
                "Body: fold the walls up, the end walls between the long ones, turn the tabs of the long walls round "
                "the end walls, glue or stitch them."
            ),
            standing,
            ("long wall", "end wall", "tab"),
        ),
        Step(Message("Lid: the same."), folded, ("long wall", "end wall", "tab")),
        Step(
            Message("Put the insert in and slip the lid over."),
            (*_moved(standing, (0, 0, 0), "body"), *lidded),
            tuple(dict.fromkeys(placed_panel.name for placed_panel in lidded)),
        ),
    )


def _telescope(code: str, name: str, spec: BoxSpec, lid_depth_um: int | None) -> BoxDesign | Infeasible:
    board, row = spec.board, allowance_for(spec.board, spec.allowances)
    over, swell = board.caliper_tolerance_um, tray_swell(board)
    roomy = tray_spec(with_tolerance_room(spec, tray_loss(board)), row)
    inner, t = roomy.inner_um, board.caliper_um
    body_outer = tray_outer(inner, board, spec.step)
    # A lid deeper than the body would have the box stand on its rim.
    depth = min(lid_depth_um or body_outer[2], body_outer[2])
    depth = down_to_step(depth + rim_um(board), spec.step) - rim_um(board)
    slack = [max(SLACK_UM, swell[axis] + over) for axis in (0, 1)]
    lid_inner = (
        up_to_step(body_outer[0] + slack[0] + row.panel_um, spec.step) - row.panel_um,
        up_to_step(body_outer[1] + slack[1] + row.panel_um, spec.step) - row.panel_um,
        depth,
    )
    body = tray(inner, board, row, id_="X1", role=PieceRole.BODY_BLANK, step=spec.step)
    lid = tray(lid_inner, board, row, id_="X2", role=PieceRole.LID_BLANK, step=spec.step)
    sheet = sheet_of(board)
    for blank in (lid, body):
        if blank.size_um[0] > sheet[0] or blank.size_um[1] > sheet[1]:
            return too_large(code, blank, board, may_halve=False)
    lid_outer = tray_outer(lid_inner, board, spec.step)
    outer = (lid_outer[0], lid_outer[1], body_outer[2] + t)
    strips = bands(outer)
    text = Message(
        "Tape one band right round lid and body near each end, {over} over its own beginning, {tape} in all.",
        over=Length(overlap_um(outer[1])),
        tape=Run(sum(length_of(strip) for strip in strips)),
    )
    closing = Closing(text, TapePattern.STRIPS, strips)
    return BoxDesign(
        style=code,
        name=name,
        family=ContainerKind.CORRUGATED,
        fit_um=roomy.room_um,
        inner_um=inner,
        outer_um=outer,
        packaging=Packaging.CORRUGATED,
        cut_pieces=(body, lid),
        closing=closing,
        assembly=lambda: _steps(body, lid, body_outer),
        board=board,
        spread=board.spread,
        folds=(Fold("body", ("X1",), AXES, open_top=True), Fold("lid", ("X2",), AXES, open_top=True)),
        notes=(Message("The lid is {inside} inside.", inside=Sides(lid_inner)),),
        facts=(DRIFT, allowance_fact(row), SLACK, GRADE_FACT),
        work=board_work((body, lid), 8),
        more_um=(swell[0], swell[1], swell[2] + over),
    )


@register("0300", "full telescope box", ContainerKind.CORRUGATED, order=40)
def full(spec: BoxSpec) -> BoxDesign | Infeasible:
    """A body and a lid that reaches to the ground: double walls all round."""
    return _telescope("0300", "full telescope box", spec, None)


@register("0300 partial", "partial telescope box", ContainerKind.CORRUGATED, order=50)
def partial(spec: BoxSpec) -> BoxDesign | Infeasible:
    """A body and a lid over a third of its height, 40 mm at least, or as deep as asked for."""
    if spec.lid_depth_um is not None and spec.lid_depth_um <= 0:
        raise BadInput("lid_depth", f"must be greater than zero, not {mm(spec.lid_depth_um)} mm.")
    depth = spec.lid_depth_um or max(LEAST_LID_UM, spec.inner_um[2] // 3_000 * 1_000)
    return _telescope("0300 partial", "partial telescope box", spec, depth)

"""A wooden box inside a thin outer case: kept by the customer, a corrugated parcel for the carrier."""

from dataclasses import replace
from functools import lru_cache

from packing.boxes.design import BoxDesign, Case, Infeasible
from packing.boxes.registry import Maker, register
from packing.boxes.slotted import INNER, OUTER, tube_swell
from packing.boxes.spec import BoxSpec
from packing.boxes.styles import plywood, sliding_lid
from packing.boxes.styles.slotted_0201 import regular_case
from packing.materials import C_FLUTE
from packing.messages import Message
from packing.plan import FactPlan
from packing.plan.kinds import ContainerKind, Packaging, Shell

ROOM_UM = (3_000, 3_000, 3_000)
"""So that a case slides over a wooden box that is not quite square."""
FILL = Message(
    "Put the closed wooden box in, fold the upper flaps, {first} first, {last} last.", first=INNER, last=OUTER
)
OUTSIDE = FactPlan(
    Message("A wooden box inside a corrugated case is corrugated to the carrier, not wood."),
    "carriers' additional-handling rules speak of the outer container, read 2021 to 2023; check before quoting",
    "primary",
)


def _case_of(box: BoxDesign, spec: BoxSpec, joints: int) -> BoxDesign | Infeasible:
    """A regular slotted case round a rigid box: its glued joints take a caliper each from the room at the ends."""
    grown = zip(ROOM_UM, box.more_um, tube_swell(spec.board, 2), strict=True)
    length, width, height = (max(room, more + loss) for room, more, loss in grown)
    joint = joints * (spec.board.caliper_um + spec.board.caliper_tolerance_um)
    return regular_case(
        BoxSpec(
            box.outer_um,
            spec.board,
            fit_um=(length + joint, width, height),
            contents_mg=spec.contents_mg,
            allowances=spec.allowances,
            step=spec.step,
        ),
        FILL,
    )


@lru_cache(maxsize=8)
def _wooden(inner: Maker, spec: BoxSpec) -> BoxDesign | Infeasible:
    return inner(spec)


def _cased(code: str, name: str, spec: BoxSpec, inner: Maker) -> BoxDesign | Infeasible:
    bare = replace(spec, joinery=replace(spec.joinery, rope_handles=False))  # ropes would not go into the case
    # The case is tried in every board there is, and the wooden box is the same in all of them.
    box = _wooden(inner, replace(bare, board=C_FLUTE))
    if isinstance(box, Infeasible):
        return replace(box, style=code)
    case = _case_of(box, spec, 1)
    if isinstance(case, BoxDesign) and len(case.folds[0].cut_pieces) > 1:
        case = _case_of(box, spec, 2)
    if isinstance(case, Infeasible):
        return replace(case, style=code)
    first = len(box.cut_pieces)
    cut_pieces = tuple(
        replace(cut_piece, id=f"X{first + index + 1}", shell=Shell.CASE)
        for index, cut_piece in enumerate(case.cut_pieces)
    )
    ids = dict(
        zip((cut_piece.id for cut_piece in case.cut_pieces), (cut_piece.id for cut_piece in cut_pieces), strict=True)
    )
    folds = tuple(
        replace(fold, name="outer case", cut_pieces=tuple(ids[name] for name in fold.cut_pieces)) for fold in case.folds
    )
    return replace(
        box,
        style=code,
        name=name,
        outer_um=case.outer_um,
        more_um=case.more_um,
        packaging=Packaging.CORRUGATED,
        cut_pieces=(*box.cut_pieces, *cut_pieces),
        closing=case.closing,
        assembly=lambda: (
            *box.steps,
            *(
                replace(step, text=Message("Outer case: {step}", step=step.text), shell=Shell.CASE)
                for step in case.steps
            ),
        ),
        board=case.board,
        folds=folds,
        facts=(*box.facts, *case.facts, OUTSIDE),
        work=(*box.work, *case.work),
        case=Case(case.inner_um, case.flap_gap_um, case.flap_layers, case.weight_mg),
    )


@register("sliding cased", "presentation box in an outer case", ContainerKind.WOOD, order=100)
def sliding_cased(spec: BoxSpec) -> BoxDesign | Infeasible:
    """The sliding-lid box, a regular slotted case round it."""
    return _cased("sliding cased", "presentation box in an outer case", spec, sliding_lid.make)


@register("ply cased", "plywood box in an outer case", ContainerKind.WOOD, order=110)
def ply_cased(spec: BoxSpec) -> BoxDesign | Infeasible:
    """The plywood box, a regular slotted case round it."""
    return _cased("ply cased", "plywood box in an outer case", spec, plywood.make)

"""A wooden box inside a thin outer case: kept by the customer, a corrugated parcel for the carrier."""

from dataclasses import replace

from packing.boxes.design import BoxDesign, Infeasible, Step
from packing.boxes.registry import Maker, register
from packing.boxes.slotted import tube_swell
from packing.boxes.spec import BoxSpec
from packing.boxes.styles import plywood, sliding_lid
from packing.boxes.styles.slotted_0201 import make as slotted
from packing.sureness import Fact

ROOM_UM = (3_000, 3_000, 3_000)
OUTSIDE = Fact(
    "A wooden box inside a corrugated case is corrugated to the carrier, not wood.",
    "carriers' additional-handling rules speak of the outer container, read 2021 to 2023; check before quoting",
    "primary",
)


def _cased(code: str, name: str, spec: BoxSpec, inner: Maker) -> BoxDesign | Infeasible:
    box = inner(spec)
    if isinstance(box, Infeasible):
        return replace(box, style=code)
    grown = zip(ROOM_UM, box.more_um, tube_swell(spec.board, 2), strict=True)
    length, width, height = (max(room, more + loss) for room, more, loss in grown)
    case = slotted(
        BoxSpec(
            box.outer_um,
            spec.board,
            fit_um=(length, width, height),
            contents_mg=spec.contents_mg,
            allowances=spec.allowances,
        )
    )
    if isinstance(case, Infeasible):
        return replace(case, style=code)
    first = len(box.cut_pieces)
    cut_pieces = tuple(
        replace(cut_piece, id=f"X{first + index + 1}", what=f"outer {cut_piece.what}")
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
        packaging="corrugated",
        cut_pieces=(*box.cut_pieces, *cut_pieces),
        closing=case.closing,
        assembly=lambda: (
            *box.steps,
            *(Step(f"Outer case: {step.text}", step.placed_panels, step.new) for step in case.steps),
        ),
        board=case.board,
        folds=folds,
        facts=(*box.facts, *case.facts, OUTSIDE),
        work=(*box.work, *case.work),
    )


@register("sliding cased", "presentation box in an outer case", "wood", order=100)
def sliding_cased(spec: BoxSpec) -> BoxDesign | Infeasible:
    """The sliding-lid box, a regular slotted case round it."""
    return _cased("sliding cased", "presentation box in an outer case", spec, sliding_lid.make)


@register("ply cased", "plywood box in an outer case", "wood", order=110)
def ply_cased(spec: BoxSpec) -> BoxDesign | Infeasible:
    """The plywood box, a regular slotted case round it."""
    return _cased("ply cased", "plywood box in an outer case", spec, plywood.make)

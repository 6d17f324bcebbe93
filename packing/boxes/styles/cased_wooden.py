"""A wooden box inside a thin outer case: kept by the customer, a corrugated parcel for the carrier."""

from dataclasses import replace

from packing.boxes.design import Fact, Made, NoBox, Step
from packing.boxes.registry import Maker, register
from packing.boxes.slotted import tube_swell
from packing.boxes.spec import Need
from packing.boxes.styles import plywood, sliding_lid
from packing.boxes.styles.slotted_0201 import make as slotted

ROOM_UM = (3_000, 3_000, 3_000)
OUTSIDE = Fact(
    "A wooden box inside a corrugated case is corrugated to the carrier, not wood.",
    "carriers' additional-handling rules speak of the outer container, read 2021 to 2023; check before quoting",
    "primary",
)


def _cased(code: str, name: str, need: Need, inner: Maker) -> Made | NoBox:
    box = inner(need)
    if isinstance(box, NoBox):
        return replace(box, style=code)
    grown = zip(ROOM_UM, box.more_um, tube_swell(need.board, 2), strict=True)
    length, width, height = (max(room, more + loss) for room, more, loss in grown)
    case = slotted(
        Need(
            box.outer_um,
            need.board,
            fit_um=(length, width, height),
            contents_mg=need.contents_mg,
            allowances=need.allowances,
        )
    )
    if isinstance(case, NoBox):
        return replace(case, style=code)
    first = len(box.flats)
    flats = tuple(
        replace(flat, id=f"X{first + index + 1}", what=f"outer {flat.what}") for index, flat in enumerate(case.flats)
    )
    ids = dict(zip((flat.id for flat in case.flats), (flat.id for flat in flats), strict=True))
    folds = tuple(
        replace(fold, name="outer case", flats=tuple(ids[name] for name in fold.flats)) for fold in case.folds
    )
    return replace(
        box,
        style=code,
        name=name,
        outer_um=case.outer_um,
        more_um=case.more_um,
        packaging="corrugated",
        flats=(*box.flats, *flats),
        closing=case.closing,
        assembly=lambda: (
            *box.steps,
            *(Step(f"Outer case: {step.text}", step.plates, step.new) for step in case.steps),
        ),
        board=case.board,
        folds=folds,
        facts=(*box.facts, *case.facts, OUTSIDE),
        work=(*box.work, *case.work),
    )


@register("sliding cased", "presentation box in an outer case", "wood", order=100)
def sliding_cased(need: Need) -> Made | NoBox:
    """The sliding-lid box, a regular slotted case round it."""
    return _cased("sliding cased", "presentation box in an outer case", need, sliding_lid.make)


@register("ply cased", "plywood box in an outer case", "wood", order=110)
def ply_cased(need: Need) -> Made | NoBox:
    """The plywood box, a regular slotted case round it."""
    return _cased("ply cased", "plywood box in an outer case", need, plywood.make)

"""A wrap for long flat parcels: five panels round the parcel, flaps over its ends."""

from packing.boxes.design import BoxDesign, Closing, CutPiece, Fold, Infeasible, Size, Step
from packing.boxes.fold import pictured
from packing.boxes.registry import register
from packing.boxes.slotted import GRADE_FACT, board_work
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.strip import Panel, strip, too_large
from packing.boxes.tape import TAPE_OVERLAP_UM
from packing.materials import allowance_fact, allowance_for
from packing.measure import mm
from packing.sureness import Fact

CODE, NAME = "wrap", "five-panel wrap"
SHORT_UM = 3_000
LEAST_CALIPERS = 3
AXES = (1, 0, 2)
"""The bottom stays flat: across it lies the width, along it the length."""
ENDS = Fact(
    "Three layers at each end: side flaps, bottom flap, top flap. Long tools strike through ends first.",
    "derived from the flaps; the reason is common practice, no source",
    "practice",
)


def _tape(outer_um: Size) -> Closing:
    length, width, height = outer_um
    tape = length + 2 * TAPE_OVERLAP_UM + 2 * (width + 2 * TAPE_OVERLAP_UM) + 2 * (width + 2 * height)
    return Closing(
        f"Tape the long seam from end to end, each end across, and one band round the parcel near each end: "
        f"{tape / 10**6:.2f} m in all.",
        "strips",
        tape,
    )


def _steps(blank: CutPiece, base: int, closing: Closing) -> tuple[Step, ...]:
    """The steps of wrapping; `base` is the bottom panel's index."""
    flaps = {i for i, panel in enumerate(blank.panels) if panel.name.endswith("flap")}
    sides = {i for i, panel in enumerate(blank.panels) if panel.name.startswith("side") and i not in flaps}
    return (
        Step(
            "Cut the blank, cut the slots, crease along the dashed lines; the flutes run along the parcel.",
            pictured(blank, AXES, frozenset(), base=base),
        ),
        Step(
            "Lay the insert on the bottom panel and fold both sides up.",
            pictured(blank, AXES, sides, base=base),
            ("side 1", "side 2"),
        ),
        Step(
            "Fold the inner top over, then the outer top over it.",
            pictured(blank, AXES, set(range(len(blank.panels))) - flaps, base=base),
            ("inner top", "outer top"),
        ),
        Step(
            "Close the ends: side flaps, bottom flap, top flap. " + closing.text,
            pictured(blank, AXES, None, base=base),
            ("side flap", "bottom flap", "top flap"),
        ),
    )


@register(CODE, NAME, "corrugated", order=60)
def make(spec: BoxSpec) -> BoxDesign | Infeasible:
    """Bottom, two sides and two tops that lie over one another; end flaps on bottom, sides and outer top."""
    board, row = spec.board, allowance_for(spec.board, spec.allowances)
    over = board.caliper_tolerance_um
    swell = (3 * over, over, (3 * over + 1) // 2)
    spec = with_tolerance_room(spec, swell)
    length, width, height = spec.inner_um
    t = board.caliper_um
    if height < LEAST_CALIPERS * t:
        reason = f"The ends of a wrap need {mm(LEAST_CALIPERS * t)} mm of height for their flaps, not {mm(height)} mm."
        return Infeasible(CODE, "height", LEAST_CALIPERS * t, height, reason)
    rise = height + row.layer_um + (row.layer_um + 1) // 2
    across = width + row.panel_um
    side_flap = across // 2
    panels = [
        Panel("bottom", across, "bottom flap", height),
        Panel("side 2", rise, "side flap", side_flap),
        Panel("outer top", across, "top flap", height),
    ]
    left = [Panel("inner top", across - SHORT_UM, "", 0), Panel("side 1", rise, "side flap", side_flap)]
    blank = strip([*left, *panels], length + 3 * row.layer_um, board, joint_um=0)
    sheet = board.sheet_um
    if sheet is not None and (blank.size_um[0] > sheet[0] or blank.size_um[1] > sheet[1]):
        return too_large(CODE, blank, board, may_halve=False)
    outer = (length + 6 * t, width + 2 * t, height + 3 * t)
    closing = _tape(outer)
    base = next(i for i, panel in enumerate(blank.panels) if panel.name == "bottom")
    return BoxDesign(
        style=CODE,
        name=NAME,
        family="corrugated",
        fit_um=spec.room_um,
        inner_um=(length, width, height),
        outer_um=outer,
        packaging="corrugated",
        cut_pieces=(blank,),
        closing=closing,
        assembly=lambda: _steps(blank, base, closing),
        board=board,
        spread=board.spread,
        folds=(Fold("case", (blank.id,), AXES, base=base),),
        facts=(DRIFT, allowance_fact(row), ENDS, GRADE_FACT),
        work=board_work((blank,), 0),
        more_um=swell,
    )

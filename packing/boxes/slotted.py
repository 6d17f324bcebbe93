"""What the styles that fold from a strip of panels have in common: pads, steps, closing, work."""

from collections.abc import Sequence

from packing.boxes.design import BoxDesign, Closing, CutPiece, Fold, Infeasible, PlacedPanel, Size, Step, plain
from packing.boxes.fold import joined, pictured
from packing.boxes.spec import DRIFT, BoxSpec, with_tolerance_room
from packing.boxes.strip import Panel, cut_to_sheet
from packing.boxes.tape import TAPE_OVERLAP_UM, closing_tape_um
from packing.materials import Board, allowance_fact, allowance_for
from packing.measure import mm
from packing.sureness import Fact

PAD_GAP_UM = 10_000
"""A gap between inner flaps up to this needs no pad."""
PAD_FACT = Fact(
    "Between the inner flaps the bottom is one layer of board; where a head lies over that gap a board pad goes under "
    "the insert.",
    "derived from the flaps; the pad is common practice, no source",
    "practice",
)
GRADE_FACT = Fact(
    "The grade is that of the bought sheet. A box made by hand carries no maker's certificate.",
    "box makers' certificates belong to the maker who tests the box; common practice",
    "practice",
)
TAPE_FACT = Fact("Tape in an H over bottom and lid, 60 to 75 mm reinforced for steel.", "common practice", "practice")
TUBE_AXES = (0, 2, 1)
"""A strip's first wall stays flat: across it lies the length, along it the height, above it the width."""


def is_slotted(family: str, code: str) -> bool:
    """Whether a style is a slotted case, which the stacking formula is made for."""
    return family == "carton" or code in ("0201", "0203")


def needs_pad(spec: BoxSpec, gap_um: int) -> bool:
    """Whether the head of a tool in the lowest layer lies over the gap between the inner flaps."""
    if gap_um <= PAD_GAP_UM:
        return False
    middle = max(spec.interior_um[:2])
    return any(2 * low < middle + gap_um and 2 * high > middle - gap_um for low, high in spec.heads)


def pad_of(inner_um: Size, board: Board, id_: str) -> CutPiece:
    """A pad that lies on the bottom, a millimetre of room on each side."""
    return plain(
        id_, "pad", board, (inner_um[0] - 2_000, inner_um[1] - 2_000), source="offcut or sheet of the same board"
    )


def gap_notes(gap_um: int, padded: bool) -> tuple[str, ...]:
    """What there is to say about the gap between the inner flaps."""
    if gap_um <= 0:
        return ()
    if padded:
        return (
            f"The inner flaps stay {mm(gap_um)} mm apart and a head lies over the gap: the pad on the bottom is part "
            "of the box (common practice, no source).",
        )
    return (
        f"The inner flaps stay {mm(gap_um)} mm apart: the middle of bottom and lid is one layer of board. "
        "Lay a board pad under the insert for dense tools (common practice, no source).",
    )


def tube_steps(
    blanks: Sequence[CutPiece], walls: int, *, pad: bool, inner_first: str, outer_last: str
) -> tuple[Step, ...]:
    """Folding a tube with flaps: crease, close the tube, close the bottom, fill, close the lid.

    Parameters
    ----------
    blanks
        The blank or its halves in order.
    walls
        How many panels stand upright; flaps follow them in pairs, lower before upper.
    pad
        Whether a pad goes in before the insert.
    inner_first, outer_last
        Names of the flaps that go in first and last.
    """
    blank = joined(tuple(blanks))
    upright = set(range(walls)) | {len(blank.panels)}
    lower = {i for i in range(walls, len(blank.panels)) if blank.panels[i].high[1] <= blank.panels[0].low[1]}
    halves = len(blanks) > 1
    texts: tuple[tuple[str, set[int] | None, tuple[str, ...]], ...] = (
        (
            "Cut the blank along the outline, cut the slots, and crease along the dashed lines with a blunt wheel.",
            set(),
            (),
        ),
        (
            f"Fold the panels up and close the tube: glue or stitch {'both joints' if halves else 'the joint'} inside.",
            upright,
            tuple(dict.fromkeys(panel.name for panel in blank.panels[:walls])),
        ),
        (
            f"Fold the lower flaps in, {inner_first} first, {outer_last} last; tape the seam."
            + (" Lay the pad on them." if pad else ""),
            upright | lower,
            (inner_first, outer_last),
        ),
        (
            f"Put the insert in, fold the upper flaps, {inner_first} first, {outer_last} last.",
            None,
            (inner_first, outer_last),
        ),
    )
    return tuple(
        Step(text, pictured(blank, TUBE_AXES, closed) if closed != set() else _lying(blank), new)
        for text, closed, new in texts
    )


def _lying(blank: CutPiece) -> tuple[PlacedPanel, ...]:
    return pictured(blank, (0, 1, 2), frozenset())


def h_tape(outer_um: Size) -> Closing:
    """Tape in an H on lid and bottom."""
    length = closing_tape_um(outer_um)
    return Closing(
        f"Tape lid and bottom in an H: one strip along the middle seam, one along each end, {length / 10**6:.2f} m in "
        f"all, each run {mm(TAPE_OVERLAP_UM)} mm over the edges.",
        "H",
        length,
    )


def board_work(cut_pieces: Sequence[CutPiece], joints: int) -> tuple[tuple[str, float], ...]:
    """How much cutting, creasing and joining the corrugated pieces are."""
    creased = sum(
        cut_piece.count * sum(abs(ax - bx) + abs(ay - by) for (ax, ay), (bx, by) in cut_piece.creases)
        for cut_piece in cut_pieces
    )
    return (
        ("blank", float(sum(cut_piece.count for cut_piece in cut_pieces))),
        ("cut m", sum(cut_piece.cut_um * cut_piece.count for cut_piece in cut_pieces) / 10**6),
        ("crease m", creased / 10**6),
        ("joint", float(joints)),
    )


def tube_swell(board: Board, layers: int) -> Size:
    """What a case loses inside, and gains outside, in board as thick as it may be: one fold a side, flaps in layers."""
    over = board.caliper_tolerance_um
    return over, over, layers * over


def tube_spec(spec: BoxSpec, layers: int, *, padded: bool) -> BoxSpec:
    """The need with room for the thickest board allowed, its pad's thickness too."""
    length, width, height = tube_swell(spec.board, layers + padded)
    return with_tolerance_room(spec, (length, width, height))


def slotted_tube(
    spec: BoxSpec,
    code: str,
    name: str,
    *,
    flaps_um: tuple[int, int],
    layers: int,
    inner_um: Size,
    gap_um: int,
    padded: bool,
    facts: tuple[Fact, ...] = (),
) -> BoxDesign | Infeasible:
    """A case of four panels with flaps at both ends and one joint.

    Parameters
    ----------
    spec
        What it is for.
    code, name
        Of the style.
    flaps_um
        Length of the outer flaps, on the length panels, and of the inner ones.
    layers
        Layers of flaps at bottom and at lid.
    inner_um
        Inside, room for a pad included.
    gap_um
        Between the inner flaps.
    padded
        Whether a pad on the bottom is part of the box.
    facts
        What the style takes for granted besides what all slotted cases do.

    Returns
    -------
    BoxDesign or Infeasible
        No box where no sheet of the board takes the blank, be it in two pieces.
    """
    board, row = spec.board, allowance_for(spec.board, spec.allowances)
    length, width, height = inner_um
    panels = [
        Panel(f"{way} {turn}", side + row.panel_um, f"{kind} flap", flap)
        for turn in (1, 2)
        for way, side, kind, flap in (("length", length, "outer", flaps_um[0]), ("width", width, "inner", flaps_um[1]))
    ]
    blanks = cut_to_sheet(code, panels, height + layers * row.layer_um, board)
    if isinstance(blanks, Infeasible):
        return blanks
    t = board.caliper_um
    outer = (length + 2 * t, width + 2 * t, height + 2 * layers * t)
    cut_pieces = (*blanks, *((pad_of(inner_um, board, f"X{len(blanks) + 1}"),) if padded else ()))
    order = tuple(cut_piece for cut_piece in blanks for _ in range(cut_piece.count))
    notes = gap_notes(gap_um, padded)
    if len(order) > 1:
        notes += (f"The blank is made of two pieces: the sheet is {mm((board.sheet_um or (0, 0))[0])} mm across.",)
    return BoxDesign(
        style=code,
        name=name,
        family="corrugated",
        fit_um=spec.room_um,
        inner_um=inner_um,
        outer_um=outer,
        packaging="corrugated",
        cut_pieces=cut_pieces,
        closing=h_tape(outer),
        assembly=lambda: tube_steps(order, 4, pad=padded, inner_first="inner flap", outer_last="outer flap"),
        board=board,
        spread=board.spread,
        folds=(Fold("case", tuple(cut_piece.id for cut_piece in order), TUBE_AXES),),
        flap_gap_um=gap_um,
        notes=notes,
        facts=(DRIFT, allowance_fact(row), *facts, PAD_FACT, GRADE_FACT, TAPE_FACT),
        work=board_work(cut_pieces, len(order)),
        more_um=tube_swell(board, layers),
    )

"""Pads, steps, closing and work of the styles that fold from a strip of panels."""

from collections.abc import Sequence

from packing.boxes.design import BoxDesign, Closing, Fold, Infeasible, PlacedPanel, Step, length_of
from packing.boxes.fold import joined, pictured
from packing.boxes.piece import CutPiece, Size, plain
from packing.boxes.spec import DRIFT, BoxSpec, with_panels_on_step, with_tolerance_room
from packing.boxes.strip import Panel, cut_to_sheet, sheet_of
from packing.boxes.tape import h_strips, overlap_um
from packing.materials import Board, allowance_fact, allowance_for
from packing.measure import Step as RuleStep
from packing.measure import down_to_step
from packing.messages import Length, Message, Run
from packing.plan import FactPlan
from packing.plan.kinds import ContainerKind, Packaging, PanelKind, PieceRole, TapePattern

PAD_GAP_UM = 10_000
"""A gap between inner flaps up to this needs no pad."""
PAD_FACT = FactPlan(
    Message(
        "Between the inner flaps the bottom is one layer of board less; where a head lies over that gap a board pad "
        "goes under the insert."
    ),
    "follows from the flaps; the pad is common practice, no source",
    "practice",
)
GRADE_FACT = FactPlan(
    Message("The grade is that of the bought sheet. A box made by hand carries no maker's certificate."),
    "box makers' certificates belong to the maker who tests the box; common practice",
    "practice",
)
TAPE_FACT = FactPlan(
    Message(
        "Tape in an H over bottom and lid, {least} to {most} wide and reinforced for steel.",
        least=Length(60_000),
        most=Length(75_000),
    ),
    "common practice, no source",
    "practice",
)
TUBE_AXES = (0, 2, 1)
"""A strip's first wall stays flat: across it lies the length, along it the height, above it the width."""


def needs_pad(spec: BoxSpec, gap_um: int, inside_um: int | None = None) -> bool:
    """Tell whether the head of a tool in the lowest layer lies over the gap between the inner flaps.

    Parameters
    ----------
    spec
        Its heads lie in the insert's frame.
    gap_um
        Between the inner flaps.
    inside_um
        Length of the box inside, where it is much longer than the insert: the insert may then lie anywhere in it.
    """
    if gap_um <= PAD_GAP_UM:
        return False
    # The gap lies across the length, in its middle; twice the places, so that halves stay whole.
    middle = max(spec.interior_um[:2])
    play = 0 if inside_um is None else max(0, inside_um - middle)
    return any(2 * low < middle + gap_um + play and 2 * high > middle - gap_um - play for low, high in spec.heads)


def pad_of(inner_um: Size, board: Board, id_: str, step: RuleStep | None = None) -> CutPiece:
    """A pad that lies on the bottom, a millimetre of room on each side, or a little more: its sides are whole steps."""
    return plain(
        id_,
        PieceRole.PAD,
        board,
        (down_to_step(inner_um[0] - 2_000, step), down_to_step(inner_um[1] - 2_000, step)),
        source=Message("offcut or sheet of the same board"),
    )


def gap_notes(gap_um: int, padded: bool) -> tuple[Message, ...]:
    """Notes on the gap between the inner flaps."""
    if gap_um <= 0:
        return ()
    gap = Length(gap_um)
    if padded:
        return (
            Message(
                "The inner flaps stay {gap} apart and a head lies over the gap: the pad on the bottom is part of the "
                "box (common practice, no source).",
                gap=gap,
            ),
        )
    return (
        Message(
            "The inner flaps stay {gap} apart: between them bottom and lid have one layer of board less. No head lies "
            "over the gap, so there is no pad.",
            gap=gap,
        ),
    )


WALLS = 4
"""Panels of a case that stand upright; flaps follow them in pairs, lower before upper."""
INNER, OUTER = "inner flap", "outer flap"
"""Names of the flaps, on the blank and in the steps."""
FILL = Message("Put the insert in, fold the upper flaps, {first} first, {last} last.", first=INNER, last=OUTER)


def _bottom(pad: bool, at_edge: bool) -> Message:
    """Closing the bottom: where its seam is, whether a pad follows."""
    if at_edge:
        text = "Fold the lower flaps in, {first} first, {last} last; tape the edge where the last one ends."
    else:
        text = "Fold the lower flaps in, {first} first, {last} last; tape the seam."
    if pad:
        text += " Lay the pad on them."
    return Message(text, first=INNER, last=OUTER)


def tube_steps(
    blanks: Sequence[CutPiece], *, pad: bool, seam_at_edge: bool = False, fill: Message = FILL
) -> tuple[Step, ...]:
    """Folding a tube with flaps: crease, close the tube, close the bottom, fill, close the lid.

    Parameters
    ----------
    blanks
        The blank or its halves in order.
    pad
        Whether a pad goes in before the insert.
    seam_at_edge
        Whether the outer flaps end at an edge and not in the middle.
    fill
        The last step: what goes in.
    """
    blank = joined(tuple(blanks))
    # The joint stands with the walls: it is glued to one of them.
    upright = set(range(WALLS)) | {len(blank.panels)}
    lower = {i for i in range(WALLS, len(blank.panels)) if blank.panels[i].high[1] <= blank.panels[0].low[1]}
    if len(blanks) > 1:
        tube = Message("Fold the panels up and close the tube: glue or stitch both joints inside.")
    else:
        tube = Message("Fold the panels up and close the tube: glue or stitch the joint inside.")
    cut = Message(
        "Cut the blank along the outline, cut the slots, and crease along the dashed lines with a blunt wheel."
    )
    # Each name once, though each wall stands there twice.
    walls = tuple(dict.fromkeys(panel.name for panel in blank.panels[:WALLS]))
    return (
        Step(cut, _lying(blank)),
        Step(tube, pictured(blank, TUBE_AXES, upright), walls),
        Step(_bottom(pad, seam_at_edge), pictured(blank, TUBE_AXES, upright | lower), (INNER, OUTER)),
        Step(fill, pictured(blank, TUBE_AXES, None), (INNER, OUTER)),
    )


def _lying(blank: CutPiece) -> tuple[PlacedPanel, ...]:
    return pictured(blank, (0, 1, 2), frozenset())


def h_tape(outer_um: Size, *, seam_at_edge: bool = False) -> Closing:
    """Tape in an H on lid and bottom."""
    strips = h_strips(outer_um, seam_at_edge=seam_at_edge)
    length = sum(length_of(strip) for strip in strips)
    if seam_at_edge:
        text = (
            "Tape lid and bottom in an H: one strip along the edge where the outer flap ends, half of it on the wall, "
            "one along each end, {tape} in all, each run {over} over the edges."
        )
    else:
        text = (
            "Tape lid and bottom in an H: one strip along the middle seam, one along each end, {tape} in all, each run "
            "{over} over the edges."
        )
    return Closing(Message(text, tape=Run(length), over=Length(overlap_um(outer_um[2]))), TapePattern.H, strips)


def board_work(cut_pieces: Sequence[CutPiece], joints: int) -> tuple[tuple[str, float], ...]:
    """Count the cutting, creasing and joining of the corrugated pieces."""
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
    """The loss inside and the gain outside of a case in the thickest board: one fold a side, flaps in layers."""
    over = board.caliper_tolerance_um
    return over, over, layers * over


def tube_spec(spec: BoxSpec, layers: int, *, padded: bool) -> BoxSpec:
    """The need with room for the thickest board allowed, its pad's thickness too, and panels of whole steps."""
    row = allowance_for(spec.board, spec.allowances)
    roomy = with_tolerance_room(spec, tube_swell(spec.board, layers + padded))
    walls = spec.board.caliper_um * padded + layers * row.layer_um
    # Two outer flaps halve the width panel.
    return with_panels_on_step(roomy, (row.panel_um, row.panel_um, walls), times=(1, 2, 1))


def tube_panels(sides_um: tuple[int, int], flaps_um: tuple[int, int]) -> list[Panel]:
    """The four panels of a case from score to score, long and short by turns, each with its flaps."""
    rows = (
        ("length", sides_um[0], OUTER, flaps_um[0], PanelKind.OUTER_FLAP),
        ("width", sides_um[1], INNER, flaps_um[1], PanelKind.INNER_FLAP),
    )
    return [Panel(f"{way} {turn}", side, flap, deep, kind) for turn in (1, 2) for way, side, flap, deep, kind in rows]


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
    seam_at_edge: bool = False,
    fill: Message = FILL,
    facts: tuple[FactPlan, ...] = (),
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
    seam_at_edge, fill
        Whether the outer flaps end at an edge; what the last step says.
    facts
        What the style takes for granted besides what all slotted cases do.

    Returns
    -------
    BoxDesign or Infeasible
        No box where no sheet of the board takes the blank, be it in two pieces.
    """
    board, row = spec.board, allowance_for(spec.board, spec.allowances)
    length, width, height = inner_um
    panels = tube_panels((length + row.panel_um, width + row.panel_um), flaps_um)
    blanks = cut_to_sheet(code, panels, height + layers * row.layer_um, board, step=spec.cut_step)
    if isinstance(blanks, Infeasible):
        return blanks
    t = board.caliper_um
    outer = (length + 2 * t, width + 2 * t, height + 2 * layers * t)
    cut_pieces = (*blanks, *((pad_of(inner_um, board, f"X{len(blanks) + 1}", spec.cut_step),) if padded else ()))
    order = tuple(cut_piece for cut_piece in blanks for _ in range(cut_piece.count))
    notes = gap_notes(gap_um, padded)
    if len(order) > 1:
        sheet = Length(sheet_of(board)[0])
        notes += (Message("The blank is made of two pieces: the sheet is {sheet} across.", sheet=sheet),)
    return BoxDesign(
        style=code,
        name=name,
        family=ContainerKind.CORRUGATED,
        fit_um=spec.room_um,
        inner_um=inner_um,
        outer_um=outer,
        packaging=Packaging.CORRUGATED,
        cut_pieces=cut_pieces,
        closing=h_tape(outer, seam_at_edge=seam_at_edge),
        assembly=lambda: tube_steps(order, pad=padded, seam_at_edge=seam_at_edge, fill=fill),
        board=board,
        spread=board.spread,
        folds=(Fold("case", tuple(cut_piece.id for cut_piece in order), TUBE_AXES),),
        flap_gap_um=gap_um,
        flap_layers=layers,
        notes=notes,
        facts=(DRIFT, allowance_fact(row), *facts, PAD_FACT, GRADE_FACT, TAPE_FACT),
        work=board_work(cut_pieces, len(order)),
        more_um=tube_swell(board, layers),
    )

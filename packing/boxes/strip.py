"""Blanks that are a strip of panels side by side with flaps at both ends: slotted cases and wraps."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.boxes.design import Infeasible
from packing.boxes.piece import Area, CutPiece, Point
from packing.materials import Board
from packing.measure import Step, nearest_step
from packing.messages import Length, Message
from packing.plan.kinds import PanelKind, PieceRole

SLOT_OVER_CALIPER_UM = 3_000
"""A slot is this much wider than the board is thick (common practice, no source)."""
LARGEST_SHEET_UM = (4_000_000, 2_500_000)
"""Across and along the flutes: larger sheets are not made to order (from memory of makers' lists)."""


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel of a strip: its name, width from score to score, its flaps' name, length (0 for none) and kind.

    `kind` is the panel's own: a wall but for one that is folded under another; `short_um` is what it is cut back at
    both of its free ends.
    """

    name: str
    width_um: int
    flap: str
    flap_um: int
    flap_kind: PanelKind = PanelKind.OUTER_FLAP
    kind: PanelKind = PanelKind.WALL
    short_um: int = 0


def strip(
    panels: Sequence[Panel],
    height_um: int,
    board: Board,
    *,
    joint_um: int,
    role: PieceRole = PieceRole.BLANK,
    count: int = 1,
) -> CutPiece:
    """The blank of a strip of panels.

    Parameters
    ----------
    panels
        From the joint on, left to right.
    height_um
        From score to score between the flaps.
    board
        Its caliper makes the slots.
    joint_um
        Width of the joint at the left; 0 for none.
    role, count
        Of the flat piece.

    Returns
    -------
    CutPiece
        Flaps shorter than the longest end short of the blank's edge; slots are as deep as the longer flap beside them.
    """
    longest = max(panel.flap_um for panel in panels)
    # Half to each side of the score, so that a flap turns beside its neighbour without rubbing.
    half = (board.caliper_um + SLOT_OVER_CALIPER_UM) // 2
    low, high, top = longest, longest + height_um, 2 * longest + height_um
    xs = [joint_um]
    for panel in panels:
        xs.append(xs[-1] + panel.width_um)
    walls = [
        Area(p.name, (xs[i], low + p.short_um), (xs[i + 1], high - p.short_um), p.kind) for i, p in enumerate(panels)
    ]
    flaps, slots = [], []
    for i, panel in enumerate(panels):
        if panel.flap_um:
            flaps.append(Area(panel.flap, (xs[i], low - panel.flap_um), (xs[i + 1], low), panel.flap_kind))
            flaps.append(Area(panel.flap, (xs[i], high), (xs[i + 1], high + panel.flap_um), panel.flap_kind))
        if i:
            # A slot is as deep as the longer flap beside it, or that one could not turn.
            depth = max(panel.flap_um, panels[i - 1].flap_um)
            slots.append(Area("slot", (xs[i] - half, low - depth), (xs[i] + half, low)))
            slots.append(Area("slot", (xs[i] - half, high), (xs[i] + half, high + depth)))
    # The first panel begins with a crease only where the joint hangs on it.
    uprights = xs[:-1] if joint_um else xs[1:-1]
    shorts = [0, *(panel.short_um for panel in panels), 0]
    creases = []
    for x in uprights:
        short = max(shorts[xs.index(x)], shorts[xs.index(x) + 1])
        creases.append(((x, low + short), (x, high - short)))
    for i, panel in enumerate(panels):
        if panel.flap_um:
            left = xs[i] + (half if i or joint_um else 0)
            right = xs[i + 1] - (half if i < len(panels) - 1 else 0)
            creases += [((left, y), (right, y)) for y in (low, high)]
    return CutPiece(
        id="X1",
        role=role,
        material=board,
        size_um=(xs[-1], top),
        count=count,
        outline=_outline(panels, xs, (low, high), half, joint_um),
        creases=tuple(creases),
        slots=tuple(slots),
        panels=tuple(walls + flaps),
        joint=Area("joint", (0, low), (joint_um, high), PanelKind.JOINT) if joint_um else None,
    )


def _outline(
    panels: Sequence[Panel], xs: Sequence[int], levels: tuple[int, int], half: int, joint_um: int
) -> tuple[Point, ...]:
    """Counter-clockwise: lower flaps left to right, upper flaps back, the joint; points in a straight line dropped."""
    low, high = levels
    lower: list[Point] = [(0, low + panels[0].short_um)]
    for i, panel in enumerate(panels):
        left = xs[i] + (half if i or joint_um else 0)
        right = xs[i + 1] - (half if i < len(panels) - 1 else 0)
        bottom = low - panel.flap_um + panel.short_um
        foot = low + panel.short_um
        if panel.short_um:
            left, right = xs[i], xs[i + 1]
            lower += [(left, foot), (right, foot), (right, low)]
            continue
        lower += [(left, low), (left, bottom), (right, bottom), (right, low)]
    upper = [(x, low + high - y) for x, y in reversed(lower)]
    return cleaned((*lower, *upper))


def cleaned(points: Sequence[Point]) -> tuple[Point, ...]:
    """A closed rectilinear outline without repeated points and without points in the middle of a straight line."""
    kept: list[Point] = [point for i, point in enumerate(points) if point != points[i - 1]]
    changed = True
    while changed:
        changed = False
        for i, point in enumerate(kept):
            before, after = kept[i - 1], kept[(i + 1) % len(kept)]
            if before[0] == point[0] == after[0] or before[1] == point[1] == after[1]:
                del kept[i]
                changed = True
                break
    return tuple(kept)


def cut_to_sheet(
    style: str, panels: Sequence[Panel], height_um: int, board: Board, *, step: Step | None, may_halve: bool = True
) -> tuple[CutPiece, ...] | Infeasible:
    """The blank in one piece, or of two with a second joint where the sheet is too short for it.

    Parameters
    ----------
    style
        For the reason of a refusal.
    panels, height_um, board
        As for `strip`; the joint is the board's, to the nearest whole step.
    step
        Of what is cut; None for any size.
    may_halve
        Whether two halves do.

    Returns
    -------
    tuple of Flat, or Infeasible
        One blank; or one flat piece counted twice where both halves are alike, else two.
    """
    joint_um = nearest_step(board.joint_um, step)
    whole = strip(panels, height_um, board, joint_um=joint_um)
    sheet = sheet_of(board)
    if whole.size_um[0] <= sheet[0] and whole.size_um[1] <= sheet[1]:
        return (whole,)
    if whole.size_um[1] <= sheet[1] and may_halve:
        middle = len(panels) // 2
        halves = [strip(part, height_um, board, joint_um=joint_um) for part in (panels[:middle], panels[middle:])]
        if all(half.size_um[0] <= sheet[0] for half in halves):
            if halves[0].size_um == halves[1].size_um:
                return (replace(halves[0], role=PieceRole.HALF_BLANK, count=2),)
            return tuple(replace(half, role=PieceRole.HALF_BLANK, id=f"X{i + 1}") for i, half in enumerate(halves))
    return too_large(style, whole, board, may_halve=may_halve)


def sheet_of(board: Board) -> tuple[int, int]:
    """The largest sheet of a board: as bought, or the largest that is made to order."""
    return LARGEST_SHEET_UM if board.sheet_um is None else board.sheet_um


_TOO_LARGE = {
    (0, False): "The {style} blank is {size} across the flutes; the sheet of {board} is {sheet}.",
    (0, True): "The {style} blank is {size} across the flutes, even in two pieces; the sheet of {board} is {sheet}.",
    (1, False): "The {style} blank is {size} along the flutes; the sheet of {board} is {sheet}.",
    (1, True): "The {style} blank is {size} along the flutes; the sheet of {board} is {sheet}.",
}


def too_large(style: str, whole: CutPiece, board: Board, *, may_halve: bool) -> Infeasible:
    """The refusal of a blank that no sheet takes."""
    sheet = sheet_of(board)
    axis = 1 if whole.size_um[1] > sheet[1] else 0
    sentence = Message(
        _TOO_LARGE[axis, may_halve],
        style=style,
        size=Length(whole.size_um[axis]),
        board=board.name,
        sheet=Length(sheet[axis]),
    )
    return Infeasible(style, "sheet", whole.size_um[axis], sheet[axis], sentence)

"""Blanks that are a strip of panels side by side with flaps at both ends: slotted cases and wraps."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packing.boxes.design import Area, CutPiece, Infeasible, Point
from packing.materials import Board
from packing.measure import mm

SLOT_OVER_CALIPER_UM = 3_000
"""A slot is this much wider than the board is thick (common practice, no source)."""
GLUE_NOTE = "glue or stitch the joint inside"


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel of a strip: its name, width from score to score, its flaps' name and length (0 for none)."""

    name: str
    width_um: int
    flap: str
    flap_um: int


def strip(
    panels: Sequence[Panel], height_um: int, board: Board, *, joint_um: int, what: str = "blank", count: int = 1
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
    what, count
        Of the flat piece.

    Returns
    -------
    CutPiece
        Flaps shorter than the longest end short of the blank's edge; slots are as deep as the longer flap beside them.
    """
    longest = max(panel.flap_um for panel in panels)
    half = (board.caliper_um + SLOT_OVER_CALIPER_UM) // 2
    low, high, top = longest, longest + height_um, 2 * longest + height_um
    xs = [joint_um]
    for panel in panels:
        xs.append(xs[-1] + panel.width_um)
    walls = [Area(p.name, (xs[i], low), (xs[i + 1], high)) for i, p in enumerate(panels)]
    flaps, slots = [], []
    for i, panel in enumerate(panels):
        if panel.flap_um:
            flaps.append(Area(panel.flap, (xs[i], low - panel.flap_um), (xs[i + 1], low)))
            flaps.append(Area(panel.flap, (xs[i], high), (xs[i + 1], high + panel.flap_um)))
        if i:
            depth = max(panel.flap_um, panels[i - 1].flap_um)
            slots.append(Area("slot", (xs[i] - half, low - depth), (xs[i] + half, low)))
            slots.append(Area("slot", (xs[i] - half, high), (xs[i] + half, high + depth)))
    uprights = xs[:-1] if joint_um else xs[1:-1]
    creases = [((x, low), (x, high)) for x in uprights]
    creases += [((xs[i], y), (xs[i + 1], y)) for y in (low, high) for i, panel in enumerate(panels) if panel.flap_um]
    return CutPiece(
        id="X1",
        what=what,
        material=board,
        size_um=(xs[-1], top),
        count=count,
        outline=_outline(panels, xs, (low, high), half, joint_um),
        creases=tuple(creases),
        slots=tuple(slots),
        panels=tuple(walls + flaps),
        joint=Area("joint", (0, low), (joint_um, high)) if joint_um else None,
    )


def _outline(
    panels: Sequence[Panel], xs: Sequence[int], levels: tuple[int, int], half: int, joint_um: int
) -> tuple[Point, ...]:
    """Counter-clockwise: lower flaps left to right, upper flaps back, the joint; points in a straight line dropped."""
    low, high = levels
    lower: list[Point] = [(0, low)]
    for i, panel in enumerate(panels):
        left = xs[i] + (half if i or joint_um else 0)
        right = xs[i + 1] - (half if i < len(panels) - 1 else 0)
        bottom = low - panel.flap_um
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
    style: str, panels: Sequence[Panel], height_um: int, board: Board, *, may_halve: bool = True
) -> tuple[CutPiece, ...] | Infeasible:
    """The blank in one piece, or of two with a second joint where the sheet is too short for it.

    Parameters
    ----------
    style
        For the reason of a refusal.
    panels, height_um, board
        As for `strip`; the joint is the board's.
    may_halve
        Whether two halves do.

    Returns
    -------
    tuple of Flat, or Infeasible
        One blank; or one flat piece counted twice where both halves are alike, else two.
    """
    whole = strip(panels, height_um, board, joint_um=board.joint_um)
    sheet = board.sheet_um
    if sheet is None or (whole.size_um[0] <= sheet[0] and whole.size_um[1] <= sheet[1]):
        return (whole,)
    if whole.size_um[1] <= sheet[1] and may_halve:
        middle = len(panels) // 2
        halves = [strip(part, height_um, board, joint_um=board.joint_um) for part in (panels[:middle], panels[middle:])]
        if all(half.size_um[0] <= sheet[0] for half in halves):
            if halves[0].size_um == halves[1].size_um:
                return (replace(halves[0], what="half blank", count=2),)
            return tuple(replace(half, what="half blank", id=f"X{i + 1}") for i, half in enumerate(halves))
    return too_large(style, whole, board, may_halve=may_halve)


def too_large(style: str, whole: CutPiece, board: Board, *, may_halve: bool) -> Infeasible:
    """The refusal of a blank that no sheet takes."""
    sheet = board.sheet_um or (0, 0)
    axis = 1 if whole.size_um[1] > sheet[1] else 0
    way = ("across", "along")[axis]
    halved = ", even in two pieces" if may_halve and axis == 0 else ""
    return Infeasible(
        style,
        "sheet",
        whole.size_um[axis],
        sheet[axis],
        f"The {style} blank is {mm(whole.size_um[axis])} mm {way} the flutes{halved}; the sheet of {board.name} is "
        f"{mm(sheet[axis])} mm.",
    )

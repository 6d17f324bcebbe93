"""A tray that folds from one blank: floor, four walls, corner tabs outside the end walls."""

from packing.boxes.design import Area, CutPiece, Size
from packing.boxes.strip import cleaned
from packing.materials import Allowance, Board

SLIT_UM = 3_000
"""Between a corner tab and the end wall beside it (common practice, no source)."""
AXES = (0, 1, 2)


def tray(inner_um: Size, board: Board, row: Allowance, *, id_: str, what: str) -> CutPiece:
    """The blank of a tray.

    Parameters
    ----------
    inner_um
        Length, width, depth inside; the depth to the walls' rim.
    board, row
        Its caliper and its allowances.
    id_, what
        Of the flat piece.

    Returns
    -------
    CutPiece
        Flutes across the tray, so that they stand upright in the long walls. The long walls reach one caliper past the
        floor at both ends, where their tabs turn round the end walls.
    """
    length, width, depth = inner_um
    t = board.caliper_um
    wall = depth + (t + 1) // 2
    x1, x2 = wall, wall + length + row.panel_um
    y1, y2 = wall, wall + width + row.panel_um
    right, top = x2 + wall, y2 + wall
    tab = max(0, min(board.joint_um, wall - t - SLIT_UM))
    a, b = x1 - t, x2 + t
    low, high = y1 - SLIT_UM, y2 + SLIT_UM
    corner = [(right, y2), (x2, y2), (x2, high), (b + tab, high), (b + tab, top)]
    other = [(a - tab, top), (a - tab, high), (x1, high), (x1, y2), (0, y2)]
    upper = [*corner, *other]
    lower = [(x, y1 + y2 - y) for x, y in reversed(upper)]
    tabs = []
    for x, edge in ((a - tab, a), (b, b + tab)):
        tabs += [Area("tab", (x, 0), (edge, low)), Area("tab", (x, high), (edge, top))]
    creases = [((x1, y1), (x2, y1)), ((x1, y2), (x2, y2)), ((x1, y1), (x1, y2)), ((x2, y1), (x2, y2))]
    creases += [((x, y), (x, z)) for x in (a, b) for y, z in ((0, low), (high, top))] if tab else []
    return CutPiece(
        id=id_,
        what=what,
        material=board,
        size_um=(right, top),
        count=1,
        outline=cleaned((*upper, *lower)),
        creases=tuple(creases),
        panels=(
            Area("floor", (x1, y1), (x2, y2)),
            Area("long wall", (a, 0), (b, y1)),
            Area("long wall", (a, y2), (b, top)),
            Area("end wall", (0, y1), (x1, y2)),
            Area("end wall", (x2, y1), (right, y2)),
            *(tabs if tab else ()),
        ),
    )


def tray_loss(board: Board) -> Size:
    """What a tray loses inside in board as thick as it may be: half of it at each wall and from the depth."""
    over = board.caliper_tolerance_um
    return over, over, (over + 1) // 2


def tray_swell(board: Board) -> Size:
    """What it gains outside: at each end also the tabs that lie on the end wall."""
    over = board.caliper_tolerance_um
    return 3 * over, over, (over + 1) // 2


def tray_outer(inner_um: Size, board: Board) -> Size:
    """Outside of a tray: two layers at each end where the tabs are, one at each side, the floor."""
    t = board.caliper_um
    return inner_um[0] + 4 * t, inner_um[1] + 2 * t, inner_um[2] + t

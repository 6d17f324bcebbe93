"""A tray that folds from one blank: floor, four walls, corner tabs outside the end walls."""

from packing.boxes.piece import Area, CutPiece, Size
from packing.boxes.spec import BoxSpec, with_panels_on_step
from packing.boxes.strip import cleaned
from packing.materials import Allowance, Board
from packing.measure import BadInput, Step, down_to_step, mm, nearest_step, up_to_step
from packing.plan.kinds import PanelKind, PieceRole

SLIT_UM = 3_000
"""Between a corner tab and the end wall beside it (common practice, no source)."""
RELIEF_UM = 500
"""An end wall is narrower than the room between the long walls by this at each edge (common practice, no source)."""
AXES = (0, 1, 2)


def tray(
    inner_um: Size, board: Board, row: Allowance, *, id_: str, role: PieceRole, step: Step | None = None
) -> CutPiece:
    """The blank of a tray.

    Parameters
    ----------
    inner_um
        Length, width, depth inside; the depth to the walls' rim.
    board, row
        Its caliper and its allowances.
    id_, role
        Of the flat piece.
    step
        What is cut is a whole multiple of; None for any size.

    Returns
    -------
    CutPiece
        Flutes across the tray, so that they stand upright in the long walls. The long walls reach one caliper past the
        floor at both ends, or up to the next step, where their tabs turn round the end walls. The end walls stand
        between the long walls: each is cut back by half a caliper at both edges, and by `RELIEF_UM` or a little more,
        so that it does not jam there.
    """
    length, width, depth = inner_um
    t = up_to_step(board.caliper_um, step)
    wall = depth + rim_um(board)
    x1, x2 = wall, wall + length + row.panel_um
    y1, y2 = wall, wall + width + row.panel_um
    right, top = x2 + wall, y2 + wall
    tab = down_to_step(max(0, min(nearest_step(board.joint_um, step), wall - t - SLIT_UM)), step)
    a, b = x1 - t, x2 + t
    # The slit beside a tab is a hair wide, so that tab and floor do not tear each other.
    slit = nearest_step(SLIT_UM, step)
    low, high = y1 - slit, y2 + slit
    # An end wall folds between the long ones, so it is narrower by half a caliper at each side and a little more.
    back = up_to_step((board.caliper_um + 1) // 2 + RELIEF_UM, step)
    e1, e2 = y1 + back, y2 - back
    if e1 >= e2:
        raise BadInput("board", f"must leave the end walls of a tray some width: {mm(t)} mm is too thick for it.")
    corner = [(right, e2), (x2, e2), (x2, high), (b + tab, high), (b + tab, top)]
    other = [(a - tab, top), (a - tab, high), (x1, high), (x1, e2), (0, e2)]
    upper = [*corner, *other]
    lower = [(x, y1 + y2 - y) for x, y in reversed(upper)]
    tabs = []
    for x, edge in ((a - tab, a), (b, b + tab)):
        tabs += [Area("tab", (x, 0), (edge, low)), Area("tab", (x, high), (edge, top))]
    creases = [((x1, y1), (x2, y1)), ((x1, y2), (x2, y2)), ((x1, e1), (x1, e2)), ((x2, e1), (x2, e2))]
    creases += [((x, y), (x, z)) for x in (a, b) for y, z in ((0, low), (high, top))] if tab else []
    return CutPiece(
        id=id_,
        role=role,
        material=board,
        size_um=(right, top),
        count=1,
        outline=cleaned((*upper, *lower)),
        creases=tuple(creases),
        panels=(
            Area("floor", (x1, y1), (x2, y2), PanelKind.WALL),
            Area("long wall", (a, 0), (b, y1), PanelKind.WALL),
            Area("long wall", (a, y2), (b, top), PanelKind.WALL),
            Area("end wall", (0, e1), (x1, e2), PanelKind.WALL),
            Area("end wall", (x2, e1), (right, e2), PanelKind.WALL),
            *(tabs if tab else ()),
        ),
    )


def rim_um(board: Board) -> int:
    """By how much a wall is higher from crease to rim than the tray is deep: half the floor's caliper."""
    return (board.caliper_um + 1) // 2


def tray_spec(spec: BoxSpec, row: Allowance) -> BoxSpec:
    """The need with a floor and walls of whole steps."""
    return with_panels_on_step(spec, (row.panel_um, row.panel_um, rim_um(spec.board)))


def tray_loss(board: Board) -> Size:
    """The loss inside of a tray in board as thick as it may be: half of it at each wall and from the depth."""
    over = board.caliper_tolerance_um
    return over, over, (over + 1) // 2


def tray_swell(board: Board) -> Size:
    """The growth outside of such a tray: at each end also the tabs that lie on the end wall."""
    over = board.caliper_tolerance_um
    return 3 * over, over, (over + 1) // 2


def tray_outer(inner_um: Size, board: Board, step: Step | None = None) -> Size:
    """Outside of a tray: two layers at each end where the tabs are, one at each side, the floor.

    A tab turns round its end wall where its long wall ends, which is up to the next step past a caliper.
    """
    t, past = board.caliper_um, up_to_step(board.caliper_um, step)
    return inner_um[0] + 2 * (t + past), inner_um[1] + 2 * t, inner_um[2] + t

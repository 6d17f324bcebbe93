"""A blank folded up exactly, apart from how the styles lay it out."""

from collections.abc import Sequence

from packing.boxes import BoxDesign
from packing.boxes.design import Fold, PlacedPanel
from packing.boxes.fold import TOUCH_UM, joined, middles
from packing.boxes.piece import CutPiece, Size
from packing.plan.kinds import PanelKind


def folded_inside(design: BoxDesign, fold: Fold) -> Size:
    """The inside that a blank folds to, all panels turned up.

    Parameters
    ----------
    design, fold
        A box, and which of its blanks.

    Returns
    -------
    tuple of int
        Length, width, height inside, in micrometres.

    Notes
    -----
    Panels are turned about their creases exactly. Layers that lie in one plane are centred on it, so a face of n layers
    of caliper t takes n t / 2 from the inside; flaps that reach over one another count as layers, the joint does not.
    """
    blank = blank_of(design, fold)
    room = inside_of(middles(blank, base=fold.base), blank.thickness_um, open_top=fold.open_top)
    return room[fold.axes[0]], room[fold.axes[1]], room[fold.axes[2]]


def blank_of(design: BoxDesign, fold: Fold) -> CutPiece:
    """The one blank of a fold, its halves joined."""
    return joined(
        tuple(next(cut_piece for cut_piece in design.cut_pieces if cut_piece.id == name) for name in fold.cut_pieces)
    )


def inside_of(placed_panels: Sequence[PlacedPanel], thickness_um: int, *, open_top: bool) -> Size:
    """Free room between folded panels; see `folded_inside`. With an open top the height is up to the walls' rim."""
    room = []
    for axis in range(3):
        cut_piece = [
            placed_panel
            for placed_panel in placed_panels
            if placed_panel.low[axis] == placed_panel.high[axis] and placed_panel.kind is not PanelKind.JOINT
        ]
        places = sorted({placed_panel.low[axis] for placed_panel in cut_piece})
        middle = (places[0] + places[-1]) / 2
        if axis == 2 and open_top:
            top = max(placed_panel.high[2] for placed_panel in placed_panels)
            room.append(top - places[0] - _layers(cut_piece, axis, places[0]) * thickness_um // 2)
            continue
        # The innermost plane on each side: what lies outside of it takes no room.
        low = max(place for place in places if place < middle or place == places[0])
        high = min(place for place in places if place > middle or place == places[-1])
        layers = _layers(cut_piece, axis, low) + _layers(cut_piece, axis, high)
        room.append(high - low - layers * thickness_um // 2)
    return room[0], room[1], room[2]


def _layers(placed_panels: Sequence[PlacedPanel], axis: int, place: int) -> int:
    """How many panels lie over one another at most in one plane, by more than `TOUCH_UM`."""
    held = [placed_panel for placed_panel in placed_panels if placed_panel.low[axis] == place]
    u, v = (other for other in range(3) if other != axis)
    most = 0
    for one in held:
        for two in held:
            # Just inside the corner at which two flaps could begin to overlap: nowhere else do layers begin.
            point = (max(one.low[u], two.low[u]) + TOUCH_UM, max(one.low[v], two.low[v]) + TOUCH_UM)
            over = [
                placed_panel
                for placed_panel in held
                if placed_panel.low[u] < point[0] <= placed_panel.high[u]
                and placed_panel.low[v] < point[1] <= placed_panel.high[v]
            ]
            most = max(most, len(over))
    return most

"""Saddles and plugs: what is cut from a part's own pocket and put back."""

from collections.abc import Sequence

from packing.insert.model import Loose, Rect, Sheet
from packing.materials import Foam
from packing.nest import Placement
from packing.plan import kinds
from packing.pose import Part


def grown(part: Part, by_um: int) -> Rect:
    """A part's footprint, larger by this on each side."""
    return (part.x0 - by_um, part.y0 - by_um, part.x1 + by_um, part.y1 + by_um)


def footprints(parts: Sequence[Part], fit_um: int) -> list[Rect]:
    """Where loose foam may lie over or under each part of one item.

    Parameters
    ----------
    parts
        Head then handle, or the block, in the interior's frame.
    fit_um
        Room cut around a part.

    Returns
    -------
    list of tuple
        A block: its pocket. A head: its pocket as far as the handle begins, so that foam over it never lies on a
        handle thicker than it. A handle: its pocket less the head's. So no two pieces of one item overlap, and none
        meets the other part.
    """
    rects = [grown(part, fit_um) for part in parts]
    if len(parts) == 1:
        return rects
    head, handle = parts
    (hx0, hy0, hx1, hy1), (kx0, ky0, kx1, ky1) = rects
    if handle.x0 >= head.x1:
        return [(hx0, hy0, head.x1, hy1), (head.x1 + fit_um, ky0, kx1, ky1)]
    if handle.x1 <= head.x0:
        return [(head.x0, hy0, hx1, hy1), (kx0, ky0, head.x0 - fit_um, ky1)]
    if handle.y0 >= head.y1:
        return [(hx0, hy0, hx1, head.y1), (kx0, head.y1 + fit_um, kx1, ky1)]
    return [(hx0, head.y0, hx1, hy1), (kx0, ky0, kx1, head.y0 - fit_um)]


def _weight_mg(rect: Rect, thickness_um: int, foam: Foam) -> int:
    return foam.weight_mg((rect[2] - rect[0]) * (rect[3] - rect[1]) * thickness_um)


def _saddle(part: Part, cut: Sequence[Sheet], gap_um: int) -> tuple[int, tuple[tuple[str, int, bool], ...]] | None:
    lowest = cut[0]
    hang = part.z0 - lowest.floor_um
    return (lowest.floor_um, ((lowest.id, hang, False),)) if hang > gap_um else None


def _plug(part: Part, cut: Sequence[Sheet], gap_um: int) -> tuple[int, tuple[tuple[str, int, bool], ...]] | None:
    if cut[-1].top_um - part.z1 <= gap_um:
        return None
    pieces = []
    for sheet in cut:
        thickness = sheet.top_um - max(sheet.floor_um, part.z1)
        whole = thickness == sheet.thickness_um
        if whole or thickness > gap_um:
            pieces.append((sheet.id, thickness, whole))
    return cut[-1].top_um - sum(piece[1] for piece in pieces), tuple(pieces)


def loose_pieces(
    placed: Sequence[Placement], sheets: Sequence[Sheet], foam: Foam, *, fit_um: int, gap_um: int
) -> tuple[tuple[Loose, ...], tuple[Loose, ...]]:
    """Saddles under what hangs and plugs over what could rise.

    Parameters
    ----------
    placed
        The items, in the order's order.
    sheets
        The whole stack.
    foam
        For the weight.
    fit_um
        Room cut around a part.
    gap_um
        A gap up to this is left open.

    Returns
    -------
    tuple
        Saddles, then plugs; at most one of each for a part.

    Notes
    -----
    A saddle fills the gap between a part and the lowest sheet that is cut for it: a slice of what came out of that
    sheet. A plug fills the gap between a part and the top of its layer, to the full, except that its lowest slice is
    left out where it would be `gap_um` thick or less. Every piece is cut from what came out of the same pocket at the
    same height, so there is always enough.
    """
    saddles: list[Loose] = []
    plugs: list[Loose] = []
    for one in placed:
        stack = [sheet for sheet in sheets if sheet.layer == one.layer]
        for part, rect in zip(one.parts, footprints(one.parts, fit_um), strict=True):
            of = (one.item, kinds.Part(part.name), one.layer, rect)
            cut = [sheet for sheet in stack if sheet.top_um > part.z0]
            if found := _saddle(part, cut, gap_um):
                z0, pieces = found
                weight = _weight_mg(rect, part.z0 - z0, foam)
                saddles.append(
                    Loose(
                        f"D{len(saddles) + 1}",
                        one.item,
                        kinds.Part(part.name),
                        one.layer,
                        rect,
                        z0,
                        part.z0,
                        pieces,
                        weight,
                    )
                )
            if found := _plug(part, cut, gap_um):
                z0, pieces = found
                top = cut[-1].top_um
                weight = _weight_mg(rect, top - z0, foam)
                plugs.append(Loose(f"P{len(plugs) + 1}", *of, z0, top, pieces, weight))
    return tuple(saddles), tuple(plugs)

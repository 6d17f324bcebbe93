"""Fills, rests, plugs and saddles: foam laid under and over the pieces."""

from collections.abc import Iterator, Sequence

from packing.insert.fitted import Fit, bearing_rects, pocket_rects
from packing.insert.gaps import GAP_UM, NOTHING, REST_UM, Closing
from packing.insert.model import Hole, Loose, Rect, Sheet
from packing.insert.stack import SheetWork, StandingItem, StandingPart
from packing.materials import Foam
from packing.measure import Ruler, Step, down_to_step
from packing.nest import Placement
from packing.plan import kinds
from packing.plan.kinds import LooseKind
from packing.polygon import clipped, extent, largest_rectangle
from packing.pose import Part

_LETTERS = {LooseKind.FILL: "F", LooseKind.REST: "R", LooseKind.PLUG: "P", LooseKind.SADDLE: "D"}
"""First letters of their ids, none of them the S of a sheet."""


def footprints(one: Placement, fit: Fit) -> list[Rect]:
    """The places where loose foam may lie over or under each part of one item.

    Parameters
    ----------
    one
        Where the item lies, in the interior's frame.
    fit
        How snug its pockets are.

    Returns
    -------
    list of tuple
        A block: its pocket. A head: its pocket as far as the handle begins, so that foam over it never lies on a
        handle thicker than it. A handle: its pocket less the head's. So no two pieces of one item overlap, and none
        meets the other part.
    """
    rects = pocket_rects(one, fit)
    if len(one.parts) == 1:
        return rects
    head, handle = one.parts
    (hx0, hy0, hx1, hy1), (kx0, ky0, kx1, ky1) = rects
    x0, y0, x1, y1 = bearing_rects(one, fit)[0]
    # By the side on which the handle leaves; what lies over it begins where the head's pocket ends.
    if handle.x0 >= head.x1:
        return [(hx0, hy0, x1, hy1), (hx1, ky0, kx1, ky1)]
    if handle.x1 <= head.x0:
        return [(x0, hy0, hx1, hy1), (kx0, ky0, hx0, ky1)]
    if handle.y0 >= head.y1:
        return [(hx0, hy0, hx1, y1), (kx0, hy1, kx1, ky1)]
    return [(hx0, y0, hx1, hy1), (kx0, ky0, kx1, hy0)]


def at_the_butt(head: Part, handle: Rect, step: Step | None = None) -> Rect:
    """The last `REST_UM` of a handle's footprint, in whole steps, before its butt, the end away from the head."""
    x0, y0, x1, y1 = handle
    length = down_to_step(REST_UM, step)
    if x0 >= head.x1:
        return (max(x0, x1 - length), y0, x1, y1)
    if x1 <= head.x0:
        return (x0, y0, min(x1, x0 + length), y1)
    if y0 >= head.y1:
        return (x0, max(y0, y1 - length), x1, y1)
    return (x0, y0, x1, min(y1, y0 + length))


def _in_hole(hole: Hole, rect: Rect, *, whole: bool, along: int, step: Step | None) -> Rect:
    """The part of a footprint in which a rectangle of foam has room in its pocket, in whole steps.

    With `whole` it keeps the footprint's length along an axis where it can.
    """
    if not hole.outline:
        return rect
    return _within_lines(_in_outline(hole, rect, whole=whole, along=along), step)


def _within_lines(rect: Rect, step: Step | None) -> Rect:
    """The lines of a rule next within a rectangle; the rectangle where there are none."""
    if step is None:
        return rect
    ruler = Ruler(step)
    x0, y0, x1, y1 = rect
    a0, b0, a1, b1 = ruler.next(x0), ruler.next(y0), ruler.last(x1), ruler.last(y1)
    if a0 >= a1 or b0 >= b1:
        return rect
    return ruler.line(a0), ruler.line(b0), ruler.line(a1), ruler.line(b1)


def _in_outline(hole: Hole, rect: Rect, *, whole: bool, along: int) -> Rect:
    # Loose foam is a rectangle even in an outlined pocket: it is cut with straight cuts alone.
    inside = clipped(hole.outline, rect)
    if len(inside) < 3:
        return rect
    if whole:
        bounds = extent(inside)
        found = largest_rectangle(inside, (bounds[along], bounds[along + 2]), along)
        if found:
            return found
    return largest_rectangle(inside) or rect


def standing(one: Placement, holes: Sequence[Hole], *, floor_um: int, fit: Fit, thin: bool) -> StandingItem:
    """An item as its layer's sheets see it; with thin stock a handle is carried and held near its butt only."""
    rects = footprints(one, fit)
    parts = []
    for part, hole, rect in zip(one.parts, holes, rects, strict=True):
        name = kinds.Part(part.name)
        short = thin and name is kinds.Part.HANDLE
        held = at_the_butt(one.parts[0], rect, fit.step) if short else rect
        # The handle runs along x where it begins beyond either end of the head in x.
        along = 0 if one.parts[0].x1 <= part.x0 or part.x1 <= one.parts[0].x0 else 1
        held = _in_hole(hole, held, whole=short, along=along, step=fit.step)
        parts.append(StandingPart(name, part.z0 - floor_um, part.z1 - floor_um, hole, held, held))
    return StandingItem(tuple(parts))


class LooseFoam:
    """Collects the loose pieces of an insert and numbers them by kind."""

    def __init__(self, foam: Foam) -> None:
        self._foam = foam
        self._found: list[Loose] = []
        self.left_open: list[tuple[int, kinds.Part, int]] = []

    def of_kind(self, kind: LooseKind) -> tuple[Loose, ...]:
        """The pieces of one kind, in the order they were laid."""
        return tuple(loose for loose in self._found if loose.kind is kind)

    @property
    def in_order(self) -> tuple[Loose, ...]:
        """All pieces: what lies under the tools first."""
        kinds_in_order = (LooseKind.SADDLE, LooseKind.REST, LooseKind.PLUG, LooseKind.FILL)
        return tuple(loose for kind in kinds_in_order for loose in self.of_kind(kind))

    def lay(self, one: Placement, item: StandingItem, sheets: Sequence[Sheet], work: SheetWork, floor_um: int) -> None:
        """Lay what closes the gaps round one item in its layer's sheets; note what stays open."""
        for part in item.parts:
            for sheet, above, gap_um, closing in _gaps(part, sheets, work, floor_um):
                height = sum(closing.thicknesses_um)
                if gap_um - height > GAP_UM:
                    self.left_open.append((one.item, part.name, gap_um - height))
                if closing.kind is None:
                    continue
                # Over a part it lies on it; under one it is flush with its underside and rests on the sheet below.
                z0 = floor_um + part.z1_um if above else floor_um + part.z0_um - height
                rect = part.over if above else part.under
                volume = (rect[2] - rect[0]) * (rect[3] - rect[1]) * height
                self._found.append(
                    Loose(
                        closing.kind,
                        f"{_LETTERS[closing.kind]}{len(self.of_kind(closing.kind)) + 1}",
                        one.item,
                        part.name,
                        one.layer,
                        rect,
                        z0,
                        z0 + height,
                        closing.thicknesses_um,
                        self._foam.weight_mg(volume),
                        sheet.id if closing.kind in (LooseKind.PLUG, LooseKind.SADDLE) else None,
                    )
                )


def _gaps(
    part: StandingPart, sheets: Sequence[Sheet], work: SheetWork, floor_um: int
) -> Iterator[tuple[Sheet, bool, int, Closing]]:
    """Each gap that is to be closed: its sheet, whether it is above the part, its height, what closes it."""
    for sheet in sheets:
        low, high = sheet.floor_um - floor_um, sheet.top_um - floor_um
        # What goes under the part comes first, then what goes over it.
        for above, closing in enumerate(work.closings(part, low, high)):
            if closing is not NOTHING:
                yield sheet, bool(above), high - part.z1_um if above else part.z0_um - low, closing

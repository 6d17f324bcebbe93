"""The pressure of each piece on the foam, whichever side of the box is down, and how much foam is there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from packing.cushion import (
    FRAGILITY_G,
    Patch,
    Plate,
    drop_height_um,
    plate_for,
    pressures_pa,
    thickness_um,
    upright_plate,
)
from packing.insert.fitted import grown
from packing.insert.gaps import REST_UM
from packing.insert.model import Insert, Rect, Sheet
from packing.measure import Item, Order, Tool
from packing.nest import Nesting, Placement
from packing.plan.kinds import FoamVerdict, Form, Part, Side
from packing.pose import Part as PlacedPart
from packing.pose import part_weights_mg

HAMMER_SHARE = 0.6
"""Share of a head's rectangle that touches: cheeks and faces are rounded (common practice, no source)."""
AXE_SHARE = 0.3
"""The same for an axe or an adze, which rests on the bulge of its eye (common practice, no source)."""
OUTLINED_SHARE, OUTLINED_AXE_SHARE = 1.0, 0.5
"""The same where a pocket follows the head's outline: its projected width bears, of a blade's wedge half the greatest
thickness (common practice, no source)."""
HANDLE_SHARE = 0.6
"""The same for a handle, whose section is an oval (common practice, no source)."""
BLOCK_SHARE = 1.0
"""A tin or a packet lies on the whole of its side."""

AXES: dict[Side, tuple[int, int]] = {
    Side.BOTTOM: (2, -1),
    Side.TOP: (2, 1),
    Side.LEFT: (0, -1),
    Side.RIGHT: (0, 1),
    Side.FRONT: (1, -1),
    Side.BACK: (1, 1),
}
"""The axis along which a piece presses, and towards which end of it."""


@dataclass(frozen=True, slots=True)
class Contact:
    """One piece on one side of the box.

    Parameters
    ----------
    item
        Index of the order's item.
    side
        The side of the box that is down.
    stress_pa
        Greatest static pressure on the foam, in pascals.
    thickness_um
        Foam between the piece and the box, or the next pocket.
    needed_um
        What a fall from the height for this gross weight asks for; None beyond the table of heights.
    verdict
        The pressure against the range that the foam is meant for.
    plate
        A plate that brings too high a pressure down; None where none is needed or none would do.
    laid
        Id of the plate that stands there, which spreads the pressure.
    """

    item: int
    side: Side
    stress_pa: int
    thickness_um: int
    needed_um: int | None
    verdict: FoamVerdict
    plate: Plate | None = None
    laid: str | None = None

    @property
    def thin(self) -> bool:
        """True where there is less foam than a fall asks for."""
        return self.needed_um is not None and self.thickness_um < self.needed_um


def contacts(order: Order, nesting: Nesting, insert: Insert, gross_mg: int) -> tuple[Contact, ...]:
    """Every piece of a layered plan on every side of the box.

    Parameters
    ----------
    order, nesting, insert
        A planned nesting and its insert.
    gross_mg
        Gross weight, which decides the height of fall.

    Returns
    -------
    tuple of Contact
        By item, then by side. Contact areas are estimates: a share of the rectangle.

    Notes
    -----
    Along the head and on a cheek a tool is one rigid body on a bed that presses and never pulls: head and handle share
    the load, see `packing.cushion.pressures_pa`. Along the handle the crown presses, or the shoulders alone.
    """
    drop = drop_height_um(gross_mg)
    needed = None if drop is None else int(thickness_um(drop))
    found = []
    for one in nesting.placed:
        # Without a layer it stands among boxes that hold each other: no foam is pressed.
        if one.layer < 0:
            continue
        item = order.items[one.item]
        for side, (axis, sign) in AXES.items():
            stress = _stress_pa(item, one, insert, axis, sign)
            there = _foam_um(one, nesting, insert, axis, sign)
            laid = next((row for row in insert.plates if (row.item, row.side) == (one.item, side)), None)
            if laid is not None:
                across, up = _face_um(one, axis)
                # The same force on the whole face of the plate, in place of the share of the head that touches.
                stress *= _touching(item, one, insert, axis) * across * up / (laid.face_um[0] * laid.face_um[1])
                # The plate stands where foam would be.
                there -= laid.thickness_um
            plate = _plate(item, one, insert, axis, stress)
            verdict, name = _verdict(stress, insert), None if laid is None else laid.id
            found.append(Contact(one.item, side, round(stress), there, needed, verdict, plate, name))
    return tuple(found)


def _plate(item: Item, one: Placement, insert: Insert, axis: int, stress_pa: float) -> Plate | None:
    """The plate that brings down a pressure that is too much; None where all there is room for stand."""
    if _verdict(stress_pa, insert) is not FoamVerdict.OVER or insert.foam.stress_pa is None:
        return None
    # Plates that were asked for stand wherever there is room: advice for one more could not be followed.
    if axis != 2 and insert.has_plates:
        return None
    most, share = insert.foam.stress_pa[1], _touching(item, one, insert, axis)
    return plate_for(_face_um(one, axis), share, stress_pa / most, most * FRAGILITY_G)


def plate_beside(item: Item, one: Placement, insert: Insert, axis: int, stress_pa: float) -> Plate | None:
    """The plate, as high as what presses, that brings down a pressure beside a piece; None where none is needed.

    At the peak of a fall the pressure is so many times as high.
    """
    if _verdict(stress_pa, insert) is not FoamVerdict.OVER or insert.foam.stress_pa is None:
        return None
    most, share = insert.foam.stress_pa[1], _touching(item, one, insert, axis)
    return upright_plate(_face_um(one, axis), share, stress_pa / most, most * FRAGILITY_G)


def _face_um(one: Placement, axis: int) -> tuple[int, int]:
    """The sides of the rectangle that an item's head, or block, presses with along an axis; up is the second."""
    first, second = (_length(span) for other, span in enumerate(_box(one.parts[0])) if other != axis)
    return first, second


def _touching(item: Item, one: Placement, insert: Insert, axis: int) -> float:
    """The share of that rectangle that touches."""
    return _share(item, one, insert, axis) if isinstance(item, Tool) else BLOCK_SHARE


def _share(item: Tool, one: Placement, insert: Insert, axis: int) -> float:
    """The share of the rectangle that a head presses along an axis touches."""
    blade = item.form in (Form.AXE, Form.ADZE)
    if axis != 2 and _follows_outline(one, insert):
        return OUTLINED_AXE_SHARE if blade else OUTLINED_SHARE
    return AXE_SHARE if blade else HAMMER_SHARE


def _follows_outline(one: Placement, insert: Insert) -> bool:
    """Tell whether the pocket of an item's head is cut to its outline."""
    return any(
        pocket.outline and (pocket.item, pocket.part) == (one.item, Part.HEAD)
        for sheet in insert.sheets
        for pocket in sheet.pockets
    )


def _verdict(stress_pa: float, insert: Insert) -> FoamVerdict:
    meant = insert.foam.stress_pa
    if meant is None:
        return FoamVerdict.UNKNOWN
    if stress_pa > meant[1]:
        return FoamVerdict.OVER
    return FoamVerdict.LIGHT if stress_pa < meant[0] else FoamVerdict.WITHIN


def _box(part: PlacedPart) -> tuple[tuple[int, int], ...]:
    return (part.x0, part.x1), (part.y0, part.y1), (part.z0, part.z1)


def _length(span: tuple[int, int]) -> int:
    return span[1] - span[0]


def _stress_pa(item: Item, one: Placement, insert: Insert, axis: int, sign: int) -> float:
    """Greatest pressure of a piece that presses along an axis."""
    weights = part_weights_mg(item)
    if not isinstance(item, Tool):
        sides = [_length(span) for other, span in enumerate(_box(one.parts[0])) if other != axis]
        return pressures_pa(item.weight_mg, sides[0] / 2, [Patch(0, sides[0], sides[1] * BLOCK_SHARE)])[0]
    head, handle = (_box(part) for part in one.parts)
    along = 0 if head[0][1] <= handle[0][0] or handle[0][1] <= head[0][0] else 1
    share = _share(item, one, insert, axis)
    across = next(other for other in range(3) if other not in (axis, along))
    if axis == along:
        return _endwise_pa(item, head, handle, along, sign, share)
    patches = [Patch(*head[along], _length(head[across]) * share)]
    patches += _handle_patches(one, insert, along, axis, sign)
    mass = sum(weights)
    middles = [Fraction(sum(box[along]), 2) for box in (head, handle)]
    centre = sum(weight * middle for weight, middle in zip(weights, middles, strict=True)) / mass
    # Not in balance on these alone: the butt comes down, too, and takes its share.
    if not min(p.start_um for p in patches) < centre < max(p.end_um for p in patches):
        patches.append(_butt(handle[along], head[along], _length(handle[across])))
    return max(pressures_pa(float(mass), float(centre), sorted(patches, key=lambda patch: patch.start_um)))


def _endwise_pa(
    item: Tool, head: Sequence[tuple[int, int]], handle: Sequence[tuple[int, int]], along: int, sign: int, share: float
) -> float:
    """Along the handle: the crown presses, or towards the butt the shoulders beside the handle."""
    sides = [other for other in range(3) if other != along]
    area = share * _length(head[sides[0]]) * _length(head[sides[1]])
    if (handle[along][0] >= head[along][1]) == (sign > 0):
        area -= _length(handle[sides[0]]) * _length(handle[sides[1]])
    # A square of that area, since the load is in its middle; never nothing, which would make the pressure infinite.
    side = max(area, 1.0) ** 0.5
    return pressures_pa(item.weight_mg, side / 2, [Patch(0, round(side), side)])[0]


def _butt(handle: tuple[int, int], head: tuple[int, int], width: int) -> Patch:
    """The last of a handle, which comes down where the head alone does not carry it."""
    start, end = (handle[1] - REST_UM, handle[1]) if handle[0] >= head[1] else (handle[0], handle[0] + REST_UM)
    return Patch(max(start, handle[0]), min(end, handle[1]), width * HANDLE_SHARE)


def _handle_patches(one: Placement, insert: Insert, along: int, axis: int, sign: int) -> Iterator[Patch]:
    """The patches where the handle touches: its side all along its pocket; above and below what carries or holds it."""
    handle = one.parts[1]
    if axis != 2:
        yield Patch(*_box(handle)[along], (handle.z1 - handle.z0) * HANDLE_SHARE)
        return
    loose = insert.rests + insert.saddles if sign < 0 else insert.fills + insert.plugs
    width = _length(_box(handle)[1 - along])
    if _lies_against_foam(one, insert, sign):
        yield Patch(*_box(handle)[along], width * HANDLE_SHARE)
        return
    for row in loose:
        if row.item == one.item and row.part is Part.HANDLE:
            yield Patch(row.rect[along], row.rect[along + 2], width * HANDLE_SHARE)


def _lies_against_foam(one: Placement, insert: Insert, sign: int) -> bool:
    """Tell whether the foam under a handle, or over it, is no further off than foam gives: the handle lies along it."""
    cut = [s for s in insert.sheets if any((p.item, p.part) == (one.item, Part.HANDLE) for p in s.pockets)]
    if not cut:
        return False
    handle = one.parts[1]
    gap = max(s.top_um for s in cut) - handle.z1 if sign > 0 else handle.z0 - min(s.floor_um for s in cut)
    return gap <= insert.give_um


def _foam_um(one: Placement, nesting: Nesting, insert: Insert, axis: int, sign: int) -> int:
    """Foam between a piece's head, or block, and the box or the nearest pocket on that side."""
    head = one.parts[0]
    if axis == 2:
        return _foam_over_or_under(one, head, nesting, insert, sign)
    low, high = _box(head)[axis]
    own = grown(head, insert.fit_um)
    across = 1 - axis
    # The box itself ends the foam; nearer than that only the pockets of other pieces do.
    free = [nesting.interior_um[axis] - high if sign > 0 else low]
    for sheet in _cut_for(one, insert):
        for pocket in sheet.pockets:
            rect = pocket.rect
            beside = rect[across] < own[across + 2] and rect[across + 2] > own[across]
            gap = rect[axis] - high if sign > 0 else low - rect[axis + 2]
            if pocket.item != one.item and beside and gap >= 0:
                free.append(gap)
    return min(free)


def _cut_for(one: Placement, insert: Insert) -> list[Sheet]:
    return [sheet for sheet in insert.sheets if any(pocket.item == one.item for pocket in sheet.pockets)]


def _foam_over_or_under(one: Placement, head: PlacedPart, nesting: Nesting, insert: Insert, sign: int) -> int:
    own = grown(head, insert.fit_um)
    far = nesting.interior_um[2] if sign > 0 else 0
    start = head.z1 if sign > 0 else head.z0
    for sheet in insert.sheets if sign > 0 else reversed(insert.sheets):
        edge = sheet.floor_um if sign > 0 else sheet.top_um
        beyond = (edge - start) * sign >= 0 and sheet.layer != one.layer
        if beyond and sheet.material is not None:
            # A stiff sheet bridges the pockets beyond it, so that all the foam on that side bears.
            break
        if beyond and any(_meets(pocket.rect, own) for pocket in sheet.pockets):
            far = edge
            break
    return abs(far - start)


def _meets(first: Rect, second: Rect) -> bool:
    return first[0] < second[2] and second[0] < first[2] and first[1] < second[3] and second[1] < first[3]

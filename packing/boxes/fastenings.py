"""Places of screws and nails in a wooden box, so that none meets another and none leaves the wood.

Each joint is a line along which fasteners stand in even spaces. Shafts are straight lines of known length along an axis
of the box; two of them keep three diameters between their axes. Joints are laid out one after the other: a joint's
first place, its spacing and the shift of every second of its lines are tried in steps of a millimetre, nearest to the
usual ones first. This is a heuristic: it finds no best layout, it says where it finds none.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import isqrt

from packing.boxes.design import Hardware, PlacedPanel
from packing.boxes.piece import Hole, Size
from packing.boxes.placed_piece import PlacedPiece
from packing.materials import Fastening
from packing.materials.fasteners import EDGE_UM
from packing.measure import BadInput, mm
from packing.messages import Message

APART = 3
"""Diameters between the axes of two fasteners that cross (the postal and building rules have no figure for boxes)."""
STEP_UM = 1_000
"""Places are set to whole millimetres: nobody marks a board finer."""
MOST_MORE = 6
"""Most fasteners more than usual that a joint may get to pass others."""


@dataclass(frozen=True, slots=True)
class Line:
    """One joint: fasteners go in along it.

    Parameters
    ----------
    start
        Where it begins, on the face the heads lie in.
    along, into
        Axes: of the line, of the shafts.
    way
        1 where shafts run up their axis, -1 where they run down.
    length_um
        Of the joint.
    """

    start: Size
    along: int
    into: int
    way: int
    length_um: int


@dataclass(frozen=True, slots=True)
class Joint:
    """Equal lines that are fastened alike.

    Parameters
    ----------
    where
        In words, for the parts list.
    fastening
        With what.
    lines
        Each; of two that face one another the second is the one that may be shifted.
    fastened, holding
        Ids of the pieces the heads lie in and the points go into.
    """

    where: Message
    fastening: Fastening
    lines: tuple[Line, ...]
    fastened: str
    holding: str


@dataclass(frozen=True, slots=True)
class Shaft:
    """One fastener in place: both ends of its axis, its thickness, its row in the hardware."""

    low: Size
    high: Size
    diameter_um: int
    row: int


@dataclass(frozen=True, slots=True)
class _Layout:
    count: int
    first: int
    spacing: int
    offset: int

    def places(self, line: int) -> list[int]:
        shift = self.offset if line % 2 else 0
        return [self.first + shift + self.spacing * index for index in range(self.count)]


Interval = tuple[int, int]


def _shaft(line: Line, at: int, length_um: int, diameter_um: int, row: int) -> Shaft:
    low, high = list(line.start), list(line.start)
    low[line.along] = high[line.along] = line.start[line.along] + at
    if line.way > 0:
        high[line.into] += length_um
    else:
        low[line.into] -= length_um
    return Shaft((low[0], low[1], low[2]), (high[0], high[1], high[2]), diameter_um, row)


def _needed(line: Line, shaft: Shaft, other: Shaft) -> int | None:
    """The least distance of a shaft from another along the line; None where it passes it anyhow."""
    apart = APART * max(shaft.diameter_um, other.diameter_um)
    square = 0
    for axis in range(3):
        if axis != line.along:
            gap = max(0, shaft.low[axis] - other.high[axis], other.low[axis] - shaft.high[axis])
            square += gap * gap
    left = apart * apart - square
    # The next whole micrometre up, so that the distance is kept and not just missed.
    return isqrt(left - 1) + 1 if left > 0 else None


def _blocked(joint: Joint, line: Line, placed: Sequence[Shaft]) -> list[Interval]:
    """Open intervals along a line in which a fastener would come too near to one that is placed."""
    fastener = joint.fastening.fastener
    # One at the line’s beginning stands for all: they differ in their place along it alone.
    probe = _shaft(line, 0, fastener.length_um, fastener.diameter_um, 0)
    start, found = line.start[line.along], []
    for other in placed:
        need = _needed(line, probe, other)
        if need is not None:
            found.append((other.low[line.along] - need - start, other.high[line.along] + need - start))
    return found


def _facing(joint: Joint) -> int:
    """The least distance between places of two lines of one joint; 0 where all pass each other at the same place."""
    fastener = joint.fastening.fastener
    probes = [_shaft(line, 0, fastener.length_um, fastener.diameter_um, 0) for line in joint.lines]
    need = 0
    for index, one in enumerate(joint.lines):
        for other in range(index + 1, len(joint.lines)):
            found = _needed(one, probes[index], probes[other])
            # Lines that lie beyond each other’s ends never meet, whatever their places.
            reach = abs(one.start[one.along] - joint.lines[other].start[one.along])
            if found is not None and reach < min(one.length_um, joint.lines[other].length_um):
                need = max(need, found)
    return need


def _usual(length_um: int, spacing_um: int) -> int:
    """The usual number of fasteners of a joint of this length."""
    between = length_um - 2 * EDGE_UM
    if between <= 0:
        # Two where there is room: about a single one the board could turn.
        return 2 if length_um >= 40_000 else 1
    return max(1, -(-between // spacing_um)) + 1


def _firsts(length_um: int, count: int, fastening: Fastening) -> list[int]:
    """Places for the first fastener, nearest to the usual one first; every end keeps the least distance."""
    least = min(fastening.least_um, length_um // 3)
    usual = EDGE_UM if length_um >= 3 * EDGE_UM else length_um // 3
    if count == 1:
        usual, most = length_um // 2, length_um - least
    else:
        most = (length_um - (count - 1) * min(fastening.least_um, length_um // 3)) // 2
    tried = range(-(-least // STEP_UM) * STEP_UM, most + 1, STEP_UM)
    return sorted(tried, key=lambda first: (abs(first - usual), first))


def _spacings(length_um: int, count: int, first_um: int, fastening: Fastening) -> Iterator[int]:
    """Spacings to try: the one that leaves both ends alike, then shorter ones, which leave more at the far end."""
    if count == 1:
        yield 0
        return
    least = min(fastening.least_um, length_um // 3)
    even = (length_um - 2 * first_um) // (count - 1) // STEP_UM * STEP_UM
    yield from (spacing for spacing in range(even, least - 1, -2 * STEP_UM))


def _layouts(joint: Joint, facing_um: int) -> Iterator[_Layout]:
    """Layouts to try: even ones of the usual number of fasteners and more, then such that leave more at one end."""
    length = min(line.length_um for line in joint.lines)
    fastening = joint.fastening
    usual = _usual(length, fastening.spacing_um)
    # More fasteners before fewer: a joint is made stronger than usual rather than weaker.
    counts = (*range(usual, usual + MOST_MORE), *range(usual - 1, 0, -1))
    # Even layouts first, for all numbers: uneven ends look like a mistake.
    for uneven in (False, True):
        for count in counts:
            for first in _firsts(length, count, fastening):
                for index, spacing in enumerate(_spacings(length, count, first, fastening)):
                    if (index > 0) is uneven:
                        yield from _shifted(_Layout(count, first, spacing, 0), length, fastening, facing_um)


def _shifted(layout: _Layout, length_um: int, fastening: Fastening, facing_um: int) -> Iterator[_Layout]:
    """A layout with every shift of every second line in which lines that face one another pass."""
    if not facing_um:
        yield layout
        return
    count, spacing = layout.count, layout.spacing
    most = length_um - min(fastening.least_um, length_um // 3) - layout.first - (count - 1) * spacing
    for offset in range(-(-facing_um // STEP_UM) * STEP_UM, most + 1, STEP_UM):
        # Shifted by whole spacings the two lines would meet again one fastener further on.
        if count == 1 or facing_um <= offset % spacing <= spacing - facing_um:
            yield replace(layout, offset=offset)


def _free(places: Sequence[int], blocked: Sequence[Interval]) -> bool:
    return not any(low < place < high for place in places for low, high in blocked)


def _laid_out(joint: Joint, placed: Sequence[Shaft]) -> _Layout | None:
    blocked = [_blocked(joint, line, placed) for line in joint.lines]
    for layout in _layouts(joint, _facing(joint)):
        if all(_free(layout.places(index), held) for index, held in enumerate(blocked)):
            return layout
    return None


def _shafts_of(joint: Joint, row: int, layout: _Layout) -> list[Shaft]:
    fastener = joint.fastening.fastener
    return [
        _shaft(line, at, fastener.length_um, fastener.diameter_um, row)
        for index, line in enumerate(joint.lines)
        for at in layout.places(index)
    ]


def _ordered(joints: Sequence[Joint]) -> list[_Layout]:
    """A layout for each joint; one that finds no place goes before the others, and all begin again."""
    order = list(range(len(joints)))
    for _attempt in range(2 * len(joints)):
        found: dict[int, _Layout] = {}
        placed: list[Shaft] = []
        for row in order:
            layout = _laid_out(joints[row], placed)
            if layout is None:
                break
            found[row] = layout
            placed += _shafts_of(joints[row], row, layout)
        else:
            return [found[row] for row in range(len(joints))]
        stuck = row
        order.remove(stuck)
        # Who found no place chooses first the next time; twice as many tries as joints, and then there is none.
        order.insert(0, stuck)
    joint = joints[stuck]
    length = min(line.length_um for line in joint.lines)
    raise BadInput(
        "fasteners",
        f"must stay {APART} diameters apart: no place along {mm(length)} mm for {joint.fastening.fastener.name} "
        f"({joint.where}).",
    )


def _all_laid_out(joints: Sequence[Joint]) -> tuple[list[Joint], list[_Layout]]:
    """The joints with their layouts; nails are drilled for, and may stand nearer to the ends, where it must be."""
    try:
        return list(joints), _ordered(joints)
    except BadInput:
        # A drilled nail does not split the wood, so it may stand nearer to the end.
        drilled = [replace(joint, fastening=replace(joint.fastening, drilled=True)) for joint in joints]
        return drilled, _ordered(drilled)


def laid_out(joints: Sequence[Joint]) -> tuple[tuple[Hardware, ...], tuple[Shaft, ...]]:
    """Set every fastener of a box.

    Parameters
    ----------
    joints
        In the order in which they are laid out; each becomes a row of hardware.

    Returns
    -------
    rows, shafts
        Counts, first places, spacings and shifts; every fastener in place.

    Raises
    ------
    BadInput
        No place is found for a joint's fasteners.
    """
    rows: list[Hardware] = []
    shafts: list[Shaft] = []
    used, layouts = _all_laid_out(joints)
    for row, (joint, layout) in enumerate(zip(used, layouts, strict=True)):
        shafts += _shafts_of(joint, row, layout)
        fastening, fastener = joint.fastening, joint.fastening.fastener
        rows.append(
            Hardware(
                what=fastener.name,
                kind=fastening.kind,
                count=layout.count * len(joint.lines),
                each_mg=fastener.each_mg,
                where=joint.where,
                rule=fastening.rule,
                spacing_um=layout.spacing,
                first_um=layout.first,
                offset_um=layout.offset,
                fastening=fastening,
            )
        )
    return tuple(rows), tuple(shafts)


def with_holes(
    pieces: Sequence[PlacedPiece], joints: Sequence[Joint], shafts: Sequence[Shaft]
) -> tuple[PlacedPiece, ...]:
    """The pieces with a hole wherever a fastener goes through or into them.

    Copies of a piece whose holes differ become pieces of their own: X1, X1b and so on.
    """
    return tuple(
        split for one in pieces for split in split_by_holes(one, partial(_holes, one, joints=joints, shafts=shafts))
    )


def split_by_holes(one: PlacedPiece, holes_of: Callable[[PlacedPanel], tuple[Hole, ...]]) -> list[PlacedPiece]:
    """A piece with its holes; copies whose holes differ become pieces of their own: X1, X1b and so on."""
    alike: dict[tuple[Hole, ...], list[PlacedPanel]] = {}
    for panel in one.placed_panels:
        alike.setdefault(holes_of(panel), []).append(panel)
    made = []
    for index, (holes, panels) in enumerate(alike.items()):
        id_ = one.cut_piece.id + ("abcdefgh"[index] if index else "")
        piece = replace(one.cut_piece, id=id_, count=len(panels), holes=holes)
        made.append(replace(one, cut_piece=piece, placed_panels=tuple(replace(panel, piece=id_) for panel in panels)))
    return made


def _holes(
    one: PlacedPiece, panel: PlacedPanel, *, joints: Sequence[Joint], shafts: Sequence[Shaft]
) -> tuple[Hole, ...]:
    holes = []
    for shaft in shafts:
        joint = joints[shaft.row]
        into = joint.lines[0].into
        if one.cut_piece.id in (joint.fastened, joint.holding) and _meets(panel, shaft, into):
            holes.append(_hole(one, panel.low, shaft, joint, into))
    return tuple(sorted(holes, key=lambda hole: (hole.row, hole.at)))


def _meets(panel: PlacedPanel, shaft: Shaft, into: int) -> bool:
    """Tell whether a shaft goes through or into a piece in its place."""
    inside = all(panel.low[axis] <= shaft.low[axis] <= panel.high[axis] for axis in range(3) if axis != into)
    return inside and panel.low[into] < shaft.high[into] and shaft.low[into] < panel.high[into]


def _hole(one: PlacedPiece, low: Size, shaft: Shaft, joint: Joint, into: int) -> Hole:
    """The place where a shaft meets a piece, on the piece: x along the grain, y across it."""
    along, across = one.axes.index(0), one.axes.index(1)
    size = one.cut_piece.size_um
    at = [shaft.low[axis] - low[axis] for axis in (along, across)]
    edge = into in (along, across)
    if edge:  # seen through the face: the shaft's end at the edge
        place = 0 if into == along else 1
        at[place] = 0 if shaft.low[into] < low[into] else size[place]
    fastening = joint.fastening
    fastened = one.cut_piece.id == joint.fastened
    drill = fastening.clearance_um if fastened else fastening.pilot_um
    return Hole((at[0], at[1]), drill, shaft.row, edge)

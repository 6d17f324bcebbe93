"""The ways one item can lie in a layer, as boxes in whole micrometres.

An item stands on its layer's floor (z 0) with the least corner of its footprint at x 0, y 0. A tool is two boxes in
a T: see `orientations_of`.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from packing.measure import Block, Item, Sharp, Tool
from packing.plan import kinds
from packing.plan.kinds import Pose
from packing.polygon import Polygon, counter_clockwise


@dataclass(frozen=True, slots=True)
class Part:
    """One box of an item: head, handle or block; corners in micrometres."""

    name: kinds.Part
    x0: int
    y0: int
    z0: int
    x1: int
    y1: int
    z1: int

    def moved(self, dx: int, dy: int, dz: int) -> "Part":
        """The same part, moved by whole micrometres."""
        return Part(
            self.name,
            self.x0 + dx,
            self.y0 + dy,
            self.z0 + dz,
            self.x1 + dx,
            self.y1 + dy,
            self.z1 + dz,
        )


@dataclass(frozen=True, slots=True)
class Orientation:
    """One way of lying.

    Parameters
    ----------
    pose
        On a cheek, standing on its face or poll, or as a block.
    turn
        Degrees counter-clockwise seen from above; at 0 a handle points to +x.
    flipped
        A flat tool with its other cheek up: seen with the handle pointing down, the face is on the right.
    parts
        Head then handle, or the block; corners relative to the footprint's least corner and the layer's floor.
    """

    pose: Pose
    turn: int
    flipped: bool
    parts: tuple[Part, ...]

    @property
    def length_um(self) -> int:
        """Extent along x."""
        return max(part.x1 for part in self.parts)

    @property
    def width_um(self) -> int:
        """Extent along y."""
        return max(part.y1 for part in self.parts)

    @property
    def need_um(self) -> int:
        """Height the layer must have."""
        return max(part.z1 for part in self.parts)


def _turned(part: Part, turn: int) -> Part:
    x0, y0, x1, y1 = part.x0, part.y0, part.x1, part.y1
    for _ in range(turn // 90):
        x0, y0, x1, y1 = -y1, x0, -y0, x1
    return Part(part.name, x0, y0, part.z0, x1, y1, part.z1)


def _placed(pose: Pose, turn: int, flipped: bool, parts: list[Part]) -> Orientation:
    turned = [_turned(part, turn) for part in parts]
    left, low = min(part.x0 for part in turned), min(part.y0 for part in turned)
    return Orientation(pose, turn, flipped, tuple(part.moved(-left, -low, 0) for part in turned))


def _flat(tool: Tool, flipped: bool) -> list[Part]:
    # Head and handle share a centre line, so the wider of the two lies on the floor and the other one is clear of it.
    height = max(tool.head_width_um, tool.handle_thickness_um)
    head_z, handle_z = (
        (height - tool.head_width_um) // 2,
        (height - tool.handle_thickness_um) // 2,
    )
    eye = tool.head_length_um - tool.eye_offset_um if flipped else tool.eye_offset_um
    low = eye - tool.handle_width_um // 2
    end = tool.head_height_um + tool.handle_length_um
    return [
        Part(
            kinds.Part.HEAD,
            0,
            0,
            head_z,
            tool.head_height_um,
            tool.head_length_um,
            head_z + tool.head_width_um,
        ),
        Part(
            kinds.Part.HANDLE,
            tool.head_height_um,
            low,
            handle_z,
            end,
            low + tool.handle_width_um,
            handle_z + tool.handle_thickness_um,
        ),
    ]


def _end(tool: Tool) -> list[Part]:
    across = (tool.head_width_um - tool.handle_thickness_um) // 2
    low = tool.eye_offset_um - tool.handle_width_um // 2
    end = tool.head_height_um + tool.handle_length_um
    return [
        Part(
            kinds.Part.HEAD,
            0,
            0,
            0,
            tool.head_height_um,
            tool.head_width_um,
            tool.head_length_um,
        ),
        Part(
            kinds.Part.HANDLE,
            tool.head_height_um,
            across,
            low,
            end,
            across + tool.handle_thickness_um,
            low + tool.handle_width_um,
        ),
    ]


def turned_figure(tool: Tool, orientation: Orientation, figure: Polygon) -> Polygon:
    """A figure of a tool that lies on its cheek, as it lies.

    Parameters
    ----------
    tool
        The measured tool.
    orientation
        One of its own, flat.
    figure
        In the tool's frame: x along the handle from the crown, y from the face or poll.

    Returns
    -------
    tuple of Point
        Counter-clockwise seen from above, relative to the footprint's least corner.
    """
    length, flipped = tool.head_length_um, orientation.flipped
    turned = [(x, length - y if flipped else y) for x, y in figure]
    for _ in range(orientation.turn // 90):
        turned = [(-y, x) for x, y in turned]
    parts = [_turned(part, orientation.turn) for part in _flat(tool, flipped)]
    left, low = min(part.x0 for part in parts), min(part.y0 for part in parts)
    return counter_clockwise(tuple((x - left, y - low) for x, y in turned))


def can_stand(tool: Tool) -> bool:
    """Tell whether a tool may stand on face or poll: allowed to, no edge at both ends, the handle within the head."""
    half = tool.handle_width_um // 2
    within = tool.eye_offset_um >= half and tool.eye_offset_um + half <= tool.head_length_um
    return tool.may_stand and tool.sharp is not Sharp.BOTH and within


def part_weights_mg(item: Item) -> tuple[Fraction, ...]:
    """An item's weight by its parts, in milligrams, in the order of `Orientation.parts`.

    Notes
    -----
    A tool's head has its head weight, or where that is not known the weight less the handle's box at 0.75 g/cm³ and at
    least 0; the handle has the rest.
    """
    if isinstance(item, Block):
        return (Fraction(item.weight_mg),)
    if item.head_weight_mg is not None:
        head = Fraction(item.head_weight_mg)
    else:
        handle_um3 = item.handle_length_um * item.handle_width_um * item.handle_thickness_um
        head = max(Fraction(0), item.weight_mg - Fraction(handle_um3, 10**9) * Fraction(3, 4))
    return head, item.weight_mg - head


@lru_cache(maxsize=1024)
def orientations_of(item: Item) -> tuple[Orientation, ...]:
    """Every distinct way an item may lie.

    Parameters
    ----------
    item
        A measured tool or a block.

    Returns
    -------
    tuple of Orientation
        A tool: flat on either cheek (once where its two cheeks give the same shape) and, where it may, on its end,
        each in four quarter turns. A block: its six ways up in both turns, only those on its base where it is
        upright; equal shapes once.
    """
    found: dict[tuple[Part, ...], Orientation] = {}
    if isinstance(item, Block):
        sizes = (item.length_um, item.width_um, item.height_um)
        orders = (
            [(0, 1, 2), (1, 0, 2)]
            if item.upright
            else [(0, 1, 2), (1, 0, 2), (0, 2, 1), (2, 0, 1), (1, 2, 0), (2, 1, 0)]
        )
        for a, b, c in orders:
            orientation = Orientation(
                Pose.BLOCK,
                0,
                False,
                (Part(kinds.Part.BLOCK, 0, 0, 0, sizes[a], sizes[b], sizes[c]),),
            )
            # Equal shapes once: the first way is kept, so that the order of ways never depends on the machine.
            found.setdefault(orientation.parts, orientation)
        return tuple(found.values())
    for flipped in (False, True):
        for turn in (0, 90, 180, 270):
            orientation = _placed(Pose.FLAT, turn, flipped, _flat(item, flipped))
            found.setdefault(orientation.parts, orientation)
    if can_stand(item):
        for turn in (0, 90, 180, 270):
            orientation = _placed(Pose.END, turn, False, _end(item))
            found.setdefault(orientation.parts, orientation)
    return tuple(found.values())

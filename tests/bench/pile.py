"""py3dbp on bounding boxes: a search over containers, and a check of every answer before it counts.

What py3dbp is given. Every item is its bounding box in each pose it may take (a tool flat or on its end, in two turns;
a block its six ways up). Along x and y it is grown by twice the clearance and one web; along z it is as high as the
least sum of sheets that reaches it, and grown by one layer pad: boxes that do not overlap then keep between them what
has to lie there. The interior of a pile is its extent less one web along x and y with two walls added, and its extent
less one layer pad along z with base pad and top pad added once. The pile is not bound to layers, which is in py3dbp's
favour: items may stand on each other freely.

What is searched. Containers whose volume is just below the best so far: drawn from sums of the boxes' sides, or the
best so far a little longer and narrower. py3dbp packs each in all six turns of the container, with the largest and with
the smallest items first, each item's poses in a random order; where all items are packed and `flaws` finds nothing, the
pile's extent is the new best. Seeded; a time budget ends it.
"""

import itertools
import random
import time
from collections.abc import Sequence
from dataclasses import dataclass

from py3dbp import Bin, Packer
from py3dbp import Item as Packed

from packing.measure import Order, Rules
from packing.nest.demands import Levels
from packing.pose import orientations_of

Sides = tuple[int, int, int]
TURNS = tuple(itertools.permutations(range(3)))
TOO_LONG = 10**12
ROTATIONS = 6


@dataclass(frozen=True, slots=True)
class Lain:
    """Where one item lies in a pile: its least corner and its grown sides, in micrometres along x, y, z."""

    item: int
    at: Sides
    sides: Sides


@dataclass(frozen=True, slots=True)
class Pile:
    """The best pile found: its interior in micrometres, None where there is none; containers tried, answers refused."""

    interior_um: Sides | None
    lain: tuple[Lain, ...]
    tried: int
    refused: int


class GrownItem(Packed):
    """An item whose sides follow from its pose, so that its room turns with the container and not with the item."""

    def __init__(self, index: int, poses: Sequence[Sides]) -> None:
        length, width, height = poses[0]
        super().__init__(str(index), length, width, height, 1)
        self.index = index
        self.poses = [*poses, *[(TOO_LONG,) * 3] * (ROTATIONS - len(poses))]

    def get_dimension(self) -> Sides:
        """Its sides along the container's axes."""
        length, width, height = self.poses[self.rotation_type]
        return length, width, height


def grown_poses(order: Order) -> list[list[Sides]]:
    """Per item the sides of its bounding boxes, grown by what has to lie between items."""
    across, levels = 2 * order.rules.clearance_um + order.rules.web_um, Levels(order.rules.sheets_um)
    return [
        sorted(
            {
                (
                    orientation.length_um + across,
                    orientation.width_um + across,
                    levels.reaching(orientation.need_um) + order.rules.layer_pad_um,
                )
                for orientation in orientations_of(item)
            }
        )
        for item in order.items
    ]


def flaws(poses: Sequence[Sequence[Sides]], container: Sides, lain: Sequence[Lain]) -> list[str]:
    """What is wrong with a pile: items missing or twice, sides that are no pose, out of bounds, overlaps."""
    found = []
    for index in range(len(poses)):
        times = sum(one.item == index for one in lain)
        if times != 1:
            found.append(f"item {index} is packed {times} times")
    for one in lain:
        if not 0 <= one.item < len(poses):
            found.append(f"item {one.item} is not in the order")
        elif one.sides not in poses[one.item]:
            found.append(f"item {one.item} has the sides {one.sides}, which are no pose of it")
        if any(at < 0 or at + side > most for at, side, most in zip(one.at, one.sides, container, strict=True)):
            found.append(f"item {one.item} at {one.at} reaches out of the container {container}")
    for a, b in itertools.combinations(lain, 2):
        if all(a.at[k] < b.at[k] + b.sides[k] and b.at[k] < a.at[k] + a.sides[k] for k in range(3)):
            found.append(f"items {a.item} and {b.item} overlap")
    return found


def extent_of(lain: Sequence[Lain]) -> Sides:
    """From the origin to the farthest corner of a pile."""
    x, y, z = (max(one.at[k] + one.sides[k] for one in lain) for k in range(3))
    return x, y, z


def interior_of(rules: Rules, extent: Sides) -> Sides:
    """The interior that holds a pile of this extent."""
    side = 2 * rules.wall_um - rules.web_um
    height = extent[2] - rules.layer_pad_um + rules.base_pad_um + rules.top_pad_um
    return extent[0] + side, extent[1] + side, height


def pack_once(
    poses: Sequence[Sequence[Sides]],
    container: Sides,
    turn: Sequence[int],
    *,
    largest_first: bool,
    chance: random.Random,
) -> list[Lain] | None:
    """What py3dbp makes of one container in one turn; None where it leaves an item out.

    Parameters
    ----------
    poses, container
        In micrometres along x, y, z.
    turn
        Which of x, y, z py3dbp sees as its first, second and third axis.
    largest_first
        The order that py3dbp takes the items in.
    chance
        Shuffles every item's poses, which py3dbp tries in turn.
    """
    packer = Packer()
    sides = [container[axis] for axis in turn]
    packer.add_bin(Bin("container", *sides, len(poses)))
    for index, own in enumerate(poses):
        shuffled = chance.sample(list(own), len(own))
        packer.add_item(GrownItem(index, [(pose[turn[0]], pose[turn[1]], pose[turn[2]]) for pose in shuffled]))
    packer.pack(bigger_first=largest_first, number_of_decimals=0)
    packed = packer.bins[0].items
    if len(packed) < len(poses):
        return None
    back = [list(turn).index(axis) for axis in range(3)]
    lain = []
    for item in packed:
        at, turned = [int(value) for value in item.position], item.get_dimension()
        lain.append(
            Lain(
                item.index,
                (at[back[0]], at[back[1]], at[back[2]]),
                (turned[back[0]], turned[back[1]], turned[back[2]]),
            )
        )
    return lain


def search(order: Order, *, seconds: float, seed: int) -> Pile:
    """Look for the least pile until the time is used; at least the first container is tried."""
    begun = time.monotonic()
    poses, rules, chance = grown_poses(order), order.rules, random.Random(seed)
    best: tuple[int, Sides, Sides, tuple[Lain, ...]] | None = None
    tried = refused = 0
    while True:
        container = _roomy(poses) if best is None else _smaller(poses, rules, best[0], best[2], chance)
        for turn, largest_first in itertools.product(TURNS, (True, False)):
            if tried and time.monotonic() - begun >= seconds:
                return Pile(None if best is None else best[1], () if best is None else best[3], tried, refused)
            tried += 1
            lain = pack_once(poses, container, turn, largest_first=largest_first, chance=chance)
            if lain is None:
                continue
            if flaws(poses, container, lain):
                refused += 1
                continue
            extent = extent_of(lain)
            interior = interior_of(rules, extent)
            interior = (max(interior[:2]), min(interior[:2]), interior[2])
            volume = interior[0] * interior[1] * interior[2]
            if best is None or volume < best[0]:
                best = (volume, interior, extent, tuple(lain))


def _roomy(poses: Sequence[Sequence[Sides]]) -> Sides:
    """A container in which all items can stand in a row, whatever their pose."""
    row = sum(max(max(sides) for sides in own) for own in poses)
    return row, row, row


def _smaller(
    poses: Sequence[Sequence[Sides]], rules: Rules, volume_um3: int, extent: Sides, chance: random.Random
) -> Sides:
    """A container whose interior has a little less volume than the best: like the best, or quite another."""
    if chance.random() < 0.5:
        x, z = (round(side * chance.uniform(0.8, 1.25)) for side in (extent[0], extent[2]))
    else:
        x, z = _sum_of_sides(poses, 0, chance), _sum_of_sides(poses, 2, chance)
    x = max(x, _least_side(poses, 0))
    z = max(z, _least_side(poses, 2))
    length, width_less, height = interior_of(rules, (x, 0, z))
    share = 0.999 - 0.5 * chance.random() ** 3
    y = int(volume_um3 * share) // (length * height) - width_less
    return x, max(1, y), z


def _least_side(poses: Sequence[Sequence[Sides]], axis: int) -> int:
    """What the item that is widest even in its narrowest pose needs along an axis."""
    return max(min(sides[axis] for sides in own) for own in poses)


def _sum_of_sides(poses: Sequence[Sequence[Sides]], axis: int, chance: random.Random) -> int:
    count = chance.randint(1, min(4, len(poses)))
    return sum(chance.choice(own)[axis] for own in chance.sample(list(poses), count))

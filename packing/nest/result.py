"""The answer of a search."""

from dataclasses import dataclass, field, replace
from functools import cached_property

from packing.plan import Message
from packing.plan.kinds import Limit, Status
from packing.pose import Orientation, Part

NO_MESSAGE = Message("")
PLANNED_UNCOMPILED = Message("The search was still being compiled: plan again for a smaller box.")
NOT_FOUND_UNCOMPILED = Message("The search was still being compiled and found no plan in time: plan again.")


@dataclass(frozen=True)
class Placement:
    """The place of one item, in its layer's frame or in that of the interior.

    Parameters
    ----------
    item
        Its index in the order.
    orientation
        How it lies.
    x_um, y_um
        Its footprint's least corner.
    z_um
        In the interior's frame its layer's floor, or its underside in a plan without layers; 0 in a layer's frame.
    layer
        Index of its layer, 0 lowest; -1 in a plan without layers and in a layer's frame.
    """

    item: int
    orientation: Orientation
    x_um: int
    y_um: int
    z_um: int = 0
    layer: int = -1

    @property
    def parts(self) -> tuple[Part, ...]:
        """The item's boxes in the frame of the placement."""
        return tuple(part.moved(self.x_um, self.y_um, self.z_um) for part in self.orientation.parts)

    @cached_property
    def footprints(self) -> list[tuple[int, int, int, int]]:
        """Least x and y and greatest x and y of each of its parts."""
        x, y = self.x_um, self.y_um
        return [(part.x0 + x, part.y0 + y, part.x1 + x, part.y1 + y) for part in self.orientation.parts]

    def at(self, axis: int) -> int:
        """Its place along x (0) or y (1)."""
        return self.x_um if axis == 0 else self.y_um

    def moved(self, axis: int, to_um: int) -> "Placement":
        """The same item elsewhere along one axis."""
        return replace(self, x_um=to_um) if axis == 0 else replace(self, y_um=to_um)


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer: its floor above the interior's bottom and its height, in micrometres."""

    floor_um: int
    height_um: int


@dataclass(frozen=True, slots=True)
class Nesting:
    """The answer of a search.

    Parameters
    ----------
    status
        Planned, impossible (proved) or not found (within the effort).
    interior_um
        Length (along x, not less than width), width, height; (0, 0, 0) unless planned.
    layers, placed
        Layers from the bottom up; items in the order's order. Empty unless planned.
    lower_bound_um3
        No plan has a smaller interior volume; 0 where nothing is known.
    proven
        The plan's volume equals the lower bound.
    seconds, steps, seed
        What the search used.
    limit, item, by_um, by_mg
        Unless planned: the rule that is in the way, None where no rule is; the id of the item that forces it, by how
        much in micrometres or milligrams.
    message
        Unless planned, a sentence with these; of a plan, why another search may well find a smaller one.
    others
        Different boxes for the same order, where they were asked for.
    """

    status: Status
    interior_um: tuple[int, int, int] = (0, 0, 0)
    layers: tuple[Layer, ...] = ()
    placed: tuple[Placement, ...] = ()
    lower_bound_um3: int = 0
    proven: bool = False
    seconds: float = 0.0
    steps: int = 0
    seed: int = 0
    limit: Limit | None = None
    item: str = ""
    by_um: int = 0
    by_mg: int = 0
    message: Message = NO_MESSAGE
    others: tuple["Nesting", ...] = field(default=(), repr=False)

    @property
    def volume_um3(self) -> int:
        """Interior volume in cubic micrometres."""
        return self.interior_um[0] * self.interior_um[1] * self.interior_um[2]

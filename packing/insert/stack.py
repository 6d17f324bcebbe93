"""The choice of the sheets of a pad or a layer, and their order."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from packing.insert.gaps import NOTHING, UNFILLED, Closing, GapFiller
from packing.insert.model import Hole, Rect
from packing.insert.outline import union_of
from packing.insert.work import INSERT_MINUTES, marked, passes
from packing.plan.kinds import InsertWork, Part

FINGER_UM = 15_000
"""Depth beside a part that a finger reaches to take hold of it, at least (common practice, no source)."""

_Cost = tuple[int, int]


def _shortest(height_um: int, stock_um: Sequence[int], edge: Callable[[int, int], _Cost]) -> tuple[int, ...] | None:
    """Cheapest sequence of stock sheets up to a height, bottom first; None where no sum of them gives it.

    Among equals the one with the thickest sheet lowest.
    """
    thick_first = sorted(set(stock_um), reverse=True)
    above = {height_um: ((0, 0), 0)}
    for low in sorted(_sums(height_um, thick_first) - {height_um}, reverse=True):
        # Thick sheets first and only a lesser total replaces one: of equal stacks the one with the thickest sheet
        # lowest stays.
        for thickness in thick_first:
            if low + thickness in above:
                cost, hanging = above[low + thickness][0]
                more, more_hanging = edge(low, low + thickness)
                total = (cost + more, hanging + more_hanging)
                if low not in above or total < above[low][0]:
                    above[low] = (total, thickness)
    if 0 not in above:
        return None
    sheets: list[int] = []
    while sum(sheets) < height_um:
        sheets.append(above[sum(sheets)][1])
    return tuple(sheets)


def _sums(height_um: int, stock_um: Sequence[int]) -> set[int]:
    """Heights that sums of sheets reach and from which sums of sheets reach the whole height."""
    reached = {0}
    frontier = [0]
    while frontier:
        low = frontier.pop()
        new = {low + thickness for thickness in stock_um if low + thickness <= height_um} - reached
        reached |= new
        frontier += new
    # A height from which the rest cannot be filled is a dead end: it is not even priced.
    return {low for low in reached if height_um - low in reached}


def pad_sheets(thickness_um: int, stock_um: Sequence[int]) -> tuple[int, ...] | None:
    """The fewest stock sheets that make a pad.

    Parameters
    ----------
    thickness_um
        The pad's thickness; 0 needs no sheet.
    stock_um
        Thicknesses there are.

    Returns
    -------
    tuple of int, or None
        Thicknesses from the bottom up, empty for no pad; None where no sum of stock sheets gives it.
    """
    return _shortest(thickness_um, stock_um, lambda _low, _high: (1, 0))


@dataclass(frozen=True, slots=True)
class StandingPart:
    """A part in its layer.

    Parameters
    ----------
    name
        Head, handle or block.
    z0_um, z1_um
        Its underside and its top above the layer's floor.
    pocket
        Its hole in a sheet.
    under, over
        What foam under it and over it would measure.
    """

    name: Part
    z0_um: int
    z1_um: int
    pocket: Hole
    under: Rect
    over: Rect

    def enters(self, low_um: int, high_um: int, give_um: int) -> bool:
        """Tell whether it reaches into a sheet between two heights above the layer's floor by more than foam gives."""
        return high_um > self.z0_um + give_um and low_um < self.z1_um - give_um

    @property
    def hold_um(self) -> int:
        """The depth that a finger must reach beside it: its middle, below which it narrows, or `FINGER_UM` if lower."""
        # Not below its own underside, where there is nothing to take hold of.
        return max(self.z0_um, min((self.z0_um + self.z1_um) // 2, self.z1_um - FINGER_UM))

    def gap_under(self, low_um: int, high_um: int, give_um: int) -> int:
        """The gap under it down to the bottom of a sheet, where that is the lowest one cut for it; else 0."""
        # Only in the lowest sheet cut for it: the ones above it have the part itself below, not air.
        lowest = self.enters(low_um, high_um, give_um) and low_um <= self.z0_um + give_um
        return max(0, self.z0_um - low_um) if lowest else 0

    def gap_over(self, low_um: int, high_um: int, give_um: int) -> int:
        """The gap above it in a sheet, where that is the highest one cut for it; else 0."""
        highest = self.enters(low_um, high_um, give_um) and high_um >= self.z1_um - give_um
        return max(0, high_um - self.z1_um) if highest else 0


@dataclass(frozen=True, slots=True)
class StandingItem:
    """An item in its layer: its parts, finger room that opens into the pocket of one, slots of plates at the first."""

    parts: tuple[StandingPart, ...]
    room: Rect | None = None
    room_of: Part | None = None
    slots: tuple[Rect, ...] = ()

    def holes(self, low_um: int, high_um: int, give_um: int) -> list[tuple[Part, Hole]]:
        """The holes for it in a sheet between two heights: part by part, finger room as deep as fingers go, slots."""
        holes = {part.name: part.pocket for part in self.parts if part.enters(low_um, high_um, give_um)}
        # Finger room is cut only through sheets that a finger must pass to reach where it takes hold.
        if self.room and any(
            part.name is self.room_of and part.name in holes and part.hold_um < high_um for part in self.parts
        ):
            holes[Part.NOTCH] = Hole(self.room)
        slots = self.slots if self.parts[0].name in holes else ()
        return [*holes.items(), *((Part.PLATE, Hole(slot)) for slot in slots)]


class SheetWork:
    """Prices a sheet of a layer in thousandths of a minute.

    Parameters
    ----------
    items
        All items of the layer.
    size_um
        The sheet's length and width.
    filler
        Closes what stays open; its rules say how far foam gives.
    pocket_um
        Pockets are not cut through thicker sheets where it can be helped.
    minutes
        For each kind of work.
    """

    def __init__(
        self,
        items: Sequence[StandingItem],
        size_um: tuple[int, int],
        filler: GapFiller,
        *,
        pocket_um: int,
        minutes: Mapping[InsertWork, Decimal] = INSERT_MINUTES,
    ) -> None:
        self._items = items
        self._size_um = size_um
        self._filler = filler
        self._pocket_um = pocket_um
        # Whole thousandths of a minute: sums of them are exact on any machine.
        self._each = {kind: int(1000 * minutes.get(kind, Decimal(0))) for kind in InsertWork}

    def cost(self, low_um: int, high_um: int) -> _Cost:
        """Cost of a sheet between two heights above the layer's floor, and how far parts hang in it."""
        each, give = self._each, self._filler.rules.give_um
        rounds = passes(high_um - low_um)
        around_um = 2 * sum(self._size_um)
        cost = each[InsertWork.SHEET] + each[InsertWork.STACKED] + each[InsertWork.EDGE] * around_um * rounds // 10**6
        pockets, hanging = Fraction(0), 0
        for item in self._items:
            holes = [hole for _, hole in item.holes(low_um, high_um, give)]
            if not holes:
                continue
            pockets += sum((marked(hole) for hole in holes), Fraction(0))
            # Holes that open into each other are cut as one: their common edge costs nothing.
            cut = union_of(tuple(holes), self._size_um)
            cost += each[InsertWork.POCKET] * cut.length_um * rounds // 10**6
            cost += each[InsertWork.CORNER] * cut.corners * rounds
            for part in item.parts:
                under, over = self.closings(part, low_um, high_um)
                cost += under.cost + over.cost
                hanging += part.gap_under(low_um, high_um, give)
        if pockets:
            cost += each[InsertWork.MARKED_SHEET] + int(each[InsertWork.RECTANGLE] * pockets)
            # Through a sheet too thick to cut freehand only where no other stack is left.
            cost += UNFILLED if high_um - low_um > self._pocket_um else 0
        return cost, hanging

    def total(self, sheets_um: Sequence[int]) -> int:
        """Cost of a layer of these sheets, bottom first."""
        floors = [sum(sheets_um[:index]) for index in range(len(sheets_um))]
        return sum(self.cost(low, low + sheet)[0] for low, sheet in zip(floors, sheets_um, strict=True))

    def closings(self, part: StandingPart, low_um: int, high_um: int) -> tuple[Closing, Closing]:
        """The closings of the gaps under and over a part in a sheet between two heights."""
        give = self._filler.rules.give_um
        under, over = part.gap_under(low_um, high_um, give), part.gap_over(low_um, high_um, give)
        return (
            self._filler.under(part.name, under, part.under) if under else NOTHING,
            self._filler.over(part.name, over, part.over) if over else NOTHING,
        )


def layer_sheets(height_um: int, stock_um: Sequence[int], work: SheetWork) -> tuple[int, ...] | None:
    """The stock sheets that make a layer at least work.

    Parameters
    ----------
    height_um
        The layer's height.
    stock_um
        Thicknesses there are, thin stock included.
    work
        Prices a sheet by where it lies.

    Returns
    -------
    tuple of int, or None
        Thicknesses from the bottom up; None where no sum of stock sheets gives the height.

    Notes
    -----
    Exact: a shortest path over the heights that sums of sheets reach. A part's pocket goes through the sheets it
    reaches into; it hangs in the lowest of them and leaves a gap in the highest, so what carries it and what fills the
    gap belong to one sheet each, costs add up along the path, and the answer is the best there is. Among equals the one
    with the least hanging in all, then with the thickest sheet lowest. Cost: sums times thicknesses times items.
    """
    return _shortest(height_um, stock_um, work.cost)

"""Where an item lies against the lines of a rule, so that the edges of its pockets are on them."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from packing.measure import Ruler, Step
from packing.nest.arrange.align import spans
from packing.pose import Orientation

Span = tuple[int, int]


@dataclass(frozen=True)
class RuledItem:
    """An item's parts along one axis, against the lines of a rule.

    Parameters
    ----------
    ruler
        Whose lines count.
    offset_um
        From a line to the item's least corner, less than a step.
    spans
        Of each part, from the item's least corner, in micrometres.
    """

    ruler: Ruler
    offset_um: int
    spans: tuple[Span, ...]

    def place(self, line: int) -> int:
        """The item's least corner where it lies at a line."""
        return self.ruler.line(line) + self.offset_um

    def line_at(self, place_um: int) -> int | None:
        """The line that it lies at with its least corner in a place; None where it lies between two lines."""
        line = self.ruler.near(place_um - self.offset_um)
        return line if abs(self.place(line) - place_um) <= 1 else None

    def outside(self, part: int, room_um: int, most_um: int) -> tuple[int | None, int | None]:
        """The lines below and above a part, so far from the item's own line.

        Parameters
        ----------
        part
            Its index.
        room_um, most_um
            How far from the part they are to be at least, where that can be, and at most.

        Returns
        -------
        tuple
            None on a side where no line is so near to the part.
        """
        low, high = self.spans[part]
        below = _beyond(-low - self.offset_um, self.ruler.halves, room_um, most_um)
        above = _beyond(high + self.offset_um, self.ruler.halves, room_um, most_um)
        return (None if below is None else -below, above)

    def inside(self, part: int) -> tuple[int, int]:
        """The first line within a part and the last one, so far from the item's own line."""
        low, high = (2 * (edge + self.offset_um) for edge in self.spans[part])
        return -((1 - low) // self.ruler.halves), (high + 1) // self.ruler.halves


def _beyond(edge_um: int, halves: int, room_um: int, most_um: int) -> int | None:
    """The first line at least `room_um` beyond an edge, or the last one within `most_um` of it."""
    # Half a micrometre short of an edge is on it: a sixteenth of an inch is no whole number of them.
    first = -((1 - 2 * edge_um) // halves)
    wanted = max(first, -((1 - 2 * (edge_um + room_um)) // halves))
    last = (2 * (edge_um + most_um) + 1) // halves
    return None if last < first else min(wanted, last)


def ruled_item(orientation: Orientation, axis: int, step: Step) -> RuledItem:
    """Put an item that lies so against the lines of a rule.

    Parameters
    ----------
    orientation
        How it lies.
    axis
        0 for x, 1 for y.
    step
        Of the rule.

    Returns
    -------
    RuledItem
        Of all places between two lines the one from which no edge of a part is far from the next line outside it: at
        most three quarters of a step for the two parts of a tool, half a step for a block. A mirrored item lies
        mirrored.
    """
    along = tuple(spans(orientation, axis))
    return RuledItem(Ruler(step), _offset(along, step), along)


@lru_cache(maxsize=4096)
def _offset(spans: tuple[Span, ...], step: Step) -> int:
    size = max(high for _, high in spans)
    mirrored = tuple((size - high, size - low) for low, high in spans)
    halves = Ruler(step).halves
    if mirrored < spans:
        other = -2 * (_best(mirrored, halves) + size)
        return _nearest({(other + up) % halves // 2 for up in (0, 1)}, spans, halves)
    return _best(spans, halves)


def _best(spans: Sequence[Span], halves: int) -> int:
    """The offset from which the farthest edge is nearest to its line."""
    edges = [edge for span in spans for edge in span]
    # The distance of a low edge grows with the offset, that of a high one falls: the least of the greatest is where
    # an edge is on a line, or where a low and a high one are as far from theirs.
    halfway = [-(low + high) + more for low, _ in spans for _, high in spans for more in (0, halves // 2)]
    doubled = [-2 * edge for edge in edges] + halfway
    return _nearest({(value + up) % halves // 2 for value in doubled for up in (0, 1)}, spans, halves)


def _nearest(offsets: set[int], spans: Sequence[Span], halves: int) -> int:
    def far(offset: int) -> tuple[int, int, int]:
        edges = [offset + low for low, _ in spans] + [-offset - high for _, high in spans]
        # Half a micrometre short of a line is on it.
        gaps = [(2 * edge + 1) % halves - 1 for edge in edges]
        return max(gaps), sum(gaps), offset

    return min(offsets, key=far)

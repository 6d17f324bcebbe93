"""An insert whose length and width fall on the shop's step, and so do the edges of all its pockets."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from packing.measure import Order, Step, up_to_step
from packing.nest.arrange.separation import Differences, differences_of, separations
from packing.nest.demands import Demands
from packing.nest.infeasibility import over_um
from packing.nest.result import Nesting, Placement
from packing.nest.ruled import RuledItem, ruled_item
from packing.plan.kinds import Status

Sides = tuple[int, int, int]


def on_the_step(order: Order, nesting: Nesting) -> Nesting:
    """Put a nesting on the step of its order's rules, and its `others` too.

    Parameters
    ----------
    order
        Without `step` among its rules nothing changes.
    nesting
        In layers or without.

    Returns
    -------
    Nesting
        Length and width are whole steps; in layers every piece lies so that the edges of its pocket can be on the lines
        of a rule, kept apart from the others the same way as before. Where that would pass `max_interior`, the sides
        alone are rounded, and what they grow by lies half on each side of the pieces; where that would pass it too,
        all stays as it is. It is not proven the smallest any more where it has grown.
    """
    demands = Demands(order.rules)
    step = demands.whole_step
    if step is None:
        return nesting
    others = tuple(on_the_step(order, other) for other in nesting.others)
    if nesting.status is not Status.PLANNED:
        return replace(nesting, others=others)
    ways = [_sides_rounded(nesting, step)]
    if demands.in_layers:
        ways = [*_pieces_moved(order, demands, step, nesting), *ways]
    found = next((one for one in ways if _may_grow(demands, nesting.interior_um, one.interior_um)), nesting)
    return replace(found, proven=nesting.proven and found.interior_um == nesting.interior_um, others=others)


def _may_grow(demands: Demands, before: Sides, after: Sides) -> bool:
    """Tell whether no side that has grown passes the largest interior."""
    if demands.most_um is None:
        return True
    had = over_um(before, demands.most_um)
    return all(um <= max(0, had[side]) for side, um in over_um(after, demands.most_um).items())


def _sides_rounded(nesting: Nesting, step: Step) -> Nesting:
    length, width, height = nesting.interior_um
    rounded = (up_to_step(length, step), up_to_step(width, step), height)
    placed = tuple(
        replace(one, x_um=one.x_um + (rounded[0] - length) // 2, y_um=one.y_um + (rounded[1] - width) // 2)
        for one in nesting.placed
    )
    return replace(nesting, interior_um=rounded, placed=placed)


@dataclass(frozen=True)
class _Row:
    """One layer's pieces along one axis.

    Parameters
    ----------
    items
        How each lies against the lines.
    low_um, beyond_um
        What each needs before its place, and from its place on, the edge's wall included.
    differences
        What keeps them apart.
    """

    items: tuple[RuledItem, ...]
    low_um: tuple[int, ...]
    beyond_um: tuple[int, ...]
    differences: Differences

    def _kept(self, lines: Iterable[int], push: Callable[[list[int], int, int, int], None]) -> list[int]:
        at = list(lines)
        # Without a ring each piece is pushed on by no more than all the others; `holds` tells.
        for _ in range(len(at) + 1):
            before = list(at)
            for first, second, um in self.differences:
                push(at, first, second, um)
            if at == before:
                break
        return at

    def holds(self, lines: Sequence[int]) -> bool:
        """Tell whether pieces at these lines are apart."""
        at = [one.place(line) for one, line in zip(self.items, lines, strict=True)]
        return all(at[after] - at[before] >= um for before, after, um in self.differences)

    def raised(self, lines: Iterable[int]) -> list[int]:
        """The least lines from these up that keep the pieces apart."""

        def push(at: list[int], before: int, after: int, um: int) -> None:
            one, other = self.items[before], self.items[after]
            line = other.ruler.next(one.place(at[before]) + um - other.offset_um)
            at[after] = max(line, at[after])

        return self._kept(lines, push)

    def lowered(self, lines: Iterable[int]) -> list[int]:
        """The greatest lines from these down that keep the pieces apart."""

        def push(at: list[int], before: int, after: int, um: int) -> None:
            one, other = self.items[before], self.items[after]
            line = one.ruler.last(other.place(at[after]) - um - one.offset_um)
            at[before] = min(line, at[before])

        return self._kept(lines, push)

    def least(self) -> list[int]:
        """The least lines there can be."""
        return self.raised(
            one.ruler.next(low - one.offset_um) for one, low in zip(self.items, self.low_um, strict=True)
        )

    def extent_um(self, lines: Sequence[int]) -> int:
        """The room that the pieces need at these lines."""
        return max(one.place(line) + more for one, line, more in zip(self.items, lines, self.beyond_um, strict=True))

    def places(self, wanted_um: Sequence[int], side_um: int) -> list[int]:
        """The places nearest to those that are wanted, within a side."""
        ends = [
            one.ruler.last(side_um - more - one.offset_um) for one, more in zip(self.items, self.beyond_um, strict=True)
        ]
        bounds = zip(self.items, wanted_um, self.least(), self.lowered(ends), strict=True)
        # No line that is raised passes its greatest one, since those keep the pieces apart.
        lines = self.raised(
            min(most, max(least, one.ruler.near(um - one.offset_um))) for one, um, least, most in bounds
        )
        return [one.place(line) for one, line in zip(self.items, lines, strict=True)]


def _row(order: Order, demands: Demands, step: Step, layer: Sequence[Placement], axis: int) -> _Row:
    orientations = [one.orientation for one in layer]
    items = tuple(ruled_item(orientation, axis, step) for orientation in orientations)
    reach = [demands.reach_um(order.items[one.item], one.orientation) for one in layer]
    sizes = [max(high for _, high in one.spans) for one in items]
    return _Row(
        items,
        tuple(demands.edge_um + more[axis] for more in reach),
        tuple(size + more[axis + 2] + demands.edge_um for size, more in zip(sizes, reach, strict=True)),
        differences_of(orientations, separations(layer), axis, 2 * demands.grown_um),
    )


def _pieces_moved(order: Order, demands: Demands, step: Step, nesting: Nesting) -> Iterator[Nesting]:
    """Every piece at a line, within the least sides that take them so; nothing where they hold each other in a ring."""
    layers = [[one for one in nesting.placed if one.layer == index] for index in range(len(nesting.layers))]
    rows = [[_row(order, demands, step, layer, axis) for layer in layers] for axis in (0, 1)]
    if not all(row.holds(row.least()) for along in rows for row in along):
        return
    length, width = (up_to_step(max(row.extent_um(row.least()) for row in along), step) for along in rows)
    sides = (max(length, width), width)
    moved: dict[int, Placement] = {}
    for index, layer in enumerate(layers):
        found = layer
        for axis, along in enumerate(rows):
            grown = sides[axis] - nesting.interior_um[axis]
            wanted = [_stretched(one, axis, grown, nesting.interior_um[axis]) for one in layer]
            places = along[index].places(wanted, sides[axis])
            found = [one.moved(axis, place) for one, place in zip(found, places, strict=True)]
        moved |= {one.item: one for one in found}
    placed = tuple(moved[one.item] for one in nesting.placed)
    yield replace(nesting, interior_um=(*sides, nesting.interior_um[2]), placed=placed)


def _stretched(one: Placement, axis: int, grown_um: int, side_um: int) -> int:
    """A place moved by its share of what a side has grown."""
    size = one.orientation.length_um if axis == 0 else one.orientation.width_um
    return one.at(axis) + (2 * one.at(axis) + size) * grown_um // (2 * side_um)

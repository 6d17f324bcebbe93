"""What no plan can beat: a lower bound on the interior's volume, and why a largest interior may be too small.

Terms: an item's rectangles are grown by clearance + web / 2, so that the grown shapes of a layer do not overlap; X and
Y are the extents of all grown shapes over all layers, the interior is (X + side) (Y + side) H.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import isqrt

from packing.measure import mm
from packing.nest.problem import Problem, Way


@dataclass(frozen=True, slots=True)
class Refutation:
    """A proof that no plan keeps within the largest interior.

    Parameters
    ----------
    limit
        "max_interior length", "max_interior width" or "max_interior height".
    item
        The id of the item that forces it.
    by_um
        At least so much is missing.
    message
        One sentence.
    """

    limit: str
    item: str
    by_um: int
    message: str


def area_um2(way: Way) -> int:
    """Area that a way's grown shape covers."""
    first, *rest = way.rects
    area = (first[2] - first[0]) * (first[3] - first[1])
    for x0, y0, x1, y1 in rest:
        across = max(0, min(x1, first[2]) - max(x0, first[0]))
        along = max(0, min(y1, first[3]) - max(y0, first[1]))
        area += (x1 - x0) * (y1 - y0) - across * along
    return area


def sides_um(way: Way) -> tuple[int, int]:
    """A way's grown extents, the longer first."""
    return max(way.length_um, way.width_um), min(way.length_um, way.width_um)


@dataclass(frozen=True)
class Needs:
    """What the items need at least, each in the best of the ways it may lie.

    Parameters
    ----------
    ways
        Per item, the ways that come into question; none may be empty.
    side_um, pads_um, between_um
        As in `Problem`.
    """

    ways: tuple[tuple[Way, ...], ...]
    side_um: int
    pads_um: int
    between_um: int

    @cached_property
    def long_um(self) -> int:
        """The longer extent is at least this."""
        return max(min(sides_um(way)[0] for way in ways) for ways in self.ways)

    @cached_property
    def short_um(self) -> int:
        """The shorter extent is at least this."""
        return max(min(sides_um(way)[1] for way in ways) for ways in self.ways)

    @cached_property
    def levels_um(self) -> tuple[int, ...]:
        """Per item, its lowest level."""
        return tuple(min(way.level_um for way in ways) for ways in self.ways)

    @cached_property
    def _stairs(self) -> tuple[tuple[int, int], ...]:
        """Levels from the highest down, each with the least area of all items that need it or more."""
        area = 0
        stairs: dict[int, int] = {}
        least = [min(map(area_um2, ways)) for ways in self.ways]
        for level, own in sorted(zip(self.levels_um, least, strict=True), reverse=True):
            area += own
            stairs[level] = area
        return tuple(stairs.items())

    @cached_property
    def _charge(self) -> int:
        """Least sum of footprint area times (level + layer pad)."""
        return sum(min(area_um2(way) * (way.level_um + self.between_um) for way in ways) for ways in self.ways)

    def height_um(self, area_um2: int) -> int:
        """Least interior height if no layer offers more than this area (greater than 0).

        Notes
        -----
        Two counts, the larger holds. The layers that reach level v must cover every item that cannot lie lower: at
        least (their area / area) of them, rounded up; so the j-th highest layer is as high as the highest v that asks
        for j layers. And an item covering a in a layer of level c takes the share a / area of the layer's c + layer
        pad, so the layers' sum is at least the sum of those shares.
        """
        layers, height = 0, 0
        for level, covered in self._stairs:
            more = max(0, -(-covered // area_um2) - layers)
            layers += more
            height += more * (level + self.between_um)
        return self.pads_um - self.between_um + max(height, -(-self._charge // area_um2))

    def floor_um2(self, area_um2: int) -> int:
        """Least (X + side) (Y + side) where X Y is at least this area and both extents are at least what is needed.

        Notes
        -----
        Both factors grow with X and Y, so the least is at the corner (long, short) or on the curve X Y = area, where
        X + Y is convex: for a positive side it is least nearest to the square, for a negative one at an end of the
        curve.
        """
        long, short, side = self.long_um, self.short_um, self.side_um
        ends = [(long, max(short, area_um2 // long)), (max(long, area_um2 // short), short)]
        if side < 0 or long * long >= area_um2:
            return min((x + side) * (y + side) for x, y in ends)
        root = isqrt(area_um2)
        return area_um2 + 2 * side * root + side * side

    @cached_property
    def area_um2(self) -> int:
        """The largest least footprint of an item: every layer area is at least this."""
        return max(min(map(area_um2, ways)) for ways in self.ways)

    def volume_um3(self) -> int:
        """Lower bound on the interior volume from areas, levels and extents alone.

        Notes
        -----
        The area X Y offered by a layer lies in one of many steps of 1/2 %: there the floor is that of the step's lower
        end and the height that of its upper end. Beyond any step the floor only grows and the height is never less than
        that of one layer, which ends the count. Where walls and pads leave it standing, the shares alone are a bound.
        """
        shares = self._charge if self.side_um >= 0 and self.pads_um >= self.between_um else 0
        area = max(self.area_um2, self.long_um * self.short_um)
        lowest = self.pads_um + max(self.levels_um)
        best: int | None = None
        while True:
            floor = self.floor_um2(area)
            if best is not None and floor * lowest >= best:
                return max(best, shares)
            top = area + area // 200 + 1
            volume = floor * self.height_um(top)
            best = volume if best is None else min(best, volume)
            area = top


def needs_of(problem: Problem, ways: Iterable[tuple[Way, ...]] | None = None) -> Needs:
    """The needs of a problem, or of a part of its ways."""
    chosen = problem.ways if ways is None else tuple(ways)
    return Needs(chosen, problem.side_um, problem.pads_um, problem.between_um)


def limits_um(problem: Problem) -> tuple[int, int, int] | None:
    """The largest interior, its longer side first; None where there is none."""
    largest = problem.rules.max_interior_um
    if largest is None:
        return None
    return max(largest[:2]), min(largest[:2]), largest[2]


def excess_um(problem: Problem, way: Way, limits: tuple[int, int, int]) -> tuple[int, int, int]:
    """How much one way of one item alone is beyond the largest interior: length, width, height, 0 where it is not."""
    long, short = sides_um(way)
    needed = (long + problem.side_um, short + problem.side_um, problem.pads_um + way.level_um)
    return (
        max(0, needed[0] - limits[0]),
        max(0, needed[1] - limits[1]),
        max(0, needed[2] - limits[2]),
    )


def within_limits(problem: Problem) -> tuple[tuple[Way, ...], ...]:
    """Per item, the ways that fit the largest interior alone; all where there is none."""
    limits = limits_um(problem)
    if limits is None:
        return problem.ways
    return tuple(tuple(w for w in ways if not any(excess_um(problem, w, limits))) for ways in problem.ways)


def refutation(problem: Problem) -> Refutation | None:
    """A quick proof that the order cannot be planned within `max_interior`, or None.

    Parameters
    ----------
    problem
        The order, laid out for the search.

    Returns
    -------
    Refutation or None
        An item that fits in no way, alone and turned; or the whole order, whose least height on the largest floor is
        too much. None proves nothing.
    """
    limits = limits_um(problem)
    if limits is None:
        return None
    fitting = within_limits(problem)
    worst: Refutation | None = None
    for item, all_ways, ways in zip(problem.order.items, problem.ways, fitting, strict=True):
        if not ways:
            found = _item_refuted(problem, item.id, all_ways, limits)
            worst = found if worst is None or found.by_um > worst.by_um else worst
    if worst is not None:
        return worst
    needs = needs_of(problem, fitting)
    least = needs.height_um((limits[0] - problem.side_um) * (limits[1] - problem.side_um))
    if least <= limits[2]:
        return None
    tallest = max(range(len(fitting)), key=needs.levels_um.__getitem__)
    item_id, over = problem.order.items[tallest].id, least - limits[2]
    message = (
        f"max_interior height is {mm(limits[2])} mm; on the largest floor the order needs at least {mm(least)} mm, "
        f"{mm(over)} mm more, with {item_id} as its tallest item."
    )
    return Refutation("max_interior height", item_id, over, message)


def _item_refuted(problem: Problem, item_id: str, ways: tuple[Way, ...], limits: tuple[int, int, int]) -> Refutation:
    """The refutation by one item that fits in none of its ways: told of the way that misses least."""
    excesses = [excess_um(problem, way, limits) for way in ways]
    _, _, over = min((sum(v > 0 for v in excess), sum(excess), excess) for excess in excesses)
    which = max(range(3), key=over.__getitem__)
    name = ("length", "width", "height")[which]
    message = (
        f"max_interior {name} is {mm(limits[which])} mm; {item_id} needs at least "
        f"{mm(limits[which] + over[which])} mm, {mm(over[which])} mm more, however it is turned."
    )
    return Refutation(f"max_interior {name}", item_id, over[which], message)


def lower_bound(problem: Problem) -> int:
    """A lower bound on the interior volume of every plan, at once.

    Parameters
    ----------
    problem
        The order, laid out for the search.

    Returns
    -------
    int
        Cubic micrometres; 0 where an item fits in no way (see `refutation`).
    """
    ways = within_limits(problem)
    if not all(ways):
        return 0
    if len(ways) == 1:
        return min(
            (way.length_um + problem.side_um) * (way.width_um + problem.side_um) * (problem.pads_um + way.level_um)
            for way in ways[0]
        )
    return needs_of(problem, ways).volume_um3()

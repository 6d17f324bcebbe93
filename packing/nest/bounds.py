"""A lower bound on the interior's volume.

Terms: an item's rectangles are grown by clearance + web / 2, so that the grown shapes of a layer do not overlap; X and
Y are the extents of all grown shapes over all layers, the interior is (X + side) (Y + side) H.

References
----------
S. P. Fekete, J. Schepers, "A general framework for bounds for higher-dimensional orthogonal packing problems",
Mathematical Methods of Operations Research 60 (2004), 311-329 (abstract read on arXiv, cs/0402044; journal from
memory).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import isqrt

from packing.nest.problem import GrownOrientation, Problem


def area_um2(grown: GrownOrientation) -> int:
    """Area that a way's grown shape covers."""
    first, *rest = grown.rects
    area = (first[2] - first[0]) * (first[3] - first[1])
    for x0, y0, x1, y1 in rest:
        across = max(0, min(x1, first[2]) - max(x0, first[0]))
        along = max(0, min(y1, first[3]) - max(y0, first[1]))
        area += (x1 - x0) * (y1 - y0) - across * along
    return area


def sides_um(grown: GrownOrientation) -> tuple[int, int]:
    """A way's grown extents, the longer first."""
    return max(grown.length_um, grown.width_um), min(grown.length_um, grown.width_um)


@dataclass(frozen=True)
class Needs:
    """Least needs of the items, each in the best of the ways it may lie.

    Parameters
    ----------
    orientations
        Per item, the ways that come into question; none may be empty.
    side_um, pads_um, between_um
        As in `Problem`.
    """

    orientations: tuple[tuple[GrownOrientation, ...], ...]
    side_um: int
    pads_um: int
    between_um: int

    @cached_property
    def long_um(self) -> int:
        """The longer extent is at least this."""
        return max(min(sides_um(grown)[0] for grown in orientations) for orientations in self.orientations)

    @cached_property
    def short_um(self) -> int:
        """The shorter extent is at least this."""
        return max(min(sides_um(grown)[1] for grown in orientations) for orientations in self.orientations)

    @cached_property
    def levels_um(self) -> tuple[int, ...]:
        """Per item, its lowest level."""
        return tuple(min(grown.level_um for grown in orientations) for orientations in self.orientations)

    @cached_property
    def _stairs(self) -> tuple[tuple[int, int], ...]:
        """Levels from the highest down, each with the least area of all items that need it or more."""
        area = 0
        stairs: dict[int, int] = {}
        least = [min(map(area_um2, orientations)) for orientations in self.orientations]
        for level, own in sorted(zip(self.levels_um, least, strict=True), reverse=True):
            area += own
            stairs[level] = area
        return tuple(stairs.items())

    @cached_property
    def _charge(self) -> int:
        """Least sum of footprint area times (level + layer pad)."""
        return sum(
            min(area_um2(grown) * (grown.level_um + self.between_um) for grown in orientations)
            for orientations in self.orientations
        )

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
        return max(min(map(area_um2, orientations)) for orientations in self.orientations)

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
            # Steps of half a percent: the bound loses at most so much, and the number of steps stays in the hundreds.
            top = area + area // 200 + 1
            volume = floor * self.height_um(top)
            best = volume if best is None else min(best, volume)
            area = top


def needs_of(problem: Problem, orientations: Iterable[tuple[GrownOrientation, ...]] | None = None) -> Needs:
    """The needs of a problem, or of a part of its ways."""
    chosen = problem.orientations if orientations is None else tuple(orientations)
    return Needs(chosen, problem.side_um, problem.pads_um, problem.between_um)


def limits_um(problem: Problem) -> tuple[int, int, int] | None:
    """The largest interior, its longer side first; None where there is none."""
    return problem.demands.most_um


def excess_um(problem: Problem, grown: GrownOrientation, limits: tuple[int, int, int]) -> tuple[int, int, int]:
    """The excess of one way of one item alone over the largest interior: length, width, height, 0 where it fits."""
    long, short = sides_um(grown)
    needed = (long + problem.side_um, short + problem.side_um, problem.pads_um + grown.level_um)
    return (
        max(0, needed[0] - limits[0]),
        max(0, needed[1] - limits[1]),
        max(0, needed[2] - limits[2]),
    )


def within_limits(problem: Problem) -> tuple[tuple[GrownOrientation, ...], ...]:
    """Per item, the ways that fit the largest interior alone; all where there is none."""
    limits = limits_um(problem)
    if limits is None:
        return problem.orientations
    return tuple(
        tuple(w for w in orientations if not any(excess_um(problem, w, limits)))
        for orientations in problem.orientations
    )


def lower_bound(problem: Problem) -> int:
    """A lower bound on the interior volume of every plan, at once.

    Parameters
    ----------
    problem
        The order, laid out for the search.

    Returns
    -------
    int
        Cubic micrometres; 0 where an item fits in no way (see `infeasibility.refutation`).
    """
    orientations = within_limits(problem)
    if not all(orientations):
        return 0
    if len(orientations) == 1:
        return min(
            (grown.length_um + problem.side_um)
            * (grown.width_um + problem.side_um)
            * (problem.pads_um + grown.level_um)
            for grown in orientations[0]
        )
    return needs_of(problem, orientations).volume_um3()

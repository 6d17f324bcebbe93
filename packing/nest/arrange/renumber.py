"""Like pieces change places so that their numbers run in reading order, where nothing else is lost by it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import islice

from packing.measure import Block, Item, Tool
from packing.nest.arrange.layer import IMAGES, LayerLayout, fits, images, laid_out, like_orientation, marks_down, moment
from packing.nest.arrange.reading_order import in_reading_order, inversions, number_key
from packing.nest.arrange.separation import Separation, separations
from packing.nest.problem import Problem
from packing.nest.result import Placement
from packing.pose import Orientation

LIKE_UM = 10_000
"""Pieces of which no measure differs by more are tried in each other's place."""

LIKE_WEIGHT = Fraction(1, 50)
"""A layer lies lower than another where it is heavier by more than this share: less is not felt."""

TRIALS = 4
"""Exchanges tried for each item, at most, between layers and again within each layer."""

SEATINGS, FEW = 240, 12
"""Of the ways to seat a layer's like items so many are looked at for the best order, and so many for any that fits."""

_MEASURES = (
    "head_length_um",
    "head_height_um",
    "head_width_um",
    "eye_offset_um",
    "handle_length_um",
    "handle_width_um",
    "handle_thickness_um",
)

NONE_DOWN = [0] * IMAGES
"""For what bears no mark."""

Lying = tuple[int, Orientation]


def interchangeable(one: Item, other: Item) -> bool:
    """Tell whether two items are near enough in kind and size to try one in the other's place."""
    if isinstance(one, Tool) and isinstance(other, Tool):
        near = all(abs(getattr(one, name) - getattr(other, name)) <= LIKE_UM for name in _MEASURES)
        return near and (one.form, one.sharp) == (other.form, other.sharp)
    if isinstance(one, Block) and isinstance(other, Block):
        sides = [sorted((block.length_um, block.width_um, block.height_um)) for block in (one, other)]
        return all(abs(a - b) <= LIKE_UM for a, b in zip(*sides, strict=True))
    return False


def stacked_well(weights_mg: Sequence[int]) -> bool:
    """Tell whether no layer is heavier, by more than `LIKE_WEIGHT`, than one below it; weights from the bottom up."""
    return all(
        above <= (1 + LIKE_WEIGHT) * below
        for level, below in enumerate(weights_mg)
        for above in weights_mg[level + 1 :]
    )


def seated(problem: Problem, lying: Sequence[Lying], who: Sequence[int]) -> list[Lying] | None:
    """Other items in the places of a layer; None where one cannot lie so or the layer's height changes.

    Parameters
    ----------
    problem
        The order.
    lying
        What lies in the layer, and how.
    who
        The item that gets each place.
    """
    items = problem.order.items
    found: list[Lying] = []
    for item, (before, orientation) in zip(who, lying, strict=True):
        lies = orientation if item == before else like_orientation(items[item], orientation)
        if lies is None:
            return None
        found.append((item, lies))
    # Sheets come in steps: a layer keeps its height where another need is reached by the same sheets.
    demands = problem.demands
    need, needed = (max(demands.need_um(orientation) for _, orientation in layer) for layer in (found, lying))
    return found if demands.level_um(need) == demands.level_um(needed) else None


@dataclass
class Seats:
    """The places of one layer, and who may have them.

    Parameters
    ----------
    problem
        The order.
    layer
        As it lies.
    most_um
        The most room along x and y: that of the interior.
    who
        The item that has each place.
    """

    problem: Problem
    layer: LayerLayout
    most_um: tuple[int, int]
    who: tuple[int, ...] = field(init=False)
    known: dict[tuple[int, ...], LayerLayout] = field(init=False)
    down: dict[tuple[int, int], list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.who = tuple(one.item for one in self.layer.placements)
        self.known = {self.who: self.layer}

    @cached_property
    def _lying(self) -> list[Lying]:
        return [(one.item, one.orientation) for one in self.layer.placements]

    @cached_property
    def _kept(self) -> list[Separation]:
        return separations(self.layer.placements)

    def seatings(self, who: Sequence[int]) -> Iterator[tuple[int, ...]]:
        """Ways to seat these items, the first one as given, each where it or a like one is."""
        order = self.problem.order.items
        places = [[one for one in who if one == first or interchangeable(order[first], order[one])] for first in who]
        places = [sorted(may, key=lambda one: one != first) for may, first in zip(places, who, strict=True)]

        def seat(begun: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
            if len(begun) == len(places):
                yield begun
                return
            for one in places[len(begun)]:
                if one not in begun:
                    yield from seat((*begun, one))

        return seat(())

    def fits(self, who: Sequence[int]) -> bool:
        """Tell whether these items fit in these places and lose nothing."""
        if tuple(who) in self.known:
            return True
        lying = seated(self.problem, self._lying, who)
        return lying is not None and fits(self.problem, lying, self._kept, self.most_um)

    def fitting(self, who: Sequence[int]) -> tuple[int, ...] | None:
        """A seating of these items that fits, looked for among the first few; None where there is none."""
        return next((one for one in islice(self.seatings(who), FEW) if self.fits(one)), None)

    def laid_out(self, who: tuple[int, ...]) -> LayerLayout:
        """The layer with items in its places that fit there."""
        if who not in self.known:
            lying = seated(self.problem, self._lying, who)
            found = None if lying is None else laid_out(self.problem, lying, self._kept, self.most_um)
            if found is None:
                raise ValueError("The items do not fit.")
            self.known[who] = found
        return self.known[who]

    def in_order(self, even_um: int | None) -> list[tuple[LayerLayout, tuple[int, int]]]:
        """Each image of the layer, like items where numbers run best in it, and how many pairs are out of order yet.

        Parameters
        ----------
        even_um
            How far the centre of gravity of the whole order may be moved by it, where that matters.

        Returns
        -------
        list of (layer, (by number, by weight))
            No image has more marked cheeks down than it would have as the layer lies.
        """
        seatings, fitting = list(islice(self.seatings(self.who), SEATINGS)), {self.who: True}
        # So many that they were cut off: then a climb from the best guess is tried beside them.
        many, found = len(seatings) == SEATINGS, []
        for which, plain in enumerate(images(self.problem, self.layer)):
            read = in_reading_order(plain.placements)
            tried = [self._climbed(read), *seatings] if many else seatings
            ranked = sorted((self._marks_down(who, which), *self._wrong(who, read), who) for who in tried)
            for _, numbers, weights, who in ranked:
                if who not in fitting:
                    # Laying a layer out costs the cube of its items, so the trials are counted.
                    fitting[who] = len(fitting) <= TRIALS * len(self.who) and self._as_even(who, even_um)
                if fitting[who]:
                    found.append((images(self.problem, self.laid_out(who))[which], (numbers, weights)))
                    break
        return found

    def _climbed(self, read: Sequence[int]) -> tuple[int, ...]:
        """Place after place as they are read, the lowest number among later like ones that can have it."""
        order, (rank, _), who = self.problem.order.items, self._ranks, list(self.who)
        left = len(who)
        for at, place in enumerate(read):
            lower = [other for other in read[at + 1 :] if rank[who[other]] < rank[who[place]]]
            for other in sorted(lower, key=lambda other: rank[who[other]]):
                if left and interchangeable(order[who[place]], order[who[other]]):
                    left -= 1
                    trial = list(who)
                    trial[place], trial[other] = who[other], who[place]
                    if self.fits(trial):
                        who = trial
                        break
        return tuple(who)

    def _marks_down(self, who: Sequence[int], which: int) -> int:
        """Count the marked cheeks that are down with these items in the places of an image of the layer."""
        return sum(self._down(place, item)[which] for place, item in enumerate(who))

    def _down(self, place: int, item: int) -> list[int]:
        """Tell whether an item's marked cheek is down in a place, for each image of the layer."""
        like = self.problem.order.items[item]
        if isinstance(like, Block) or like.mark is None:
            return NONE_DOWN
        if (place, item) not in self.down:
            lies = self._lying[place][1]
            orientation = lies if item == self.who[place] else like_orientation(like, lies)
            alone = (
                None
                if orientation is None
                else LayerLayout((Placement(item, orientation, 0, 0),), orientation.length_um, orientation.width_um)
            )
            down = alone and [marks_down(self.problem, image) for image in images(self.problem, alone)]
            self.down[place, item] = down or NONE_DOWN
        return self.down[place, item]

    def _as_even(self, who: tuple[int, ...], even_um: int | None) -> bool:
        """Tell whether items fit in these places and leave the centre of gravity of the whole order where it is."""
        fitting = self.fits(who)
        if even_um is None or not fitting:
            return fitting
        before, after = moment(self.problem, self.layer), moment(self.problem, self.laid_out(who))
        weight = sum(item.weight_mg for item in self.problem.order.items)
        return all(abs(a - b) <= even_um * weight for a, b in zip(before, after, strict=True))

    def _wrong(self, who: Sequence[int], read: Sequence[int]) -> tuple[int, int]:
        """Count the pairs that, read in this order of places, have the higher number first, and the lighter first."""
        rank, weight = self._ranks
        ranks, weights = [rank[who[place]] for place in read], [weight[who[place]] for place in read]
        return inversions(ranks), inversions(weights)

    @cached_property
    def _ranks(self) -> tuple[dict[int, int], dict[int, int]]:
        order = self.problem.order.items
        rank = {item: at for at, item in enumerate(sorted(self.who, key=lambda item: number_key(order[item])))}
        return rank, {item: -order[item].weight_mg for item in self.who}


def _heavy(problem: Problem, who: Sequence[Sequence[int]]) -> bool:
    """Tell whether a layer of these, from the bottom up, is too heavy or heavier than one below it."""
    weights, most = (
        [sum(problem.order.items[item].weight_mg for item in layer) for layer in who],
        problem.demands.most_layer_mg,
    )
    return not stacked_well(weights) or (most is not None and max(weights) > most)


def exchanged_between_layers(
    problem: Problem, layers: Sequence[LayerLayout], most_um: tuple[int, int]
) -> list[LayerLayout]:
    """Like items of different layers change places until the lower numbers are in the upper layers, opened first.

    Parameters
    ----------
    problem
        The order.
    layers
        From the bottom up.
    most_um
        The most room along x and y: that of the interior.

    Returns
    -------
    list of LayerLayout
        Each as high as before and within `most_um`; no more marked cheeks down, no layer too heavy.

    Notes
    -----
    From the top layer on, each item that is higher than a like one further down changes places with the lowest of them
    with which it can. A bounded number of exchanges is tried, `TRIALS` for each item.
    """
    items, seats = problem.order.items, [Seats(problem, layer, most_um) for layer in layers]
    left = TRIALS * len(items)
    for upper in reversed(range(1, len(layers))):
        # From the top layer down: it is opened first, and its numbers are what a packer reads first.
        for place in range(len(seats[upper].who)):
            one = seats[upper].who[place]
            below = [
                (number_key(items[other]), lower, index)
                for lower in range(upper)
                for index, other in enumerate(seats[lower].who)
                if number_key(items[other]) < number_key(items[one]) and interchangeable(items[one], items[other])
            ]
            for _, lower, index in sorted(below):
                left -= 1
                if left < 0:
                    return [layer.laid_out(layer.who) for layer in seats]
                if _exchanged(seats, (upper, place), (lower, index)):
                    break
    return [layer.laid_out(layer.who) for layer in seats]


def _exchanged(seats: Sequence[Seats], one: tuple[int, int], other: tuple[int, int]) -> bool:
    """Let the items of two places, as layer and index in it, change layers; False where something is lost by it."""
    who = [list(layer.who) for layer in seats]
    who[one[0]][one[1]], who[other[0]][other[1]] = who[other[0]][other[1]], who[one[0]][one[1]]
    if _heavy(seats[0].problem, who):
        return False
    found = {}
    for level in (one[0], other[0]):
        fitting = seats[level].fitting(who[level])
        if fitting is None:
            return False
        found[level] = fitting
    for level, fitting in found.items():
        seats[level].who = fitting
    return True

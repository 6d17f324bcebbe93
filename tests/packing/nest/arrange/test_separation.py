"""What keeps pieces apart, and the places in the middle between the least and the greatest."""

import random

import pytest

from packing.measure import read_item
from packing.nest.arrange.align import Laid, Room
from packing.nest.arrange.separation import kept_apart, least, middle
from packing.pose import Stance, stances


def tile(long: int) -> Stance:
    content = {"id": "b", "kind": "block", "length": long, "width": 20, "height": 10, "weight_g": 1, "upright": True}
    return stances(read_item(content))[0]


def room(long: int, wide: int, items: int, gap: int = 5) -> Room:
    return Room(long * 1000, wide * 1000, gap * 1000, dict.fromkeys(range(items), (0, 0, 0, 0)))


def test_parts_are_kept_apart_the_way_they_have_most_room() -> None:
    laid = [Laid(0, tile(40), 0, 0), Laid(1, tile(40), 45_000, 60_000)]
    assert kept_apart(laid) == [(1, 0, 0, 1, 0)]


def test_the_least_places_touch_and_the_extent_is_what_they_need() -> None:
    laid = [Laid(0, tile(40), 0, 0), Laid(1, tile(30), 90_000, 0)]
    found = least([one.stance for one in laid], kept_apart(laid), 0, room(200, 20, 2), [0, 1])
    assert found is not None and (found.places, found.extent_um) == ([0, 45_000], 75_000)


def test_a_longer_piece_pushes_the_next_one_on_until_there_is_no_room() -> None:
    laid = [Laid(0, tile(40), 0, 0), Laid(1, tile(30), 45_000, 0)]
    longer, kept = [tile(41), tile(30)], kept_apart(laid)
    found = least(longer, kept, 0, room(76, 20, 2), [0, 1])
    assert found is not None and found.places == [0, 46_000]
    assert least(longer, kept, 0, room(75, 20, 2), [0, 1]) is None


def test_pieces_that_would_have_to_be_before_each_other_have_no_places() -> None:
    """Each before the other, as no two pieces can lie."""
    kept = [(0, 0, 0, 1, 0), (0, 1, 0, 0, 0)]
    assert least([tile(40), tile(40)], kept, 0, room(10_000, 20, 2), [0, 1]) is None


def test_a_piece_with_room_to_spare_comes_to_the_middle_of_it() -> None:
    laid = [Laid(0, tile(100), 0, 0), Laid(1, tile(40), 0, 25_000)]
    found = least([one.stance for one in laid], kept_apart(laid), 0, room(100, 45, 2), [0, 1])
    assert found is not None and middle(found) == [0, 30_000]


@pytest.mark.parametrize("seed", range(20))
def test_places_in_the_middle_keep_every_gap_and_the_extent(seed: int) -> None:
    chance, x, laid = random.Random(seed), 0, []
    for item in range(6):
        stance = tile(chance.randint(10, 60))
        laid.append(Laid(item, stance, x, chance.choice([0, 7_250, 12_500, 25_000, 50_000])))
        x += stance.length_um + chance.choice([5_000, 5_010, 9_990])
    ways, kept = [one.stance for one in laid], kept_apart(laid)
    found = least(ways, kept, 0, room(1000, 70, 6), range(6))
    assert found is not None
    places = middle(found)
    assert all(
        places[after] >= places[before] + ways[before].length_um + 5_000
        for axis, before, _, after, _ in kept
        if axis == 0
    )
    assert min(places) >= 0 and max(a + way.length_um for a, way in zip(places, ways, strict=True)) == found.extent_um

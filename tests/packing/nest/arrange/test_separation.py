"""What keeps pieces apart, and the places in the middle between the least and the greatest."""

import random

import pytest

from packing.measure import read_item
from packing.nest import Placement
from packing.nest.arrange.align import Room
from packing.nest.arrange.separation import least_places, middle_places, separations
from packing.pose import Orientation, orientations_of


def tile(long: int) -> Orientation:
    content = {"id": "b", "kind": "block", "length": long, "width": 20, "height": 10, "weight_g": 1, "upright": True}
    return orientations_of(read_item(content))[0]


def room(long: int, wide: int, items: int, gap: int = 5) -> Room:
    return Room(long * 1000, wide * 1000, gap * 1000, dict.fromkeys(range(items), (0, 0, 0, 0)))


def test_parts_are_kept_apart_the_way_they_have_most_room() -> None:
    placements = [Placement(0, tile(40), 0, 0), Placement(1, tile(40), 45_000, 60_000)]
    assert separations(placements) == [(1, 0, 0, 1, 0)]


def test_the_least_places_touch_and_the_extent_is_what_they_need() -> None:
    placements = [Placement(0, tile(40), 0, 0), Placement(1, tile(30), 90_000, 0)]
    found = least_places([one.orientation for one in placements], separations(placements), 0, room(200, 20, 2), [0, 1])
    assert found is not None and (found.places, found.extent_um) == ([0, 45_000], 75_000)


def test_a_longer_piece_pushes_the_next_one_on_until_there_is_no_room() -> None:
    placements = [Placement(0, tile(40), 0, 0), Placement(1, tile(30), 45_000, 0)]
    longer, kept = [tile(41), tile(30)], separations(placements)
    found = least_places(longer, kept, 0, room(76, 20, 2), [0, 1])
    assert found is not None and found.places == [0, 46_000]
    assert least_places(longer, kept, 0, room(75, 20, 2), [0, 1]) is None


def test_pieces_that_would_have_to_be_before_each_other_have_no_places() -> None:
    """Each before the other, as no two pieces can lie."""
    kept = [(0, 0, 0, 1, 0), (0, 1, 0, 0, 0)]
    assert least_places([tile(40), tile(40)], kept, 0, room(10_000, 20, 2), [0, 1]) is None


def test_a_piece_with_room_to_spare_comes_to_the_middle_of_it() -> None:
    placements = [Placement(0, tile(100), 0, 0), Placement(1, tile(40), 0, 25_000)]
    found = least_places([one.orientation for one in placements], separations(placements), 0, room(100, 45, 2), [0, 1])
    assert found is not None and middle_places(found) == [0, 30_000]


@pytest.mark.parametrize("seed", range(20))
def test_places_in_the_middle_keep_every_gap_and_the_extent(seed: int) -> None:
    rng, x, placements = random.Random(seed), 0, []
    for item in range(6):
        orientation = tile(rng.randint(10, 60))
        placements.append(Placement(item, orientation, x, rng.choice([0, 7_250, 12_500, 25_000, 50_000])))
        x += orientation.length_um + rng.choice([5_000, 5_010, 9_990])
    orientations, kept = [one.orientation for one in placements], separations(placements)
    found = least_places(orientations, kept, 0, room(1000, 70, 6), range(6))
    assert found is not None
    places = middle_places(found)
    assert all(
        places[after] >= places[before] + orientations[before].length_um + 5_000
        for axis, before, _, after, _ in kept
        if axis == 0
    )
    assert (
        min(places) >= 0
        and max(a + way.length_um for a, way in zip(places, orientations, strict=True)) == found.extent_um
    )

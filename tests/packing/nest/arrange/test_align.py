"""Tidiness: heads in line, free pieces in the middle of their room, and never a gap or an extent lost."""

from itertools import pairwise

import pytest

from packing.measure import read_item
from packing.nest import Placement
from packing.nest.arrange.align import Room, aligned
from packing.pose import Orientation, orientations_of

BAR = orientations_of(read_item({"id": "b", "kind": "block", "length": 100, "width": 20, "height": 10, "weight_g": 1}))[
    0
]
PEG = orientations_of(read_item({"id": "p", "kind": "block", "length": 20, "width": 20, "height": 20, "weight_g": 1}))[
    0
]
HAMMER = orientations_of(
    read_item(
        {
            "id": "h", "kind": "tool", "head_length": 100, "head_height": 40, "head_width": 40, "handle_length": 200,
            "handle_width": 30, "handle_thickness": 20, "weight_g": 1100,
        }
    )
)[0]  # fmt: skip


def block(wide: int) -> Orientation:
    content = {"id": "b", "kind": "block", "length": 20, "width": wide, "height": 10, "weight_g": 1, "upright": True}
    return orientations_of(read_item(content))[0]


def room(long: int, wide: int, items: int, gap: int = 5) -> Room:
    return Room(long * 1000, wide * 1000, gap * 1000, dict.fromkeys(range(items), (0, 0, 0, 0)))


def test_a_piece_with_room_on_one_side_moves_to_the_middle() -> None:
    placements = [Placement(0, BAR, 0, 0), Placement(1, PEG, 0, 25_000)]
    assert aligned(placements, room(100, 45, 2))[1] == Placement(1, PEG, 40_000, 25_000)


def test_heads_come_into_line_where_they_can() -> None:
    """The longer of two hammers is held at both ends; the head of the other moves up to it or down to it."""
    placements = [
        Placement(0, HAMMER, 0, 0),
        Placement(1, HAMMER, 30_000, 110_000),
        Placement(2, BAR, 230_000, 215_000),
    ]
    tidy = aligned(placements, room(330, 235, 3, gap=10))
    assert tidy[0].x_um == tidy[1].x_um


def test_the_piece_that_sets_the_extent_stays() -> None:
    placements = [Placement(0, BAR, 0, 0), Placement(1, PEG, 105_000, 0)]
    assert aligned(placements, room(125, 20, 2)) == placements


@pytest.mark.parametrize("gap", [0, 5, 10])
def test_no_gap_gets_smaller_than_asked(gap: int) -> None:
    placements = [Placement(index, PEG, index * (20 + gap) * 1000, (index % 2) * 3000) for index in range(5)]
    fitted = room(5 * 20 + 4 * gap, 23, 5, gap)
    tidy = aligned(placements, fitted)
    edges = [one.x_um for one in tidy]
    assert all(after - before >= (20 + gap) * 1000 for before, after in pairwise(edges))


def test_pieces_that_share_free_room_share_it_evenly() -> None:
    """Two pegs of 20 mm and the gap of 5 mm leave 55 mm of 100: a third before, between and after them."""
    placements = [Placement(0, BAR, 0, 0), Placement(1, PEG, 0, 25_000), Placement(2, PEG, 25_000, 25_000)]
    tidy = aligned(placements, room(100, 45, 3))
    assert tidy[1].x_um == pytest.approx(55_000 / 3, abs=1_000)
    assert tidy[2].x_um == pytest.approx(80_000 - 55_000 / 3, abs=1_000)


def test_a_free_piece_that_is_all_but_flush_with_another_is_made_flush() -> None:
    """The middle is 13 mm up; the piece beside it ends 14 mm up."""
    low, high = block(14), block(27)
    placements = [Placement(0, low, 0, 0), Placement(1, high, 0, 19_000), Placement(2, BAR, 25_000, 0)]
    assert aligned(placements, room(125, 46, 3))[2] == Placement(2, BAR, 25_000, 14_000)

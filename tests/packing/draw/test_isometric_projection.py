"""The open box in space: what hides what."""

import random
from itertools import combinations, pairwise
from typing import Any

import pytest

from packing.draw.hatch import Material
from packing.draw.isometric_projection import Brick, Eye, behind, farthest_first, holds
from packing.draw.open_box import tilted_trays
from packing.plan.kinds import Part
from tests.packing.drawn_zoo import planned, sample

EYE = Eye(1.0)


def brick(name: Any, low: Any, high: Any) -> Any:
    return Brick(name, Part.BLOCK, Material.OTHER, low, high)


def in_front(first: Any, second: Any) -> Any:
    """Whether a ray towards the eye leaves the second brick and then meets the first, tried at many points."""
    chance = random.Random(5)
    for _ in range(300):
        x, y, z = (chance.uniform(low, high) for low, high in zip(second.low, second.high, strict=True))
        # Towards the eye: x up, y down, z up, all alike.
        least = max(first.low[0] - x, y - first.high[1], first.low[2] - z)
        most = min(first.high[0] - x, y - first.low[1], first.high[2] - z)
        if max(least, 0.0) < most - 1e-9:
            return True
    return False


def test_what_is_nearer_along_any_axis_is_drawn_later() -> None:
    middle = brick("m", (0, 0, 0), (10, 10, 10))
    assert behind(middle, brick("right", (12, 0, 0), (20, 10, 10)))
    assert behind(middle, brick("front", (0, -20, 0), (10, -5, 10)))
    assert behind(middle, brick("above", (0, 0, 10), (10, 10, 12)))


def test_bricks_parted_in_contrary_ways_have_no_order() -> None:
    first, second = brick("a", (0, 0, 0), (10, 10, 10)), brick("b", (12, 12, 0), (20, 20, 10))
    assert not behind(first, second)
    assert not behind(second, first)


@pytest.mark.parametrize("plan", [sample(), planned(14, 2), planned(24, 3)], ids=["sample", "14", "24"])
@pytest.mark.parametrize("lean", [0.0, 1.0])
def test_nothing_drawn_later_is_hidden_by_what_was_drawn_before(plan: Any, lean: Any) -> None:
    for tray in tilted_trays(plan, lean):
        order = farthest_first(tray.pieces, EYE)
        assert len(order) == len(tray.pieces)
        for earlier, later in combinations(order, 2):
            assert not in_front(earlier, later)


def test_stacked_boxes_are_drawn_from_the_bottom_up() -> None:
    low, high = brick("low", (0, 0, 0), (50, 50, 20)), brick("high", (10, 10, 20), (30, 30, 40))
    assert [one.letter for one in farthest_first([high, low], EYE)] == ["low", "high"]


def test_bricks_that_go_round_in_a_ring_are_all_drawn() -> None:
    ring = [
        brick("a", (0, 0, 0), (10, 2, 2)),
        brick("b", (8, -10, 2), (10, 2, 4)),
        brick("c", (0, -10, 0), (2, 0, 4)),
    ]
    assert sorted(one.letter for one in farthest_first(ring, EYE)) == ["a", "b", "c"]


@pytest.mark.parametrize("lean", [0.0, 0.35, 0.7, 1.0])
def test_lifted_layers_do_not_cover_the_layer_below(lean: Any) -> None:
    trays = tilted_trays(planned(14, 2), lean)
    for below, above in pairwise(trays):
        for piece in below.pieces:
            (x0, y0, _), (x1, y1, top) = piece.low, piece.high
            for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)):
                assert not holds(above.foam.silhouette(EYE), EYE.at(x, y, top))


def test_every_piece_stands_out_of_the_foam() -> None:
    for tray in tilted_trays(sample(), 0.0):
        assert all(piece.high[2] > tray.foam.high[2] for piece in tray.pieces)

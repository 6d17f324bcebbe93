"""Splitting by weight: never over the limit, never more than a parcel above the bound, sets together, like weights."""

import random
from itertools import product
from typing import Any

import pytest

from packing.measure import BadInput
from packing.planning import fewest, split_by_weight

LIMIT = 17_000_000


def loads(parcels: Any, weights: Any) -> Any:
    return [sum(weights[place] for place in parcel) for parcel in parcels]


def heavy_order(seed: int, *, most: int = 40) -> Any:
    """Weights of a heavy order: hammers, sledges and axes of 0.8 to 8 kg, more than one parcel of them."""
    rng = random.Random(seed)
    weights = [rng.randrange(800_000, 8_000_000, 1000) for _ in range(rng.randrange(4, most + 1))]
    return weights if sum(weights) > LIMIT else heavy_order(seed + 1000, most=most)


def test_two_hundred_heavy_orders_keep_the_limit_and_take_at_most_a_parcel_above_the_bound() -> None:
    above = 0
    for seed in range(200):
        weights = heavy_order(seed)
        parcels = split_by_weight(weights, LIMIT)
        assert sorted(place for parcel in parcels for place in parcel) == list(range(len(weights)))
        assert max(loads(parcels, weights)) <= LIMIT
        above += len(parcels) - fewest(weights, LIMIT)
        assert len(parcels) <= fewest(weights, LIMIT) + 1
    assert above <= 20


@pytest.mark.parametrize("seed", range(12))
def test_up_to_eight_things_no_way_at_all_takes_fewer_parcels(seed: int) -> None:
    weights = heavy_order(seed, most=8)
    parcels = split_by_weight(weights, LIMIT)
    fewer = product(range(len(parcels) - 1), repeat=len(weights))
    ways = ([[w for w, p in zip(weights, way, strict=True) if p == one] for one in set(way)] for way in fewer)
    assert not any(all(sum(parcel) <= LIMIT for parcel in way) for way in ways)


def test_twenty_four_hammers_are_two_parcels_of_like_weight() -> None:
    weights = [1_440_000] * 24
    assert loads(split_by_weight(weights, LIMIT + 1_000_000), weights) == [12 * 1_440_000] * 2


def test_a_set_stays_together_where_that_takes_no_parcel_more() -> None:
    weights = [5_000_000, 4_000_000, 3_000_000, 5_000_000, 4_000_000, 3_000_000]
    parcels = split_by_weight(weights, 13_000_000, together=[(0, 1, 2), (3, 4, 5)])
    assert sorted(parcels) == [(0, 1, 2), (3, 4, 5)]


def test_a_set_is_parted_where_it_is_too_heavy_or_would_cost_a_parcel() -> None:
    assert len(split_by_weight([5, 5, 5], 10, together=[(0, 1, 2)])) == 2
    # Sets of 6 and 6 and two of 4 fill two parcels of 10 only in pairs of 6 and 4; three pairs of 6 need three.
    assert len(split_by_weight([3, 3, 3, 3, 3, 3], 9, together=[(0, 1), (2, 3), (4, 5)])) == 2


def test_one_thing_above_the_limit_is_refused() -> None:
    with pytest.raises(BadInput, match="at most 10 mg for any parcel, not 11 mg"):
        split_by_weight([3, 11], 10)

from dataclasses import replace
from typing import Any

import pytest

from packing.measure import BadInput, Block, Order, Rules
from packing.nest.bounds import lower_bound
from packing.nest.exact.prove import ExactResult, ProofStatus, fits, prove
from packing.nest.infeasibility import refutation
from packing.nest.problem import problem_of
from tests.packing.nest.brute_force import least_volume, tiny_order

SEEDS = range(24)


def _proved(order: Order, upper: int) -> ExactResult:
    return prove(problem_of(order), upper, steps=10_000_000)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_least_volume_is_what_brute_force_finds(seed: int) -> None:
    order = tiny_order(seed)
    best = least_volume(order)
    assert best is not None
    result = _proved(order, 2 * best)
    assert result.status == "improved"
    assert result.nesting is not None
    assert (result.nesting.volume_um3, result.bound_um3, result.nesting.proven) == (best, best, True)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_optimum_is_proved_and_nothing_smaller_is_claimed(seed: int) -> None:
    order = tiny_order(seed)
    best = least_volume(order)
    assert best is not None
    assert _proved(order, best) == replace(
        _proved(order, best), status=ProofStatus.PROVEN, bound_um3=best, nesting=None
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_no_quick_bound_is_above_the_optimum(seed: int) -> None:
    order = tiny_order(seed)
    best = least_volume(order)
    assert best is not None
    assert 0 < lower_bound(problem_of(order)) <= best


@pytest.mark.parametrize("seed", SEEDS)
def test_an_interior_is_refused_exactly_where_brute_force_finds_no_plan(seed: int) -> None:
    order = tiny_order(seed, limited=True)
    limits = order.rules.max_interior_um
    assert limits is not None
    possible = least_volume(order) is not None
    answer = fits(order, limits, steps=10_000_000)
    assert answer.status == ("planned" if possible else "impossible")
    assert not (possible and refutation(problem_of(order)))


def _blocks(*sizes: tuple[int, int, int], **rules: Any) -> Order:
    none = Rules(0, 0, 0, 0, 0, 0, (10,))
    blocks = tuple(Block(f"b{k}", *size, 1, upright=True) for k, size in enumerate(sizes))
    return Order("blocks", blocks, replace(none, **rules))


def test_a_proof_repeats_exactly_under_the_same_steps() -> None:
    problem = problem_of(_blocks((70, 50, 10), (60, 40, 10), (50, 30, 20), (40, 40, 20), (30, 20, 10)))
    assert prove(problem, 10**7, steps=3_000) == prove(problem, 10**7, steps=3_000)


def test_a_proof_that_is_stopped_at_once_keeps_a_bound_above_zero() -> None:
    problem = problem_of(_blocks((70, 50, 10), (60, 40, 10), (50, 30, 20)))
    result = prove(problem, 10**9, stop=lambda: True)
    assert (result.status, result.nesting) == ("open", None)
    assert 0 < result.bound_um3 < 10**9


def test_a_plan_that_only_fits_turned_is_found() -> None:
    answer = fits(_blocks((70, 30, 10), (30, 30, 10)), (30, 100, 10))
    assert (answer.status, answer.interior_um) == ("planned", (100, 30, 10))


def test_three_squares_of_two_do_not_fit_three_by_four_though_their_area_would() -> None:
    answer = fits(_blocks((20, 20, 10), (20, 20, 10), (20, 20, 10)), (40, 30, 10))
    assert (answer.status, answer.limit, answer.by_um) == ("impossible", "max_interior height", 10)
    assert "proved" in str(answer.message)


def test_an_interior_is_not_decided_without_effort() -> None:
    assert fits(_blocks((20, 20, 10), (20, 20, 10)), (40, 20, 10), stop=lambda: True).status == "not found"


def test_an_interior_without_height_is_refused() -> None:
    with pytest.raises(BadInput, match=r"interior: must have three sides greater than 0, not \(40, 20, 0\)"):
        fits(_blocks((20, 20, 10)), (40, 20, 0))

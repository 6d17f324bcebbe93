"""Before anything is compiled: an answer all the same, and compiling once."""

import itertools
from collections.abc import Callable
from pathlib import Path

import pytest

from packing import kernels
from packing.check import check_plan
from packing.measure import Order, read_order
from packing.nest import nest, warm_cache
from packing.nest.arrange.settle import settle
from packing.nest.problem import problem_of
from packing.nest.search.uncompiled import anneal_uncompiled
from packing.plan.kinds import Status
from packing.planning import plan_parcel

HAMMER = {
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}
TIN = {"kind": "block", "length": 70, "width": 60, "height": 30, "weight_g": 120}


def order_of(*items: dict[str, object], **rules: object) -> Order:
    numbered = [{"id": f"{index}", **item} for index, item in enumerate(items)]
    return read_order({"id": "A", "rules": rules, "items": numbered})


def steps(count: int) -> Callable[[], float]:
    """A budget of so many steps."""
    done = itertools.count()
    return lambda: next(done) / count


@pytest.fixture
def never_compiled(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kernels, "are_compiled", lambda: False)
    monkeypatch.setattr(kernels, "compile_beside", lambda: True)
    monkeypatch.setattr(kernels, "are_compiling", lambda: True)


def test_two_hammers_come_to_lie_as_closely_as_the_compiled_search_lays_them() -> None:
    order = order_of(HAMMER, HAMMER)
    problem = problem_of(order)
    interior, _, _ = settle(problem, anneal_uncompiled(problem, seed=0, spent=steps(6000)))
    assert sorted(interior) == sorted(nest(order, effort=20_000).interior_um)


def test_the_same_seed_and_steps_give_the_same_layers() -> None:
    problem = problem_of(order_of(HAMMER, TIN, HAMMER, TIN))
    first, again = (anneal_uncompiled(problem, seed=3, spent=steps(500)) for _ in range(2))
    assert first == again


@pytest.mark.usefixtures("never_compiled")
@pytest.mark.parametrize(
    "order",
    [
        order_of(HAMMER, HAMMER, TIN),
        order_of(*[HAMMER] * 5, *[TIN] * 5, max_layer_g=3000),
        order_of(HAMMER, {**HAMMER, "sharp": "far", "form": "axe"}, sharp_wall=60),
        order_of(HAMMER, HAMMER, max_interior=[400, 300, 400]),
        order_of(*[TIN] * 6, layered=False),
    ],
    ids=["plain", "heaviest layer", "sharp", "limits", "without layers"],
)
def test_without_kernels_a_plan_that_keeps_every_rule_comes_in_time_and_says_so(order: Order) -> None:
    answer = plan_parcel(order, seconds=0.4)
    assert "The search was still being compiled: plan again for a smaller box." in map(str, answer.plan.notes)
    assert check_plan(order, answer.content) == []


@pytest.mark.usefixtures("never_compiled")
def test_without_kernels_a_search_that_is_stopped_at_once_hands_over_a_plan() -> None:
    assert nest(order_of(HAMMER, TIN), seconds=60, stop=lambda: True).status is Status.PLANNED


@pytest.mark.usefixtures("never_compiled")
def test_without_kernels_and_within_limits_too_tight_the_search_says_that_it_was_being_compiled() -> None:
    nesting = nest(order_of(HAMMER, HAMMER, max_interior=[400, 190, 130]), seconds=0.2)
    assert nesting.status is Status.NOT_FOUND and "still being compiled" in str(nesting.message)


def test_where_the_compiling_process_failed_a_search_by_the_clock_does_not_compile(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for name, answer in (("are_compiled", False), ("compile_beside", True), ("are_compiling", False)):
        monkeypatch.setattr(kernels, name, lambda answer=answer: answer)
    monkeypatch.setattr("packing.nest.solver.WORTH_LOADING_S", 0.0)
    nesting = nest(order_of(HAMMER, HAMMER), seconds=0.5)
    assert nesting.status is Status.PLANNED and "still being compiled" in str(nesting.message)


def test_kernels_that_another_process_has_finished_meanwhile_are_used(monkeypatch: pytest.MonkeyPatch) -> None:
    answers = itertools.chain([False], itertools.repeat(True))
    monkeypatch.setattr(kernels, "are_compiled", lambda: next(answers))
    monkeypatch.setattr(kernels, "compile_beside", lambda: True)
    nesting = nest(order_of(HAMMER, HAMMER), seconds=2.0)
    assert nesting.status is Status.PLANNED and str(nesting.message) == ""


def test_kernels_are_compiled_once(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    builds: list[bool] = []
    monkeypatch.setattr(warm_cache, "build", lambda: builds.append(True))
    monkeypatch.setattr(kernels, "folder", lambda: tmp_path)
    kernels._mark.cache_clear()
    try:
        assert not kernels.are_compiled()
        warm_cache.build_once()
        warm_cache.build_once()
        assert kernels.are_compiled() and builds == [True]
    finally:
        kernels._mark.cache_clear()


def test_a_folder_that_others_may_write_to_keeps_no_code(tmp_path: Path) -> None:
    (tmp_path / "open").mkdir()
    (tmp_path / "open").chmod(0o777)
    assert not kernels._is_ours(tmp_path / "open")
    assert kernels._is_ours(tmp_path / "own")

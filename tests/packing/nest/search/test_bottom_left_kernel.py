"""Layers that are placed item by item: no overlap, lowest place, and no layer given up too early."""

import random
from typing import Any

import numpy as np
import pytest

from packing.measure import read_order
from packing.nest.problem import problem_of
from packing.nest.search import anneal, anneal_kernel, bottom_left_kernel
from packing.nest.search.bottom_left_kernel import LAYER, SHAPE

SEEDS = range(30)
LAYERS = 3


def _drawn(seed: Any) -> Any:
    rng = random.Random(seed)
    head = {"kind": "tool", "head_height": 42, "head_width": 42}
    handle = {"handle_width": 33, "handle_thickness": 23, "weight_g": 1250}
    long = [{"head_length": rng.randrange(90, 220), "handle_length": rng.randrange(150, 500)} for _ in range(9)]
    tools = [{"id": str(index), **head, **handle, **each} for index, each in enumerate(long)]
    tables = anneal.tables_of(problem_of(read_order({"id": "drawn", "items": tools})))
    state = anneal.Worker(tables, seed, anneal.Budget(None, 1, None), 3)._start(2, rng).state
    return tables, state


def _placed(tables: Any, state: Any, out: Any, threshold: Any = bottom_left_kernel.NO_THRESHOLD) -> Any:
    scratch = bottom_left_kernel.scratch_for(tables.items)
    return [
        bottom_left_kernel.place_layer(layer, tables.items, 0, state, tables.shapes, out, scratch, threshold)
        for layer in range(LAYERS)
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_no_two_rectangles_of_a_layer_overlap(seed: Any) -> None:
    tables, state = _drawn(seed)
    out = np.zeros((tables.items, 2), np.int64)
    _placed(tables, state, out)
    for layer in range(LAYERS):
        mine = [item for item in range(tables.items) if state[LAYER, item] == layer]
        parts = [(item, tables.shapes.rects[state[SHAPE, item], part]) for item in mine for part in (0, 1)]
        rects = [(item, part + np.tile(out[item], 2)) for item, part in parts]
        for item, a in rects:
            for other, b in rects:
                apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
                assert item == other or apart


@pytest.mark.parametrize("seed", SEEDS)
def test_a_state_is_given_up_only_where_its_whole_cost_is_beyond_the_most(seed: Any) -> None:
    tables, state = _drawn(seed)
    n = tables.items
    out, scratch = np.zeros((n, 2), np.int64), bottom_left_kernel.scratch_for(n)
    touched = np.ones(LAYERS, np.bool_)
    extent = np.array(_placed(tables, state, out), np.int64).T.copy()
    cost, _, _ = anneal_kernel.cost_of(n, LAYERS, state, extent, tables.limits)
    for share in (0.5, 0.9, 0.999, 1.0, 1.001, 1.1):
        tried = anneal_kernel._tried(
            n, LAYERS, 0, state, tables.shapes, tables.limits, cost * share, touched, out, extent.copy(), scratch
        )  # fmt: skip
        assert tried == (share >= 1.0)


def test_a_layer_that_grows_beyond_the_threshold_is_not_placed_to_its_end() -> None:
    tables, state = _drawn(0)
    out = np.zeros((tables.items, 2), np.int64)
    nothing = bottom_left_kernel.NO_THRESHOLD._replace(most=1.0)
    assert {length for length, _, _ in _placed(tables, state, out, nothing)} <= {0, -1}

import random

import numpy as np
import pytest

from packing.nest.exact.dual_feasible_kernel import value, whole
from packing.nest.exact.item_types import ItemTypes
from packing.nest.exact.layer_fit import FittedLayer, LayerFit, slices
from packing.nest.problem import problem_of
from tests.packing.nest.brute_force import UNIT, cells, fits_plane, tiny_order

PLENTY = 1_000_000


def _fit_layer(seed: int) -> tuple[bool | None, FittedLayer | None, bool, tuple[int, int]]:
    """What the exact search and brute force say of a random order and a random floor not much larger than its area."""
    rng = random.Random(seed)
    problem = problem_of(tiny_order(seed))
    orientations = [list(own) for own in problem.orientations]
    area = sum(min(len(cells(grown, 0, 0)) for grown in own) for own in orientations)
    width = rng.randint(2, 7)
    depth = max(1, int(area / width * rng.uniform(1, 1.7)))
    item_types = ItemTypes(problem.orientations)
    layer_fit = LayerFit(item_types.orientations)
    answer, fitted = layer_fit.fits(
        sorted(item_types.of), len(layer_fit.levels_um) - 1, width * UNIT, depth * UNIT, PLENTY
    )
    return answer, fitted, fits_plane(orientations, width, depth), (width * UNIT, depth * UNIT)


@pytest.mark.parametrize("seed", range(60))
def test_what_fits_a_floor_is_what_brute_force_says(seed: int) -> None:
    answer, _, truth, _ = _fit_layer(seed)
    assert answer is truth


@pytest.mark.parametrize("seed", range(60))
def test_shapes_on_a_floor_are_within_it_and_do_not_overlap(seed: int) -> None:
    _, fitted, _, room = _fit_layer(seed)
    taken: set[tuple[int, int]] = set()
    for grown, x, y in zip(fitted.orientations, fitted.x_um, fitted.y_um, strict=True) if fitted else ():
        own = cells(grown, x // UNIT, y // UNIT)
        assert not own & taken
        taken |= own
        assert x >= 0 and y >= 0 and x + grown.length_um <= room[0] and y + grown.width_um <= room[1]


def test_a_search_without_effort_says_neither_yes_nor_no() -> None:
    item_types = ItemTypes(problem_of(tiny_order(1)).orientations)
    layer_fit = LayerFit(item_types.orientations)
    assert layer_fit.fits(sorted(item_types.of), len(layer_fit.levels_um) - 1, 10**6, 10**6, 0) == (None, None)


@pytest.mark.parametrize("family", [0, 1, 2])
def test_values_of_pieces_of_a_line_never_sum_up_to_more_than_the_line(family: int) -> None:
    rng = random.Random(family)
    for _ in range(3_000):
        line = rng.randint(2, 60)
        size = rng.randint(1, 12) if family == 0 else rng.randint(1, line // 2)
        cuts = sorted(rng.choices(range(line + 1), k=rng.randint(1, 7)))
        pieces = [int(piece) for piece in np.diff([0, *cuts]) if piece]
        assert sum(value(family, size, piece, line) for piece in pieces) <= whole(family, size, line)


def test_slices_of_a_way_make_up_its_area() -> None:
    for own in problem_of(tiny_order(3)).orientations:
        for grown in own:
            area = len(cells(grown, 0, 0)) * UNIT**2
            assert [sum(breadth * piece for breadth, piece in cuts) for cuts in slices(grown)] == [area, area]

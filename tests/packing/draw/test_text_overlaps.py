"""No text of a drawing stands on another, whatever the box, the paper, the scale and the unit."""

import random
from collections.abc import Iterator
from itertools import combinations
from typing import Any

import pytest

from packing.boxes import BoxDesign, make_box
from packing.draw import blank_drawing, isometric, piece_drawing, plan_view, sheet_drawing, side_section, together
from tests.packing.box_specs import EVERY, box_spec, random_interior
from tests.packing.drawn_zoo import in_box, planned
from tests.packing.svg_reader import texts

UNITS = ("mm", "in")
# Room for a drawing on an A4 or a Letter sheet, upright and lying, in mm.
PAPERS = ((180.0, 220.0), (250.0, 150.0))
ORDERS = 200


def clashes(drawing: Any) -> Any:
    """Pairs of words that share more than a tenth of a millimetre each way."""
    return [(a.words, b.words) for a, b in combinations(texts(drawing), 2) if a.overlaps(b, 0.1)]


def box_pictures(plan: Any, unit: Any, **size: Any) -> Iterator[Any]:
    """Every working drawing of a box."""
    yield from (piece_drawing(plan, piece.id, unit=unit, **size) for piece in plan.box.pieces)
    if plan.box.blank is not None:
        yield blank_drawing(plan, unit=unit, **size)


def insert_pictures(plan: Any, unit: Any, paper: Any) -> Iterator[Any]:
    """Every working drawing and view of an insert."""
    yield from (plan_view(plan, layer, unit=unit, paper=paper) for layer in range(len(plan.layers)))
    yield from (sheet_drawing(plan, ids[0], unit=unit, paper=paper) for ids in together(plan.insert))
    yield from (side_section(plan, across=across, unit=unit, paper=paper) for across in (False, True))
    yield isometric(plan, paper=paper)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("scale", [5, 10, 20])
@pytest.mark.parametrize("code", EVERY)
def test_no_text_overlaps_on_the_working_drawings_of_a_box(code: Any, scale: Any, unit: Any) -> None:
    for drawing in box_pictures(in_box(code), unit, scale=scale):
        assert not clashes(drawing), drawing.title


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("count", "seed"), [(2, 11), (5, 12), (9, 13)])
def test_no_text_overlaps_on_the_drawings_of_an_insert(count: Any, seed: Any, paper: Any, unit: Any) -> None:
    for drawing in insert_pictures(planned(count, seed), unit, paper):
        assert not clashes(drawing), drawing.title


@pytest.mark.slow
def test_no_text_overlaps_on_any_drawing_of_200_orders() -> None:
    chance = random.Random(2026)
    for order in range(ORDERS):
        plan = planned(1 + order % 20, order)
        code, inside = EVERY[order % len(EVERY)], random_interior(chance)
        for unit in UNITS:
            for paper in PAPERS:
                for drawing in insert_pictures(plan, unit, paper):
                    assert not clashes(drawing), (order, unit, paper, drawing.title)
                if isinstance(make_box(code, box_spec(inside)), BoxDesign):
                    for drawing in box_pictures(in_box(code, inside), unit, paper=paper):
                        assert not clashes(drawing), (order, unit, paper, drawing.title)

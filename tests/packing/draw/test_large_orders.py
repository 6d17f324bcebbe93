"""Drawings of large orders: done in bounded time, and no wall of letters."""

import random
import re
import time
from functools import lru_cache
from typing import Any

import pytest

from packing.cli.files import drawings
from packing.draw import isometric, plan_view, side_section
from packing.draw.callouts import MOST_BESIDE
from packing.draw.labels import Labels
from packing.draw.shapes import Rect
from packing.measure import MOST_ITEMS, read_order
from packing.plan import Plan, plan_from_json
from packing.planning import plan_parcel
from tests.packing.svg_reader import texts

SECONDS = {True: 4.0, False: 1.5}
"""Of the processor, for all drawings. Those of blocks on each other took 21 s, for each ring asked every other one."""
LETTERS = re.compile("[A-Z]{1,2}")


@lru_cache(maxsize=4)
def many_blocks(count: int, *, layered: bool) -> Plan:
    chance = random.Random(5)
    items = [
        {"id": f"b{at}", "kind": "block", "weight_g": 100, "height": chance.randint(20, 60)}
        | {"length": chance.randint(30, 90), "width": chance.randint(30, 90)}
        for at in range(count)
    ]
    order = read_order({"id": "many", "rules": {"layered": layered}, "items": items})
    return plan_from_json(plan_parcel(order, effort=10).content)


def letters(drawing: Any) -> Any:
    return [one.words for one in texts(drawing) if one.bold and LETTERS.fullmatch(one.words)]


@pytest.mark.parametrize("layered", [True, False])
def test_the_largest_order_is_drawn_in_seconds(layered: Any) -> None:
    plan = many_blocks(MOST_ITEMS, layered=layered)
    begun = time.process_time()
    assert drawings(plan)
    assert time.process_time() - begun < SECONDS[layered]


def test_a_crowded_picture_rings_what_has_room_and_says_how_many_have_none() -> None:
    plan = many_blocks(MOST_ITEMS, layered=True)
    for drawing in (side_section(plan), isometric(plan)):
        ringed, (said,) = letters(drawing), [one.words for one in texts(drawing) if "no room" in one.words]
        missing = int(said.split()[0])
        assert missing > MOST_BESIDE and len(ringed) == len(set(ringed)) == MOST_ITEMS - missing


def test_every_piece_has_its_letter_in_the_view_of_its_layer() -> None:
    plan = many_blocks(MOST_ITEMS, layered=True)
    for layer in range(len(plan.layers)):
        assert sorted(letters(plan_view(plan, layer))) == sorted(item.letter for item in plan.items_of(layer))


def test_labels_meet_what_a_search_through_all_of_them_meets() -> None:
    chance = random.Random(9)

    def rect() -> Rect:
        x, y = chance.uniform(-60, 60), chance.uniform(-60, 60)
        return Rect(x, y, x + chance.choice([0.0, 2.0, 30.0]), y + chance.choice([0.0, 3.0, 25.0]))

    for _ in range(40):
        every = [rect() for _ in range(chance.randint(0, 30))]
        labels = Labels(every)
        asked = [rect() for _ in range(50)]
        assert [labels.meet(one) for one in asked] == [any(one.overlaps(other) for other in every) for one in asked]
        pairs = [(a, b) for place, a in enumerate(every) for b in every[:place]]
        assert labels.crowded == any(a.overlaps(b, -0.4) for a, b in pairs)

"""The small picture of where one item goes."""

import json
from pathlib import Path
from typing import Any

import pytest

from packing.draw import pocket_picture
from packing.draw.canvas import BLUE
from packing.measure import BadInput
from packing.plan import plan_from_json

PLAN = plan_from_json(json.loads((Path(__file__).parents[2] / "data" / "papers_plan.json").read_text(encoding="utf-8")))


@pytest.mark.parametrize("item", PLAN.items, ids=lambda item: item.letter)
def test_only_the_items_own_parts_are_filled(item: Any) -> None:
    svg = pocket_picture(PLAN, item.id).svg
    assert svg.count(f'fill="{BLUE}"') == len(item.parts)
    others = [one for one in PLAN.items if one.layer == item.layer and one is not item]
    assert svg.count("<path") == 1 + len(item.parts) + sum(len(one.parts) for one in others)


def test_the_picture_is_small_and_says_where_in_words() -> None:
    picture = pocket_picture(PLAN, PLAN.items[0].id)
    assert picture.width_mm <= 43 and picture.height_mm <= 29
    assert f"filled: {PLAN.items[0].letter}" in picture.svg


def test_an_item_of_another_plan_is_refused() -> None:
    with pytest.raises(BadInput, match="item: must be one of the plan's"):
        pocket_picture(PLAN, "nobody")

"""Signs on heads say where face, poll and edges are and which cheek is up, in the way the order's own measures say."""

from typing import Any

import pytest
from msgspec.structs import replace

from packing.draw import plan_view
from packing.draw.bearing import face_side
from packing.measure import read_order
from packing.plan import plan_from_json
from packing.plan.kinds import Form, Part, Sharp
from packing.planning import plan_parcel
from tests.helpers import present
from tests.packing.drawn_zoo import HAMMER, sample
from tests.packing.svg_reader import root_of, words

EYE_OFFSET = 40
TOOLS = [
    HAMMER | {"id": "left", "eye_offset": EYE_OFFSET, "mark": "face_left"},
    HAMMER | {"id": "right", "eye_offset": EYE_OFFSET, "mark": "face_right"},
    HAMMER | {"id": "axe", "eye_offset": EYE_OFFSET, "form": "axe", "sharp": "far", "may_stand": False},
]


@pytest.fixture(scope="module")
def plan() -> Any:
    return plan_from_json(plan_parcel(read_order({"id": "A-17", "items": TOOLS}), effort=40, seed=1).content)


def flat_heads(plan: Any) -> Any:
    return [item for item in plan.items if item.pose == "flat"]


def test_the_face_is_as_far_from_the_handle_as_the_order_says(plan: Any) -> None:
    assert flat_heads(plan)
    for item in flat_heads(plan):
        head, handle = ({part.part: part for part in item.parts}[name] for name in (Part.HEAD, Part.HANDLE))
        dx, dy = face_side(item)
        axis, sense = (0, dx) if dx else (1, dy)
        middle = (handle.min_um[axis] + handle.max_um[axis]) / 2
        face = head.max_um[axis] if sense > 0 else head.min_um[axis]
        assert abs(face - middle) == EYE_OFFSET * 1000


def test_the_key_names_only_what_is_drawn(plan: Any) -> None:
    layers = range(len(plan.layers))
    said = {word for layer in layers for word in words(plan_view(plan, layer))}
    assert "sharp edge" in said
    assert said & {"face (peen or other face opposite)", "face or poll (peen or other face opposite)"}
    blunt = replace(plan, items=tuple(replace(item, sharp=Sharp.NONE, form=Form.HAMMER) for item in plan.items))
    said = {word for layer in layers for word in words(plan_view(blunt, layer))}
    assert "sharp edge" not in said and "poll" not in said and "face (peen or other face opposite)" in said


def test_the_marked_cheek_is_said_to_be_up_or_down(plan: Any) -> None:
    one = replace(plan, items=tuple(replace(item, marked_up=False) for item in plan.items))
    assert "marked cheek down" in words(plan_view(one, 0))
    bare = replace(plan, items=tuple(replace(item, marked_up=None) for item in plan.items))
    assert not any("marked cheek" in word for word in words(plan_view(bare, 0)))


def test_those_who_hear_the_picture_are_told_too(plan: Any) -> None:
    assert "face towards the" in present(root_of(plan_view(plan, 0))[1].text)
    assert "towards" in present(root_of(plan_view(sample(), 0))[1].text)

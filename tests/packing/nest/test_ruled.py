"""Items against the lines of a rule: near to them on all sides, and mirrored where they lie mirrored."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packing.measure import Ruler, Step
from packing.nest.arrange.align import spans
from packing.nest.ruled import ruled_item
from packing.pose import orientations_of
from tests.helpers import instance
from tests.packing.insert_zoo import HAMMER, order_of

STEPS = st.sampled_from(list(Step))


@st.composite
def hammers(draw: Any) -> Any:
    ranges = {"head_length": (800, 2_000), "head_height": (300, 800), "handle_length": (2_000, 4_000)}
    measures = {name: draw(st.integers(*tenths)) / 10 for name, tenths in ranges.items()}
    wide = draw(st.integers(200, 450)) / 10
    measures |= {"eye_offset": measures["head_length"] / 2, "handle_width": wide, "weight_g": 500}
    return order_of({**HAMMER, **measures}).items[0]


def both(lines: Any) -> Any:
    """The lines on both sides of a part; in these tests there always are."""
    return instance(int, lines[0]), instance(int, lines[1])


def gaps(item: Any, orientation: Any, axis: Any, step: Any) -> Any:
    """How far each edge of each part is from the line outside it."""
    lying = ruled_item(orientation, axis, step)
    found = []
    for part, (low, high) in enumerate(spans(orientation, axis)):
        below, above = both(lying.outside(part, 0, 1_600))
        found += [
            lying.place(40) + low - lying.ruler.line(40 + below),
            lying.ruler.line(40 + above) - lying.place(40) - high,
        ]
    return found


@given(hammers(), STEPS)
def test_no_edge_is_farther_than_three_quarters_of_a_step_from_its_line(item: Any, step: Any) -> None:
    for orientation in orientations_of(item):
        for axis in (0, 1):
            found = gaps(item, orientation, axis, step)
            assert all(-1 <= gap <= 0.75 * Ruler(step).halves / 2 + 1 for gap in found)


@given(hammers(), STEPS)
def test_a_piece_that_is_turned_by_half_has_the_same_pockets_turned(item: Any, step: Any) -> None:
    flat = {(one.turn, one.flipped): one for one in orientations_of(item) if one.pose == "flat"}
    there, back = flat[0, False], flat[180, False]
    sizes = []
    for one in (there, back):
        lying = ruled_item(one, 0, step)
        edges = [both(lying.outside(part, 0, 1_600)) for part in (0, 1)]
        sizes.append([above - below for below, above in edges])
    assert sizes[0] == sizes[1]


@given(st.integers(-5_000_000, 5_000_000), STEPS)
def test_lines_before_after_and_nearest_to_a_place(um: Any, step: Any) -> None:
    ruler = Ruler(step)
    before, after, near = ruler.last(um), ruler.next(um), ruler.line(ruler.near(um))
    assert ruler.line(before) <= um < ruler.line(before + 1)
    assert ruler.line(after - 1) < um <= ruler.line(after)
    assert abs(near - um) <= min(um - ruler.line(before), ruler.line(after) - um) + 1


@pytest.mark.parametrize("inches", [1, 2, 5])
def test_whole_inches_lie_on_lines_on_both_sides(inches: Any) -> None:
    side = inches * 25.4
    block = {"id": "b", "kind": "block", "length": side, "width": side, "height": side, "weight_g": 100}
    (orientation, *_) = orientations_of(order_of(block).items[0])
    assert gaps(None, orientation, 0, Step.SIXTEENTH) == [0, 0]


def test_an_item_between_two_lines_lies_at_none() -> None:
    (orientation, *_) = orientations_of(order_of(HAMMER).items[0])
    lying = ruled_item(orientation, 0, Step.MILLIMETRE)
    assert lying.line_at(lying.place(7)) == 7
    assert lying.line_at(lying.place(7) + 300) is None


def test_room_is_kept_where_the_clearance_allows_it() -> None:
    (orientation, *_) = orientations_of(order_of({**HAMMER, "head_height": 42.0, "handle_length": 250.0}).items[0])
    lying = ruled_item(orientation, 0, Step.MILLIMETRE)
    assert lying.outside(0, 0, 1_500) == (0, 42)
    assert lying.outside(0, 700, 1_500) == (-1, 43)
    assert lying.outside(0, 700, 900) == (0, 42)
    assert lying.inside(0) == (0, 42)

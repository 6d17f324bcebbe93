"""Heads and handles against handbook weights.

Sources: steel 7.85 g/cm³, usual handbook value. DIN 1041 engineers' hammers: weights from 100 g to 2 kg with a square
face as in the standard; head lengths and faces from memory of makers' tables, consistent among themselves under the
test below. Hickory (shagbark, mockernut): specific gravity 0.72 at 12 % moisture in the Wood Handbook of the US Forest
Products Laboratory, on the mass oven-dry, so 0.72 x 1.12 = 0.806 g/cm³ as it lies on the bench.
"""

import math
from decimal import Decimal
from typing import Any

import pytest

from packing.measure import BadInput, Tool, fill_ratio, read_item, tool_warnings
from tests.outside import sources as src
from tests.outside.sources import against

# Head g, head length mm, face mm, handle length mm, share of the head's box that is steel.
DIN_1041 = [
    (100, 82, 15, 260, "0.69"),
    (200, 95, 19, 280, "0.74"),
    (300, 105, 23, 300, "0.69"),
    (400, 112, 25, 310, "0.73"),
    (500, 118, 27, 320, "0.74"),
    (600, 122, 29, 330, "0.75"),
    (800, 130, 33, 350, "0.72"),
    (1000, 135, 36, 360, "0.73"),
    (1500, 145, 42, 380, "0.75"),
    (2000, 155, 47, 400, "0.74"),
]


def hammer(head: tuple[float, float, float], handle: tuple[float, float, float], **values: Any) -> Tool:
    """A tool by the sides of its two boxes, each the longest first."""
    sizes = dict(zip(("head_length", "head_height", "head_width"), head, strict=True))
    sizes |= dict(zip(("handle_length", "handle_width", "handle_thickness"), handle, strict=True))
    read = read_item({"id": "h", "kind": "tool", **sizes, **values})
    assert isinstance(read, Tool)
    return read


@against(src.DIN_1041, src.STEEL)
@pytest.mark.parametrize(("grams", "length", "face", "handle", "fill"), DIN_1041)
def test_a_standard_cross_peen_fills_its_box_as_tabulated(
    grams: int, length: int, face: int, handle: int, fill: str
) -> None:
    """DIN 1041; the sizes and the fill from memory."""
    overall = handle - face
    tool = hammer((length, face, face), (overall, 12, 8), weight_g=grams + 200, head_weight_g=grams)
    assert float(fill_ratio(tool)) == pytest.approx(float(fill), rel=0.01)
    assert tool_warnings(tool) == []


@against(src.DIN_1041, src.WOOD_HANDBOOK)
@pytest.mark.parametrize(("grams", "length", "face", "handle", "fill"), DIN_1041)
def test_a_standard_cross_peen_weighed_whole_is_usual_too(
    grams: int, length: int, face: int, handle: int, fill: str
) -> None:
    """DIN 1041, the handle an oval of hickory (from memory) three quarters of the face wide: within 0.1 of the fill."""
    width, thickness = round(face * 0.75, 1), round(face * 0.55, 1)
    wood = math.pi / 4 * width * thickness * (handle - face) * 0.806e-3
    tool = hammer((length, face, face), (handle - face, width, thickness), weight_g=round(grams + wood, 1))
    assert abs(fill_ratio(tool) - Decimal(fill)) <= Decimal("0.1")
    assert tool_warnings(tool) == []


@against(src.STEEL)
def test_a_solid_block_of_steel_is_as_heavy_as_a_head_can_be() -> None:
    """50 x 50 x 120 mm = 300 cm³ of steel, 2.355 kg."""
    assert fill_ratio(hammer((120, 50, 50), (300, 30, 20), weight_g=2500, head_weight_g=2355)) == 1
    with pytest.raises(BadInput, match="head_weight_g"):
        hammer((120, 50, 50), (300, 30, 20), weight_g=2500, head_weight_g=2355.001)


@against(src.STEEL)
@pytest.mark.parametrize(("grams", "fill"), [(1000, "0.73"), (1370, "1.00")])
def test_a_kilogram_head_is_possible_where_1400_g_in_the_same_box_is_not(grams: int, fill: str) -> None:
    """135 x 36 x 36 mm: 1000 g fills 0.73 of it, 1400 g would fill 1.02."""
    tool = hammer((135, 36, 36), (324, 27, 20), weight_g=1600, head_weight_g=grams)
    assert round(fill_ratio(tool), 2) == Decimal(fill)
    with pytest.raises(BadInput, match=r"1\.019 times its own box full of steel"):
        hammer((135, 36, 36), (324, 27, 20), weight_g=1600, head_weight_g=1400)


@against(src.WOOD_HANDBOOK)
def test_a_handles_box_is_not_taken_lighter_than_the_hickory_in_it() -> None:
    """An oval of 22 x 32 mm, 900 mm long, is 497.6 cm³ and 401 g of hickory; the fill must not count it as head."""
    oval_cm3 = math.pi / 4 * 2.2 * 3.2 * 90
    hickory_g = oval_cm3 * 0.72 * 1.12
    assert oval_cm3 == pytest.approx(497.6, abs=0.05)
    assert hickory_g == pytest.approx(401, abs=0.5)
    head_g = 1000
    weighed = hammer((135, 36, 36), (900, 32, 22), weight_g=round(head_g + hickory_g, 2))
    known = hammer((135, 36, 36), (900, 32, 22), weight_g=round(head_g + hickory_g, 2), head_weight_g=head_g)
    assert 0 <= fill_ratio(known) - fill_ratio(weighed) < Decimal("0.06")

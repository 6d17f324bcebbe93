"""The regular slotted case against makers' arithmetic and a corrugator's units.

Sizes of a 0201 (the international case code of FEFCO and ESBO names the style and the quoting order length, width,
height inside; the allowances of one and two calipers are from memory of makers' tables) and board weight from liners
and medium: 1 lb/1000 ft² = 4.882428 g/m² by the definitions of pound and foot.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from packing.boxes import BoxDesign, BoxSpec, box_plan
from packing.carry import SERVICES, bill
from packing.insert.outline import union
from packing.materials import C_FLUTE, PE_FOAM, Board
from tests.helpers import present
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing.box_specs import designed

LB_PER_1000_FT2 = Fraction("453.59237") / (1000 * Fraction("0.3048") ** 2)
LINER_C_32_ECT = Board("35-26C-35", "C", "32 ECT", 4_000, 533_000, 35_000, 0.03, "35 + 35 lb liners, 26 lb medium")


def case(inner_um: tuple[int, int, int], board: Board) -> BoxDesign:
    return designed("0201", BoxSpec(inner_um, board, fit_um=(0, 0, 0)))


@against(src.TAKE_UP)
def test_the_board_that_comes_along_has_the_grammage_of_its_name() -> None:
    pounds = 42 + 42 + 26 * Fraction("1.43") + 2
    assert C_FLUTE.grammage_mg_m2 / 1000 == pytest.approx(float(pounds * LB_PER_1000_FT2), abs=1)


@against(src.FEFCO, src.MAKERS_ALLOWANCES)
def test_the_blank_outside_and_weight_of_400_by_300_by_200() -> None:
    """Inside 400 × 300 × 200, caliper 4, joint 35: blank 1451 × 512 mm, 0.742912 m², outside 408 × 308 × 216, 396 g."""
    box = case((400_000, 300_000, 200_000), LINER_C_32_ECT)
    blank = box.cut_pieces[0]
    assert blank.size_um == (1_451_000, 512_000)
    assert blank.size_um[0] * blank.size_um[1] == 742_912_000_000
    assert box.outer_um == (408_000, 308_000, 216_000)
    assert blank.stock_mg == pytest.approx(396_000, rel=0.01)
    stored = box_plan(box)
    assert stored.pieces[0].stock_mg == pytest.approx(396_000, rel=0.01)
    assert (present(stored.blank).size_um, stored.outer_um) == ((1_451_000, 512_000), (408_000, 308_000, 216_000))


@against(src.FEFCO, src.ROUND_UP_2025)
def test_board_alone_moves_the_bill_from_12_to_15_lb() -> None:
    """Inside 16 × 12 × 8 in, caliper 5/32: outside 16 5/16 × 12 5/16 × 8 5/8, billed as 17 × 13 × 9 (derived)."""
    inner = (16 * 25_400, 12 * 25_400, 8 * 25_400)
    outer = case(inner, replace(LINER_C_32_ECT, caliper_um=3_969)).outer_um
    assert [side / 25_400 for side in outer] == pytest.approx([16 + 5 / 16, 12 + 5 / 16, 8 + 5 / 8], abs=0.0001)
    today = next(s for s in SERVICES if s.carrier == "UPS" and s.side_rounding == "up")
    assert [bill(sides, 1_000_000, today).dimensional for sides in (inner, outer)] == [12, 15]


@against(src.FOAM_DENSITY)
def test_foam_weighs_its_block_less_its_pockets() -> None:
    """500 × 300 × 100 mm less two pockets 140 × 50 × 60 and two 320 × 35 × 35 at 27.23 kg/m³: 364 g, derived."""
    heads = ((20, 20, 160, 70), (20, 100, 160, 150))
    arms = ((170, 20, 490, 55), (170, 100, 490, 135))
    volume_um3 = 0
    for thickness_mm, holes in ((35, heads + arms), (25, heads), (40, ())):
        rects = tuple(tuple(v * 1000 for v in hole) for hole in holes)
        area = union(rects, (500_000, 300_000)).area_um2
        volume_um3 += (500_000 * 300_000 - area) * thickness_mm * 1000
    foam = replace(PE_FOAM, density_g_m3=27_230)
    assert foam.weight_mg(volume_um3) == pytest.approx(364_000, abs=500)


@against(src.FEFCO)
@pytest.mark.parametrize("code", ["0201", "0203"])
def test_tape_lies_on_the_seams_of_the_outer_flaps(code: str) -> None:
    """0201: they meet in the middle of lid and bottom. 0203: each covers its opening and ends at a long edge."""
    made = designed(code, BoxSpec((400_000, 300_000, 200_000), C_FLUTE, fit_um=(0, 0, 0)))
    seams = [strip for strip in made.closing.strips if len({point[1] for point in strip}) == 1]
    width = made.outer_um[1]
    places = {strip[len(strip) // 2][2] > 0: strip[0][1] for strip in seams}
    assert places == ({True: width, False: 0} if code == "0203" else {True: width // 2, False: width // 2})

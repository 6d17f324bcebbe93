"""Board grades, stacking, wood and its treatment against published tables and worked examples.

How sure each source is stands beside the check: read in the primary text, on a secondary page, or from memory.
"""

from fractions import Fraction
from typing import Any

import pytest

from packing.materials import C_FLUTE, PLANKS, WHITE_PINE, Board, WoodPart, board_feet, wood_verdict
from packing.strength import density_lb_ft2, derated_lbf, freight_check, mckee_lbf
from packing.strength.load import MG_PER_LB, Load
from tests.outside import sources as src
from tests.outside.sources import against
from tests.outside.test_board_tables import box_grade
from tests.packing.box_specs import box_spec, designed

N_PER_LBF, M_PER_INCH = 0.45359237 * 9.80665, 0.0254
PINE = WHITE_PINE


@against(src.POSTAL_GRADES)
@pytest.mark.parametrize(("pounds", "grade"), [(20, 175), (22, 200), (46, 275), (66, 350), (70, 350), (71, None)])
def test_box_grades_of_difficult_loads(pounds: Any, grade: Any) -> None:
    """USPS Publication 2, exhibit 2-3.1.3, column for difficult loads, read in the primary text."""
    assert box_grade(pounds, 100) == grade


@against(src.POSTAL_GRADES)
def test_an_easy_load_needs_less_board_than_a_difficult_one() -> None:
    """The same exhibit: 40 lb easy is grade 175, difficult 200; primary."""
    assert (box_grade(40, 100, difficult=False), box_grade(40, 100)) == (175, 200)


@against(src.POSTAL_GRADES)
def test_more_than_100_in_of_length_and_girth_ask_for_the_next_grade() -> None:
    """The same exhibit: grade 175 goes to 100 in, 200 to 108 in; primary."""
    assert [box_grade(20, girth) for girth in (100, Fraction("100.1"), 108, 109)] == [175, 200, 200, None]


@against(src.DENSE_ITEMS)
@pytest.mark.parametrize(("side_in", "pressure"), [(6, 80), (8, 45)])
def test_twenty_pounds_on_a_small_side(side_in: Any, pressure: Any) -> None:
    """USPS Publication 2, section 6-3: at most 60 lb/ft² above 15 lb, primary; the arithmetic is derived."""
    assert density_lb_ft2(Fraction(20), Fraction(side_in**2, 144)) == pressure


@against(src.MCKEE, src.RETAINED)
def test_mckee_in_inches_and_after_thirty_days_at_seventy_percent() -> None:
    """McKee 1963, 5.87 from memory: 32 lb/in, 0.155 in, 56 in; multipliers 0.60 and 0.80 from a secondary page."""
    strength = mckee_lbf(32, 0.155, 56)
    assert strength == pytest.approx(553.4, rel=1e-3)
    assert derated_lbf(strength, days=30, humidity=70) == pytest.approx(265.6, rel=1e-3)


@against(src.MCKEE, src.YARD_AND_POUND, src.POUND_FORCE)
def test_mckee_in_metric_is_the_same_strength() -> None:
    """5604 N/m, 3.937 mm, 1422.4 mm: 2461.7 N, which is 553.4 lbf; derived by the definitions of inch and pound."""
    lbf = mckee_lbf(5604 / N_PER_LBF * M_PER_INCH, 3.937 / 25.4, 1422.4 / 25.4)
    assert lbf == pytest.approx(553.4, rel=1e-3)
    assert lbf * N_PER_LBF == pytest.approx(2461.7, rel=1e-3)


@against(src.MCKEE)
@pytest.mark.parametrize(("ect", "caliper", "perimeter", "lbf"), [(44, 0.17, 80, 952.5), (48, 0.28, 80, 1333.5)])
def test_mckee_of_heavier_boards(ect: Any, caliper: Any, perimeter: Any, lbf: Any) -> None:
    """The same formula; derived."""
    assert mckee_lbf(ect, caliper, perimeter) == pytest.approx(lbf, rel=1e-3)


@against(src.ITEM_222)
def test_freight_looks_at_weight_and_at_united_inches() -> None:
    """NMFC Item 222: 65 lb and 75 in for 200 psi and 84 lb facings, or ECT 32; secondary page, facings from memory."""
    inch = 25_400
    small = Load(int(60 * MG_PER_LB), (inch,) * 3, (30 * inch, 25 * inch, 20 * inch))
    large = Load(int(60 * MG_PER_LB), (inch,) * 3, (30 * inch, 25 * inch, 21 * inch))
    assert [freight_check(C_FLUTE, load).verdict for load in (small, large)] == ["passes", "fails"]


@against(src.FEFCO, src.MAKERS_ALLOWANCES)
def test_the_slotted_style_has_the_sizes_and_board_of_the_worked_example() -> None:
    """Inside 400 × 300 × 200, caliper 4, joint 35: 1451 × 512, outside 408 × 308 × 216, 0.396 kg of board at 533 g/m².

    Derived; the allowances are from memory of makers' tables. The blank is weighed as cut from the sheet; slots and the
    corners at the joint, which fall off, are 2.4 % of it.
    """
    board = Board("35-26C-35", "C", "32 ECT", 4_000, 533_000, 35_000, 0.03, "35 + 35 lb liners, 26 lb medium")
    made = designed("0201", box_spec(board=board))
    flat = made.cut_pieces[0]
    assert (flat.size_um, made.outer_um) == ((1_451_000, 512_000), (408_000, 308_000, 216_000))
    assert flat.stock_mg == pytest.approx(396_000, rel=0.01)
    assert made.weight_mg == pytest.approx(flat.stock_mg * (1 - 0.024), rel=0.001)


@against(src.PLYWOOD_WEIGHT)
def test_a_plywood_box_of_500_by_300_by_200_weighs_4_677_kg() -> None:
    """12 mm, 680 kg/m³ (from memory): outside less inside is 0.006878 m³; derived."""
    made = designed("ply", box_spec((476_000, 276_000, 176_000)))
    assert made.outer_um == (500_000, 300_000, 200_000)
    assert sum(flat.each_mg * flat.count for flat in made.cut_pieces) == pytest.approx(4_677_000, abs=500)


@against(src.BOARD_FOOT, src.SOFTWOOD_SIZES)
def test_board_feet_count_the_nominal_size_and_weight_the_actual_one() -> None:
    """1×6×8 ft is 4.0 board feet; 3/4 × 5 1/2 × 96 in is 2.75 of wood, 5.61 lb of white pine; gravity from memory."""
    eight_feet = 96 * 25_400
    assert board_feet(Fraction(1), Fraction(6), eight_feet) == 4
    assert board_feet(Fraction(3, 4), Fraction(11, 2), eight_feet) == Fraction("2.75")
    volume_m3 = 0.75 * 5.5 * 96 * 0.0254**3
    assert volume_m3 * PINE.density_g_m3 / 453.59237 == pytest.approx(5.61, abs=0.01)


@against(src.SOFTWOOD_SIZES)
def test_a_nominal_one_by_six_is_19_by_140_mm() -> None:
    """American softwood sizes, dry, PS 20, from memory: 3/4 × 5 1/2 in."""
    plank = next(plank for plank in PLANKS if plank.nominal == "1×6")
    assert (plank.thickness_um / 25_400, plank.width_um / 25_400) == pytest.approx((0.75, 5.5), abs=0.02)


@against(src.ISPM_15)
@pytest.mark.parametrize(
    ("parts", "verdict"),
    [
        ([WoodPart("side", 6_000, False)], "exempt"),
        ([WoodPart("side", 6_100, False)], "mark needed"),
        ([WoodPart("panel", 9_000, True), WoodPart("cleat", 19_000, False)], "mark needed"),
        ([WoodPart("panel", 9_000, True), WoodPart("cleat", 18_000, True)], "exempt"),
        ([], "no wood"),
    ],
)
def test_wood_that_crosses_a_border(parts: Any, verdict: Any) -> None:
    """ISPM 15 (2009, 2018 text), section 2.1 on scope and exemptions; read in the primary text."""
    assert wood_verdict(parts, abroad=True).verdict == verdict


@against(src.ISPM_15)
def test_wood_that_stays_in_the_country_is_not_asked_about() -> None:
    """The standard covers international trade; primary."""
    assert wood_verdict([WoodPart("side", 19_000, False)], abroad=False).verdict == "not abroad"

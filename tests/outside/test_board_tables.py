"""Both sides of every line of the board tables: postal grades, dense contents, freight, retained strength; boards.

The lines below are read from the sources, not from the program; a board of each line's own strength is tried at the
line's weight and size, and just above them.
"""

from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import Any

import pytest

from packing.materials import BOARDS, C_FLUTE
from packing.measure import BadInput
from packing.strength import (
    Load,
    choose_board,
    dense_grade_check,
    density_check,
    derated_lbf,
    freight_check,
    mckee_lbf,
    postal_check,
    stacking_check,
)
from tests.outside import sources as src
from tests.outside.sources import against

INCH = 25_400
POUND = Fraction(45_359_237, 100)
DIFFICULT = [(20, 100, 175), (45, 108, 200), (65, 108, 275), (70, 108, 350)]
EASY = [(20, 67, 125), (40, 100, 175), (65, 108, 200), (70, 108, 275)]
FREIGHT = [
    ("single", 20, 40, 125, 52, 23),
    ("single", 35, 50, 150, 66, 26),
    ("single", 50, 60, 175, 75, 29),
    ("single", 65, 75, 200, 84, 32),
    ("single", 80, 85, 250, 111, 40),
    ("single", 95, 95, 275, 138, 44),
    ("single", 120, 105, 350, 180, 55),
    ("double", 80, 85, 200, 92, 42),
    ("double", 100, 95, 275, 110, 48),
    ("double", 120, 105, 350, 126, 51),
    ("double", 140, 110, 400, 180, 61),
    ("double", 160, 115, 500, 222, 71),
    ("double", 180, 120, 600, 270, 82),
]


def pounds(lb: Any) -> Any:
    return int(Fraction(lb) * POUND)


def load(lb: Any, inches: Any = (12, 10, 8), **changes: Any) -> Any:
    length, width, height = (int(Fraction(side) * INCH) for side in inches)
    return Load(pounds(lb), (length, width, height), (length, width, height), **changes)


def box_grade(lb: Any, girth_in: Any, *, difficult: bool = True) -> Any:
    """The grade that the postal table asks of a box with so much length and girth; None where the table ends."""
    limit = postal_check(C_FLUTE, load(lb, (Fraction(girth_in) - 32, 8, 8), difficult=difficult)).limit
    return None if limit == "none" else int(limit.removesuffix(" psi"))


def board(burst: Any = 0, facings: Any = 0, crush: Any = 0, wall: str = "single") -> Any:
    return replace(C_FLUTE, name="tried", wall=wall, burst_psi=burst, facings_lb=facings, ect_lb_in=crush)


@pytest.mark.parametrize(("most_lb", "girth", "grade"), DIFFICULT)
@against(src.POSTAL_GRADES)
def test_a_difficult_load_may_weigh_what_its_line_says_and_no_more(most_lb: Any, girth: Any, grade: Any) -> None:
    assert box_grade(most_lb, girth) == grade
    assert box_grade(most_lb + Fraction(1, 100), girth) != grade


@pytest.mark.parametrize(("most_lb", "girth", "grade"), EASY)
@against(src.POSTAL_GRADES)
def test_an_easy_load_may_weigh_what_its_line_says_and_no_more(most_lb: Any, girth: Any, grade: Any) -> None:
    assert box_grade(most_lb, girth, difficult=False) == grade
    assert box_grade(most_lb + Fraction(1, 100), girth, difficult=False) != grade


@pytest.mark.parametrize(
    ("lb", "girth", "grade", "difficult"),
    [(20, 67, 125, False), (40, 100, 175, False), (65, 108, 200, False), (70, 108, 275, False), (70, 108, 350, True)],
)
@against(src.POSTAL_GRADES)
def test_a_line_goes_to_its_length_and_girth_and_no_farther(lb: Any, girth: Any, grade: Any, difficult: Any) -> None:
    assert box_grade(lb, girth, difficult=difficult) == grade
    assert box_grade(lb, girth + Fraction(1, 100), difficult=difficult) != grade


@pytest.mark.parametrize(("lb", "grade"), [(20, 175), (45, 200), (65, 275), (70, 350)])
@against(src.POSTAL_GRADES)
def test_board_of_the_grade_passes_and_board_just_under_it_fails(lb: Any, grade: Any) -> None:
    assert postal_check(board(burst=grade), load(lb)).verdict == "passes"
    assert postal_check(board(burst=grade - 1), load(lb)).verdict == "fails"
    assert postal_check(board(), load(lb)).verdict == "not known"


@pytest.mark.parametrize(("lb", "least"), [(45, 200), (70, 275)])
@against(src.DENSE_ITEMS)
def test_tools_want_200_lb_board_to_45_lb_and_275_lb_board_to_70(lb: Any, least: Any) -> None:
    assert dense_grade_check(board(burst=least), load(lb)).verdict == "passes"
    assert dense_grade_check(board(burst=least - 1), load(lb)).verdict == "fails"
    above = dense_grade_check(board(burst=least), load(lb + Fraction(1, 100)))
    assert above.verdict == "fails"


@against(src.DENSE_ITEMS)
def test_just_over_60_lb_on_a_square_foot_is_too_dense_and_60_is_not() -> None:
    """On 12 × 4 in, a third of a square foot: 20 lb are 60 lb/ft², 20.01 lb a little more."""
    at, over = (density_check(C_FLUTE, load(lb, (16, 12, 4))) for lb in (20, "20.01"))
    assert (at.verdict, at.result) == ("passes", "60 lb/ft²")
    assert over.verdict == "fails"


@against(src.DENSE_ITEMS)
def test_the_density_of_15_lb_is_not_asked_and_that_of_more_is() -> None:
    small = (8, 6, 4)
    assert density_check(C_FLUTE, load(15, small)).verdict == "not applicable"
    assert density_check(C_FLUTE, load("15.01", small)).verdict == "fails"


@against(src.DENSE_ITEMS)
def test_a_larger_smallest_side_is_told_in_square_feet() -> None:
    """30 lb want half a square foot at 60 lb/ft²."""
    assert "0.5 ft²" in str(density_check(C_FLUTE, load(30, (12, 8, 4))).sentence)


def united(inches: Any, lb: Any) -> Any:
    """A load whose three sides together are so many inches."""
    return load(lb, (Fraction(inches) - 20, 12, 8))


@pytest.mark.parametrize(("wall", "lb", "inches", "burst", "facings", "crush"), FREIGHT)
@against(src.ITEM_222)
def test_freight_board_by_burst_and_facings(
    wall: Any, lb: Any, inches: Any, burst: Any, facings: Any, crush: Any
) -> None:
    at = united(inches, lb)
    assert freight_check(board(burst, facings, wall=wall), at).verdict == "passes"
    assert freight_check(board(burst - 1, facings, wall=wall), at).verdict == "fails"
    assert freight_check(board(burst, facings - 1, wall=wall), at).verdict == "fails"


@pytest.mark.parametrize(("wall", "lb", "inches", "burst", "facings", "crush"), FREIGHT)
@against(src.ITEM_222_CRUSH)
def test_freight_board_by_edge_crush(wall: Any, lb: Any, inches: Any, burst: Any, facings: Any, crush: Any) -> None:
    at = united(inches, lb)
    assert freight_check(board(crush=crush, wall=wall), at).verdict == "passes"
    assert freight_check(board(crush=crush - 1, wall=wall), at).verdict == "fails"


@pytest.mark.parametrize(("wall", "lb", "inches", "burst", "facings", "crush"), FREIGHT)
@against(src.ITEM_222)
def test_freight_board_holds_its_weight_and_size_and_no_more(
    wall: Any, lb: Any, inches: Any, burst: Any, facings: Any, crush: Any
) -> None:
    enough = board(burst, facings, wall=wall)
    assert freight_check(enough, united(inches, lb)).verdict == "passes"
    assert freight_check(enough, united(inches, lb + Fraction(1, 100))).verdict == "fails"
    assert freight_check(enough, united(inches + Fraction(1, 100), lb)).verdict == "fails"


@against(src.ITEM_222)
def test_each_line_of_freight_is_tried_for_both_walls() -> None:
    walls = [line[0] for line in FREIGHT]
    assert (walls.count("single"), walls.count("double")) == (7, 6)


@pytest.mark.parametrize(("days", "left"), [(10, "0.63"), (30, "0.60"), (90, "0.55"), (180, "0.50")])
@against(src.RETAINED)
def test_time_under_load_leaves_what_the_handbook_says(days: Any, left: Any) -> None:
    assert derated_lbf(1000, days=days, humidity=50) == pytest.approx(1000 * float(left))
    if days < 180:
        assert derated_lbf(1000, days=days + 1, humidity=50) < 1000 * float(left) - 1


@pytest.mark.parametrize(
    ("humidity", "left"), [(50, "1"), (60, "0.90"), (70, "0.80"), (80, "0.68"), (90, "0.48"), (100, "0.15")]
)
@against(src.RETAINED)
def test_damp_air_leaves_what_the_handbook_says(humidity: Any, left: Any) -> None:
    assert derated_lbf(1000, days=10, humidity=humidity) == pytest.approx(630 * float(left))
    if humidity < 100:
        assert derated_lbf(1000, days=10, humidity=humidity + 1) < 630 * float(left) - 1


@against(src.RETAINED)
def test_beyond_the_handbooks_table_nothing_is_made_up() -> None:
    with pytest.raises(BadInput, match="must be from 0 to 180"):
        derated_lbf(1000, days=181, humidity=50)
    with pytest.raises(BadInput, match="must be from 0 to 100"):
        derated_lbf(1000, days=10, humidity=101)


@against(src.MCKEE)
def test_the_constant_is_known_to_three_figures() -> None:
    assert mckee_lbf(1, 1, 1) == pytest.approx(5.87, abs=0.004)


@against(src.MCKEE, src.RETAINED)
def test_a_usual_case_is_held_to_30_days_at_70_percent_and_2_4_m() -> None:
    """ECT 32, 4 mm, 16 × 12 in: 557.8 lbf, of which 0.60 × 0.80 stay, 267.8; eight boxes of 10 in above in 2.4 m."""
    check = stacking_check(C_FLUTE, load(20, (16, 12, 10)))
    assert check.result == "267.8 lbf"
    assert check.limit == "160 lb"
    assert check.verdict == "passes"
    assert "after 30 days at 70 %" in str(check.sentence)
    assert "No safety factor is in it." in str(check.sentence)


@against(src.BENCH)
@pytest.mark.parametrize(("height_um", "above"), [(300_000, 7), (300_001, 6), (312_400, 6)])
def test_boxes_are_taken_to_be_piled_2_4_m_high(height_um: Any, above: Any) -> None:
    """Eight feet, as high as a parcel cage: eight boxes of 300 mm."""
    size = (400_000, 300_000, height_um)
    assert f"{above} boxes above" in str(stacking_check(C_FLUTE, Load(pounds(5), size, size)).sentence)


@against(src.ITEM_222)
def test_a_freight_verdict_says_that_the_rule_is_not_for_parcels() -> None:
    for lb in (20, 500):
        assert "not for parcels" in str(freight_check(C_FLUTE, load(lb)).sentence)


@pytest.mark.parametrize(
    ("inches", "verdict"),
    [
        ((30, 10, 12), "passes"),
        (("30.1", 10, 12), "not judged"),
        ((30, 5, 10), "not judged"),
        ((14, 14, 8), "passes"),
        ((14, 14, "7.99"), "not judged"),
        ((20, 20, 4), "not judged"),
    ],
)
@against(src.MCKEE_RANGE)
def test_outside_the_formulas_range_nothing_is_judged(inches: Any, verdict: Any) -> None:
    """Length to width up to 3; depth from a seventh of the perimeter, 8 in of 56."""
    assert stacking_check(C_FLUTE, load(8, inches)).verdict == verdict


@against(src.MCKEE_RANGE)
def test_a_board_that_cannot_be_judged_makes_way_for_one_that_passes_or_is_refused() -> None:
    """20 × 20 × 4 in of 40 lb: 23 boxes of 40 lb stand on the lowest and no formula says that it carries them."""
    choice = choose_board(BOARDS, lambda _: load(40, (20, 20, 4)), ["stacking"])
    assert choice.board is None
    assert "not judged" in str(choice.reason)


@against(src.TAKE_UP, src.YARD_AND_POUND)
@pytest.mark.parametrize(
    ("name", "liners", "take_ups"),
    [
        ("35-26B-35", (35, 35), ("1.32",)),
        ("35-26C-35", (35, 35), ("1.43",)),
        ("42-26C-42", (42, 42), ("1.43",)),
        ("69-26C-69", (69, 69), ("1.43",)),
        ("42-26B-42-26C-42", (42, 42, 42), ("1.32", "1.43")),
    ],
)
def test_a_board_weighs_its_liners_medium_and_glue(name: Any, liners: Any, take_ups: Any) -> None:
    lb = sum(liners) + sum(26 * Fraction(one) + 2 for one in take_ups)
    grammes = float(lb * POUND / 1000 / (1000 * Fraction("0.3048") ** 2))
    (one,) = [board for board in BOARDS if board.name.split()[0] == name]
    assert one.grammage_mg_m2 / 1000 == pytest.approx(grammes, abs=0.5)
    assert one.facings_lb == sum(liners)


@against(src.CALIPERS)
def test_boards_have_the_caliper_of_their_flute() -> None:
    calipers = {"B": 3_000, "C": 4_000, "E": 1_600, "A": 5_000, "BC": 7_000}
    assert all(board.caliper_um == calipers[board.flute] for board in BOARDS)
    assert {board.flute for board in BOARDS} == {"B", "C", "BC"}


@against(src.ITEM_222, src.ITEM_222_CRUSH)
def test_each_board_meets_the_freight_line_of_its_grade_and_no_stronger_one() -> None:
    """200 lb board and ECT 32 hold 65 lb, 275 lb board 95 lb, 350 lb double wall 120 lb."""
    most = {"32 ECT": 65, "200 psi burst": 65, "275 psi burst": 95, "350 psi burst": 120}
    for one in BOARDS:
        lb = most[one.grade]
        assert freight_check(one, united(50, lb)).verdict == "passes"
        assert freight_check(one, united(50, lb + 1)).verdict == "fails"


@against(src.ITEM_222, src.TAKE_UP)
@pytest.mark.parametrize(
    ("name", "burst", "facings", "crush"),
    [
        ("35-26B-35", 0, 70, 32),
        ("35-26C-35", 0, 70, 32),
        ("42-26C-42", 200, 84, 32),
        ("69-26C-69", 275, 138, 44),
        ("42-26B-42-26C-42", 350, 126, 51),
    ],
)
def test_a_boards_grade_is_what_its_name_says(name: Any, burst: Any, facings: Any, crush: Any) -> None:
    (one,) = [board for board in BOARDS if board.name.split()[0] == name]
    assert (one.burst_psi, one.facings_lb, one.ect_lb_in) == (burst, facings, crush)


@against(src.POSTAL_GRADES, src.DENSE_ITEMS)
def test_30_lb_of_tools_want_200_lb_board_and_50_lb_want_275() -> None:
    for lb, grade in ((30, "200 psi burst"), (50, "275 psi burst")):
        held = load(lb, (16, 14, 12))
        choice = choose_board(BOARDS, partial(lambda same, _: same, held), ["postal", "dense board"])
        assert choice.board is not None and choice.board.grade == grade

"""Choosing a board: each rule's verdict, the lightest that passes, and what is said when none does."""

from dataclasses import replace
from typing import Any

import pytest

from packing.materials import BOARDS, C_FLUTE
from packing.measure import BadInput
from packing.strength import RULES, Load, Tables, choose_board, grade, grade_plan
from packing.strength.defaults import GradeRow
from packing.strength.load import MG_PER_LB
from packing.strength.postal import dense_grade_check, density_check, postal_check
from packing.strength.stacking_check import stacking_check
from tests.helpers import present

INNER, OUTER = (400_000, 300_000, 200_000), (408_000, 308_000, 216_000)


def load(pounds: Any, **changes: Any) -> Any:
    return Load(int(pounds * MG_PER_LB), INNER, OUTER, **changes)


@pytest.mark.parametrize(
    ("pounds", "name"), [(8, "42-26C-42"), (44, "42-26C-42"), (46, "69-26C-69"), (66, "42-26B-42")]
)
def test_the_lightest_board_that_passes_the_postal_rules_is_chosen(pounds: Any, name: Any) -> None:
    choice = choose_board(BOARDS, lambda _: load(pounds), ("postal", "dense board"))
    assert present(choice.board).name.startswith(name)


def test_the_order_of_the_stock_does_not_matter() -> None:
    choices = [choose_board(stock, lambda _: load(10), ("postal",)).board for stock in (BOARDS, BOARDS[::-1])]
    assert choices[0] == choices[1]


def test_boards_too_weak_in_every_grade_are_said_with_limit_and_value() -> None:
    choice = choose_board([C_FLUTE], lambda _: load(50), ("postal",))
    assert choice.board is None
    assert "50 lb, difficult load: board of 275 psi burst" in str(choice.reason)
    assert "has 200 psi" in str(choice.reason)


def test_a_weight_beyond_the_table_fails_every_board() -> None:
    assert "The table ends at 70 lb" in str(choose_board(BOARDS, lambda _: load(75), ("postal",)).reason)


def test_a_board_graded_by_edge_crush_alone_is_not_known_to_pass_a_burst_rule() -> None:
    check = postal_check(BOARDS[0], load(10))
    assert (check.verdict, check.allows) == ("not known", False)


def test_dense_contents_up_to_fifteen_pounds_may_stand_on_any_side() -> None:
    small = replace(load(15), outer_um=(408_000, 50_000, 50_000))
    assert density_check(C_FLUTE, small).verdict == "not applicable"


def test_dense_contents_on_a_small_side_fail_with_the_area_they_need() -> None:
    check = density_check(C_FLUTE, replace(load(30), outer_um=(600_000, 200_000, 100_000)))
    assert check.verdict == "fails"
    assert "It must have 0.5 ft²" in str(check.sentence)


def test_density_counts_contents_where_they_are_known() -> None:
    check = density_check(C_FLUTE, load(16, contents_mg=int(14 * MG_PER_LB)))
    assert check.verdict == "not applicable"


def test_tools_need_board_of_two_hundred_pounds_whatever_they_weigh() -> None:
    assert dense_grade_check(C_FLUTE, load(5)).limit == "200 psi"
    assert dense_grade_check(C_FLUTE, load(46)).limit == "275 psi"


def test_a_pile_of_light_boxes_stands_and_one_of_heavy_boxes_does_not() -> None:
    assert stacking_check(C_FLUTE, load(10)).verdict == "passes"
    assert stacking_check(C_FLUTE, load(60)).verdict == "fails"


def test_a_flat_box_is_out_of_the_stacking_formulas_range() -> None:
    flat = replace(load(5), inner_um=(400_000, 300_000, 199_000))
    assert stacking_check(C_FLUTE, flat).verdict == "not judged"
    assert stacking_check(C_FLUTE, load(5)).verdict == "passes"


def test_stacking_is_not_asked_for_where_nothing_is_put_on_top() -> None:
    assert stacking_check(C_FLUTE, load(60, stack_um=None)).verdict == "not applicable"


def test_an_unknown_edge_crush_is_said() -> None:
    check = stacking_check(replace(C_FLUTE, ect_lb_in=0), load(5))
    assert (check.verdict, "is not known" in str(check.sentence)) == ("not known", True)


def test_days_beyond_the_table_are_refused() -> None:
    with pytest.raises(BadInput, match="days: must be from 0 to 180, not 200"):
        stacking_check(C_FLUTE, load(5, days=200))


@pytest.mark.parametrize("name", [name for name, _ in RULES])
def test_every_check_shows_inputs_verdict_source_year_and_sureness(name: Any) -> None:
    choice = choose_board((C_FLUTE,), lambda _: load(20), (name,))
    (check,) = grade_plan(choice).tried[0].checks
    assert check.inputs
    assert all((check.rule, check.verdict, check.sentence, check.source, check.year, check.sureness))


def test_an_unknown_rule_is_refused() -> None:
    with pytest.raises(BadInput, match="rules: must be among postal"):
        grade(C_FLUTE, load(5), ("strong",))


def test_no_board_in_stock_is_refused() -> None:
    with pytest.raises(BadInput, match="there is none"):
        choose_board([], lambda _: load(5))


def test_a_choice_lists_every_board_that_was_tried_before() -> None:
    plan = grade_plan(choose_board(BOARDS, lambda _: load(8), ("postal",)))
    assert [(one.board[:9], one.allowed) for one in plan.tried] == [
        ("35-26B-35", False),
        ("35-26C-35", False),
        ("42-26C-42", True),
    ]


def test_an_edited_row_changes_the_verdict() -> None:
    lenient = Tables(postal=(GradeRow(70, 70, 108, 125),))
    assert postal_check(C_FLUTE, load(60)).verdict == "fails"
    assert postal_check(C_FLUTE, load(60, tables=lenient)).verdict == "passes"

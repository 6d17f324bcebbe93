"""What decides on a paper bears its mark there: where it was read, of which year, how sure; the least sure first."""

from typing import Any

import pytest
from msgspec.structs import replace

from packing.plan import ChoicePlan, FactPlan, Message
from packing.plan.kinds import FactKind, Objective
from shop.marks import HOW_SURE, Mark, least_sure_first, marks_of_box
from tests.shop.papers.test_box_plan import content_of, plan_in
from tests.shop.papers.test_papers import words_of

SAMPLE = "Fold a sample of the board in hand first."


@pytest.mark.parametrize("code", ["0201", "0203", "wrap", "0300"])
def test_the_paper_a_blank_is_cut_by_says_what_its_folds_go_by_and_to_fold_a_sample(code: Any) -> None:
    plan = plan_in(code)
    (fact,) = [fact for fact in plan.box.facts if fact.kind is FactKind.FOLDING]
    words = words_of("box", plan)
    (before, after) = words.split(SAMPLE)[:2]
    assert len(before) < len(words) / 2
    assert after.strip().startswith(fact.source)
    assert "from memory" in fact.source or fact.sureness != "memory"


def test_the_billed_weight_bears_its_mark_on_the_paper() -> None:
    bill: dict[str, Any] = {"carrier": "A carrier", "service": "ground", "billed": 9, "weight_unit": "lb"}
    chosen = ChoicePlan(objective=Objective.PRICE, source="two pages that agree", sureness="secondary", **bill)
    words = words_of("box", replace(plan_in("0201"), chosen=chosen))
    assert "9 lb billed by A carrier, ground" in words
    assert "Read on another page: two pages that agree (undated)" in words


@pytest.mark.parametrize("code", ["0201", "sliding", "ply cased"])
def test_every_rule_of_a_box_stands_on_its_paper_with_source_and_sureness(code: Any) -> None:
    plan = plan_in(code)
    words = words_of("box", plan)
    facts = plan.box.facts
    assert facts
    for fact in facts:
        assert fact.source.partition(";")[0] in words
    for row in plan.box.hardware:
        assert row.source in words


def test_the_least_sure_comes_first() -> None:
    plan = plan_in("0201")
    facts = tuple(FactPlan(Message(f"Rule {level}."), f"a page on {level}", level, "2019") for level in HOW_SURE)
    shown = content_of(replace(plan, box=replace(plan.box, facts=facts, board=None)))["marks"]
    assert [mark.sureness for mark in shown] == ["practice", "memory", "secondary", "primary"]


def test_a_value_of_which_nobody_knows_how_sure_it_is_comes_before_all() -> None:
    marks = [Mark("a", "x", sureness="memory"), Mark("b", "y"), Mark("c", "z", sureness="practice")]
    assert [mark.text for mark in least_sure_first(marks)] == ["b", "c", "a"]


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        (Mark("", "a trade page", "2019", "secondary"), "read on another page: a trade page (2019)"),
        (Mark("", "common practice, no source", "", "practice"), "common practice, no source"),
        (Mark("", "gravity 0.35, from memory", "", "memory"), "gravity 0.35, from memory"),
        (Mark("", "the standard of 2018", "2018", "primary"), "read in the original: the standard of 2018"),
        (Mark("", "its list", "2023", "primary", "One copy prints 220 lb."),
         "read in the original: its list (2023). One copy prints 220 lb."),
    ],
)  # fmt: skip
def test_a_mark_says_each_thing_once(mark: Any, words: Any) -> None:
    assert mark.words == words


def test_board_is_as_sure_as_its_row_says_whatever_its_source_speaks_of() -> None:
    plan = plan_in("0201")
    board = plan.box.board
    assert board is not None and board.sureness == "memory"
    told = replace(board, source="a mill's sheet, read after one from memory", sureness="primary")
    marks = marks_of_box(replace(plan.box, board=told, facts=(), hardware=()), str)
    assert [(mark.source, mark.sureness) for mark in marks if board.name in mark.text] == [(told.source, "primary")]


def test_each_kind_of_wood_of_a_box_bears_its_mark_once() -> None:
    plan = plan_in("sliding")
    kinds = {piece.stock.name for piece in plan.box.pieces if piece.stock is not None and piece.stock.kind == "timber"}
    marks = [mark for mark in marks_of_box(plan.box, str) if mark.text.endswith(": sizes and weight")]
    assert kinds and sorted(mark.text for mark in marks) == sorted(f"{name}: sizes and weight" for name in kinds)
    assert {mark.sureness for mark in marks} == {"memory"}

"""What is named where a reading is off, and which swaps no scale can see."""

import pytest

from packing.messages import render
from packing.weighing import CauseKind, Expectation, Findings, Weighed, likely_causes, unseen_swaps

G = 1_000
SEVEN, NINE = Weighed("CH125-007", 1_352 * G, "CH125"), Weighed("CH125-009", 1_290 * G, "CH125")
TWELVE, AXE = Weighed("CH125-012", 1_384 * G, "CH125"), Weighed("AX60-003", 1_020 * G, "AX60")
INSERT = Weighed("the insert", 310 * G)
EXPECTED = Expectation(4_000 * G, 8 * G)


def found(by_g: int, **more: tuple[Weighed, ...]) -> Findings:
    return likely_causes(EXPECTED.gross_mg + by_g * G, EXPECTED, (SEVEN, NINE), **more)


def said(findings: Findings) -> str:
    return " ".join([render(findings.off), *(render(cause.message) for cause in findings.causes)])


def test_a_piece_that_is_missing_is_named_with_its_weight() -> None:
    assert said(found(-1_348)) == "1348 g short. CH125-007 (1352 g) may be missing."


def test_a_piece_in_place_of_its_like_is_named() -> None:
    assert said(found(93, rack=(TWELVE, AXE))) == "93 g over. CH125-012 (1384 g) in place of CH125-009 (1290 g)?"


def test_a_reading_within_the_tolerance_has_no_cause() -> None:
    assert found(EXPECTED.tolerance_mg // G, parts=(INSERT,), rack=(TWELVE,)).causes == ()


def test_an_insert_left_out_is_named() -> None:
    assert found(-305, parts=(INSERT,)).causes[0].kind is CauseKind.LEFT_OUT


def test_two_missing_pieces_are_named_where_none_alone_explains_it() -> None:
    (cause,) = found(-2_640).causes
    assert cause.kind is CauseKind.TWO_MISSING
    assert render(cause.message) == "CH125-007 (1352 g) and CH125-009 (1290 g) may both be missing."


def test_a_piece_too_many_is_named() -> None:
    assert found(1_025, rack=(AXE,)).causes[0].kind is CauseKind.TOO_MANY


def test_nothing_is_named_where_nothing_explains_it() -> None:
    findings = found(-600, parts=(INSERT,), rack=(TWELVE,))
    assert (findings.by_mg, findings.causes, findings.more) == (-600 * G, (), 0)


def test_at_most_three_are_named_and_the_rest_counted() -> None:
    rack = tuple(Weighed(f"CH125-{number:03d}", (1_384 + number) * G, "CH125") for number in range(5))
    findings = found(93, rack=rack)
    assert (len(findings.causes), findings.more) == (3, 2)


def test_its_like_is_named_before_a_stranger_of_the_same_weight() -> None:
    stranger = Weighed("AX60-009", TWELVE.weight_mg, "AX60")
    causes = found(93, rack=(stranger, TWELVE)).causes
    assert [cause.instead for cause in causes] == [TWELVE, stranger]


@pytest.mark.parametrize("sd_mg", [0.0, 1.0])
def test_a_scale_without_doubt_is_no_trouble(sd_mg: float) -> None:
    expected = Expectation(1_000, sd_mg)
    assert likely_causes(900, expected, (Weighed("a", 100),)).causes[0].things[0].name == "a"


def test_swaps_within_twice_the_tolerance_are_not_seen() -> None:
    near, far = Weighed("CH125-020", 1_372 * G, "CH125"), Weighed("CH125-021", 1_393 * G, "CH125")
    (swap,) = unseen_swaps((SEVEN,), (far, near, AXE), 20 * G)
    assert (swap.item, swap.others) == (SEVEN, (near,))
    assert unseen_swaps((SEVEN,), (near,), 10 * G)[0].others == (near,)
    assert unseen_swaps((SEVEN,), (near,), 10 * G - 1) == ()


def test_things_of_another_kind_count_only_where_wanted() -> None:
    other = Weighed("AX60-009", SEVEN.weight_mg, "AX60")
    assert unseen_swaps((SEVEN,), (other,), G) == ()
    assert unseen_swaps((SEVEN,), (other,), G, alike=False)[0].others == (other,)

"""Check digits of numbers on parcels: GS1 offices' worked examples, and a post's item number.

Sources: GS1 offices' pages on the check digit (629104150021 → 3 with sum 57, 890400021003 → 7 with sum 63); an SSCC
of general examples, derived; UPU standard S10 and its example RA 473124829 FI from memory.
"""

import pytest

from packing.check_digits import gs1_check_digit, mistyped, s10_check_digit
from tests.outside import sources as src
from tests.outside.sources import against


@against(src.GS1_DIGITS)
@pytest.mark.parametrize(
    ("digits", "check"),
    [
        ("629104150021", 3),
        ("890400021003", 7),
        ("03600024145", 7),
        ("400638133393", 1),
        ("1061414154321", 9),
        ("37610425002123456", 9),
    ],
)
def test_gs1_check_digits(digits: str, check: int) -> None:
    assert gs1_check_digit(digits) == check


@against(src.GS1_DIGITS)
def test_every_figure_typed_wrong_is_noticed() -> None:
    """Derived: weights 1 and 3 are prime to 10, so that one changed figure changes the check digit."""
    right = "376104250021234569"
    assert not mistyped(f"(00) {right}") and not mistyped(f"00{right}")
    for place, figure in enumerate(right):
        wrong = right[:place] + str((int(figure) + 1) % 10) + right[place + 1 :]
        assert mistyped(f"00{wrong}")


@against(src.UPU_S10)
def test_a_posts_item_number() -> None:
    assert s10_check_digit("47312482") == 9
    assert not mistyped("RA 473 124 829 FI")
    assert mistyped("RA 473 124 828 FI")
    assert s10_check_digit("00000000") == 5
    assert s10_check_digit("00000010") == 2
    assert s10_check_digit("00000008") == 0


def _never(text: str) -> None:
    with pytest.raises(ValueError):
        gs1_check_digit(text)


@against(src.GS1_DIGITS)
def test_what_is_no_number_is_refused() -> None:
    for text in ("", "12a", "٣", "1.5"):
        _never(text)


@against(src.UPU_S10)
def test_figures_of_other_scripts_are_of_no_known_kind() -> None:
    assert not mistyped("RA４７３１２４８２８FI")
    assert not mistyped("RA٤٧٣١٢٤٨٢٨FI")
    assert not mistyped("00" + "３" * 18)

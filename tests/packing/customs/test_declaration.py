"""Lines of a customs declaration: sums, net and gross apart, and what is refused."""

from dataclasses import replace
from decimal import Decimal

import pytest

from packing.customs import HEADINGS, DeclarationLine, checked, propose_heading
from packing.measure import BadInput
from packing.plan.kinds import Form
from packing.sureness import Sureness

LINE = DeclarationLine("forged cross-peen hammer, ash handle", 2, 2_880_000, Decimal(180), "820520", "DE")
AXE = DeclarationLine("carpenter's axe, hickory handle", 1, 1_400_000, Decimal("145.5"), "820140", "DE")


def test_net_and_gross_are_kept_apart() -> None:
    found = checked([LINE, AXE], 6_000_000, "EUR")
    assert (found.net_mg, found.packing_mg, found.gross_mg) == (4_280_000, 1_720_000, 6_000_000)
    assert (found.value, found.currency) == (Decimal("325.5"), "EUR")


@pytest.mark.parametrize(
    ("line", "field"),
    [
        (replace(LINE, description="tools"), "description"),
        (replace(LINE, description="tools, gift"), "description"),
        (replace(LINE, description="hammer"), "description"),
        (replace(LINE, description="12 %"), "description"),
        (replace(LINE, description="long words " * 12), "description"),
        (replace(LINE, heading="8205.20"), "heading"),
        (replace(LINE, heading="82052030"), "heading"),
        (replace(LINE, heading=""), "heading"),
        (replace(LINE, heading="８２０５２０"), "heading"),
        (replace(LINE, quantity=0), "quantity"),
        (replace(LINE, net_mg=0), "net_mg"),
        (replace(LINE, value=Decimal(-1)), "value"),
        (replace(LINE, value=Decimal("NaN")), "value"),
    ],
)
def test_a_line_that_says_nothing_is_refused_with_its_place(line: DeclarationLine, field: str) -> None:
    with pytest.raises(BadInput) as refused:
        checked([AXE, line], 60_000_000, "EUR")
    assert refused.value.field == f"lines[1].{field}"


def test_goods_heavier_than_the_parcel_and_no_lines_are_refused() -> None:
    with pytest.raises(BadInput, match="more than the whole parcel"):
        checked([LINE], 2_879_999, "EUR")
    with pytest.raises(BadInput, match="at least one line"):
        checked([], 1, "EUR")


def test_nothing_is_proposed_for_an_axe_of_wood() -> None:
    assert propose_heading(Form.AXE, None, wooden=True) is None


def test_a_heading_read_in_copies_is_not_as_sure_as_the_publishers_own_text() -> None:
    copies = [one for one in HEADINGS if "read in copies" in one.source]
    assert copies and {one.sureness for one in copies} == {Sureness.SECONDARY}

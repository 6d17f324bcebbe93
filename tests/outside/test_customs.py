"""Customs data: headings of hammers and axes, and which of the posts' forms a parcel needs.

Sources: the US tariff schedule, chapter 82, in copies (8205.20.30 up to 1.5 kg a head, 8205.20.60 above); the heading
text of 8201.40 from memory; forms CN22 and CN23 on pages about them (300 SDR; 2 kg as letter post).
"""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from packing.customs import CN22_LIMITS, CustomsForm, customs_form, limit_on, propose_heading
from packing.plan.kinds import Form
from tests.helpers import present
from tests.outside import sources as src
from tests.outside.sources import against

G = 1_000


@against(src.HTS_82)
@pytest.mark.parametrize(
    ("head_g", "longer"),
    [(1_000, "8205.20.30"), (1_500, "8205.20.30"), (1_500.001, "8205.20.60"), (1_600, "8205.20.60")],
)
def test_a_hammer_is_divided_at_a_head_of_1_5_kg(head_g: float, longer: str) -> None:
    heading = present(propose_heading(Form.HAMMER, round(head_g * G)))
    assert (heading.six, heading.dotted, heading.country, heading.longer) == ("820520", "8205.20", "US", longer)


@against(src.HTS_82)
def test_without_a_head_weight_the_longer_figures_are_not_guessed() -> None:
    heading = present(propose_heading(Form.HAMMER, None))
    assert (heading.six, heading.longer) == ("820520", "")


@against(src.HS_MEMORY)
@pytest.mark.parametrize(
    ("form", "wooden", "six"),
    [
        (Form.AXE, False, "820140"),
        (Form.ADZE, False, "820140"),
        (Form.MALLET, True, "441700"),
        (Form.MALLET, False, "820520"),
    ],
)
def test_axes_and_wooden_mallets_have_headings_of_their_own(form: Form, wooden: bool, six: str) -> None:
    assert present(propose_heading(form, 1_600 * G, wooden=wooden)).six == six


@against(src.CN22_PAGES)
@pytest.mark.parametrize(
    ("sdr", "grams", "form"),
    [
        (300, 2_000, CustomsForm.CN22),
        ("300.01", 500, CustomsForm.CN23),
        (10, "2000.001", CustomsForm.CN23),
        (0, 1, CustomsForm.CN22),
    ],
)
def test_cn23_above_300_sdr_or_2_kg(sdr: object, grams: object, form: CustomsForm) -> None:
    limit = replace(CN22_LIMITS[0], per_sdr=Decimal("1.25"))
    value = Decimal(str(sdr)) * Decimal("1.25")
    assert customs_form(value, int(Decimal(str(grams)) * G), limit).form is form


@against(src.CN22_PAGES)
@pytest.mark.parametrize(("currency", "about"), [("EUR", "350.01"), ("USD", "420")])
def test_300_sdr_in_april_2026(currency: str, about: str) -> None:
    """350 over 300 SDR to four places; the rows begin with the month the page speaks of."""
    row = present(limit_on(CN22_LIMITS, currency, dt.date(2026, 4, 1)))
    assert row.most_value == Decimal(about)
    assert limit_on(CN22_LIMITS, currency, dt.date(2026, 3, 31)) is None


@against(src.CN22_PAGES)
def test_where_an_sdr_is_not_known_cn23_serves() -> None:
    assert limit_on(CN22_LIMITS, "CHF", dt.date(2026, 11, 27)) is None
    assert limit_on(CN22_LIMITS, "EUR", dt.date(2026, 3, 31)) is None
    assert customs_form(Decimal(1), 1, None).form is CustomsForm.CN23


@against(src.CN22_PAGES)
def test_the_value_that_divides_the_forms_is_named_about_as_the_page_has_it() -> None:
    """The page says about 350 EUR."""
    limit = limit_on(CN22_LIMITS, "EUR", dt.date(2026, 11, 1))
    for value in (Decimal(10), Decimal(500)):
        assert "about 350 EUR" in str(customs_form(value, 1, limit).why)

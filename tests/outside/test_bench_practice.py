"""Rules of the bench on both sides of each: common practice without a source unless a check says otherwise."""

from decimal import Decimal
from typing import Any

import pytest

from packing.insert import contact
from packing.insert.lift import NOTCH_DEPTH_UM, NOTCH_WIDTH_UM
from packing.materials import C_FLUTE, CLOSING_TAPE, PAPERS, PE_FOAM, STIFF_SHEET
from packing.measure import (
    FILL_BANDS,
    BadInput,
    Block,
    Order,
    Rules,
    Tool,
    below_practice,
    fill_ratio,
    read_item,
    tool_warnings,
)
from packing.planning.weight import HANDLE_SD_MG
from tests.outside import sources as src
from tests.outside.sources import against

BANDS = {"hammer": (0.45, 0.95), "axe": (0.15, 0.6), "adze": (0.15, 0.6), "mallet": (0.3, 0.95)}


def tool(weight_g: Any, form: str = "hammer", **changes: Any) -> Any:
    """A head of 100 × 50 × 40 mm, 200 cm³ and 1570 g of steel, on a thin handle that is weighed apart."""
    sizes = {"head_length": 100, "head_height": 50, "head_width": 40}
    sizes |= {"handle_length": 200, "handle_width": 20, "handle_thickness": 10}
    given = {"id": "t", "kind": "tool", "weight_g": weight_g, "form": form} | sizes | changes
    read = read_item(given)
    assert isinstance(read, Tool)
    return read


def headed(head_g: Any, form: Any) -> Any:
    return tool(head_g + 30, form, head_weight_g=head_g)


@pytest.mark.parametrize(("form", "band"), BANDS.items())
@against(src.BENCH, src.STEEL)
def test_a_head_is_asked_about_outside_its_forms_band(form: Any, band: Any) -> None:
    """Shares of the head's box that are steel, or wood of 1.3 g/cm³ at most for a mallet; bands without a source."""
    full = 200 * (1.3 if form == "mallet" else 7.85)
    low, high = band
    for share, asked in ((low + 0.004, False), (low - 0.004, True), (high - 0.004, False), (high + 0.004, True)):
        assert bool(tool_warnings(headed(round(full * share, 2), form))) == asked
    assert set(FILL_BANDS) == set(BANDS)


@against(src.STEEL)
def test_a_head_cannot_be_heavier_than_its_box_full_of_steel() -> None:
    assert float(fill_ratio(headed(1570, "hammer"))) == pytest.approx(1)
    with pytest.raises(BadInput, match="head_weight_g"):
        headed(1571, "hammer")


@against(src.BENCH)
def test_a_mallets_head_is_no_heavier_than_wood_of_1_3() -> None:
    """The densest woods sink: lignum vitae is 1.2 to 1.3 g/cm³ (from memory)."""
    assert float(fill_ratio(headed(260, "mallet"))) == pytest.approx(1)
    with pytest.raises(BadInput):
        headed(261, "mallet")


@against(src.WOOD_HANDBOOK)
def test_a_handle_that_was_not_weighed_apart_counts_as_wood_of_0_75() -> None:
    """Between ash of 0.67 and hickory of 0.81: 20 × 10 × 200 mm are 30 g, and 1000 g of head are left of 1030."""
    assert fill_ratio(tool(1030)) == pytest.approx(Decimal(1000) / 1570, abs=Decimal("0.0001"))


@against(src.FOAM_DENSITY, src.YARD_AND_POUND)
def test_the_foam_that_comes_along_is_1_7_lb_in_a_cubic_foot() -> None:
    pounds = 1.7 * 0.45359237 / 0.3048**3
    assert PE_FOAM.density_g_m3 / 1000 == pytest.approx(pounds, abs=0.3)
    assert PE_FOAM.fit_um == 0


@against(src.BENCH)
def test_a_planks_density_is_within_a_tenth_nineteen_times_in_twenty() -> None:
    assert 2 * PE_FOAM.spread == pytest.approx(0.10, abs=0.005)
    assert 2 * STIFF_SHEET.spread == pytest.approx(0.10, abs=0.005)
    assert 2 * C_FLUTE.spread == pytest.approx(0.06, abs=0.005)


@against(src.PLYWOOD_WEIGHT)
def test_a_stiff_sheet_is_plywood_of_650_to_700_kg() -> None:
    assert 650 < STIFF_SHEET.density_g_m3 / 1000 < 700


@against(src.BENCH)
def test_a_hammer_touches_with_three_fifths_of_its_rectangle_and_an_axe_with_half_of_that() -> None:
    assert (contact.HAMMER_SHARE, contact.AXE_SHARE) == (0.6, 0.3)
    assert contact.HANDLE_SHARE == 0.6


@against(src.BIRCH_PLYWOOD)
def test_birch_plywood_has_the_mean_density_of_its_handbook() -> None:
    assert STIFF_SHEET.density_g_m3 == 680_000


@against(src.PAPER_TOLERANCE)
def test_paper_varies_as_a_tolerance_of_five_percent_does_that_any_value_is_as_likely_in() -> None:
    """The standard deviation of a uniform distribution is half its width over the square root of three."""
    assert PAPERS.spread == round(0.05 / 3**0.5, 2)


@against(src.PAPER_WEIGHT)
def test_a_sheet_of_a4_at_80_g_weighs_5_g() -> None:
    assert PAPERS.each_mg / 1000 == pytest.approx(0.210 * 0.297 * 80, abs=0.05)


@against(src.FOAM_PRESSURE, src.POUND_FORCE)
def test_plank_is_meant_for_0_4_to_1_2_pounds_a_square_inch() -> None:
    """1 lbf is 4.4482216 N and 1 in 25.4 mm; to 10 Pa."""
    pascals = 4.4482216 / 0.0254**2
    assert PE_FOAM.stress_pa == (round(0.4 * pascals, -1), round(1.2 * pascals, -1))


@against(src.BENCH)
def test_a_metre_of_tape_60_mm_wide_weighs_140_g_a_square_metre() -> None:
    assert CLOSING_TAPE.each_mg / 1000 == pytest.approx(0.060 * 140, abs=0.15)


@against(src.BENCH)
def test_a_handle_gains_or_loses_10_g_of_water_in_one_time_of_a_hundred() -> None:
    """2.6 deviations hold 99 of a hundred."""
    assert pytest.approx(10.4, abs=0.1) == 2.6 * HANDLE_SD_MG / 1000


def order_with(weight_g: Any, **rules: Any) -> Any:
    return Order("o", (tool(weight_g),), Rules(**rules))


def said(order: Any) -> Any:
    return [str(fact.text).split(" is ")[0] for fact in below_practice(order)]


@pytest.mark.parametrize(("weight_g", "web_um"), [(1000, 25_000), (1001, 40_000)])
@against(src.BENCH)
def test_a_web_beside_a_kilogram_is_25_mm_and_beside_more_40(weight_g: Any, web_um: Any) -> None:
    enough = {"base_pad_um": 50_000}
    assert said(order_with(weight_g, web_um=web_um, **enough)) == []
    assert said(order_with(weight_g, web_um=web_um - 1, **enough)) == ["The web"]


@against(src.BENCH)
def test_a_web_beside_3_kg_is_40_mm_and_beside_more_50() -> None:
    for weight_mg, web_um in ((3_000_000, 40_000), (3_000_001, 50_000)):
        heavy = Order("o", (_heavy(weight_mg),), Rules(base_pad_um=50_000, web_um=web_um))
        assert said(heavy) == []
        thin = Order("o", heavy.items, Rules(base_pad_um=50_000, web_um=web_um - 1))
        assert said(thin) == ["The web"]


def _heavy(weight_mg: Any) -> Any:
    return Tool("t", 180_000, 70_000, 70_000, 90_000, 600_000, 40_000, 30_000, weight_mg)


@pytest.mark.parametrize(("weight_g", "asked"), [(1000, []), (1001, ["The base pad"])])
@against(src.BENCH)
def test_under_more_than_a_kilogram_50_mm_of_foam_are_usual(weight_g: Any, asked: Any) -> None:
    assert said(order_with(weight_g, web_um=40_000, base_pad_um=49_999)) == asked


@against(src.BENCH)
def test_a_wall_of_25_mm_is_usual_whatever_the_contents() -> None:
    block = Block("b", 50_000, 40_000, 30_000, 100_000)
    assert said(Order("o", (block,), Rules())) == []
    assert said(Order("o", (block,), Rules(wall_um=24_999))) == ["The wall"]


@against(src.BENCH)
def test_a_fact_of_practice_says_that_it_has_no_source() -> None:
    (web, pad) = below_practice(order_with(1500))
    assert {web.sureness, pad.sureness} == {"practice"}
    assert "no source" in web.source
    assert (str(web.text), str(pad.text)) == (
        "The web is 20 mm; 40 mm are usual for a web beside 1500 g.",
        "The base pad is 25 mm; 50 mm are usual for foam under 1500 g.",
    )


@against(src.BENCH)
def test_an_orders_usual_rules_are_those_of_the_bench_in_whole_millimetres() -> None:
    """Clearance from 1.5 mm, pads between layers to 12, an inch round everything, stock of 1/2, 1 and 2 in.

    The web of 20 mm is less than the bench's, which the plan says.
    """
    rules = Rules()
    assert rules.clearance_um == 1_500
    assert rules.layer_pad_um == 12_000
    assert {rules.wall_um, rules.base_pad_um, rules.top_pad_um} == {25_400 // 1_000 * 1_000}
    assert rules.sheets_um == tuple(int(inches * 25.4) * 1_000 for inches in (0.5, 1, 2))
    assert rules.web_um == 20_000


@against(src.BENCH)
def test_a_notch_takes_a_gloved_finger_or_two() -> None:
    """25 to 30 mm along the pocket, in the middle of that; the depth of a finger's first joint, 20 mm."""
    assert NOTCH_WIDTH_UM == 27_000
    assert NOTCH_DEPTH_UM == 20_000

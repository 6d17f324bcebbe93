"""Wood: handbook gravities, stock sizes, nails and screws, treatment, on both sides of each rule."""

import random
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from packing.boxes import Infeasible
from packing.boxes.fastenings import APART, Joint, Line, laid_out
from packing.boxes.slotted import TAPE_FACT
from packing.materials import (
    NAILS,
    PLANKS,
    PLYWOOD,
    SCREWS,
    SCREWS_INCH,
    WHITE_PINE,
    Fastening,
    Supplies,
    WoodPart,
    board_feet,
    clinched,
    nailed,
    screwed,
    wood_verdict,
)
from packing.materials.fasteners import PILOT_SHARE, SCREW_RULE
from packing.measure import BadInput
from packing.messages import Length
from packing.plan import Message
from packing.plan.kinds import FastenerKind
from tests.helpers import instance, present
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing.box_specs import box_spec, designed, random_interior


@against(src.WOOD_HANDBOOK_SOFT, src.MOISTURE)
def test_white_pine_weighs_its_gravity_and_12_percent_of_water() -> None:
    assert WHITE_PINE.density_g_m3 / 1000 == pytest.approx(0.35 * 1120, abs=0.5)


@pytest.mark.parametrize(
    ("nominal", "inches"),
    [("1×2", "3/2"), ("1×4", "7/2"), ("1×6", "11/2"), ("1×8", "29/4"), ("1×10", "37/4"), ("1×12", "45/4")],
)
@against(src.SOFTWOOD_SIZES)
def test_a_board_has_the_dry_size_of_its_nominal_one_to_half_a_millimetre(nominal: Any, inches: Any) -> None:
    (plank,) = [plank for plank in PLANKS if plank.nominal == nominal]
    assert plank.width_um / 25_400 == pytest.approx(float(Fraction(inches)), abs=0.5 / 25.4)
    assert plank.thickness_um / 25_400 == pytest.approx(0.75, abs=0.5 / 25.4)
    assert plank.length_um / 304_800 == pytest.approx(8, abs=0.01)


@against(src.BOARD_FOOT)
def test_a_board_foot_is_a_foot_by_a_foot_by_an_inch_nominal() -> None:
    assert board_feet(Fraction(1), Fraction(12), 304_800) == 1
    for plank in PLANKS:
        thick, wide = present(plank.nominal_in)
        assert [thick, wide] == [Fraction(side) for side in plank.nominal.split("×")]


@pytest.mark.parametrize("nominal", [6, 9, 12, 15, 18])
@against(src.PLYWOOD_WEIGHT)
def test_birch_plywood_is_as_thick_as_it_is_called_and_weighs_650_to_700(nominal: Any) -> None:
    (panel,) = [panel for panel in PLYWOOD if panel.nominal == f"{nominal} mm"]
    assert panel.thickness_um == nominal * 1000
    assert 650_000 < panel.density_g_m3 < 700_000
    assert (panel.width_um, panel.length_um) == (1_525_000, 1_525_000)


@against(src.SCREW_NUMBERS)
def test_screws_sold_by_number_have_the_standards_shanks() -> None:
    shank_um = {4: 2_845, 6: 3_505, 8: 4_166, 10: 4_826}
    for screw in SCREWS_INCH:
        number = int(screw.name.partition("No. ")[2].split()[0])
        assert screw.diameter_um == shank_um[number]


@against(src.LOT_SPREAD)
def test_lots_of_sawn_wood_are_taken_to_differ_by_10_percent_and_plywood_by_4() -> None:
    assert {plank.spread for plank in PLANKS} == {0.1}
    assert {panel.spread for panel in PLYWOOD} == {0.04}


@pytest.mark.parametrize(("penny", "inches"), [("4d", "11/8"), ("6d", "15/8"), ("8d", "19/8"), ("10d", "23/8")])
@against(src.BOX_NAILS)
def test_a_coated_box_nail_is_as_long_as_its_penny_says(penny: Any, inches: Any) -> None:
    (nail,) = [nail for nail in NAILS if f" {penny}," in nail.name]
    assert nail.length_um / 25_400 == pytest.approx(float(Fraction(inches)), abs=0.005)


@against(src.NAIL_LENGTH, src.BOX_NAILS)
def test_two_thirds_of_a_nail_or_more_are_in_the_holding_piece() -> None:
    """An 8d of 60.3 mm through 20.1 mm holds by exactly two thirds; through 20.2 mm it does not, and a 10d does."""
    assert " 8d," in nailed(20_100, 200_000).fastener.name
    assert " 10d," in nailed(20_200, 200_000).fastener.name
    for fastened in range(6_000, 24_000, 500):
        nail = nailed(fastened, 200_000).fastener
        assert 3 * (nail.length_um - fastened) >= 2 * nail.length_um


@against(src.NAIL_LENGTH)
def test_of_the_nails_that_hold_the_one_nearest_to_three_thicknesses_is_taken() -> None:
    """Three times 19 mm are 57: an 8d of 60.3, where a 10d of 73 holds too."""
    assert " 8d," in nailed(19_000, 200_000).fastener.name


@against(src.NAIL_LENGTH)
def test_what_the_rule_on_nails_says_is_what_it_takes() -> None:
    rule = nailed(19_000, 200_000).rule
    assert "two thirds of it or more" in str(rule.text)
    assert "14119" in rule.source


@against(src.NAIL_LENGTH)
def test_a_nail_that_would_come_out_of_the_holding_piece_is_not_taken() -> None:
    with pytest.raises(BadInput, match="stay inside 30 mm"):
        nailed(19_000, 11_000)


@against(src.SCREW_HOLD)
def test_a_screw_holds_by_the_fastened_thickness_and_by_7_diameters() -> None:
    """Through 12 mm a 3 mm screw must reach 21 mm more: 35 mm long ones do, of 3.5 mm they reach 23, less than 24.5."""
    found = screwed(9_000, 200_000)
    assert (found.fastener.diameter_um, found.fastener.length_um) == (3_000, 30_000)
    for fastened in (6_000, 9_000, 12_000, 15_000, 18_000, 19_000, 24_000):
        screw = screwed(fastened, 200_000).fastener
        assert screw.length_um - fastened >= max(fastened, 7 * screw.diameter_um)
        shorter = [one for one in SCREWS if one.length_um < screw.length_um]
        assert all(one.length_um - fastened < max(fastened, 7 * one.diameter_um) for one in shorter)


@against(src.SCREW_HOLD)
def test_a_screw_of_3_mm_is_the_thinnest_that_an_edge_asks_for() -> None:
    thicker = tuple(replace(screw, diameter_um=3_100) for screw in SCREWS if screw.diameter_um == 3_000)
    assert screwed(6_000, 200_000, screws=thicker).fastener.diameter_um == 3_100
    with pytest.raises(BadInput, match="screws"):
        screwed(6_000, 200_000, edge_um=9_000, screws=thicker)


@against(src.NAIL_LENGTH)
def test_nails_and_screws_go_into_the_middle_of_an_edge() -> None:
    assert screwed(9_000, 200_000, edge_um=18_000).edge_um == 9_000
    assert nailed(19_000, 200_000, edge_um=19_000).edge_um == 9_500


@against(src.SCREW_HOLD)
def test_a_screw_into_an_edge_is_at_most_a_third_of_it_thick() -> None:
    assert screwed(19_000, 200_000, edge_um=15_000).fastener.diameter_um <= 5_000
    assert screwed(9_000, 200_000, edge_um=9_000).fastener.diameter_um == 3_000
    with pytest.raises(BadInput, match="screws"):
        screwed(24_000, 200_000, edge_um=9_000)


def row_of(fastening: Any, length_um: Any) -> Any:
    """One joint of a length with nothing else near."""
    joint = Joint(Message("joint"), fastening, (Line((0, 0, 0), 0, 2, 1, length_um),), "X1", "X2")
    (row,), _shafts = laid_out([joint])
    return row


@against(src.BENCH)
def test_nails_stand_50_mm_and_screws_100_mm_apart_and_30_mm_from_the_ends() -> None:
    """Over 260 mm, 200 mm are between the outer ones: five nails 50 mm apart, three screws 100 mm apart."""
    nails, screws = nailed(19_000, 200_000), screwed(9_000, 200_000)
    assert (row_of(nails, 260_000).count, row_of(nails, 260_000).spacing_um) == (5, 50_000)
    assert (row_of(screws, 260_000).count, row_of(screws, 260_000).spacing_um) == (3, 100_000)
    assert row_of(nails, 260_000).first_um == row_of(screws, 260_000).first_um == 30_000
    assert row_of(nails, 261_000).count == 6
    assert row_of(screws, 261_000).count == 4


def boxes_of_wood() -> Iterator[Any]:
    """Thirty boxes of boards, plywood and with a sliding lid."""
    generator = random.Random("distances of screws and nails")
    for index in range(30):
        made = designed(("boards", "ply", "sliding")[index % 3], box_spec(random_interior(generator)))
        if not isinstance(made, Infeasible):
            yield made


@against(src.FASTENER_DISTANCES, src.NAIL_COURSE)
def test_ends_and_rows_keep_10_diameters_and_drilled_before_7() -> None:
    """Joints under 60 mm, such as a narrow board's, have what room there is."""
    seen = set()
    for made in boxes_of_wood():
        for row in made.hardware:
            drilled = row.kind is FastenerKind.SCREW or row.fastening.drilled
            least = (7 if drilled else 10) * row.fastening.fastener.diameter_um
            seen.add(drilled)
            assert row.first_um >= min(least, 20_000)
            assert row.spacing_um == 0 or row.spacing_um >= min(least, 20_000)
    assert seen == {True, False}


@against(src.FASTENER_DISTANCES)
def test_what_crosses_keeps_3_diameters() -> None:
    assert APART == 3


@against(src.FASTENER_DISTANCES)
def test_a_screw_nearer_to_a_face_than_3_diameters_is_told_to_rely_on_number_and_glue() -> None:
    made = designed("ply", box_spec((400_000, 200_000, 150_000)))
    fastened = [(row, present(row.fastening)) for row in made.hardware]
    thin = [row for row, fastening in fastened if present(fastening.edge_um) < 3 * fastening.fastener.diameter_um]
    assert thin
    assert all("number and glue must hold" in str(row.rule.text) for row in thin)


@against(src.SCREW_PILOT)
@pytest.mark.parametrize("screw", SCREWS, ids=lambda screw: screw.name)
def test_a_pilot_hole_is_half_to_seven_tenths_of_the_screw(screw: Any) -> None:
    fastening = Fastening(screw, FastenerKind.SCREW, 100_000, SCREW_RULE)
    assert 0.5 <= fastening.pilot_um / screw.diameter_um <= 0.7
    assert round(0.8 * 2 / 3, 3) == PILOT_SHARE


@against(src.NAIL_PILOT)
@pytest.mark.parametrize("nail", NAILS, ids=lambda nail: nail.name)
def test_a_hole_for_a_nail_is_at_most_three_quarters_of_it(nail: Any) -> None:
    fastening = Fastening(nail, FastenerKind.NAIL, 50_000, SCREW_RULE, drilled=True)
    assert 0 < fastening.pilot_um <= 0.75 * nail.diameter_um
    assert fastening.pilot_um + 500 > 0.75 * nail.diameter_um


@against(src.NAIL_PILOT)
@pytest.mark.parametrize(("shank_um", "drill_um"), [(3_334, 2_500), (3_332, 2_000), (2_000, 1_500), (1_990, 1_000)])
def test_a_hole_for_a_nail_is_the_last_drill_that_is_no_more(shank_um: Any, drill_um: Any) -> None:
    """75 % of 3 1/3 mm is 2.5 mm and of 2 mm 1.5 mm; drills are sold in half millimetres."""
    nail = replace(NAILS[0], diameter_um=shank_um)
    assert Fastening(nail, FastenerKind.NAIL, 50_000, SCREW_RULE, drilled=True).pilot_um == drill_um


@against(src.NAILS_A_BOARD)
@pytest.mark.parametrize(("width_mm", "least"), [(89, 2), (140, 3), (184, 4), (235, 5), (286, 5)])
def test_a_board_takes_as_many_nails_as_an_ammunition_box(width_mm: Any, least: Any) -> None:
    row = row_of(nailed(19_000, 200_000), width_mm * 1_000)
    assert row.count >= least
    assert row.first_um >= 25_400


@against(src.TAPE_WIDTH)
def test_closing_tape_is_two_inches_wide_and_more() -> None:
    assert instance(Length, Supplies().closing_tape.what.quantities["width"]).um >= 2 * 25_400
    assert instance(Length, TAPE_FACT.text.quantities["least"]).um >= 2 * 25_400


@against(src.BENCH)
def test_nails_that_are_bent_over_stand_out_by_5_to_20_mm() -> None:
    """Of 29.9 mm a 4d stands out by 5; of 30 it does not and a 6d does."""
    assert " 4d," in clinched(29_900).fastener.name
    assert " 6d," in clinched(30_000).fastener.name
    with pytest.raises(BadInput, match="by 5 to 20 mm"):
        clinched(14_800)
    assert " 4d," in clinched(14_900).fastener.name


@pytest.mark.parametrize(("thickness_um", "verdict"), [(6_000, "exempt"), (6_001, "mark needed")])
@against(src.ISPM_15)
def test_raw_wood_of_6_mm_is_exempt_and_any_more_is_not(thickness_um: Any, verdict: Any) -> None:
    assert wood_verdict([WoodPart("slat", thickness_um, False)], abroad=True).verdict == verdict


@against(src.ISPM_15)
def test_plywood_of_any_thickness_is_exempt_but_does_not_free_raw_cleats() -> None:
    assert wood_verdict([WoodPart("panel", 18_000, True)], abroad=True).verdict == "exempt"
    mixed = wood_verdict([WoodPart("panel", 18_000, True), WoodPart("cleat", 38_000, False)], abroad=True)
    assert (mixed.verdict, mixed.parts) == ("mark needed", ("cleat",))


@pytest.mark.parametrize("parts", [[WoodPart("panel", 9_000, True)], [WoodPart("cleat", 19_000, False)]])
@against(src.ISPM_15)
def test_the_sentence_on_treatment_names_the_standard(parts: Any) -> None:
    verdict = wood_verdict(parts, abroad=True)
    assert "ISPM 15" in str(verdict.sentence)
    assert (verdict.year, verdict.sureness) == ("2018", "primary")

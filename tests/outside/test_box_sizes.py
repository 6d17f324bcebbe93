"""Sizes, blanks and weights of boxes worked out again from the styles' definitions.

Nothing below reads a panel, an outline or a plate that the program laid out: areas come from the inside size, the
board's caliper and the makers' allowances alone. What the program may know is the inside it chose.
"""

import random
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from packing.materials import BOARDS, C_FLUTE, PLYWOOD, Joinery
from packing.plan.kinds import GrooveKind, PieceRole
from tests.outside import sources as src
from tests.outside.sources import against
from tests.packing.box_specs import box_spec, designed, random_interior

BOXES = 200
# Added to a length or width from score to score, and to the height for both layers of flaps of a slotted case.
MAKERS_MM = {"B": (3, 6, 3.0), "C": (4, 8, 4.0), "E": (2, 3, 1.6), "A": (5, 10, 5.0), "BC": (7, 14, 7.0)}
SLOT_OVER_MM = 3
RELIEF_MM = 0.5


def flute(name: Any) -> Any:
    return replace(C_FLUTE, name=name, flute=name, caliper_um=int(MAKERS_MM[name][2] * 1000))


def inside_mm(made: Any) -> Any:
    return [side / 1000 for side in made.inner_um]


def board_g(area_mm2: Any, board: Any) -> Any:
    return area_mm2 * board.grammage_mg_m2 / 1e9


def slotted_mm2(made: Any, board: Any, layers: Any, inner_flap: Any, outer_flap: Any, *, joint_mm: Any) -> Any:
    """Walls, flaps and joint less the slots of a strip of four panels."""
    length, width, height = inside_mm(made)
    more, both, caliper = MAKERS_MM[board.flute]
    wall = height + layers * both / 2
    around = 2 * (length + more) + 2 * (width + more)
    flaps = 2 * 2 * ((length + more) * outer_flap + (width + more) * inner_flap)
    slots = 6 * (caliper + SLOT_OVER_MM) * max(inner_flap, outer_flap)
    return around * wall + joint_mm * wall + flaps - slots


def tray_mm2(inner: Any, board: Any) -> Any:
    """A tray: floor, four walls, four tabs that turn round the end walls."""
    length, width, depth = inner
    more, _, caliper = MAKERS_MM[board.flute]
    wall = depth + caliper / 2
    tab = max(0, min(board.joint_um / 1000, wall - caliper - SLOT_OVER_MM))
    floor = (length + more) * (width + more)
    ends = width + more - caliper - 2 * RELIEF_MM
    return floor + 2 * wall * (length + more + 2 * caliper) + 2 * wall * ends + 4 * tab * wall


def pad_mm2(made: Any) -> Any:
    length, width, _ = inside_mm(made)
    return (length - 2) * (width - 2) if any(piece.role is PieceRole.PAD for piece in made.cut_pieces) else 0


def definition_g(code: Any, made: Any, board: Any) -> Any:
    """The board of a box of a style in grams, from its definition."""
    length, width, height = inside_mm(made)
    more, both, caliper = MAKERS_MM[board.flute]
    joint = board.joint_um / 1000
    if code == "0201":
        flap = (width + more) / 2
        area = slotted_mm2(made, board, 2, flap, flap, joint_mm=joint)
    elif code == "0203":
        outer = width + more - 3
        area = slotted_mm2(made, board, 3, min(outer, (length + more) / 2), outer, joint_mm=joint)
    elif code == "0300":
        body = [length + 4 * caliper, width + 2 * caliper, height + caliper]
        lid = [body[0] + max(2, 4 * 0.3), body[1] + max(2, 2 * 0.3), body[2]]
        area = tray_mm2((length, width, height), board) + tray_mm2(lid, board)
    else:
        rise = height + both / 2 + both / 4
        ends = length + 3 * both / 2
        across = width + more
        slots = 6 * (caliper + SLOT_OVER_MM) * max(height, across / 2)
        area = ends * (3 * across - 3 + 2 * rise) + 2 * (2 * across * height + 2 * rise * across / 2) - slots
    return board_g(area + pad_mm2(made), board)


@pytest.mark.parametrize("code", ["0201", "0203", "0300", "wrap"])
@against(src.FEFCO, src.MAKERS_ALLOWANCES)
def test_the_board_of_200_boxes_weighs_what_its_definition_says_to_two_percent(code: Any) -> None:
    generator = random.Random(f"definition {code}")
    for _ in range(BOXES):
        made = designed(code, box_spec(random_interior(generator)))
        assert made.weight_mg / 1000 == pytest.approx(definition_g(code, made, C_FLUTE), rel=0.02)


@against(src.PLYWOOD_WEIGHT)
def test_the_wood_of_200_plywood_boxes_is_outside_less_inside() -> None:
    generator = random.Random("definition ply")
    for _ in range(BOXES):
        made = designed("ply", box_spec(random_interior(generator)))
        shell = 1.0
        for sides, sign in ((made.outer_um, 1), (made.inner_um, -1)):
            volume = sides[0] * sides[1] * sides[2] / 1e18
            shell = volume if sign == 1 else shell - volume
        assert sum(piece.each_mg * piece.count for piece in made.cut_pieces) / 1e6 == pytest.approx(
            shell * 680, rel=1e-4
        )


@pytest.mark.parametrize("name", ["B", "C", "E", "BC", "A"])
@against(src.MAKERS_ALLOWANCES, src.CALIPERS)
def test_a_slotted_blank_is_laid_out_by_the_makers_allowances(name: Any) -> None:
    made = designed("0201", box_spec(board=flute(name)))
    length, width, height = inside_mm(made)
    more, both, caliper = MAKERS_MM[name]
    across, along = (side / 1000 for side in made.cut_pieces[0].size_um)
    assert across == pytest.approx(2 * (length + width) + 4 * more + 35, abs=0.01)
    layers = max(both, 2 * caliper)  # never less than the board is thick
    assert along == pytest.approx(height + layers + width + more, abs=0.01)


@pytest.mark.parametrize("name", ["B", "C", "E", "BC", "A"])
@against(src.FEFCO, src.CALIPERS)
def test_a_slotted_case_is_thicker_outside_by_its_walls_and_four_layers_of_flaps(name: Any) -> None:
    made = designed("0201", box_spec(board=flute(name)))
    _, _, caliper = MAKERS_MM[name]
    over = [(outer - inner) / 1000 for outer, inner in zip(made.outer_um, made.inner_um, strict=True)]
    assert over == pytest.approx([2 * caliper, 2 * caliper, 4 * caliper])


@against(src.FEFCO)
def test_full_overlap_flaps_make_three_layers_at_bottom_and_lid() -> None:
    made = designed("0203", box_spec())
    assert (made.outer_um[2] - made.inner_um[2]) / 1000 == 6 * 4


@against(src.BENCH)
def test_full_overlap_flaps_end_3_mm_short_of_the_far_edge() -> None:
    made = designed("0203", box_spec())
    longest = max(area.high[1] - area.low[1] for area in made.cut_pieces[0].panels if "outer flap" in area.name)
    assert longest == made.inner_um[1] + 4_000 - 3_000


@against(src.FEFCO)
def test_outer_flaps_of_a_slotted_case_meet() -> None:
    """Each is half of the width from score to score, so that two reach across it."""
    made = designed("0201", box_spec())
    flaps = {round(area.high[1] - area.low[1]) for area in made.cut_pieces[0].panels if "flap" in area.name}
    assert len(flaps) == 1
    assert 2 * flaps.pop() >= made.inner_um[1] + 4_000


@pytest.mark.parametrize("name", ["B", "C", "E", "BC", "A"])
@against(src.MAKERS_ALLOWANCES, src.CALIPERS, src.BENCH)
def test_a_board_off_its_flutes_caliper_is_folded_by_its_own(name: Any) -> None:
    """The makers' row is for one caliper: what the board in hand measures more or less is added to it."""
    more, both, caliper = MAKERS_MM[name]
    for off in (-0.3, 0.3, -0.31, 0.31):
        own = round((caliper + off) * 1000)
        made = designed("0201", box_spec(board=replace(flute(name), caliper_um=own)))
        length, width, height = made.inner_um
        panel, layer = round((more + off) * 1000), round((max(both / 2, caliper) + off) * 1000)
        assert made.cut_pieces[0].size_um[0] == 2 * (length + width) + 4 * panel + 35_000
        assert made.cut_pieces[0].size_um[1] == pytest.approx(height + 2 * layer + width + panel, abs=2)


@against(src.BENCH)
def test_board_may_be_0_3_mm_off_its_caliper() -> None:
    """One fold a side, two layers of flaps at bottom and lid."""
    assert designed("0201", box_spec()).more_um == (300, 300, 600)


@against(src.MAKERS_ALLOWANCES)
def test_a_telescopes_lid_is_2_mm_larger_than_its_body() -> None:
    made = designed("0300", box_spec())
    (note,) = made.notes
    length, width, _ = inside_mm(made)
    assert str(note).startswith(f"The lid is {length + 16 + 2:g} × {width + 8 + 2:g} ×")


@against(src.BENCH)
def test_a_partial_lid_is_a_third_of_the_height_and_40_mm_at_least() -> None:
    low, high = (designed("0300 partial", box_spec((400_000, 300_000, height))) for height in (90_000, 300_000))
    assert " × 40 mm inside" in str(low.notes[0])
    assert f" × {high.inner_um[2] / 3000:g} mm inside" in str(high.notes[0]) or " × 1" in str(high.notes[0])


@against(src.BENCH)
def test_tape_in_an_h_runs_65_mm_over_the_edges() -> None:
    """On lid and bottom one strip along, two across, each 65 mm over at both ends."""
    made = designed("0201", box_spec())
    length, width, _ = made.outer_um
    assert made.closing.tape_um == 2 * ((length + 130_000) + 2 * (width + 130_000))
    assert "65 mm over the edges" in str(made.closing.text)


@against(src.BENCH)
@pytest.mark.parametrize(("gap", "padded"), [(10_000, False), (10_001, True)])
def test_a_gap_of_more_than_10_mm_under_a_head_gets_a_pad(gap: Any, padded: Any) -> None:
    """Between the inner flaps of a 0201 the gap is the length less the width."""
    asked = box_spec((300_000 + gap, 300_000, 200_000), heads=((0, 310_000),))
    made = designed("0201", asked)
    assert made.flap_gap_um == gap
    assert any(piece.role is PieceRole.PAD for piece in made.cut_pieces) == padded


@against(src.BENCH)
def test_a_pad_is_a_millimetre_smaller_on_each_side() -> None:
    made = designed("0201", box_spec((500_000, 300_000, 200_000), heads=((0, 500_000),)))
    (pad,) = [piece for piece in made.cut_pieces if piece.role is PieceRole.PAD]
    assert pad.size_um == (made.inner_um[0] - 2_000, made.inner_um[1] - 2_000)


@against(src.BENCH)
def test_an_insert_has_2_mm_of_room_in_a_slotted_case() -> None:
    snug, usual = (designed("0201", box_spec(fit_um=fit)) for fit in ((0, 0, 0), None))
    assert [more - less for more, less in zip(usual.inner_um, snug.inner_um, strict=True)] == [2_000] * 3


@against(src.BENCH)
def test_a_slot_is_3_mm_wider_than_the_board() -> None:
    made = designed("0201", box_spec())
    widths = {slot.high[0] - slot.low[0] for slot in made.cut_pieces[0].slots}
    assert 7_000 in widths


@against(src.BENCH)
@pytest.mark.parametrize(("contents_kg", "sides_mm"), [(5, 9), ("5.001", 12), (20, 12), ("20.001", 15)])
def test_plywood_sides_are_9_12_and_15_mm_by_what_they_hold(contents_kg: Any, sides_mm: Any) -> None:
    """A panel sold as so thick measures up to half a millimetre less and counts; one that is thinner does not."""
    (panel,) = [panel for panel in PLYWOOD if panel.thickness_um == sides_mm * 1000]
    panels = (replace(panel, thickness_um=panel.thickness_um - 510), *PLYWOOD)
    contents_mg = int(Fraction(contents_kg) * 1_000_000)
    made = designed("ply", box_spec(contents_mg=contents_mg, joinery=Joinery(panels=panels)))
    assert min(piece.thickness_um for piece in made.cut_pieces) == sides_mm * 1000
    sanded = Joinery(panels=(replace(panel, thickness_um=panel.thickness_um - 300), *PLYWOOD))
    made = designed("ply", box_spec(contents_mg=contents_mg, joinery=sanded))
    assert min(piece.thickness_um for piece in made.cut_pieces) == sides_mm * 1000 - 300


@against(src.MAKERS_ALLOWANCES)
def test_the_joint_is_35_mm_and_wider_where_double_wall_is_stitched() -> None:
    """Makers glue 30 to 38 mm and stitch double wall 40 to 50: the middle, to 5 mm."""
    assert {board.joint_um for board in BOARDS} == {35_000, 45_000}
    assert all((board.joint_um == 45_000) == (board.wall == "double") for board in BOARDS)


@against(src.BENCH)
def test_a_stack_of_sheets_drifts_by_half_a_millimetre_each_less_3_mm_pressed() -> None:
    """Ten sheets drift 5 mm, of which the pressed top pad takes 3: the box is 2 mm higher."""
    one, low, high = (designed("0201", box_spec(sheets=sheets, fit_um=None)) for sheets in (1, 6, 10))
    assert low.inner_um[2] == one.inner_um[2]
    assert high.inner_um[2] - low.inner_um[2] == 2_000
    assert designed("0201", box_spec(sheets=7, fit_um=None)).inner_um[2] - low.inner_um[2] == 500


@against(src.BENCH)
def test_a_sliding_lid_of_9_mm_runs_half_a_millimetre_loose_in_a_groove_of_6() -> None:
    """The lid's edge is cut down to a tongue of 5.5 mm; a panel of 8.95 mm does not do for it."""
    panels = (replace(PLYWOOD[1], thickness_um=8_950), *PLYWOOD)
    made = designed("sliding", box_spec(joinery=Joinery(panels=panels)))
    (lid,) = [piece for piece in made.cut_pieces if piece.role is PieceRole.LID]
    assert lid.thickness_um == 9_000
    assert {lid.thickness_um - step.depth_um for step in lid.grooves if step.name is GrooveKind.STEP} == {5_500}
    widths = {min(g.high[0] - g.low[0], g.high[1] - g.low[1]) for p in made.cut_pieces for g in p.grooves}
    assert 6_000 in widths


@against(src.MAKERS_ALLOWANCES)
def test_what_a_blank_is_cut_by_is_marked_as_from_memory_with_the_advice_to_fold_a_sample() -> None:
    for code in ("0201", "0203", "0300", "0300 partial", "wrap", "carton"):
        facts = [fact for fact in designed(code, box_spec()).facts if "Fold a sample" in str(fact.text)]
        assert [fact.sureness for fact in facts] == ([] if code == "carton" else ["memory"])


@against(src.BENCH)
def test_plywood_sold_as_9_mm_counts_down_to_8_and_a_half() -> None:
    for thickness, counts in ((8_500, True), (8_490, False)):
        panel = next(one for one in PLYWOOD if one.thickness_um == 9_000)
        thicker = tuple(one for one in PLYWOOD if one.thickness_um > 9_000)
        joinery = Joinery(panels=(replace(panel, thickness_um=thickness), *thicker))
        made = designed("ply", box_spec(contents_mg=4_900_000, joinery=joinery))
        assert (min(piece.thickness_um for piece in made.cut_pieces) == thickness) == counts


@against(src.BENCH)
def test_a_sliding_lid_has_a_millimetre_of_play_between_its_sides() -> None:
    assert Joinery().side_play_um == 1_000
